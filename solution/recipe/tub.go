package recipe

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/root"
)

// Tub is a vessel whose walls run straight from its bottom to its rim.
type Tub struct {
	bottom, top [2]float64 // length and width, or the diameter twice, m
	height      float64    // m
	fill        float64    // of the rectangle around: 1, or π/4 when round
}

// Box returns a tub with upright walls.
func Box(length, width, height unit.Length) (Tub, error) {
	return TaperedBox(length, width, length, width, height)
}

// TaperedBox returns a rectangular tub that is wider at its rim, as a tote is.
func TaperedBox(bottomLength, bottomWidth, topLength, topWidth, height unit.Length) (Tub, error) {
	t := Tub{[2]float64{float64(bottomLength), float64(bottomWidth)}, [2]float64{float64(topLength), float64(topWidth)}, float64(height), 1}
	return t, t.check()
}

// Bucket returns a round tub of given diameters at bottom and rim, all inside.
func Bucket(bottom, top, height unit.Length) (Tub, error) {
	t := Tub{[2]float64{float64(bottom), float64(bottom)}, [2]float64{float64(top), float64(top)}, float64(height), math.Pi / 4}
	return t, t.check()
}

func (t Tub) check() error {
	for _, side := range []struct {
		name  string
		value float64
	}{
		{"bottom of the tub", t.bottom[0]}, {"bottom of the tub", t.bottom[1]},
		{"rim of the tub", t.top[0]}, {"rim of the tub", t.top[1]}, {"height of the tub", t.height},
	} {
		if err := chem.Within(side.name, side.value, 0.01, 20, "m"); err != nil {
			return err
		}
	}
	return nil
}

// Volume returns what the tub holds up to a depth, which counts up to its rim.
// The cross-section is a square function of height, so that Simpson's rule is
// exact.
func (t Tub) Volume(depth unit.Length) unit.Volume {
	d := min(max(float64(depth), 0), t.height)
	area := func(z float64) float64 {
		x := z / t.height
		return t.fill * (t.bottom[0] + x*(t.top[0]-t.bottom[0])) * (t.bottom[1] + x*(t.top[1]-t.bottom[1]))
	}
	return unit.Volume(d / 6 * (area(0) + 4*area(d/2) + area(d)))
}

// Brimful returns what the tub holds up to its rim.
func (t Tub) Brimful() unit.Volume { return t.Volume(unit.Length(t.height)) }

// Depth returns how deep a volume stands. More than the tub holds is an error.
func (t Tub) Depth(v unit.Volume) (unit.Length, error) {
	return t.Level(v, Part{})
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
	if err := chem.Within("volume of bath", 1000*float64(v), 0, 1e6, "L"); err != nil {
		return 0, err
	}
	if err := p.check(t); err != nil {
		return 0, err
	}
	above := func(depth float64) float64 {
		displaced := float64(p.Volume)
		if h := float64(p.Height); depth < h {
			displaced *= depth / h
		}
		return float64(t.Volume(unit.Length(depth))) - displaced - float64(v)
	}
	if above(t.height) < -1e-12 {
		return 0, &chem.InputError{Field: "volume of bath", Value: measure.FormatVolume(v), Want: fmt.Sprintf("at most %s, what the tub holds besides the part", measure.FormatVolume(t.Brimful()-p.Volume))}
	}
	depth, err := root.Last(t.height, 0, 0, func(depth float64) (bool, error) { return above(depth) >= 0, nil })
	return unit.Length(depth), err
}

func (p Part) check(t Tub) error {
	if err := chem.Within("height of the part", float64(p.Height), 0, t.height, "m"); err != nil {
		return err
	}
	return chem.Within("volume of the part", 1000*float64(p.Volume), 0, 1000*float64(t.Volume(p.Height)), "L")
}

// Fill is how much bath covers a part.
type Fill struct {
	BathLitres         float64 `json:"bath_l"`
	LevelWithPartCM    float64 `json:"level_with_part_cm"`
	LevelWithoutPartCM float64 `json:"level_without_part_cm"`
	ToTheRimCM         float64 `json:"to_the_rim_cm"` // with the part in
	// Room is what the tub still holds with the part in.
	RoomLitres float64 `json:"room_l"`
}

// Cover returns the bath that covers a part by a margin. A part that sticks out
// of the tub is an error.
func (t Tub) Cover(p Part, margin unit.Length) (Fill, error) {
	if err := p.check(t); err != nil {
		return Fill{}, err
	}
	level := p.Height + margin
	if err := chem.Within("height of the part and margin above it", float64(level), float64(p.Height), t.height, "m"); err != nil {
		return Fill{}, err
	}
	bath := t.Volume(level) - p.Volume
	without, err := t.Depth(bath)
	if err != nil {
		return Fill{}, err
	}
	return Fill{1000 * float64(bath), 100 * float64(level), 100 * float64(without), 100 * (t.height - float64(level)), 1000 * float64(t.Brimful()-t.Volume(level))}, nil
}
