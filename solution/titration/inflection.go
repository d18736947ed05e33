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
	Jump float64 `json:"jump"` // of the probe, from 1 % of the volume before to 1 % after: below about 0.3 not seen
	Kink bool    `json:"kink"` // the slope breaks off: a solid appears or is gone
}

const (
	steeper = 1.1   // than both sides: a flatter hump is no end that a meter shows
	nearby  = 0.01  // of the volume to either side, for the jump
	closed  = 1e-12 // of the volume, to which an inflection is closed in on: what rounding leaves
)

// Inflections returns the steepest places up to a volume, roots of the exact second derivative.
func (t *Titration) Inflections(ctx context.Context, upTo unit.Volume) ([]Inflection, error) {
	points, err := t.Curve(ctx, Grid{UpTo: upTo, Step: fineStep, Slopes: true})
	if err != nil {
		return nil, err
	}
	var out []Inflection
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		smooth := grows(a) > 0 && grows(b) < 0
		// steepness that moves against its own rate jumps between the two
		kink := grows(a)*grows(b) > 0 && grows(a)*(steepness(b)-steepness(a)) < 0
		if !kink && !smooth {
			continue
		}
		before, _ := gentle(points, i-1, -1, steeper*steepness(a))
		after, _ := gentle(points, i, 1, steeper*steepness(b))
		if steepness(a) < steeper*max(before, after) {
			continue
		}
		middle := (steepness(a) + steepness(b)) / 2
		if kink && steepness(a) < middle {
			a, b = b, a // the steep side is what is wanted
		}
		ml, err := root.Last(a.ML, b.ML, closed*points[i].ML, func(ml float64) (bool, error) {
			p, err := t.at(ml, true, nil)
			return smooth && grows(p) > 0 || kink && steepness(p) > middle, err
		})
		if err != nil {
			return nil, err
		}
		var at [3]Point
		for k := range at { // before, there, after
			if at[k], err = t.at(ml*(1+nearby*float64(k-1)), true, nil); err != nil {
				return nil, err
			}
		}
		out = append(out, Inflection{at[1].Reading, at[2].P - at[0].P, kink})
	}
	return out, nil
}

func steepness(p Point) float64 { return math.Abs(p.SlopePerML) }

// grows is the rate at which the steepness of the curve grows.
func grows(p Point) float64 { return math.Copysign(1, p.SlopePerML) * p.BendPerML2 }

// gentle is the least steepness from point i on in a direction, as far as the curve
// is no steeper than a limit, and the volume there, by the chord where it goes on.
func gentle(p []Point, i, direction int, limit float64) (least, ml float64) {
	for least = limit; i >= 0 && i < len(p); i += direction {
		last, here := steepness(p[i-direction]), steepness(p[i])
		if ml = p[i].ML; here > max(limit, last) {
			return least, ml + (p[i-direction].ML-ml)*(here-limit)/(here-last)
		}
		least = min(least, here)
	}
	return least, ml
}

// Buffer is a stretch of the curve that resists the titrant, about its gentlest place.
type Buffer struct {
	Reading
	FromML     float64 `json:"from_ml"` // from here to ToML a third of the greatest buffer capacity or more is left
	ToML       float64 `json:"to_ml"`
	CapacityML float64 `json:"capacity_ml"` // titrant per unit of the probe at the gentlest place
}

// bufferShare is what a unit of pH from pKa leaves of the greatest buffer capacity,
// 4 αₐ α_b, so that the stretch is the familiar pKa ± 1 for one acid and its base
// (D. D. Van Slyke, J. Biol. Chem. 52 (1922) 525).
const bufferShare = 4 * 10.0 / 121

// Buffers returns the stretches about places gentler than their surroundings, up to a volume.
func (t *Titration) Buffers(ctx context.Context, upTo unit.Volume) ([]Buffer, error) {
	p, err := t.Curve(ctx, Grid{UpTo: upTo, Step: fineStep, Slopes: true})
	if err != nil {
		return nil, err
	}
	var out []Buffer
	for i := 1; i < len(p); i++ {
		a, b := p[i-1], p[i]
		if !(grows(a) < 0 && grows(b) > 0) {
			continue
		}
		w := grows(a) / (grows(a) - grows(b)) // the root of the bend, by the chord
		least := math.Abs(a.SlopePerML + w*(b.SlopePerML-a.SlopePerML))
		place := Reading{ML: a.ML + w*(b.ML-a.ML), P: a.P + w*(b.P-a.P)}
		_, from := gentle(p, i-1, -1, least/bufferShare)
		_, to := gentle(p, i, 1, least/bufferShare)
		out = append(out, Buffer{place, from, to, 1 / least})
	}
	return out, nil
}
