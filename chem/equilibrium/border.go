package equilibrium

import "math"

// border makes ln I one more unknown of the fast path, with the balance
//
//	ln (Background + ½ Σ c z²) - ln I = 0,
//
// so that one Newton iteration finds concentrations and ionic strength
// together. To it a species looks as if it contained κ_j = ∂ ln K_j/∂ ln I of "I".
type border struct {
	on         bool
	m          *Medium
	ionic      float64
	dz2, deps  []float64 // by position: what multiplies ln10·D and -ln10·I in ln K over the anchors
	z2         []float64 // by position
	kappa      []float64 // by position
	col        []float64 // core: Σ ν c κ; [0] the positive part
	colN       float64   // pivotal: Σ |ν| c κ over ν < 0
	colE       []float64 // eliminated: Σ ν_e c κ
	row        []float64 // core: ½ Σ z² c ν
	rowE       []float64 // eliminated: ½ Σ z² c ν_e
	half, self float64   // ½ Σ z² c and ½ Σ z² c κ
	ratio      float64   // ln of both sides
	since      int       // times k was updated without exp
}

func (b *border) init(n, m int) {
	f := func(n int) []float64 { return make([]float64, n) }
	*b = border{dz2: f(m), deps: f(m), z2: f(m), kappa: f(m), col: f(n), colE: f(n), row: f(n), rowE: f(n)}
}

// withBorder prepares the frame in use for the medium. Held activities and the
// anchors that are solids move with I as well.
func (w *Workspace) withBorder(m *Medium, activity bool, ionic float64) {
	s, p, f := w.sys, &w.p, w.f
	b := &f.fast.border
	b.on, b.m, b.ionic = true, m, ionic
	n := f.slots
	for at, j := range f.lay.spec {
		r := p.spec[j]
		z, e := m.DZ2[r], m.DEps[r]
		if activity {
			for q := s.species.start[r]; q < s.species.start[r+1]; q++ {
				if i := s.species.index[q]; p.state[i] == held {
					z += s.species.coef[q] * m.CompZ2[i]
					e += s.species.coef[q] * m.CompEps[i]
				}
			}
		}
		for _, k := range f.set {
			v := f.v[int(j)*n+w.slotOf(k)]
			if v == 0 {
				continue
			}
			r := p.solid[k]
			z += v * m.DZ2S[r]
			e += v * m.DEpsS[r]
			if activity {
				for q := s.solids.start[r]; q < s.solids.start[r+1]; q++ {
					if i := s.solids.index[q]; p.state[i] == held {
						z -= v * s.solids.coef[q] * m.CompZ2[i]
						e -= v * s.solids.coef[q] * m.CompEps[i]
					}
				}
			}
		}
		b.dz2[at], b.deps[at], b.z2[at] = z, e, m.Z2[r]
	}
	w.slopes()
}

func (w *Workspace) slotOf(k int32) int {
	for i, a := range w.f.anchor[:w.f.slots] {
		if a == solidBase+k {
			return i
		}
	}
	return -1
}

// slopes sets κ at the present I.
func (w *Workspace) slopes() { w.shift(0, 0) }

// moveIonic multiplies I by exp(step) and the constants by what follows.
func (w *Workspace) moveIonic(step float64) {
	b := &w.f.fast.border
	old := b.ionic
	b.ionic *= math.Exp(step)
	w.shift(math.Ln10*(b.m.D(b.ionic)-b.m.D(old)), math.Ln10*(b.ionic-old))
	b.since++
}

// shift multiplies the constants by what a change of D by d/ln 10 and of I by
// e/ln 10 make of them, and sets κ at the present I.
func (w *Workspace) shift(d, e float64) {
	t := &w.f.fast
	b := &t.border
	slopeD, slopeE := math.Ln10*b.m.slope(b.ionic)*b.ionic, math.Ln10*b.ionic
	k := t.k[:len(w.f.lay.spec)]
	dz2, deps, kappa := b.dz2[:len(k)], b.deps[:len(k)], b.kappa[:len(k)]
	for at := range k {
		z, x := dz2[at], deps[at]
		kappa[at] = z*slopeD - x*slopeE
		v := z*d - x*e
		switch a := math.Abs(v); {
		case a < 1e-5:
			k[at] += k[at] * v * (1 + 0.5*v)
		case a < 0.02:
			k[at] *= 1 + v*(1+v*(1./2+v*(1./6+v*(1./24+v*(1./120+v*(1./720))))))
		default:
			k[at] *= math.Exp(v)
		}
	}
}

// sums adds up what the border needs after a pass.
func (w *Workspace) sums() {
	l, t := &w.f.lay, &w.f.fast
	b := &t.border
	nc := l.nc
	col, row := b.col[:nc], b.row[:nc]
	clear(col)
	clear(row)
	b.colN, b.half, b.self = 0, 0, 0
	size := len(l.spec)
	v, kappa, z2, h := t.v[:size], b.kappa[:size], b.z2[:size], l.h[:size]
	r := 0
	for i := -1; i < len(l.elim); i++ {
		end, m := int(l.free), 1.0
		if i >= 0 {
			end, m = int(l.last[i]), t.m[i]
		}
		var colE, rowE float64
		for ; r < end; r++ {
			n := &l.runs[r]
			var s, plus, minus, z, zh, zk float64
			at := int(n.start)
			for ; at < int(n.zero); at++ {
				c := v[at]
				k, q := c*kappa[at], c*z2[at]
				s += k
				minus -= k * h[at]
				z += q
				zh += q * h[at]
				zk += q * kappa[at]
			}
			for ; at < int(n.end); at++ {
				c := v[at]
				k, q := c*kappa[at], c*z2[at]
				s += k
				plus += k * h[at]
				z += q
				zh += q * h[at]
				zk += q * kappa[at]
			}
			g := n.times(m)
			s *= g
			z *= 0.5 * g
			col[0] += g * plus
			b.colN += g * minus
			row[0] += 0.5 * g * zh
			b.half += z
			b.self += 0.5 * g * zk
			colE += n.order * s
			rowE += n.order * z
			for e := n.fac; e < n.facEnd; e++ {
				a := l.fac[e].k
				col[a] += l.fac[e].b * s
				row[a] += l.fac[e].b * z
			}
		}
		if i >= 0 {
			b.colE[i], b.rowE[i] = colE, rowE
		}
	}
	b.ratio = math.Log((b.m.Background + b.half) / b.ionic)
}
