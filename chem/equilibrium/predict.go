package equilibrium

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// A bend is what the last solve from a neighbouring answer found beyond its first Newton step.
// On a curve, a titration for one, the next solve begins in nearly the same direction: what it
// finds beyond goes with the square of that step's length, but for a term with the cube that
// shows in how far off this was the last time. Adding it at once saves one step in three.
type bend struct {
	structure   uint64    // of the problem, 0 if nothing is known
	start       []float64 // ln c and ln I where the solve began
	first, rest []float64 // its first step, and what followed
	missed      []float64 // by how much that was more than the square told
	foreseen    bool      // if it told
}

// foresee adds to the first step d from an answer what is expected to follow it.
func (b *bend) foresee(w *Workspace, d []float64) {
	n := len(d)
	first := b.first[:n]
	square, along := floats.Dot(d, d), floats.Dot(d, first)
	s := along / floats.Dot(first, first)
	const ( // of what goes on nearly as it did: judgement
		longer  = 2.  // times as long a step
		aside   = 0.1 // of the square of its length, across the last direction
		surplus = 0.5 // times the step, foreseen
	)
	ahead := b.structure == w.p.structure && math.Abs(s) < longer && square-s*along < aside*square &&
		s*s*largest(b.rest[:n]) < surplus*largest(d)
	b.structure = 0
	copy(b.start, w.x[:w.p.n])
	b.start[w.p.n] = math.Log(w.ionic)
	copy(b.first, d)
	if b.foreseen = ahead; !ahead {
		return
	}
	for i := range d {
		told := s * s * b.rest[i]
		d[i] += told + s*s*s*b.missed[i]
		b.missed[i] = -told
	}
}

// learn takes note of what followed the first step.
func (b *bend) learn(w *Workspace) {
	n := w.p.n
	for i, x := range w.x[:n] {
		b.rest[i] = x - b.start[i] - b.first[i]
	}
	b.rest[n] = 0
	if w.medium != nil {
		b.rest[n] = math.Log(w.ionic) - b.start[n] - b.first[n]
	}
	if !b.foreseen {
		clear(b.missed)
	} else {
		floats.AddScaled(b.missed, 1, b.rest)
	}
	b.structure = w.p.structure
}
