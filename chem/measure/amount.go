package measure

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// An Amount is what a recipe says of a reagent: a mass, or a volume of it as
// it lies in the spoon or flows from the bottle, the other being zero. The zero
// value is a mass of nothing.
type Amount struct {
	MassGrams    float64 `json:"mass_g,omitempty"`
	VolumeLitres float64 `json:"volume_l,omitempty"`
}

// AmountOfMass returns m as an amount.
func AmountOfMass(m unit.Mass) Amount { return Amount{MassGrams: float64(m / Gram)} }

// ParseAmount reads a mass ("30 g", "1 lb 4 oz") or a volume ("2 tbsp").
func ParseAmount(s string) (Amount, error) {
	r := newScanner("mass or volume", s)
	x, kind := r.measure([]string{mass, volume})
	switch {
	case r.err != nil:
		return Amount{}, r.err
	case kind == volume:
		return Amount{VolumeLitres: x / float64(Litre)}, nil
	}
	return AmountOfMass(unit.Mass(x)), nil
}

// Weigh returns the mass of the amount. For a volume that is a range, since a
// powder packs more or less closely; a mass is returned as it is and d is not
// looked at. An amount below zero, or one that is a mass and a volume, is refused.
func (a Amount) Weigh(d BulkDensity) (MassRange, error) {
	if err := cmp.Or(chem.Within("mass", a.MassGrams, 0, math.Inf(1), "g"), chem.Within("volume", a.VolumeLitres, 0, math.Inf(1), "L")); err != nil {
		return MassRange{}, err
	}
	switch {
	case a.VolumeLitres == 0:
		return MassRange{a.MassGrams, a.MassGrams, a.MassGrams}, nil
	case a.MassGrams != 0:
		return MassRange{}, &chem.InputError{Field: "amount", Value: FormatGrams(a.MassGrams) + " and " + a.String(), Want: "one of the two"}
	}
	if err := d.Validate(); err != nil {
		return MassRange{}, err
	}
	return d.MassOf(unit.Volume(a.VolumeLitres) * Litre), nil
}

// String returns the amount in metric units, rounded as FormatMass and
// FormatVolume do.
func (a Amount) String() string {
	if a.VolumeLitres != 0 {
		return FormatLitres(a.VolumeLitres)
	}
	return FormatGrams(a.MassGrams)
}
