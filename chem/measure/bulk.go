package measure

import (
	"fmt"

	"gonum.org/v1/gonum/unit"
)

// A BulkDensity is the mass of a powder per volume it fills, air included, in
// kg/m³ (the same number as g/L). Loose is as poured from a height into the
// spoon, Tapped as settled by shaking or transport; Typical lies between, and
// is what a level spoon scooped from the bag holds.
//
// For a liquid all three are its density.
type BulkDensity struct {
	Loose, Typical, Tapped float64
}

// maxBulkDensity, kg/m³, is that of osmium, the densest element.
const maxBulkDensity = 22600

// Validate returns an error unless 0 < Loose ≤ Typical ≤ Tapped ≤ 22600 kg/m³.
func (d BulkDensity) Validate() error {
	if d.Loose > 0 && d.Loose <= d.Typical && d.Typical <= d.Tapped && d.Tapped <= maxBulkDensity {
		return nil
	}
	return fmt.Errorf("%w: bulk density loose %g, typical %g, tapped %g kg/m³: expected 0 < loose ≤ typical ≤ tapped ≤ %g",
		ErrMeasure, d.Loose, d.Typical, d.Tapped, float64(maxBulkDensity))
}

// A MassRange is a mass that is known between limits.
type MassRange struct {
	Low, Typical, High unit.Mass
}

// String returns "10.2 g (9.2 g to 11.2 g)", or one mass when there is no range.
func (r MassRange) String() string {
	return rangeText(FormatMass(r.Low), FormatMass(r.Typical), FormatMass(r.High))
}

// A VolumeRange is a volume that is known between limits.
type VolumeRange struct {
	Low, Typical, High unit.Volume
}

// String returns "14.8 mL (13.4 mL to 16.5 mL)", or one volume when there is no range.
func (r VolumeRange) String() string {
	return rangeText(FormatVolume(r.Low), FormatVolume(r.Typical), FormatVolume(r.High))
}

func rangeText(low, typical, high string) string {
	if low == typical && typical == high {
		return typical
	}
	return fmt.Sprintf("%s (%s to %s)", typical, low, high)
}

// MassOf returns the mass that fills v, measured level: from loose to tapped.
// A heaped spoon holds half as much again to twice as much (common practice,
// no source) and is no measure. d must be valid.
func (d BulkDensity) MassOf(v unit.Volume) MassRange {
	return MassRange{
		Low:     unit.Mass(float64(v) * d.Loose),
		Typical: unit.Mass(float64(v) * d.Typical),
		High:    unit.Mass(float64(v) * d.Tapped),
	}
}

// VolumeOf returns the volume that m fills: from tapped (low) to loose (high).
// d must be valid.
func (d BulkDensity) VolumeOf(m unit.Mass) VolumeRange {
	return VolumeRange{
		Low:     unit.Volume(float64(m) / d.Tapped),
		Typical: unit.Volume(float64(m) / d.Typical),
		High:    unit.Volume(float64(m) / d.Loose),
	}
}
