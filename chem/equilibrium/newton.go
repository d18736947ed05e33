package equilibrium

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

const (
	tolerance = 1e-12  // relative mass balance guaranteed
	lastStep  = 3e-7   // a Newton step this short leaves its square as the error
	illPivot  = 1e-3   // pivots below this ask for other balances: three digits are lost
	singular  = 1e-13  // pivots below this are rounding
	bold      = 6      // first steps that may make F larger: on the bath a cold solve takes 8 steps with them and 11 without
	bounded   = 12.    // the length of those, ln units
	reach     = 150.   // ln units by which powers may change a species: none overflows, nor does a product of some
	scarce    = 1e-280 // mol/L: below it products lose digits to underflow
	vanishing = 1e-290 // mol/L: a balance between species all of which are scarcer says nothing that a float64 can hold
	kept      = 1e-13  // what a step with the factors of the last one may miss
	rough     = 0.1    // ln units: what misses its balances by less tells well enough which solid to begin with
	plainly   = 1.     // ln units beyond saturation, of a solid that comes in so early: judgement
	leap      = 2.     // of ln I in one step: its balance is far from linear
	loose     = 1e3    // ln units that the first steps may leave balances off by
	settled   = 0.3    // ln units: nearer than that what is abundant here is so in the answer, as a rule
	nearer    = 0.1    // times as far off as when the anchors were chosen: time to look again
	decided   = 0.01   // ln units: anchors chosen as near need no further look
	shorter   = 0.35   // times a step that did not serve
	tries     = 5      // down to a hundredth of a step
	decrease  = 0.1    // share of what a step promises that it has to bring (Armijo, Pacific J. Math. 16, 1966, 1)
	flat      = 1e-10  // ln units: below it rounding may hide a decrease
)

// newton solves the balances at w.x, which are off by theta, for the present active solids, and
// with w.medium for ln I, in at most budget steps, and reports whether it did.
func (w *Workspace) newton(theta float64, budget int) bool {
	chosen := math.Inf(1) // largest |F| when the anchors were last chosen
	again := w.hasty
	for steps := range budget {
		if w.unknowns() == 0 {
			return true
		}
		w.iterations++
		if !w.factored || w.lu.n != w.unknowns() {
			w.refactor()
		}
		if w.pivot < illPivot && theta < min(settled, nearer*chosen) {
			chosen, theta = theta, w.rebase()
			continue
		}
		if !(w.pivot > singular) {
			if again {
				return false
			}
			again, theta = true, w.rebase()
			continue
		}
		d := w.d[:w.unknowns()]
		for i, v := range w.f[:len(d)] {
			d[i] = -v
		}
		w.lu.solve(d)
		if w.near {
			w.near = false
			w.bend.foresee(w, d)
		}
		big, old := largest(d), theta
		if !(big <= math.MaxFloat64) {
			return false
		}
		alpha, bound := 1.0, old
		if w.wary && steps < bold && theta < far {
			alpha, bound = min(1, bounded/big), loose
		}
		if w.medium != nil {
			alpha = min(alpha, leap/math.Abs(d[w.p.n]))
		}
		if theta = w.search(alpha, bound); theta < 0 && !again {
			again, theta = true, w.rebase()
			continue
		}
		if theta < 0 || w.overfull() {
			return false
		}
		if w.hasty && theta < rough && w.oversaturated(plainly) >= 0 {
			return true
		}
		w.factored = w.factored && big*theta < kept
		done := theta <= tolerance && (big <= lastStep || big*theta <= kept*old) // the next is as much shorter as F is smaller
		if alpha < 1 || !done {
			continue
		}
		if w.pivot > illPivot || chosen < decided {
			return true
		}
		chosen, theta = 0, w.rebase()
	}
	return false
}

// rebase writes the balances in terms of what is most abundant, and returns how far off they are.
func (w *Workspace) rebase() float64 {
	w.enter(true)
	return w.imbalance()
}

// refactor factors the Jacobian of F at the present point.
func (w *Workspace) refactor() {
	w.jacobian()
	w.pivot = w.lu.factor()
	w.factored = true
}

// search moves along w.d, from alpha of it down, as far as makes F smaller, and returns the
// largest |F| there, or -1 where it was.
func (w *Workspace) search(alpha, old float64) float64 {
	copy(w.x0, w.x[:w.p.n])
	ionic := w.ionic
	for try := range tries {
		w.move(alpha, ionic, try == 0)
		if theta := w.imbalance(); theta <= (1-decrease*alpha)*old || theta < flat {
			return theta
		}
		alpha *= shorter
	}
	w.move(0, ionic, false)
	w.imbalance()
	return -1
}

// unknowns counts the components, and ln I if it is looked for.
func (w *Workspace) unknowns() int {
	if w.medium != nil {
		return w.p.n + 1
	}
	return w.p.n
}

// evaluate computes the species and both sides of the balances at w.x.
func (w *Workspace) evaluate() {
	p := &w.p
	for j := range p.species.len() {
		w.c[j] = w.law(j)
	}
	w.since, w.factored = 0, false
	w.b.terms.sum(w.c, w.side)
}

// law is the law of mass action, c_j = exp(ln K_j + Σ ν x). On the way no species counts as
// scarcer than 1e-304 mol/L, so that no side of a balance vanishes; totals are 1e-150 or more.
func (w *Workspace) law(j int) float64 {
	const floor = -700
	return math.Exp(max(floor, w.p.a[j]+w.p.species.dot(j, w.x)))
}

// move goes to w.x0 + alpha w.d. A short move from there, where the species are known,
// multiplies each by powers of what the components change by.
func (w *Workspace) move(alpha, ionic float64, fromHere bool) {
	p := &w.p
	n := p.n
	var far float64
	for i, d := range w.d[:n] {
		w.x[i] = w.x0[i] + alpha*d
		if d = math.Abs(w.x[i] - w.x0[i]); !(d <= far) {
			far = d
		}
	}
	if w.medium != nil {
		copy(w.a0, p.a)
		w.ionic = ionic * math.Exp(alpha*w.d[n])
		p.constants(w.medium, w.ionic)
	}
	const refresh = 200 // moves, whose rounding adds up to 1e-13 at worst
	if !fromHere || !(far*w.sys.largest < reach) || w.since > refresh {
		w.evaluate()
		return
	}
	w.since++
	for i, d := range w.d[:n] {
		r := exp(alpha * d) // finer than x can tell
		w.table[2*i], w.table[2*i+1] = r, 1/r
	}
	w.powers = fit(w.powers, len(p.powers))
	powers, table := w.powers, w.table
	powers[0] = 1
	for k, q := range p.powers[1:] {
		powers[k+1] = powers[q.of] * table[q.change]
	}
	list, power := w.c[:p.species.len()], p.power
	for j, c := range list {
		if c < scarce {
			list[j] = w.law(j)
		} else {
			list[j] = c * powers[power[j]]
		}
	}
	if w.medium != nil {
		for j, a := range w.a0[:len(list)] {
			if w.c[j] >= scarce {
				w.c[j] *= exp(p.a[j] - a)
			}
		}
	}
	w.b.terms.sum(w.c, w.side)
}

// exp is math.Exp, quicker where little changes: by series whose next term is below rounding.
func exp(v float64) float64 {
	switch a := math.Abs(v); {
	case a < 1e-5:
		return 1 + v*(1+0.5*v)
	case a < 0.02:
		return 1 + v*(1+v*(1./2+v*(1./6+v*(1./24+v*(1./120+v*(1./720))))))
	}
	return math.Exp(v)
}

// imbalance sets F and returns its largest magnitude. Where a solid leads, F is what is missing
// from its saturation; with a Medium the last is ln of the ionic strength found to that used.
func (w *Workspace) imbalance() float64 {
	for i, a := range w.b.anchor {
		r := 0.0
		if a >= solidBase {
			k := int(a - solidBase)
			r = w.p.solids.dot(k, w.x) - w.p.b[k]
		} else {
			p, n := w.sides(i)
			if r = ratio(p, n); p < vanishing && n < vanishing {
				r = 0
			}
		}
		w.f[i] = r
	}
	if w.medium != nil {
		ionic := w.own()
		w.wi = 1 / ionic
		w.f[w.p.n] = ratio(ionic, w.ionic)
	}
	if theta := largest(w.f[:w.unknowns()]); !math.IsNaN(theta) {
		return theta
	}
	return math.Inf(1)
}

// own returns the ionic strength of the species.
func (w *Workspace) own() float64 {
	return 0.5 * floats.Dot(w.c[:len(w.p.spec)], w.p.z2[:len(w.p.spec)])
}

// sides returns both sides of balance i, the total on the one that keeps it positive.
func (w *Workspace) sides(i int) (p, n float64) {
	p, n = w.side[2*i], w.side[2*i+1]
	t := w.b.t[i].hi
	if t > 0 {
		return p, n + t
	}
	return p - t, n
}

// ratio returns ln p/n = 2 artanh (p-n)/(p+n), where they are nearly equal by a series whose next
// term is below rounding; log1p would be as exact, and a solve a tenth slower.
func ratio(p, n float64) float64 {
	r := (p - n) / (p + n)
	if q := r * r; q < 1e-3 {
		return r * (2 + q*(2./3+q*(2./5+q*(2./7+q*(2./9)))))
	}
	return math.Log(p / n)
}

// jacobian assembles Σ_j (v_j∘w) c_j ν_jᵀ, w by the sign of v, and the rows of solids.
func (w *Workspace) jacobian() {
	p, t := &w.p, w.b.terms
	n := w.unknowns()
	w.lu.n, w.lu.apart = n, 0
	if w.b.native {
		w.lu.apart = p.apart
	}
	a := w.lu.a[:n*n]
	clear(a)
	for i := range p.n {
		up, down := w.sides(i)
		w.weight[2*i], w.weight[2*i+1] = 1/up, 1/down
	}
	c := w.c
	start := int32(0)
	for _, g := range t.groups {
		var s float64
		for _, u := range t.slopes[start:g.end] {
			s += u.factor * c[u.from]
		}
		start = g.end
		i, k := int(g.side>>1), int(g.column)
		a[i*n+k] += s * w.weight[g.side]
		if g.serves {
			a[k*n+i] += s * w.weight[2*k]
		}
	}
	for i, k := range w.b.solids {
		p.solids.axpy(1, k, a[i*n:i*n+n])
		if n > p.n {
			a[i*n+p.n] = -p.kappaS[k]
		}
	}
	if n == p.n {
		return
	}
	last, v := a[p.n*n:], w.v[:p.species.len()] // of ln I
	for j := range v {
		c, k := w.c[j], p.kappa[j]
		v[j] = c * k
		if u := 0.5 * w.wi * p.z2[j] * c; u != 0 {
			p.species.axpy(u, j, last)
			last[p.n] += u * k
		}
	}
	last[p.n]--
	t.sum(v, w.both)
	for i := range p.n {
		a[i*n+p.n] += w.leaning(i)
	}
}

// leaning returns by how much F of balance i moves with what stands on its sides in w.both.
func (w *Workspace) leaning(i int) (f float64) {
	for side := 2 * i; side < 2*i+2; side++ {
		if v := w.both[side]; v != 0 {
			f += v * w.signed(side)
		}
	}
	return f
}

// signed returns the weight of a side with its sign.
func (w *Workspace) signed(side int) float64 {
	if side%2 != 0 {
		return -w.weight[side]
	}
	return w.weight[side]
}
