package equilibrium

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// general sets a general-purpose Newton's method, with the line search and the
// Cholesky factors of gonum/optimize, against ours on the same φ. Both start
// from the same plain point, the totals and pH 7 ("plain"); and theirs once
// more from the point that our cold solve makes for itself ("ours"), which is
// most of the way.
func general(t testing.TB, q *bath) []task {
	problem := freeEnergy(q)
	w, r := q.sys.NewWorkspace(), new(Result)
	c := &Conditions{LnK: q.lnK, LnKs: q.off, Total: q.total}
	ours := opening(t, q, c)
	plain := make([]float64, len(q.total))
	for i, v := range q.total {
		plain[i] = math.Log(v)
	}
	plain[q.H] = -7 * math.Ln10
	if err := w.Solve(c, r); err != nil {
		t.Fatal(err)
	}
	answer := append([]float64(nil), r.LnC...)
	newton := func(start []float64) func() int {
		settings := &optimize.Settings{GradientThreshold: 1e-12, Converger: optimize.NeverTerminate{}, MajorIterations: 500}
		return func() int {
			found, err := optimize.Minimize(problem, start, settings, &optimize.Newton{})
			if found == nil {
				t.Fatal(err)
			}
			for i, v := range answer {
				if math.Abs(found.X[i]-v) > 1e-6 {
					t.Fatalf("the general-purpose Newton stopped short: %v", err)
				}
			}
			return found.MajorIterations
		}
	}
	return []task{
		{"GeneralNewton/plain", newton(plain)},
		{"SolveFrom/plain", func() int {
			copy(r.LnC, plain)
			if err := w.SolveFrom(c, r); err != nil {
				t.Fatal(err)
			}
			return r.Iterations
		}},
		{"GeneralNewton/ours", newton(ours)},
	}
}

func BenchmarkGeneralNewton(b *testing.B) {
	for _, name := range []string{"GeneralNewton/plain", "SolveFrom/plain", "GeneralNewton/ours"} {
		b.Run(name, func(b *testing.B) { bench(b, name) })
	}
}

// opening returns the point at which our own Newton starts.
func opening(t testing.TB, q *bath, c *Conditions) []float64 {
	w := q.sys.NewWorkspace()
	if _, err := w.pose(c, 0); err != nil {
		t.Fatal(err)
	}
	w.enter(false)
	w.guess()
	x := make([]float64, len(q.total))
	for i, k := range w.p.comp {
		x[k] = w.x[i]
	}
	return x
}

// freeEnergy is φ with its gradient and Hessian.
func freeEnergy(q *bath) optimize.Problem {
	m := &q.sys.species
	c := make([]float64, m.len())
	eval := func(x []float64) {
		for j := range c {
			a := q.lnK[j]
			for e := m.start[j]; e < m.start[j+1]; e++ {
				a += m.coef[e] * x[m.index[e]]
			}
			c[j] = math.Exp(a)
		}
	}
	return optimize.Problem{
		Func: func(x []float64) float64 {
			eval(x)
			f := -floats.Dot(q.total, x)
			for _, v := range c {
				f += v
			}
			return f
		},
		Grad: func(grad, x []float64) {
			eval(x)
			for i, t := range q.total {
				grad[i] = -t
			}
			for j, v := range c {
				for e := m.start[j]; e < m.start[j+1]; e++ {
					grad[m.index[e]] += m.coef[e] * v
				}
			}
		},
		Hess: func(h *mat.SymDense, x []float64) {
			eval(x)
			h.Zero()
			for j, v := range c {
				for e := m.start[j]; e < m.start[j+1]; e++ {
					for f := m.start[j]; f <= e; f++ {
						a, b := int(m.index[f]), int(m.index[e])
						h.SetSym(a, b, h.At(a, b)+m.coef[e]*m.coef[f]*v)
					}
				}
			}
		},
	}
}
