package equilibrium

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

// times returns m to the power with which the eliminated component occurs.
func (n *run) times(m float64) float64 {
	g := m
	for range int(n.order) - 1 {
		g *= m
	}
	return g
}
