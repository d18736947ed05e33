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
	ML         float64 `json:"ml"`
	P          float64 `json:"p"`            // the probe there
	SlopePerML float64 `json:"slope_per_ml"` // dP/dV
	// Jump is by how much the probe moves between 1 % of the volume before and 1
	// % after: less than about 0.3 is not seen.
	Jump float64 `json:"jump"`
	Kink bool    `json:"kink"` // the slope breaks off: a solid appears or is gone
}

// Inflections returns the steepest places of the curve up to a volume, in order.
// They are roots of the exact second derivative.
func (t *Titration) Inflections(ctx context.Context, upTo unit.Volume) ([]Inflection, error) {
	c, err := t.Curve(ctx, Fine(upTo))
	if err != nil {
		return nil, err
	}
	var out []Inflection
	for i := 1; i < len(c.Points); i++ {
		a, b := c.Points[i-1], c.Points[i]
		var x Inflection
		switch {
		case grows(a) > 0 && grows(b) < 0:
			x.ML, err = root.Between(func(ml float64) (float64, error) {
				p, err := t.at(ml, true)
				return p.Bend, err
			}, a.ML, a.Bend, b.ML, b.Bend, 0)
		case grows(a)*grows(b) > 0 && grows(a)*(math.Abs(b.Slope)-math.Abs(a.Slope)) < 0:
			// steepness moves against its own rate: it jumps between
			x.Kink = true
			x.ML, err = t.kink(a, b)
		default:
			continue
		}
		if err != nil {
			return nil, err
		}
		if math.Abs(a.Slope) < 1.1*max(gentlest(c.Points, i-1, -1), gentlest(c.Points, i, 1)) {
			continue
		}
		at := [3]Point{}
		for k, ml := range [3]float64{x.ML, 0.99 * x.ML, 1.01 * x.ML} {
			if at[k], err = t.at(ml, k == 0); err != nil {
				return nil, err
			}
		}
		x.P, x.SlopePerML, x.Jump = at[0].P, at[0].Slope, at[2].P-at[1].P
		out = append(out, x)
	}
	return out, nil
}

// kink closes in on the place between two points where the slope jumps, and
// returns the steep side of it.
func (t *Titration) kink(a, b Point) (float64, error) {
	low, high := a.ML, b.ML
	middle := (math.Abs(a.Slope) + math.Abs(b.Slope)) / 2
	steepFirst := math.Abs(a.Slope) > middle
	for high-low > 1e-10*high {
		m := (low + high) / 2
		p, err := t.at(m, true)
		if err != nil {
			return 0, err
		}
		if (math.Abs(p.Slope) > middle) == steepFirst {
			low = m
		} else {
			high = m
		}
	}
	if steepFirst {
		return low, nil
	}
	return high, nil
}

// gentlest is the least steepness from point i on in a direction, as far as the
// curve does not get steeper than it is there.
func gentlest(p []Point, i, direction int) float64 {
	top := 1.1 * math.Abs(p[i].Slope)
	least := top
	for ; i >= 0 && i < len(p) && math.Abs(p[i].Slope) <= top; i += direction {
		least = min(least, math.Abs(p[i].Slope))
	}
	return least
}

// grows is the rate at which the steepness of the curve grows.
func grows(p Point) float64 { return math.Copysign(1, p.Slope) * p.Bend }

// Buffer is a stretch of the curve that resists the titrant.
type Buffer struct {
	FromML     float64 `json:"from_ml"` // from here to ToML a third of the resistance or more is left
	ToML       float64 `json:"to_ml"`
	ML         float64 `json:"ml"` // the gentlest place
	P          float64 `json:"p"`
	CapacityML float64 `json:"capacity_ml"` // titrant per unit of the probe there
}

// Buffers returns the buffer regions of a curve computed with slopes: about each
// place that is gentler than its surroundings, the stretch where the slope is at
// most 1/0.33 of the least. For one acid and its base that is the familiar pKa ±
// 1, where 4αₐα_b = 0.33 (D. D. Van Slyke, J. Biol. Chem. 52 (1922) 525).
func (c *Curve) Buffers() []Buffer {
	const left = 4 * 10.0 / 121 // of the capacity, one unit from pKa
	var out []Buffer
	p := c.Points
	for i := 1; i < len(p); i++ {
		if !(grows(p[i-1]) < 0 && grows(p[i]) > 0) {
			continue
		}
		// the root of the bend, by the chord
		w := grows(p[i-1]) / (grows(p[i-1]) - grows(p[i]))
		between := func(a, b float64) float64 { return a + w*(b-a) }
		least := math.Abs(between(p[i-1].Slope, p[i].Slope))
		b := Buffer{ML: between(p[i-1].ML, p[i].ML), P: between(p[i-1].P, p[i].P), CapacityML: 1 / least}
		edge := least / left
		b.FromML, b.ToML = p[0].ML, p[len(p)-1].ML
		for k := i - 1; k >= 0; k-- {
			if s := math.Abs(p[k].Slope); s > edge {
				b.FromML = chord(p[k].ML, s, p[k+1].ML, math.Abs(p[k+1].Slope), edge)
				break
			}
		}
		for k := i; k < len(p); k++ {
			if s := math.Abs(p[k].Slope); s > edge {
				b.ToML = chord(p[k-1].ML, math.Abs(p[k-1].Slope), p[k].ML, s, edge)
				break
			}
		}
		out = append(out, b)
	}
	return out
}

// chord returns x where the line through two points has the height y.
func chord(xa, ya, xb, yb, y float64) float64 {
	if ya == yb {
		return xb
	}
	return xa + (y-ya)*(xb-xa)/(yb-ya)
}
