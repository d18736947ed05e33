package measure

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// An Amount is what a recipe says of a reagent: a mass, or a volume of it as it lies in the
// spoon or flows from the bottle, the other being zero.
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

// Weigh returns the mass of the amount: of a volume a range, since a powder packs more or
// less closely; for a mass d is not looked at. Refused are an amount below zero, one that
// is a mass and a volume, and a density unless 0 < Loose ≤ Typical ≤ Tapped ≤ 22600 g/L.
func (a Amount) Weigh(d BulkDensity) (MassRange, error) {
	if err := cmp.Or(chem.Within("mass", a.MassGrams, 0, math.Inf(1), "g"), chem.Within("volume", a.VolumeLitres, 0, math.Inf(1), "L")); err != nil {
		return MassRange{}, err
	}
	switch {
	case a.VolumeLitres == 0:
		return MassRange{a.MassGrams, a.MassGrams, a.MassGrams}, nil
	case a.MassGrams != 0:
		return MassRange{}, &chem.InputError{Field: "amount", Value: FormatGrams(a.MassGrams) + " and " + a.String(), Want: "one of the two"}
	case d.Loose > 0 && d.Loose <= d.Typical && d.Typical <= d.Tapped && d.Tapped <= maxBulkDensity:
		return d.MassOf(unit.Volume(a.VolumeLitres) * Litre), nil
	}
	return MassRange{}, &chem.InputError{Field: "bulk density", Value: fmt.Sprintf("%.4g, %.4g, %.4g g/L", d.Loose, d.Typical, d.Tapped),
		Want: fmt.Sprintf("a mass, or loose, typical and tapped ones, rising, above 0 and up to %d g/L", maxBulkDensity)}
}

// String returns the amount in metric units, rounded as FormatMass and FormatVolume do.
func (a Amount) String() string {
	if a.VolumeLitres != 0 {
		return FormatLitres(a.VolumeLitres)
	}
	return FormatGrams(a.MassGrams)
}

// A BulkDensity is the mass of a powder per volume it fills, air included, in g/L; for a
// liquid all three are its density.
type BulkDensity struct {
	Loose   float64 `json:"loose_g_per_l"`   // as poured from a height into the spoon
	Typical float64 `json:"typical_g_per_l"` // as a level spoon scooped from the bag holds it
	Tapped  float64 `json:"tapped_g_per_l"`  // as settled by shaking or transport
}

// maxBulkDensity, g/L, is that of osmium, the densest element.
const maxBulkDensity = 22600

// MassOf returns the mass that fills v, measured level: from loose to tapped.
func (d BulkDensity) MassOf(v unit.Volume) MassRange {
	litres := float64(v / Litre)
	return MassRange{LowGrams: litres * d.Loose, TypicalGrams: litres * d.Typical, HighGrams: litres * d.Tapped}
}

// VolumeOf returns the volume that m fills at the typical density, which is above zero.
func (d BulkDensity) VolumeOf(m unit.Mass) unit.Volume {
	return unit.Volume(float64(m/Gram)/d.Typical) * Litre
}

// A MassRange is a mass that is known between limits.
type MassRange struct {
	LowGrams     float64 `json:"low_g"`
	TypicalGrams float64 `json:"typical_g"`
	HighGrams    float64 `json:"high_g"`
}

// Typical returns the mass between the limits.
func (r MassRange) Typical() unit.Mass { return unit.Mass(r.TypicalGrams) * Gram }
