package titration

import (
	"cmp"
	"context"
	"iter"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// Grid says at which volumes a curve is computed, and what.
type Grid struct {
	UpTo   unit.Volume // the last point; the first is at 0
	Points int         // evenly spaced, both ends included; 0 is 101
	// Step is the most that the probe may move between neighbours before points are
	// put between, down to a millionth of the volume. 0 puts none.
	Step    float64
	Slopes  bool     // compute the derivatives too
	Species []string // whose concentrations the points shall hold, by any name
}

const (
	usualPoints = 101
	mostPoints  = 1e7  // a curve of a gigabyte
	finestGap   = 1e-6 // of the volume, between points that Step asks for
	fineStep    = 0.1  // of pH or pM: what shows every feature of a curve
)

// Points yields the points of a grid as they are computed, up to the first error, included.
func (t *Titration) Points(ctx context.Context, g Grid) iter.Seq2[Point, error] {
	return func(yield func(Point, error) bool) {
		g.Points = cmp.Or(g.Points, usualPoints)
		places, err := t.places(g.Species)
		if err = cmp.Or(
			err, chem.Within("step of the grid", g.Step, 0, math.Inf(1), ""),
			chem.Within("points of the grid", float64(g.Points), 2, mostPoints, ""),
			chem.Within("end of the grid", inML(g.UpTo), leastML, mostML, "mL"),
		); err != nil {
			yield(Point{}, err)
			return
		}
		last := Point{Reading: Reading{P: math.Inf(1)}} // nothing lies before the first
		// visit goes to ml by way of what Step asks for between it and the last point.
		var visit func(ml float64) bool
		visit = func(ml float64) bool {
			p, err := Point{}, ctx.Err()
			if err == nil {
				p, err = t.at(ml, g.Slopes, places)
			}
			if err == nil && g.Step > 0 && math.Abs(p.P-last.P) > g.Step && !math.IsInf(last.P, 0) && p.ML-last.ML > finestGap*inML(g.UpTo) {
				return visit((last.ML+ml)/2) && visit(ml)
			}
			last = p
			return yield(p, err) && err == nil
		}
		for _, ml := range floats.Span(make([]float64, g.Points), 0, inML(g.UpTo)) {
			if !visit(ml) {
				return
			}
		}
	}
}

// Curve computes and keeps the points of a grid.
func (t *Titration) Curve(ctx context.Context, g Grid) ([]Point, error) {
	var out []Point
	for p, err := range t.Points(ctx, g) {
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}
