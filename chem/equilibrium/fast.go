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

// pass forms all species from the core concentrations, solves the eliminated
// components and sums up the balances and their derivatives.
func (w *Workspace) pass() {
	l, t := &w.f.lay, &w.f.fast
	nc := l.nc
	u := t.u[:nc]
	// powers of the pivotal concentration
	q := u[0]
	zero := -l.low
	t.pow[zero&maxPower] = 1
	p := 1.0
	for i := zero + 1; i <= l.high-l.low; i++ {
		p *= q
		t.pow[i&maxPower] = p
	}
	if zero > 0 {
		inv := 1 / q
		p = 1
		for i := zero - 1; i >= 0; i-- {
			p *= inv
			t.pow[i&maxPower] = p
		}
	}
	pos, posQ, negQ, h := t.pos[:nc], t.posQ[:nc], t.negQ[:nc], t.h[:nc*nc]
	clear(pos)
	clear(posQ)
	clear(negQ)
	clear(h)
	runs, sums := l.runs, t.s[:len(l.runs)]
	k, v, pow, hh := t.k[:len(l.spec)], t.v[:len(l.spec)], l.pow[:len(l.spec)], l.h[:len(l.spec)]
	for r := range runs {
		n := &runs[r]
		var rest float64
		if n.single && n.b == 1 {
			rest = u[n.k]
		} else {
			rest = l.rest(n, u)
		}

		var s0, plus, minus, plus2, minus2 float64 // in registers, unlike a runSum
		at := int(n.start)
		for end := int(n.zero); at < end; at++ {
			c := k[at] * rest * t.pow[pow[at]&maxPower]
			v[at] = c
			s0 += c
			c *= hh[at]
			minus -= c
			minus2 += c * hh[at]
		}
		for end := int(n.end); at < end; at++ {
			c := k[at] * rest * t.pow[pow[at]&maxPower]
			v[at] = c
			s0 += c
			c *= hh[at]
			plus += c
			plus2 += c * hh[at]
		}
		s := &sums[r]
		s.s0, s.plus, s.minus, s.plus2, s.minus2 = s0, plus, minus, plus2, minus2
	}
	var sum1, sum2, neg, neg2 float64 // of the pivotal component
	for r := range int(l.free) {
		n, s := &runs[r], &sums[r]
		sum1 += s.plus
		neg += s.minus
		sum2 += s.plus2
		neg2 += s.minus2
		if n.single {
			a, b := int(n.k), n.b
			posQ[a] += b * s.plus
			negQ[a] += b * s.minus
			s0 := b * s.s0
			pos[a] += s0
			h[a*nc+a] += b * s0
			continue
		}
		for e := n.fac; e < n.facEnd; e++ {
			a := int(l.fac[e].k)
			b := l.fac[e].b
			pos[a] += b * s.s0
			posQ[a] += b * s.plus
			negQ[a] += b * s.minus
			b *= s.s0
			for g := n.fac; g <= e; g++ {
				h[a*nc+int(l.fac[g].k)] += b * l.fac[g].b
			}
		}
	}
	r := int(l.free)
	for i, end := range l.last {
		total := w.f.t[l.elim[i]]
		t.te[i] = total
		m := root(total, runs[r:end], sums[r:end])
		t.m[i] = m
		he := t.he[i*nc : i*nc+nc]
		clear(he)
		var heP, heN, hee, sum float64
		for ; r < int(end); r++ {
			n, s := &runs[r], &sums[r]
			g := m
			if n.order > 1 {
				g = n.times(m)
			}
			s0, plus, minus := g*s.s0, g*s.plus, g*s.minus
			sum += n.order * s0
			hee += n.order * n.order * s0
			heP += n.order * plus
			heN += n.order * minus
			sum1 += plus
			neg += minus
			sum2 += g * s.plus2
			neg2 += g * s.minus2
			if n.single {
				a, b := int(n.k), n.b
				posQ[a] += b * plus
				negQ[a] += b * minus
				s0 *= b
				pos[a] += s0
				he[a] += n.order * s0
				h[a*nc+a] += b * s0
				continue
			}
			for e := n.fac; e < n.facEnd; e++ {
				a := int(l.fac[e].k)
				b := l.fac[e].b
				posQ[a] += b * plus
				negQ[a] += b * minus
				b *= s0
				pos[a] += b
				he[a] += n.order * b
				for g := n.fac; g <= e; g++ {
					h[a*nc+int(l.fac[g].k)] += b * l.fac[g].b
				}
			}
		}
		he[0] = heP
		t.heN[i], t.hee[i], t.sum[i] = heN, hee, sum
	}
	pos[0], t.neg, posQ[0], negQ[0] = sum1, neg, sum2, neg2
	if t.border.on {
		w.sums()
	}
	t.valid = true
}

// root returns the concentration m of an eliminated component: Σ k s_k m^k = total,
// s_k being the sum of its species of coefficient k per unit. Without the terms
// beyond k = 2 the root is explicit, and too large if anything. From there
// Newton's method on the logarithms of both sides, which are convex in ln m,
// comes down to it.
func root(total float64, runs []run, sums []runSum) float64 {
	var s1, s2 float64
	high := false
	for r := range runs {
		switch s := sums[r].s0; runs[r].order {
		case 1:
			s1 += s
		case 2:
			s2 += 2 * s
		default:
			high = true
		}
	}
	var m float64
	switch q := 4 * s2 * total; {
	case q > 1e-17*s1*s1:
		m = 2 * total / (s1 + math.Sqrt(s1*s1+q))
	case s1 > 0:
		m = total / s1
	default:
		m = 1
	}
	for range 100 {
		if !high {
			break
		}
		var a, b float64 // Σ k s_k m^k and Σ k² s_k m^k, first of the higher terms
		for r := range runs {
			if k := runs[r].order; k > 2 {
				v := k * runs[r].times(m) * sums[r].s0
				a += v
				b += k * v
			}
		}
		if s1 > 0 && a <= 1e-17*total {
			break
		}
		a += s1*m + s2*m*m
		b += s1*m + 2*s2*m*m
		off := a/total - 1
		if math.Abs(off) < 1e-3 {
			m *= 1 - a/b*off*(1-0.5*off)
		} else {
			m *= math.Exp(-a / b * math.Log(a/total))
		}
		high = !(math.Abs(off) <= 1e-8)
	}
	return m
}

// times returns m to the power with which the eliminated component occurs.
func (n *run) times(m float64) float64 {
	g := m
	for range int(n.order) - 1 {
		g *= m
	}
	return g
}

// logs sets F of the core balances and returns its largest magnitude.
func (w *Workspace) logs() float64 {
	l, t := &w.f.lay, &w.f.fast
	var theta float64
	for i, c := range l.core {
		total := w.f.t[c]
		p, n := t.pos[i]+max(-total, 0), max(total, 0)
		if i == 0 {
			n += t.neg
		}
		r := (p - n) / n
		if math.Abs(r) < 1e-3 {
			r *= 1 - r*(0.5-r*(1./3-r*(0.25-r*(0.2-r/6))))
		} else {
			r = math.Log(p / n)
		}
		t.f[i] = r
		if r = math.Abs(r); !(r <= theta) {
			theta = r
		}
	}
	if t.border.on {
		if r := math.Abs(t.border.ratio); !(r <= theta) {
			theta = r
		}
	}
	return theta
}

// newton solves for the step of the core, t.d, and returns the smallest pivot
// relative to the diagonal before elimination, and the largest change.
func (w *Workspace) newton() (pivot, big float64) {
	l, t := &w.f.lay, &w.f.fast
	nc := l.nc
	n := nc // unknowns: the core, and ln I with a border
	if t.border.on {
		n++
	}
	j, d, diag := t.jac[:n*n], t.d[:n], t.diag[:n]
	tq := w.f.t[l.core[0]]
	wp, wn := 1/(t.pos[0]+max(-tq, 0)), 1/(t.neg+max(tq, 0))
	inv := w.wp[:nc]
	j[0] = wp*t.posQ[0] + wn*t.negQ[0]
	diag[0] = j[0]
	d[0] = -t.f[0]
	for a := 1; a < nc; a++ {
		j[a] = wp*t.posQ[a] - wn*t.negQ[a]
		inv[a] = 1 / t.pos[a]
		j[a*n] = (t.posQ[a] - t.negQ[a]) * inv[a]
		for b := 1; b <= a; b++ {
			v := t.h[a*nc+b]
			if b != a {
				v += t.h[b*nc+a]
			}
			j[a*n+b] = v * inv[a]
			j[b*n+a] = v * inv[b]
		}
		diag[a] = j[a*n+a]
		d[a] = -t.f[a]
	}
	b := &t.border
	var wi float64
	if b.on {
		wi = 1 / (b.m.Background + b.half)
		last := j[nc*n : nc*n+n]
		for a, v := range b.row[:nc] {
			last[a] = wi * v
		}
		j[nc] = wp*b.col[0] - wn*b.colN
		for a := 1; a < nc; a++ {
			j[a*n+nc] = inv[a] * b.col[a]
		}
		last[nc] = wi*b.self - 1
		diag[nc] = 1
		d[nc] = -b.ratio
	}
	for i := range l.elim {
		he := t.he[i*nc : i*nc+nc]
		g := 1 / t.hee[i]
		q := (he[0] - t.heN[i]) * g // -∂ ln m/∂ ln u of the pivotal component
		c := wp*he[0] - wn*t.heN[i]
		j[0] -= c * q
		for b := 1; b < nc; b++ {
			j[b] -= c * g * he[b]
		}
		if b.on {
			k := g * b.colE[i]
			j[nc] -= c * k
			for a := 1; a < nc; a++ {
				j[a*n+nc] -= he[a] * inv[a] * k
			}
			r := wi * b.rowE[i]
			last := j[nc*n : nc*n+n]
			last[0] -= r * q
			for a := 1; a < nc; a++ {
				last[a] -= r * g * he[a]
			}
			last[nc] -= r * k
		}
		for a := 1; a < nc; a++ {
			if he[a] == 0 {
				continue
			}
			c := he[a] * inv[a]
			row := j[a*n : a*n+nc]
			row[0] -= c * q
			c *= g
			for b := 1; b < nc; b++ {
				row[b] -= c * he[b]
			}
		}
	}
	// Gaussian elimination; the rows have diagonals near ν
	pivot = math.Inf(1)
	for k := range n {
		at, most := k, math.Abs(j[k*n+k])
		for i := k + 1; i < n; i++ {
			if v := math.Abs(j[i*n+k]); v > most {
				at, most = i, v
			}
		}
		rk := j[k*n : k*n+n]
		if at != k {
			ra := j[at*n : at*n+n]
			for e := k; e < n; e++ {
				rk[e], ra[e] = ra[e], rk[e]
			}
			d[k], d[at] = d[at], d[k]
			diag[k], diag[at] = diag[at], diag[k]
		}
		if most < pivot*diag[k] {
			pivot = most / diag[k]
		}
		if !(most > 1e-200) {
			return 0, math.Inf(1)
		}
		inv := 1 / rk[k]
		for i := k + 1; i < n; i++ {
			ri := j[i*n : i*n+n]
			f := ri[k] * inv
			if f == 0 {
				continue
			}
			for e := k + 1; e < n; e++ {
				ri[e] -= f * rk[e]
			}
			d[i] -= f * d[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		s := d[k]
		rk := j[k*n : k*n+n]
		for e := k + 1; e < n; e++ {
			s -= rk[e] * d[e]
		}
		d[k] = s / rk[k]
		if v := math.Abs(d[k]); !(v <= big) {
			big = v
		}
	}
	return pivot, big
}

// step moves the core by t.d.
func (w *Workspace) step(scale float64) {
	t := &w.f.fast
	for i, v := range t.d[:w.f.lay.nc] {
		v *= scale
		if math.Abs(v) < 1e-3 {
			t.u[i] *= 1 + v*(1+v*(0.5+v*(1./6+v*(1./24+v*(1./120)))))
		} else {
			t.u[i] *= math.Exp(v)
		}
	}
	if t.border.on {
		w.moveIonic(max(-2, min(2, scale*t.d[w.f.lay.nc])))
	}
	t.valid = false
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

// rest is the product of the powers that a run shares.
func (l *layout) rest(n *run, u []float64) float64 {
	p := 1.0
	for e := n.fac; e < n.facEnd; e++ {
		c := u[l.fac[e].k]
		for range l.fac[e].times {
			p *= c
		}
	}
	return p
}
