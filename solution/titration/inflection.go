package titration

import (
	"context"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/internal/root"
)

// Inflection is where a curve is steepest between two gentler stretches, by a
// tenth at least: what a meter shows as the end of a titration.
type Inflection struct {
	Reading
	SlopePerML float64 `json:"slope_per_ml"` // dP/dV
	// Jump is by how much the probe moves between 1 % of the volume before and 1
	// % after: less than about 0.3 is not seen.
	Jump float64 `json:"jump"`
	Kink bool    `json:"kink"` // the slope breaks off: a solid appears or is gone
}

const (
	steeper = 1.1   // than both sides: a flatter hump is no end that a meter shows
	nearby  = 0.01  // of the volume to either side, for the jump
	kinkGap = 1e-10 // of the volume, to which a kink is closed in on: what rounding leaves
)

// Inflections returns the steepest places of the curve up to a volume, in order.
// They are roots of the exact second derivative.
func (t *Titration) Inflections(ctx context.Context, upTo unit.Volume) ([]Inflection, error) {
	points, err := t.Curve(ctx, fine(upTo, true))
	if err != nil {
		return nil, err
	}
	var out []Inflection
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		// steepness that moves against its own rate jumps between the two
		kink := grows(a)*grows(b) > 0 && grows(a)*(math.Abs(b.SlopePerML)-math.Abs(a.SlopePerML)) < 0
		smooth := grows(a) > 0 && grows(b) < 0
		if !kink && !smooth || math.Abs(a.SlopePerML) < steeper*max(gentlest(points, i-1, -1), gentlest(points, i, 1)) {
			continue
		}
		x := Inflection{Kink: kink}
		ml := 0.0
		if kink {
			ml, err = t.kink(a, b)
		} else {
			ml, err = root.Between(func(ml float64) (float64, error) {
				p, err := t.at(ml, true, nil)
				return p.BendPerML2, err
			}, a.ML, a.BendPerML2, b.ML, b.BendPerML2, 0)
		}
		if err != nil {
			return nil, err
		}
		var at [3]Point
		for k, side := range [3]float64{0, -nearby, nearby} {
			if at[k], err = t.at(ml*(1+side), k == 0, nil); err != nil {
				return nil, err
			}
		}
		x.Reading, x.SlopePerML, x.Jump = at[0].Reading, at[0].SlopePerML, at[2].P-at[1].P
		out = append(out, x)
	}
	return out, nil
}

// kink closes in on the place between two points where the slope jumps, and
// returns the steep side of it.
func (t *Titration) kink(a, b Point) (float64, error) {
	middle := (math.Abs(a.SlopePerML) + math.Abs(b.SlopePerML)) / 2
	steep, gentle := a.ML, b.ML
	if math.Abs(a.SlopePerML) < middle {
		steep, gentle = gentle, steep
	}
	return root.Last(steep, gentle, kinkGap*b.ML, func(ml float64) (bool, error) {
		p, err := t.at(ml, true, nil)
		return math.Abs(p.SlopePerML) > middle, err
	})
}

// gentlest is the least steepness from point i on in a direction, as far as the
// curve does not get steeper than it is there.
func gentlest(p []Point, i, direction int) float64 {
	top := steeper * math.Abs(p[i].SlopePerML)
	least := top
	for ; i >= 0 && i < len(p) && math.Abs(p[i].SlopePerML) <= top; i += direction {
		least = min(least, math.Abs(p[i].SlopePerML))
	}
	return least
}

// grows is the rate at which the steepness of the curve grows.
func grows(p Point) float64 { return math.Copysign(1, p.SlopePerML) * p.BendPerML2 }
