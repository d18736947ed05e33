package equilibrium

import "math"

// fast is the state of the fast path: constants in the order of the layout
// and the sums that one pass over the species leaves behind.
type fast struct {
	k   []float64 // exp(ln K) by position
	v   []float64 // species by position, per unit of the eliminated component
	u   []float64 // core concentrations
	m   []float64 // eliminated concentrations
	pow [maxPower + 1]float64

	s      []runSum  // per run
	te     []float64 // totals of the eliminated components when the sums were made
	pos    []float64 // core: Σ ν c over ν > 0
	neg    float64   // pivotal: Σ |ν| c over ν < 0
	posQ   []float64 // pivotal row of ν c νᵀ, positive part; [0] is the diagonal
	negQ   []float64 // negative part, as absolute values; [0] likewise
	h      []float64 // nc×nc, ν c νᵀ among the non-pivotal core components, lower triangle
	he     []float64 // per eliminated: nc entries, ν_e c ν; [0] positive part of the pivotal one
	heN    []float64 // per eliminated: negative part of the pivotal entry
	hee    []float64
	jac    []float64
	f, d   []float64
	diag   []float64
	border border
	predictor
	known bool      // k is up to date
	valid bool      // the sums belong to u and k
	sum   []float64 // per eliminated: Σ ν c
}

type runSum struct{ s0, plus, minus, plus2, minus2 float64 }

func (t *fast) init(n, m int) {
	f := func(n int) []float64 { return make([]float64, n) }
	*t = fast{
		k: f(m), v: f(m), u: f(n), m: f(n), s: make([]runSum, m), te: f(n),
		pos: f(n), posQ: f(n), negQ: f(n), h: f(n * n), he: f(n * n), heN: f(n), hee: f(n), sum: f(n),
		jac: f((n + 1) * (n + 1)), f: f(n), d: f(n + 1), diag: f(n + 1),
	}
	t.border.init(n, m)
	t.predictor.init(n + 1)
}

// opening sets the core from nothing: pH 7 and each ligand as its total
// over what its own species make of one free unit.
func (w *Workspace) opening() {
	l, t := &w.f.lay, &w.f.fast
	for i := range t.u[:l.nc] {
		t.u[i] = 1
	}
	t.u[0] = 1e-7
	w.pass()
	for i := 1; i < l.nc; i++ {
		total := w.f.t[l.core[i]]
		alone := 0.0
		for r := range int(l.free) {
			n := &l.runs[r]
			if n.facEnd-n.fac == 1 && int(l.fac[n.fac].k) == i && l.fac[n.fac].times == 1 {
				alone += t.s[r].s0
			}
		}
		if alone > 0 {
			t.u[i] = total / alone
		} else {
			t.u[i] = total
		}
	}
	t.valid = false
}

// exponentials fills in exp(ln K).
func (w *Workspace) exponentials() {
	l, t := &w.f.lay, &w.f.fast
	for i, j := range l.spec {
		t.k[i] = math.Exp(w.f.a[j])
	}
	t.known, t.valid, t.border.since = true, false, 0
}

const (
	lost   = iota // no idea
	near          // close, but the frame is too ill-conditioned for the rest
	solved        //
)

// ready prepares the fast path for the present totals and constants, if it
// applies.
func (w *Workspace) ready() bool {
	l, t := &w.f.lay, &w.f.fast
	if !l.ok {
		return false
	}
	for _, i := range l.core[1:] {
		if !(w.f.t[i] > 0) {
			return false
		}
	}
	for _, i := range l.elim {
		if !(w.f.t[i] > 0) {
			return false
		}
	}
	if !t.known {
		w.exponentials()
	}
	if t.valid {
		for i, c := range l.elim {
			if w.f.t[c] != t.te[i] {
				t.valid = false
			}
		}
	}
	return true
}

// hurry solves on the fast path from t.u. With predict set, and where the sums
// of the last answer still stand, as on the next point of a titration, the
// first step costs no pass, and the predictor corrects it.
func (w *Workspace) hurry(predict bool) int {
	l, t := &w.f.lay, &w.f.fast
	n := l.nc
	if t.border.on {
		n++
	}
	if !t.valid {
		w.pass()
		predict = false
	}
	theta := w.logs()
	for step := range 16 {
		if !(theta < 1e3) || step > 5 && theta > 3 || step > 9 && theta > 0.1 {
			return lost
		}
		w.iterations++
		pivot, big := w.newton()
		if !(pivot > 1e-5) {
			if theta < 1e-3 {
				return near
			}
			if !(pivot > 1e-12) {
				return lost
			}
		}
		scale := 1.0
		if big > 12 {
			scale = 12 / big
		}
		if d := t.d[:n]; predict && step == 0 {
			t.predictor.open(d)
		} else {
			t.predictor.follow(d, scale)
		}
		w.step(scale)
		w.pass()
		old := theta
		theta = w.logs()
		// a step from here would be as much shorter as F is smaller
		if theta <= tolerance && (big < lastStep || big*theta <= 2e-14*old) {
			t.predictor.close(predict)
			w.quick = w.f
			return solved
		}
	}
	return lost
}

// land writes the point of the fast path to w.y and w.c.
func (w *Workspace) land() {
	l, t := &w.f.lay, &w.f.fast
	for i, c := range l.core {
		w.y[c] = math.Log(t.u[i])
	}
	for i, c := range l.elim {
		w.y[c] = math.Log(t.m[i])
	}
	at := int32(0)
	if l.free > 0 {
		for end := l.runs[l.free-1].end; at < end; at++ {
			w.c[l.spec[at]] = t.v[at]
		}
	}
	r := int(l.free)
	for i, end := range l.last {
		for ; r < int(end); r++ {
			m := t.m[i]
			if l.runs[r].order > 1 {
				m = l.runs[r].times(m)
			}
			for ; at < l.runs[r].end; at++ {
				w.c[l.spec[at]] = m * t.v[at]
			}
		}
	}
}

// take sets the core from w.y.
func (w *Workspace) take() {
	l, t := &w.f.lay, &w.f.fast
	for i, c := range l.core {
		t.u[i] = math.Exp(w.y[c])
	}
	t.valid = false
}

// sumsTo writes the sums of the last pass: Σ ν c and Σ |ν| c per component.
func (w *Workspace) sumsTo(sum, size []float64) {
	l, t := &w.f.lay, &w.f.fast
	for i, c := range l.core {
		sum[c], size[c] = t.pos[i], t.pos[i]
	}
	sum[l.core[0]] -= t.neg
	size[l.core[0]] += t.neg
	for i, c := range l.elim {
		sum[c], size[c] = t.sum[i], t.sum[i]
	}
}
