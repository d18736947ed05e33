package equilibrium

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// The comparison with a general-purpose minimiser needs golang.org/x/tools in
// go.sum, which gonum/optimize imports: hence the build tag.

func init() {
	extra = append(extra, func(t testing.TB, q *bath) []task {
		g := newGeneral(q)
		newton := func(start []float64) func() int {
			return func() int {
				res, err := optimize.Minimize(g.problem, start, &optimize.Settings{GradientThreshold: 1e-12, Converger: optimize.NeverTerminate{}, MajorIterations: 500}, &optimize.Newton{})
				if res == nil || g.off(res.X) > 1e-6 {
					t.Fatalf("the general-purpose Newton stopped short: %v", err)
				}
				return res.MajorIterations
			}
		}
		w, r := q.sys.NewWorkspace(), q.sys.NewResult()
		c := &Conditions{LnK: q.lnK, LnKs: q.off, Total: q.total}
		return []task{
			// the start that our cold solve makes for itself
			{"GeneralNewton/ours", newton(g.start)},
			// the totals, and pH 7
			{"GeneralNewton/plain", newton(g.plain)},
			{"SolveFrom/plain", func() int {
				copy(r.LnC, g.plain)
				if err := w.SolveFrom(c, r); err != nil {
					t.Fatal(err)
				}
				return r.Iterations
			}},
		}
	})
}

func BenchmarkGeneralNewton(b *testing.B) {
	for _, name := range []string{"GeneralNewton/ours", "GeneralNewton/plain", "SolveFrom/plain"} {
		b.Run(name, func(b *testing.B) { bench(b, name) })
	}
}

// general is φ, its gradient and Hessian for a general-purpose minimiser.
type general struct {
	problem optimize.Problem
	start   []float64 // our own
	plain   []float64 // the totals, and pH 7
	answer  []float64
}

func newGeneral(q *bath) *general {
	n := len(q.total)
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
	g := &general{start: make([]float64, n)}
	g.problem = optimize.Problem{
		Func: func(x []float64) float64 {
			eval(x)
			f := -dot(q.total, x)
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
	for i, t := range q.total {
		g.plain = append(g.plain, math.Log(t))
		if i == q.H {
			g.plain[i] = -7 * math.Ln10
		}
	}
	// where our own Newton starts
	w := q.sys.NewWorkspace()
	_ = w.pose(&Conditions{LnK: q.lnK, LnKs: q.off, Total: q.total})
	w.enterFrame()
	w.ready()
	w.opening()
	w.pass()
	w.land()
	copy(g.start, w.y)
	r := q.sys.NewResult()
	_ = w.Solve(&Conditions{LnK: q.lnK, LnKs: q.off, Total: q.total}, r)
	g.answer = r.LnC
	return g
}

// off is the largest error in ln c of a point against our own answer.
func (g *general) off(x []float64) float64 {
	var m float64
	for i, v := range g.answer {
		m = max(m, math.Abs(v-x[i]))
	}
	return m
}
