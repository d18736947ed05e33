package titration

import (
	"context"
	"fmt"
	"iter"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// Grid says at which volumes a curve is computed.
type Grid struct {
	UpTo   unit.Volume // the last point; the first is at 0
	Points int         // evenly spaced, both ends included; 0 is 101
	// Step is the most that the probe may move between neighbours: where it moves
	// more, points are put between, down to a millionth of UpTo. 0 puts none.
	Step float64
	// Volumes are points to compute in their order, in the place of an even grid.
	Volumes []unit.Volume
	Slopes  bool // compute the derivatives too
}

// Fine is a grid that shows every feature of a curve: no two neighbours differ by
// more than 0.1 in pH or pM.
func Fine(upTo unit.Volume) Grid { return Grid{UpTo: upTo, Points: 101, Step: 0.1, Slopes: true} }

// volumes returns the points before refinement, in mL.
func (g Grid) volumes() ([]float64, error) {
	if !(g.Step >= 0) || math.IsInf(g.Step, 0) {
		return nil, &chem.InputError{Field: "step of the grid", Value: fmt.Sprint(g.Step), Want: "a finite number from 0"}
	}
	if g.Volumes != nil {
		out := make([]float64, len(g.Volumes))
		for i, v := range g.Volumes {
			if out[i] = float64(v) * 1e6; !(out[i] >= 0 && out[i] <= 1e9) {
				return nil, &chem.InputError{Field: "volume of the grid", Value: fmt.Sprintf("%g mL", out[i]), Want: "a finite volume from 0"}
			}
		}
		return out, nil
	}
	n := g.Points
	if n == 0 {
		n = 101
	}
	if n < 2 || n > 1e7 {
		return nil, &chem.InputError{Field: "points of the grid", Value: fmt.Sprint(n), Want: "2 to 10 000 000, or 0 for 101"}
	}
	last, err := millilitres("end of the grid", g.UpTo)
	if err != nil {
		return nil, err
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = last * float64(i) / float64(n-1)
	}
	return out, nil
}

// Points yields the points of a grid in the order of volume as they are computed.
// It ends at the first error, which it yields; that of a context that is done is
// the context's. The slices of a point hold until the next.
func (t *Titration) Points(ctx context.Context, g Grid) iter.Seq2[Point, error] {
	return func(yield func(Point, error) bool) {
		volumes, err := g.volumes()
		if err != nil {
			yield(Point{}, err)
			return
		}
		t.walk(ctx, g, volumes, yield)
	}
}

// walk visits the volumes, and between neighbours those that Step asks for.
func (t *Titration) walk(ctx context.Context, g Grid, volumes []float64, yield func(Point, error) bool) {
	const finest = 1e-6
	var last Point
	// visit goes to ml by way of what lies between it and the last point.
	var visit func(ml float64, depth int) bool
	visit = func(ml float64, depth int) bool {
		if err := ctx.Err(); err != nil {
			yield(Point{}, err)
			return false
		}
		p, err := t.at(ml, g.Slopes)
		if err != nil {
			yield(Point{}, err)
			return false
		}
		gap := math.Abs(p.ML - last.ML)
		if g.Step > 0 && depth >= 0 && math.Abs(p.P-last.P) > g.Step && gap > finest*max(p.ML, last.ML) && !math.IsInf(last.P, 0) && depth < 40 {
			return visit((last.ML+ml)/2, depth+1) && visit(ml, depth+1)
		}
		last = p
		return yield(p, nil)
	}
	for i, ml := range volumes {
		depth := 0
		if i == 0 {
			depth = -1 // nothing lies before it
		}
		if !visit(ml, depth) {
			return
		}
	}
}

// Curve is a titration that has been computed.
type Curve struct {
	Quantity   string   `json:"quantity"`   // pH, or p and the component that is followed
	Components []string `json:"components"` // names for PFree of the points
	Species    []string `json:"species"`    // names for Species of the points
	Solids     []string `json:"solids"`     // names for Solids of the points
	Points     []Point  `json:"points"`     // in the order of the grid
}

// Curve computes and keeps the points of a grid.
func (t *Titration) Curve(ctx context.Context, g Grid) (*Curve, error) {
	volumes, err := g.volumes()
	if err != nil {
		return nil, err
	}
	c := &Curve{
		Quantity: t.Quantity(), Components: texts(t.Components()), Species: texts(t.Species()), Solids: texts(t.Solids()),
		Points: make([]Point, 0, len(volumes)),
	}
	// one block of memory serves the slices of many points
	n, m, k := len(c.Components), len(c.Species), len(c.Solids)
	var block []float64
	keep := func(v []float64) []float64 {
		if len(block) < len(v) {
			block = make([]float64, max(1, min(len(volumes), 256))*(n+m+k))
		}
		out := block[:len(v):len(v)]
		copy(out, v)
		block = block[len(v):]
		return out
	}
	t.walk(ctx, g, volumes, func(p Point, e error) bool {
		if err = e; e != nil {
			return false
		}
		p.PFree, p.Species, p.Solids = keep(p.PFree), keep(p.Species), keep(p.Solids)
		c.Points = append(c.Points, p)
		return true
	})
	if err != nil {
		return nil, err
	}
	return c, nil
}

func texts[T fmt.Stringer](items []T) []string {
	out := make([]string, len(items))
	for i, x := range items {
		out[i] = x.String()
	}
	return out
}
