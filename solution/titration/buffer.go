package titration

import (
	"context"
	"math"

	"gonum.org/v1/gonum/unit"
)

// Buffer is a stretch of the curve that resists the titrant, and the gentlest
// place in it.
type Buffer struct {
	Reading
	FromML     float64 `json:"from_ml"` // from here to ToML a third of the resistance or more is left
	ToML       float64 `json:"to_ml"`
	CapacityML float64 `json:"capacity_ml"` // titrant per unit of the probe at the gentlest place
}

// bufferShare is what a unit of pH from pKa leaves of the greatest buffer capacity,
// 4 αₐ α_b, so that the stretch is the familiar pKa ± 1 for one acid and its base
// (D. D. Van Slyke, J. Biol. Chem. 52 (1922) 525).
const bufferShare = 4 * 10.0 / 121

// Buffers returns the buffer regions of the curve up to a volume, in order: about
// each place that is gentler than its surroundings, the stretch where the slope is
// at most 1/0.33 of the least.
func (t *Titration) Buffers(ctx context.Context, upTo unit.Volume) ([]Buffer, error) {
	p, err := t.Curve(ctx, fine(upTo, true))
	if err != nil {
		return nil, err
	}
	var out []Buffer
	for i := 1; i < len(p); i++ {
		if !(grows(p[i-1]) < 0 && grows(p[i]) > 0) {
			continue
		}
		// the root of the bend, by the chord
		w := grows(p[i-1]) / (grows(p[i-1]) - grows(p[i]))
		between := func(a, b float64) float64 { return a + w*(b-a) }
		least := math.Abs(between(p[i-1].SlopePerML, p[i].SlopePerML))
		b := Buffer{FromML: edge(p, i-1, -1, least/bufferShare), ToML: edge(p, i, 1, least/bufferShare), CapacityML: 1 / least}
		b.ML, b.P = between(p[i-1].ML, p[i].ML), between(p[i-1].P, p[i].P)
		out = append(out, b)
	}
	return out, nil
}

// edge is the volume, from point i on in a direction, at which the curve becomes
// steeper than a slope: by the chord, or the end of the curve.
func edge(p []Point, i, direction int, slope float64) float64 {
	for ; i >= 0 && i < len(p); i += direction {
		steep := math.Abs(p[i].SlopePerML)
		if steep <= slope {
			continue
		}
		last := p[i-direction]
		gentle := math.Abs(last.SlopePerML)
		if gentle >= steep { // the gentlest place lies between the two
			return p[i].ML
		}
		return p[i].ML + (last.ML-p[i].ML)*(steep-slope)/(steep-gentle)
	}
	return p[i-direction].ML
}
