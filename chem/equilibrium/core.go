package equilibrium

import "math"

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
