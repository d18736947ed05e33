package equilibrium

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

const prec = 320 // bits: 96 digits

func bf(v float64) *big.Float { return new(big.Float).SetPrec(prec).SetFloat64(v) }

// bigExp is e^x by halving the argument and Taylor's series.
func bigExp(x *big.Float) *big.Float {
	const halvings = 40
	r := bf(0).SetMantExp(x, -halvings)
	sum, term := bf(1), bf(1)
	for k := 1; k < 40; k++ {
		term.Mul(term, r)
		term.Quo(term, bf(float64(k)))
		sum.Add(sum, term)
	}
	for range halvings {
		sum.Mul(sum, sum)
	}
	return sum
}

// bigReference solves the balances, with the given solids at saturation, by
// Newton's method in 96-digit arithmetic from x, and returns the species. The
// problem is strictly convex, so what satisfies the equations to 80 digits is
// the answer, wherever the iteration began.
func bigReference(t testing.TB, species, solids [][]float64, lnK, lnKs, total, x0, m0 []float64) (c []*big.Float, amount []*big.Float) {
	n, k := len(total), len(solids)
	x := make([]*big.Float, n+k)
	for i := range n {
		x[i] = bf(x0[i])
	}
	for a := range k {
		x[n+a] = bf(m0[a])
	}
	c = make([]*big.Float, len(species))
	for range 60 {
		g := make([]*big.Float, n+k)
		size := make([]*big.Float, n+k)
		h := make([][]*big.Float, n+k)
		for i := range h {
			h[i] = make([]*big.Float, n+k)
			for e := range h[i] {
				h[i][e] = bf(0)
			}
			g[i], size[i] = bf(0), bf(1)
		}
		for i := range n {
			g[i].SetFloat64(-total[i])
			size[i].SetFloat64(math.Abs(total[i]))
		}
		for j, row := range species {
			a := bf(lnK[j])
			for i, v := range row {
				a.Add(a, bf(0).Mul(bf(v), x[i]))
			}
			c[j] = bigExp(a)
			for i, v := range row {
				if v == 0 {
					continue
				}
				d := bf(0).Mul(bf(v), c[j])
				g[i].Add(g[i], d)
				size[i].Add(size[i], bf(0).Abs(d))
				for e, u := range row {
					h[i][e].Add(h[i][e], bf(0).Mul(bf(u), d))
				}
			}
		}
		for a, row := range solids {
			g[n+a].SetFloat64(-lnKs[a])
			for i, v := range row {
				g[i].Add(g[i], bf(0).Mul(bf(v), x[n+a]))
				g[n+a].Add(g[n+a], bf(0).Mul(bf(v), x[i]))
				h[i][n+a].SetFloat64(v)
				h[n+a][i].SetFloat64(v)
			}
		}
		// Gauss-Jordan with full choice of pivots by row scale
		d := make([]*big.Float, n+k)
		for i := range d {
			d[i] = bf(0).Neg(g[i])
		}
		done := make([]bool, n+k)
		at := make([]int, n+k)
		for p := range n + k {
			best, row := bf(0), -1
			for i := range n + k {
				if v := bf(0).Abs(h[i][p]); !done[i] && v.Cmp(best) > 0 {
					best, row = v, i
				}
			}
			require.GreaterOrEqual(t, row, 0, "singular reference")
			done[row], at[p] = true, row
			for i := range n + k {
				if i == row || h[i][p].Sign() == 0 {
					continue
				}
				f := bf(0).Quo(h[i][p], h[row][p])
				for e := range n + k {
					h[i][e].Sub(h[i][e], bf(0).Mul(f, h[row][e]))
				}
				d[i].Sub(d[i], bf(0).Mul(f, d[row]))
			}
		}
		var big1 float64
		for p := range n + k {
			s := bf(0).Quo(d[at[p]], h[at[p]][p])
			x[p].Add(x[p], s)
			if p < n {
				v, _ := s.Float64()
				big1 = max(big1, math.Abs(v))
			}
		}
		if big1 < 1e-45 {
			return c, x[n:]
		}
	}
	t.Fatal("reference did not converge")
	return nil, nil
}

// TestBigReference compares ill-conditioned problems with 96-digit arithmetic: a
// chelant up to 30 log units strong, metal and chelant equal to all digits or
// differing in the last, traces down to 1e-20 mol/L.
func TestBigReference(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	worst, cases := 0.0, 0
	for k := range 80 {
		strong := 20 + 10*rng.Float64()
		if k%2 == 0 {
			strong = 30
		}
		// H, M (strongly bound), L, N (weakly bound competitor or trace)
		species := [][]float64{
			{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}, {-1, 0, 0, 0},
			{1, 0, 1, 0}, {2, 0, 1, 0}, {3, 0, 1, 0}, {0, 1, 1, 0}, {1, 1, 1, 0}, {-1, 1, 1, 0}, {-2, 2, 2, 0},
			{-1, 1, 0, 0}, {-2, 1, 0, 0}, {-4, 1, 0, 0}, {-2, 2, 0, 0}, {0, 0, 1, 1}, {-1, 0, 0, 1},
		}
		logK := []float64{0, 0, 0, 0, -13.8, 10.2, 16.4, 19.1, strong, strong + 1.3, strong - 7.4, 2*strong - 12, -2.6, -6.3, -22, -2.9, 9 + 8*rng.Float64(), -9}
		lnK := make([]float64, len(logK))
		for j, v := range logK {
			lnK[j] = v * math.Ln10
		}
		metal := math.Pow(10, -6*rng.Float64())
		total := []float64{0, metal, metal, 1e-20}
		switch k % 4 {
		case 1:
			total[2] = math.Nextafter(metal, 2)
		case 2:
			total[3] = metal * rng.Float64()
		case 3:
			total[2] = metal * (1 + 1e-9*rng.NormFloat64())
			total[3] = math.Pow(10, -20*rng.Float64())
		}
		total[0] = []float64{0, 2 * metal, -2 * metal, metal * (4*rng.Float64() - 2), 0.1, -0.1}[k%6]
		var solids [][]float64
		var lnKs []float64
		if k%5 == 4 { // with the hydroxide of M, if it forms
			solids = [][]float64{{-3, 1, 0, 0}}
			lnKs = []float64{(3 - 8*rng.Float64()) * math.Ln10}
		}
		s, err := New(4, species, solids)
		require.NoError(t, err)
		w, r := s.NewWorkspace(), new(Result)
		require.NoError(t, w.Solve(&Conditions{LnK: lnK, LnKs: lnKs, Total: total}, r))
		present := solids
		if len(solids) > 0 && r.Solid[0] == 0 {
			present = nil
		}
		c, amount := bigReference(t, species, present, lnK, lnKs, total, r.LnC, r.Solid)
		for j := range c {
			want, _ := c[j].Float64()
			if want < 1e-30 {
				continue
			}
			e := math.Abs(r.C[j]/want - 1)
			worst = max(worst, e)
			require.LessOrEqual(t, e, 1e-9, "case %d, species %d: %g, want %g; totals %v, log K %g", k, j, r.C[j], want, total, strong)
		}
		for a := range amount {
			want, _ := amount[a].Float64()
			require.InEpsilon(t, want, r.Solid[a], 1e-9, fmt.Sprint("case ", k))
		}
		cases++
	}
	t.Logf("%d cases, largest relative error of a species above 1e-30 mol/L: %.1e", cases, worst)
}
