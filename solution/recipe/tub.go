package recipe

import (
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

// Box returns a tub with upright walls.
func Box(length, width, height unit.Length) (Tub, error) {
	return TaperedBox(length, width, length, width, height)
}

// TaperedBox returns a rectangular tub that is wider at its rim, as a tote is.
func TaperedBox(bottomLength, bottomWidth, rimLength, rimWidth, height unit.Length) (Tub, error) {
	t := Tub{
		BottomCM: [2]float64{centimetres(bottomLength), centimetres(bottomWidth)},
		RimCM:    [2]float64{centimetres(rimLength), centimetres(rimWidth)}, HeightCM: centimetres(height),
	}
	return t, t.check()
}

// Bucket returns a round tub of given diameters at bottom and rim.
func Bucket(bottom, rim, height unit.Length) (Tub, error) {
	t, err := TaperedBox(bottom, bottom, rim, rim, height)
	t.Round = true
	return t, err
}

func centimetres(x unit.Length) float64 { return float64(x / measure.Centimetre) }

func (t Tub) check() error {
	for _, side := range []struct {
		name string
		cm   float64
	}{
		{"bottom of the tub", t.BottomCM[0]}, {"bottom of the tub", t.BottomCM[1]},
		{"rim of the tub", t.RimCM[0]}, {"rim of the tub", t.RimCM[1]}, {"height of the tub", t.HeightCM},
	} {
		if err := chem.Within(side.name, side.cm/100, 0.01, 20, "m"); err != nil {
			return err
		}
	}
	return nil
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

// Depth returns how deep a volume stands. More than the tub holds is an error.
func (t Tub) Depth(v unit.Volume) (unit.Length, error) {
	return t.Level(v, Part{})
}

// Surface returns the area of the liquid at a depth, up to the rim.
func (t Tub) Surface(depth unit.Length) unit.Area {
	if t.HeightCM <= 0 {
		return 0
	}
	d := min(max(centimetres(depth), 0), t.HeightCM)
	return unit.Area(t.section(d)) * measure.SquareCentimetre
}

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
	if err := chem.Within("volume of bath", float64(v/measure.Litre), 0, 1e6, "L"); err != nil {
		return 0, err
	}
	if err := p.check(t); err != nil {
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
	if err := t.check(); err != nil {
		return err
	}
	if err := chem.Within("height of the part", float64(p.Height), 0, float64(t.height()), "m"); err != nil {
		return err
	}
	return chem.Within("volume of the part", float64(p.Volume/measure.Litre), 0, float64(t.Volume(p.Height)/measure.Litre), "L")
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
	if err := chem.Within("height of the part and margin above it", float64(level), float64(p.Height), float64(t.height()), "m"); err != nil {
		return Fill{}, err
	}
	bath := t.Volume(level) - p.Volume
	without, err := t.Depth(bath)
	if err != nil {
		return Fill{}, err
	}
	return Fill{
		BathLitres: float64(bath / measure.Litre), LevelWithPartCM: centimetres(level), LevelWithoutPartCM: centimetres(without),
		ToTheRimCM: centimetres(t.height() - level), RoomLitres: float64((t.Brimful() - t.Volume(level)) / measure.Litre),
	}, nil
}
