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

// Tub is a vessel whose walls run straight from its bottom to its rim; inside
// measures.
type Tub struct {
	BottomCM [2]float64 `json:"bottom_cm"` // length and width, or the diameter twice
	RimCM    [2]float64 `json:"rim_cm"`
	HeightCM float64    `json:"height_cm"`
	Round    bool       `json:"round"`
}

// NewTub returns a tub by the length and width, or twice the diameter, of its bottom and
// of its rim: a tote or a bucket is wider there.
func NewTub(bottom, rim [2]unit.Length, height unit.Length, round bool) (Tub, error) {
	t := Tub{HeightCM: centimetres(height), Round: round}
	for i := range bottom {
		t.BottomCM[i], t.RimCM[i] = centimetres(bottom[i]), centimetres(rim[i])
	}
	return t, t.check()
}

func centimetres(x unit.Length) float64 { return float64(x / measure.Centimetre) }

func (t Tub) check() error {
	side := func(name string, cm float64) error { return chem.Within(name+" of the tub", cm/100, 0.01, 20, "m") }
	return cmp.Or(side("bottom", t.BottomCM[0]), side("bottom", t.BottomCM[1]), side("rim", t.RimCM[0]), side("rim", t.RimCM[1]), side("height", t.HeightCM))
}

func (t Tub) height() unit.Length { return unit.Length(t.HeightCM) * measure.Centimetre }

// Volume returns what the tub holds up to a depth, which counts up to its rim.
// The cross-section is a square function of height, so that Simpson's rule is
// exact.
func (t Tub) Volume(depth unit.Length) unit.Volume {
	if t.HeightCM <= 0 {
		return 0
	}
	d := min(max(centimetres(depth), 0), t.HeightCM)
	cubic := d / 6 * (t.section(0) + 4*t.section(d/2) + t.section(d))
	return unit.Volume(cubic) * measure.Millilitre
}

// Brimful returns what the tub holds up to its rim.
func (t Tub) Brimful() unit.Volume { return t.Volume(t.height()) }

// section returns the inner cross-section in cm² at a height in cm.
func (t Tub) section(z float64) float64 {
	x := z / t.HeightCM
	area := (t.BottomCM[0] + x*(t.RimCM[0]-t.BottomCM[0])) * (t.BottomCM[1] + x*(t.RimCM[1]-t.BottomCM[1]))
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

// SteelPart returns a solid steel part of a mass, 7850 kg/m³. A hollow part
// that fills displaces only its metal.
func SteelPart(m unit.Mass, height unit.Length) Part {
	const density = 7850
	return Part{height, unit.Volume(float64(m) / density)}
}

// Level returns how deep a volume of bath stands with a part in it, whose metal
// is taken to be spread evenly over its height.
func (t Tub) Level(v unit.Volume, p Part) (unit.Length, error) {
	if err := cmp.Or(chem.Within("volume of bath", float64(v/measure.Litre), 0, 1e6, "L"), p.check(t)); err != nil {
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
	if above(t.height()) < -rounding {
		return 0, &chem.InputError{Field: "volume of bath", Value: measure.FormatVolume(v),
			Want: fmt.Sprintf("at most %s, what the tub holds besides the part", measure.FormatVolume(t.Brimful()-p.Volume))}
	}
	depth, err := root.Last(float64(t.height()), 0, 0, func(depth float64) (bool, error) { return above(unit.Length(depth)) >= 0, nil })
	return unit.Length(depth), err
}

func (p Part) check(t Tub) error {
	if err := cmp.Or(t.check(), chem.Within("height of the part", float64(p.Height), 0, math.Inf(1), "m"), chem.Within("volume of the part", float64(p.Volume), 0, math.Inf(1), "m³")); err != nil {
		return err
	}
	if p.Height > t.height() {
		return &chem.InputError{Field: "height of the part", Value: measure.FormatLength(p.Height), Want: "at most " + measure.FormatLength(t.height()) + ", the rim"}
	}
	if room := t.Volume(p.Height); p.Volume > room {
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

// Cover returns the bath that covers a part by a margin. A part that sticks out
// of the tub is an error.
func (t Tub) Cover(p Part, margin unit.Length) (Fill, error) {
	level := p.Height + margin
	if err := cmp.Or(p.check(t), chem.Within("margin above the part", float64(margin), 0, math.Inf(1), "m")); err != nil {
		return Fill{}, err
	}
	if level > t.height() {
		return Fill{}, &chem.InputError{Field: "height of the part and margin above it", Value: measure.FormatLength(level), Want: "at most " + measure.FormatLength(t.height()) + ", the rim"}
	}
	bath := t.Volume(level) - p.Volume
	without, err := t.Level(bath, Part{})
	if err != nil {
		return Fill{}, err
	}
	return Fill{
		BathLitres: float64(bath / measure.Litre), LevelWithPartCM: centimetres(level), LevelWithoutPartCM: centimetres(without),
		ToTheRimCM: centimetres(t.height() - level),
	}, nil
}
