package recipe

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/root"
)

// Tub is a vessel with straight walls, by its inside measures of 1 cm to 20 m.
type Tub struct {
	Bottom, Rim [2]unit.Length // length and width, or the diameter twice
	Height      unit.Length    // from the bottom to the rim
	Round       bool           // a bucket rather than a box
}

// Volume returns what the tub holds up to a depth, which counts up to its rim. The cross-section
// is a square function of height, so that Simpson's rule is exact.
func (t Tub) Volume(depth unit.Length) unit.Volume {
	d := min(max(depth, 0), t.Height)
	return unit.Volume(d) / 6 * unit.Volume(t.Surface(0)+4*t.Surface(d/2)+t.Surface(d))
}

// Surface returns that of the liquid that stands up to a depth, which counts up to the rim.
func (t Tub) Surface(depth unit.Length) unit.Area {
	if !(t.Height > 0) {
		return 0
	}
	x := min(max(depth, 0), t.Height) / t.Height
	area := unit.Area(t.Bottom[0]+x*(t.Rim[0]-t.Bottom[0])) * unit.Area(t.Bottom[1]+x*(t.Rim[1]-t.Bottom[1]))
	if t.Round {
		area *= math.Pi / 4
	}
	return area
}

// Part is a piece of work as it lies in the tub.
type Part struct {
	Height unit.Length // above the bottom, as it lies
	Volume unit.Volume // of metal
}

// SteelPart returns a steel part of a mass, 7850 kg/m³.
func SteelPart(m unit.Mass, height unit.Length) Part {
	const density = 7850
	return Part{height, unit.Volume(float64(m) / density)}
}

// Level returns how deep a volume of bath stands with a part in it, whose metal is taken to be
// spread evenly over its height.
func (t Tub) Level(v unit.Volume, p Part) (unit.Length, error) {
	if err := cmp.Or(chem.Within("volume of bath", float64(v/measure.Litre), 0, 1e6, "L"), p.fits(t, 0)); err != nil || v == 0 {
		return 0, err
	}
	above := func(depth unit.Length) unit.Volume {
		displaced := p.Volume
		if depth < p.Height {
			displaced *= unit.Volume(depth / p.Height)
		}
		return t.Volume(depth) - displaced - v
	}
	const rounding = 1e-9 * measure.Litre
	if above(t.Height) < -rounding {
		return 0, &chem.InputError{Field: "volume of bath", Value: measure.FormatVolume(v),
			Want: fmt.Sprintf("at most %s, what the tub holds besides the part", measure.FormatVolume(t.Volume(t.Height)-p.Volume))}
	}
	depth, err := root.Last(float64(t.Height), 0, 0, func(depth float64) (bool, error) { return above(unit.Length(depth)) >= 0, nil })
	return unit.Length(depth), err
}

// fits refuses a part that has no place in the tub with a margin of bath above it.
func (p Part) fits(t Tub, margin unit.Length) error {
	side := func(name string, x unit.Length) error {
		return chem.Within(name+" of the tub", float64(x), 0.01, 20, "m")
	}
	if err := cmp.Or(side("bottom", t.Bottom[0]), side("bottom", t.Bottom[1]), side("rim", t.Rim[0]), side("rim", t.Rim[1]), side("height", t.Height),
		chem.Within("height of the part", float64(p.Height), 0, math.Inf(1), "m"), chem.Within("volume of the part", float64(p.Volume), 0, math.Inf(1), "m³"),
		chem.Within("margin above the part", float64(margin), 0, math.Inf(1), "m")); err != nil {
		return err
	}
	field, level := "height of the part and margin above it", p.Height+margin
	if p.Height > t.Height {
		field, level = "height of the part", p.Height
	}
	switch room := t.Volume(p.Height); {
	case level > t.Height:
		return &chem.InputError{Field: field, Value: measure.FormatLength(level), Want: "at most " + measure.FormatLength(t.Height) + ", the rim"}
	case p.Volume > room:
		return &chem.InputError{Field: "metal of the part", Value: measure.FormatVolume(p.Volume), Want: "at most " + measure.FormatVolume(room) + ", what the tub holds up to its height"}
	}
	return nil
}

// Fill is how much bath covers a part.
type Fill struct {
	BathLitres         float64 `json:"bath_l"`
	LevelWithPartCM    float64 `json:"level_with_part_cm"`
	LevelWithoutPartCM float64 `json:"level_without_part_cm"`
	ToTheRimCM         float64 `json:"to_the_rim_cm"` // with the part in
}

// Cover returns the bath that covers a part by a margin, below the rim.
func (t Tub) Cover(p Part, margin unit.Length) (Fill, error) {
	if err := p.fits(t, margin); err != nil {
		return Fill{}, err
	}
	level := p.Height + margin
	bath := t.Volume(level) - p.Volume
	without, err := t.Level(bath, Part{})
	cm := func(x unit.Length) float64 { return float64(x / measure.Centimetre) }
	return Fill{float64(bath / measure.Litre), cm(level), cm(without), cm(t.Height - level)}, err
}
