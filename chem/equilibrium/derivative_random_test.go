package equilibrium_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"

	"example.com/chelation/chem/equilibrium"
)

// all strings the numbers of an answer, or of its derivative, together.
func all(lnC, c, solid []float64, ionic float64) []float64 {
	var out []float64
	for _, v := range [][]float64{lnC, c, solid, {ionic}} {
		out = append(out, v...)
	}
	return out
}

// drawMedium makes constants that move with ionic strength from those of c, at
// charges and interactions of chance.
func drawMedium(rng *rand.Rand, p *problem, c *equilibrium.Conditions) *equilibrium.Medium {
	draw := func(n int, f func() float64) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = f()
		}
		return out
	}
	n, s, k := len(p.Species[0]), len(p.Species), len(p.Solids)
	square := func() float64 { z := float64(rng.IntN(4)); return z * z }
	sign := func() float64 { return float64(rng.IntN(13) - 6) }
	small := func() float64 { return 0.1 * rng.NormFloat64() }
	return &equilibrium.Medium{
		A: 0.51, LnK0: append([]float64{}, c.LnK...), LnKs0: append([]float64{}, c.LnKs...),
		DZ2: draw(s, sign), DEps: draw(s, small), Z2: draw(s, square), DZ2S: draw(k, sign), DEpsS: draw(k, small), CompZ2: draw(n, square), CompEps: draw(n, small),
	}
}

// Of problems of all shapes, with several solids whose rows do not count to one,
// something held and an ionic strength or none, the derivative along everything at
// once is that of differences of the fourth order, and its transpose is its transpose.
func TestDerivativesOfRandomProblems(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	draw := drawer(rng)
	tried, withSolids, withMedium, numbers, bent := 0, 0, 0, 0, 0
	for q := range 600 {
		var c equilibrium.Conditions
		p := draw(q, &c)
		var m *equilibrium.Medium
		if q%2 == 0 && !p.linked {
			m = drawMedium(rng, p, &c)
			if q%4 != 0 { // a concentration is held
				clear(m.CompZ2)
				clear(m.CompEps)
			}
		}
		lnK, lnKs := c.LnK, c.LnKs
		if m != nil {
			lnK, lnKs = m.LnK0, m.LnKs0
		}
		s := p.System
		w, r := s.NewWorkspace(), new(equilibrium.Result)
		solve := func() ([]float64, error) {
			var err error
			if m != nil {
				c.Medium = m
				err = w.Solve(&c, r)
			} else {
				err = w.Solve(&c, r)
			}
			return all(r.LnC, r.C, r.Solid, r.Ionic), err
		}
		base, err := solve()
		if err != nil || r.Ionic > 10 || floats.Max(r.C) > 10 { // no water
			continue
		}
		present := append([]float64{}, r.Solid...)
		normal := func(n int, scale []float64) []float64 {
			out := make([]float64, n)
			for i := range out {
				if out[i] = rng.NormFloat64(); scale != nil {
					out[i] *= scale[i]
				}
			}
			return out
		}
		n, species, solids := len(p.Species[0]), len(p.Species), len(p.Solids)
		along := &equilibrium.Change{Total: normal(n, c.Total), LnK: normal(species, nil), LnKs: normal(solids, nil), LnHeld: normal(n, nil)}
		if p.linked {
			clear(along.Total) // to the last digit
		}
		var d equilibrium.Response
		require.NoError(t, w.Respond(along, &d))
		weight := &equilibrium.Response{LnC: normal(n, nil), C: normal(species, nil), Solid: normal(solids, nil), Ionic: rng.NormFloat64()}
		var g equilibrium.Change
		require.NoError(t, w.Gradient(weight, &g))
		got := all(d.LnC, d.C, d.Solid, d.Ionic)
		left := floats.Dot(all(weight.LnC, weight.C, weight.Solid, weight.Ionic), got)
		terms := []float64{floats.Dot(along.Total, g.Total), floats.Dot(along.LnK, g.LnK), floats.Dot(along.LnKs, g.LnKs), floats.Dot(along.LnHeld, g.LnHeld)}
		require.InDelta(t, left, floats.Sum(terms), 1e-7*(1+floats.Norm(terms, 1)+floats.Norm(got, 1)), "problem %d: transpose", q)

		same := true
		difference := func(h float64) []float64 {
			out := make([]float64, len(base))
			for _, x := range []struct{ n, weight float64 }{{-2, 1}, {-1, -8}, {1, 8}, {2, -1}} {
				was := append(append(append(append([]float64{}, c.Total...), lnK...), lnKs...), c.LnHeld...)
				floats.AddScaled(c.Total, x.n*h, along.Total)
				floats.AddScaled(lnK, x.n*h, along.LnK)
				floats.AddScaled(lnKs, x.n*h, along.LnKs)
				if c.Held != nil {
					floats.AddScaled(c.LnHeld, x.n*h, along.LnHeld)
				}
				y, err := solve()
				for _, v := range [][]float64{c.Total, lnK, lnKs, c.LnHeld} {
					was = was[copy(v, was):]
				}
				if err != nil {
					same = false
					return out
				}
				floats.AddScaled(out, x.weight/(12*h), y)
				for k, n := range r.Solid {
					same = same && (n > 0) == (present[k] > 0)
				}
			}
			return out
		}
		want, coarse := difference(5e-5), difference(2e-4)
		if !same { // a solid comes or goes, which has no derivative
			continue
		}
		tried++
		if floats.Max(append(present, 0)) > 0 {
			withSolids++
		}
		if m != nil {
			withMedium++
		}
		most := floats.Norm(c.Total, math.Inf(1))
		for i := range got {
			if math.IsInf(base[i], 0) {
				continue
			}
			scale := 1.0 // of a logarithm
			if i >= n {
				scale = math.Abs(base[i]) + 1e-4*most // amounts that others leave over
			}
			least := 1e-5 * (scale + math.Abs(want[i]))
			if numbers++; math.Abs(coarse[i]-want[i]) > least/10 {
				bent++ // too much so for differences: two things in amounts equal to many digits
				continue
			}
			require.InDelta(t, want[i], got[i], least, "problem %d, number %d of %d, %d and %d", q, i, n, species, solids)
		}
	}
	t.Logf("%d problems, %d with solids, %d with an ionic strength, %d numbers of %d bent", tried, withSolids, withMedium, bent, numbers)
	require.Less(t, bent, numbers/50)
	require.Greater(t, tried, 300)
	require.Greater(t, withSolids, 50)
	require.Greater(t, withMedium, 50)
}
