package equilibrium

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// balances are the mass balances in other components: anchors. Any n species (or solids
// present) with independent compositions will do. Each balance is a whole-number combination
// of the original ones in which one anchor occurs and the others do not. In terms of the most
// abundant species it can be met to full relative precision; one led by a solid tells how much
// of it there is, and saturation stands in its place.
type balances struct {
	n       int
	u       []float64 // n×n whole numbers: each balance from those of the components
	anchor  []int32   // species (≥ 0), component (own) or solid (solidBase+k)
	lead    []float64 // coefficient of the anchor in its balance, positive
	native  bool      // the original components
	touched []int32   // balances that are not those of a component
	chosen  bool      // the most abundant species
	rounded bool      // whole numbers became too large; from there on, fractions
	terms   *terms    // of these, one of
	home    terms     // the original components: these last
	away    terms
	built   uint64    // version of the problem that home belongs to
	t       []double  // totals
	q       []float64 // scratch: one species or solid over all balances
	set     []int32   // solids among the anchors
	version uint64    // of the problem they belong to
}

const (
	own       = -1      // the component whose balance it is
	solidBase = 1 << 24 // more than there are species
	exact     = 1 << 48 // whole numbers below it, and sums of 30 of them, are exact in a float64
)

// solids goes over the balances that solids lead.
func (b *balances) solids(yield func(balance, solid int) bool) {
	for i, a := range b.anchor {
		if a >= solidBase && !yield(i, int(a-solidBase)) {
			return
		}
	}
}

// reset goes back to the original components.
func (b *balances) reset(n int) {
	b.n, b.native, b.chosen, b.rounded = n, true, false, false
	b.u, b.anchor, b.lead, b.q, b.t = fit(b.u, n*n), fit(b.anchor, n), fit(b.lead, n), fit(b.q, n), fit(b.t, n)
	clear(b.u)
	for i := range n {
		b.u[i*n+i], b.anchor[i], b.lead[i] = 1, own, 1
	}
	b.set, b.touched = b.set[:0], b.touched[:0]
}

// over writes row r of m over the balances to b.q.
func (b *balances) over(m *rows, r int) []float64 {
	clear(b.q)
	m.axpy(1, r, b.q)
	for _, i := range b.touched {
		b.q[i] = m.dot(r, b.u[int(i)*b.n:int(i+1)*b.n])
		if b.rounded && math.Abs(b.q[i]) < whole*b.lead[i] {
			b.q[i] = 0 // coefficients are small fractions: what is this small is rounding
		}
	}
	return b.q
}

// take makes row r of m an anchor in place of a component, unless it is a combination of the
// anchors there are. Whole numbers stay smallest by the smallest coefficient, fractions
// sharpest by the largest.
func (b *balances) take(m *rows, r int, anchor int32) bool {
	at := -1
	q := b.over(m, r)
	for i, v := range q {
		if v != 0 && b.anchor[i] == own && (at < 0 || math.Abs(v) < math.Abs(q[at]) != b.rounded) {
			at = i
		}
	}
	if at >= 0 {
		b.exchange(at, anchor)
	}
	return at >= 0
}

// exchange makes the row in b.q the anchor of balance at: every other balance is multiplied
// up and rid of it. Should the numbers grow beyond what is exact, which takes some thirty
// components with many coefficients beyond 1, it goes on with fractions.
func (b *balances) exchange(at int, anchor int32) {
	n, q := b.n, b.q
	led := b.u[at*n : at*n+n]
	if q[at] < 0 {
		for k := range led {
			led[k] = -led[k]
		}
		q[at] = -q[at]
		b.touch(at)
	}
	top := largest(led)
	for i := range n {
		if i == at || q[i] == 0 {
			continue
		}
		row := b.u[i*n : i*n+n]
		g := 1.0
		if !b.rounded {
			g = gcd(q[at], q[i])
			b.rounded = q[at]/g*largest(row)+math.Abs(q[i])/g*top > exact
		}
		if b.touch(i); b.rounded {
			floats.AddScaled(row, -q[i]/q[at], led)
			continue
		}
		p, f := q[at]/g, q[i]/g
		for k, v := range led {
			row[k] = p*row[k] - f*v
		}
		b.lead[i] = p * b.lead[i] / reduce(row)
	}
	b.anchor[at], b.lead[at], b.native = anchor, q[at], false
}

func (b *balances) touch(i int) {
	if !slices.Contains(b.touched, int32(i)) {
		b.touched = append(b.touched, int32(i))
	}
}

// reduce divides a row by what its whole numbers have in common, and returns that.
func reduce(row []float64) float64 {
	common := 0.0
	for _, v := range row {
		if common = gcd(common, v); common == 1 {
			return 1
		}
	}
	for k := range row {
		row[k] /= common
	}
	return common
}

// largest returns the largest magnitude, NaN if there is one.
func largest(v []float64) float64 {
	var top float64
	for _, x := range v {
		if x = math.Abs(x); !(x <= top) { // quicker than max
			if top = x; x != x {
				break
			}
		}
	}
	return top
}

// gcd returns the greatest common divisor of two whole numbers, of 0 and x the size of x.
func gcd(a, b float64) float64 {
	x, y := int64(math.Abs(a)), int64(math.Abs(b))
	for y != 0 {
		x, y = y, x%y
	}
	return float64(x)
}

// total returns what balance i makes of parts of the totals, exact where they cancel.
func (b *balances) total(i int, parts ...[]float64) double {
	var d double
	for _, t := range parts {
		for k, v := range b.u[i*b.n : i*b.n+b.n] {
			if v != 0 {
				d = d.fma(v, t[k])
			}
		}
	}
	return d
}

// enter makes the solids present the anchors, and the components or the most abundant species.
func (w *Workspace) enter(abundant bool) {
	p, b := &w.p, &w.b
	if !abundant && !b.chosen && b.version == p.structure && slices.Equal(b.set, w.active) {
		return
	}
	b.reset(p.n)
	for _, k := range w.active {
		if b.take(&p.solids, int(k), solidBase+k) {
			b.set = append(b.set, k)
		}
	}
	if abundant {
		w.order = w.order[:0]
		for j := range p.species.len() {
			w.order = append(w.order, int32(j))
		}
		slices.SortFunc(w.order, func(x, y int32) int { return cmp.Or(cmp.Compare(w.c[y], w.c[x]), int(x-y)) })
		for _, j := range w.order {
			if !slices.Contains(b.anchor, own) {
				break
			}
			b.take(&p.species, int(j), j)
		}
		b.chosen = true
	}
	b.version, w.factored = p.structure, false
	if b.terms = &b.home; !b.native {
		b.terms = &b.away
	}
	if !b.native || b.built != p.structure {
		b.terms.write(b, &p.species)
	}
	if b.native {
		b.built = p.structure
	}
	w.retotal()
	b.terms.sum(w.c, w.side)
}

// twoSum returns a+b and its rounding error (Knuth).
func twoSum(a, b float64) (s, e float64) {
	s = a + b
	t := s - a
	return s, (a - (s - t)) + (b - t)
}

// double is an unevaluated sum hi+lo of about 32 decimal digits.
type double struct{ hi, lo float64 }

// fma returns d + a·b to double precision of the type.
func (d double) fma(a, b float64) double {
	p := a * b
	e := math.FMA(a, b, -p)
	s, r := twoSum(d.hi, p)
	d.hi, d.lo = twoSum(s, r+d.lo+e)
	return d
}
