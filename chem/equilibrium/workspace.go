package equilibrium

// A Workspace holds everything a solve writes to, so that solving allocates
// nothing. It belongs to one goroutine at a time. It also remembers its last
// answer, for [Workspace.SolveFrom] and for the derivatives.
type Workspace struct {
	sys *System
	p   problem // with held and absent components folded away

	// frames[0] has the original components as anchors, frames[1] serves
	// wherever other species are wanted, [2:4] remember active
	// sets, the last is for trials.
	frames [5]frame
	f      *frame // the one in use
	victim int    // next of the rest to overwrite

	// the answer, and the way to it
	x           []float64 // ln c of the unknown original components
	y, y0, safe []float64 // ln c of the free anchors
	c           []float64 // species, mol/L
	m, want     []float64 // solids, mol/L
	active      []int32   // solids present
	iterations  int
	solved      bool
	quick       *frame    // whose fast path holds the present point, if any
	written     []float64 // ln c as last reported

	// Newton's method in general
	pos, neg []float64 // both sides of the balances
	lnRatio  []float64
	jac      []float64 // n×n
	perm     []int32
	wp, wn   []float64
	d, g     []float64
	rhs      []float64
	size     []float64
	crowd    float64 // L/mol: amounts above its inverse count as crowded

	// the loop on ionic strength
	lnK, lnKs, lnHeld []float64
	at                Conditions // what holds at the current ionic strength
	trial             Result
	medium            *Medium // of the last answer, nil if it had none
	heldActivity      bool
	ionic             float64

	der derivative

	link        []float64 // scratch for layouts
	tally, role []int32
	stamp       uint64
}

// NewWorkspace returns a workspace for s.
func (s *System) NewWorkspace() *Workspace {
	n, m, k := s.components, s.Species(), s.Solids()
	f := func(n int) []float64 { return make([]float64, n) }
	w := &Workspace{
		sys: s,
		x:   f(n), y: f(n), y0: f(n), safe: f(n), c: f(m), m: f(k), want: f(k), active: make([]int32, 0, k), written: f(n),
		pos: f(n), neg: f(n), lnRatio: f(n), jac: f(n * n), perm: make([]int32, n),
		wp: f(n), wn: f(n), d: f(n), g: f(n), rhs: f(n), size: f(n),
		lnK: f(m), lnKs: f(k), lnHeld: f(n),
		link: f(n * n), tally: make([]int32, n), role: make([]int32, n),
	}
	w.p.init(s)
	w.der.init(s)
	for i := range w.frames {
		w.frames[i].init(s)
	}
	w.f = &w.frames[0]
	return w
}
