package equilibrium

// A Workspace holds everything a solve writes to, and its last answer, for
// [Workspace.SolveFrom] and the derivatives. It belongs to one goroutine at a time.
type Workspace struct {
	sys   *System
	stamp uint64   // of the last structure
	p     problem  // with held and absent components folded away
	b     balances // and in whichever components serve best

	// the answer, and the way to it
	x          []float64 // ln c of the unknown components
	c          []float64 // living species, mol/L
	m, want    []float64 // living solids, mol/L
	active     []int32   // solids present
	ionic      float64   // mol/L
	medium     *Medium   // if ionic strength is one of the unknowns
	since      int       // moves since the species were last computed from x
	iterations int
	residual   float64
	solved     bool
	written    []float64 // ln c as last reported

	// Newton's method
	side      []float64 // both sides of the balances, see terms
	both      []float64 // scratch: the same of something else
	weight    []float64 // of either side in the Jacobian
	f, d      []float64 // F and the step
	wi        float64
	lu        lu
	factored  bool // the factors are those of the present point or next to it
	pivot     float64
	wary      bool
	hasty     bool // what is oversaturated may come in before all balances are met
	full      bool // some species of the answer is crowded
	near      bool // the first step is one from a neighbouring answer
	bend      bend
	x0, a0    []float64 // where a step began
	safe      []float64
	table     []float64 // what a step multiplies and divides by, of each unknown
	powers    []float64 // of these, by which it multiplies species
	sum, size []float64
	order     []int32   // species by falling abundance
	room      []float64 // what seed leaves to species
	left      []float64 // totals of balances beyond that
	price, v  []float64

	der derivative
}

// NewWorkspace returns a workspace for s.
func (s *System) NewWorkspace() *Workspace {
	n, m, k := s.components, s.species.len(), s.solids.len()
	f := func(n int) []float64 { return make([]float64, n) }
	w := &Workspace{
		sys: s,
		x:   f(n), c: f(m), m: f(k), want: f(k), active: make([]int32, 0, k+1), written: f(n),
		side: f(2 * n), both: f(2 * n), weight: f(2 * n), f: f(n + 1), d: f(n + 1),
		lu:   lu{a: f((n + 1) * (n + 1)), perm: make([]int32, n+1), inv: f(n + 1)},
		bend: bend{start: f(n + 1), first: f(n + 1), rest: f(n + 1), missed: f(n + 1)},
		x0:   f(n), a0: f(m), safe: f(n), table: f(2 * n),
		sum: f(n), size: f(n), order: make([]int32, 0, m), room: f(n), left: f(n), price: f(n), v: f(m),
		der: derivative{da: f(m), db: f(k), dc: f(m), held: f(n), y: f(n + 1)},
	}
	w.p.init(s)
	return w
}

// Forget lets a workspace answer as a new one would, to the last digit.
func (w *Workspace) Forget() {
	w.solved, w.medium, w.factored, w.wary, w.near = false, nil, false, false, false
	w.b.version, w.bend.structure = 0, 0 // of no structure
}
