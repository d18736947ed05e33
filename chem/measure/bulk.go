package measure

import (
	"fmt"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// A BulkDensity is the mass of a powder per volume it fills, air included, in
// g/L (the same number as kg/m³). Loose is as poured from a height into the
// spoon, Tapped as settled by shaking or transport; Typical lies between, and
// is what a level spoon scooped from the bag holds.
//
// For a liquid all three are its density.
type BulkDensity struct {
	Loose   float64 `json:"loose_g_per_l"`
	Typical float64 `json:"typical_g_per_l"`
	Tapped  float64 `json:"tapped_g_per_l"`
}

// maxBulkDensity, g/L, is that of osmium, the densest element.
const maxBulkDensity = 22600

// Validate returns an error unless 0 < Loose ≤ Typical ≤ Tapped ≤ 22600 g/L.
func (d BulkDensity) Validate() error {
	if d.Loose > 0 && d.Loose <= d.Typical && d.Typical <= d.Tapped && d.Tapped <= maxBulkDensity {
		return nil
	}
	return &chem.InputError{Field: "bulk density", Value: fmt.Sprintf("%.4g, %.4g, %.4g g/L", d.Loose, d.Typical, d.Tapped),
		Want: fmt.Sprintf("loose, typical and tapped, rising, above 0 and up to %d g/L", maxBulkDensity)}
}

// MassOf returns the mass that fills v, measured level: from loose to tapped.
func (d BulkDensity) MassOf(v unit.Volume) MassRange {
	litres := float64(v / Litre)
	return MassRange{LowGrams: litres * d.Loose, TypicalGrams: litres * d.Typical, HighGrams: litres * d.Tapped}
}

// VolumeOf returns the volume that m fills at the typical density, which must be
// above zero.
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
