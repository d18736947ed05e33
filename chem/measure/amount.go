package measure

import "gonum.org/v1/gonum/unit"

// An Amount is what a recipe says of a reagent: a mass, or a volume of it as
// it lies in the spoon or flows from the bottle. The zero value is a mass of
// nothing.
type Amount struct {
	value float64 // SI
	kind  kind    // mass or volume
}

// AmountOfMass returns m as an amount.
func AmountOfMass(m unit.Mass) Amount { return Amount{float64(m), mass} }

// AmountOfVolume returns v as an amount.
func AmountOfVolume(v unit.Volume) Amount { return Amount{float64(v), volume} }

// ParseAmount reads a mass ("30 g", "1 lb 4 oz") or a volume ("2 tbsp").
func ParseAmount(s string) (Amount, error) {
	x, k, err := parse(s, mass, volume)
	return Amount{x, k}, err
}

// Mass returns the amount if it is a mass.
func (a Amount) Mass() (unit.Mass, bool) {
	if a.kind != mass {
		return 0, false
	}
	return unit.Mass(a.value), true
}

// Volume returns the amount if it is a volume.
func (a Amount) Volume() (unit.Volume, bool) {
	if a.kind != volume {
		return 0, false
	}
	return unit.Volume(a.value), true
}

// Weigh returns the mass of the amount. For a volume that is a range, since a
// powder packs more or less closely; a mass is returned as it is and d is not
// looked at.
func (a Amount) Weigh(d BulkDensity) (MassRange, error) {
	if m, ok := a.Mass(); ok {
		return MassRange{m, m, m}, nil
	}
	if err := d.Validate(); err != nil {
		return MassRange{}, err
	}
	return d.MassOf(unit.Volume(a.value)), nil
}

// String returns the amount in metric units, rounded as FormatMass and
// FormatVolume do.
func (a Amount) String() string {
	if a.kind == volume {
		return FormatVolume(unit.Volume(a.value))
	}
	return FormatMass(unit.Mass(a.value))
}
