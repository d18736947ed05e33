package equilibrium

import (
	"math"
	"testing"
)

var sink float64

// BenchmarkSpeciesPass is the yardstick: every species of the bath once, by
// one math.Exp each, at fixed x.
func BenchmarkSpeciesPass(b *testing.B) {
	q := newBath(b)
	w, r := q.sys.NewWorkspace(), q.sys.NewResult()
	if err := w.Solve(&Conditions{LnK: q.lnK, LnKs: q.off, Total: q.total}, r); err != nil {
		b.Fatal(err)
	}
	m := &q.sys.species
	b.ReportAllocs()
	for b.Loop() {
		for j := range m.len() {
			a := q.lnK[j]
			for e := m.start[j]; e < m.start[j+1]; e++ {
				a += m.coef[e] * r.LnC[m.index[e]]
			}
			r.C[j] = math.Exp(a)
		}
		sink += r.C[0]
	}
}

// BenchmarkExpOnly is the strictest reading of the yardstick: the
// exponentials alone, their arguments given.
func BenchmarkExpOnly(b *testing.B) {
	q := newBath(b)
	w, r := q.sys.NewWorkspace(), q.sys.NewResult()
	if err := w.Solve(&Conditions{LnK: q.lnK, LnKs: q.off, Total: q.total}, r); err != nil {
		b.Fatal(err)
	}
	arg := make([]float64, len(r.C))
	for j, v := range r.C {
		arg[j] = math.Log(v)
	}
	for b.Loop() {
		for j, v := range arg {
			r.C[j] = math.Exp(v)
		}
		sink += r.C[0]
	}
}

func BenchmarkSolveCold(b *testing.B) {
	q := newBath(b)
	w, r := q.sys.NewWorkspace(), q.sys.NewResult()
	c := Conditions{LnK: q.lnK, LnKs: q.off, Total: q.total}
	b.ReportAllocs()
	for b.Loop() {
		if err := w.Solve(&c, r); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(r.Iterations), "steps")
}

// BenchmarkSolveWarm walks a titration of 100 points to and fro; the figures
// are per point.
func BenchmarkSolveWarm(b *testing.B) {
	q := newBath(b)
	w, r := q.sys.NewWorkspace(), q.sys.NewResult()
	total := append([]float64(nil), q.total...)
	c := Conditions{LnK: q.lnK, LnKs: q.off, Total: total}
	if err := w.Solve(&c, r); err != nil {
		b.Fatal(err)
	}
	k, step, steps, points := 0, 1, 0, 0
	b.ReportAllocs()
	for b.Loop() {
		// acid from H = -0.10 (about pH 11.9) to H = 0.40 (about pH 2)
		total[q.H] = -0.10 + 0.50*float64(k)/99
		if k += step; k == 0 || k == 99 {
			step = -step
		}
		if err := w.SolveFrom(&c, r); err != nil {
			b.Fatal(err)
		}
		steps += r.Iterations
		points++
	}
	b.ReportMetric(float64(steps)/float64(points), "steps")
}

func BenchmarkSolveSolids(b *testing.B) {
	q := newBath(b)
	w, r := q.sys.NewWorkspace(), q.sys.NewResult()
	total := append([]float64(nil), q.total...)
	total[q.H] = -0.15
	c := Conditions{LnK: q.lnK, LnKs: q.lnKs, Total: total}
	b.ReportAllocs()
	for b.Loop() {
		if err := w.Solve(&c, r); err != nil {
			b.Fatal(err)
		}
	}
	if !(r.Solid[0] > 0) || r.Solid[1] > 0 {
		b.Fatal("want ferric hydroxide and no other solid")
	}
	b.ReportMetric(float64(r.Iterations), "steps")
}

func BenchmarkIonicStrength(b *testing.B) {
	q := newBath(b)
	c := Conditions{Total: append([]float64(nil), q.total...)}
	for k := range q.medium.LnKs0 {
		q.medium.LnKs0[k] = math.Inf(1)
	}
	run := func(name string, warm bool) {
		b.Run(name, func(b *testing.B) {
			w, r := q.sys.NewWorkspace(), q.sys.NewResult()
			if err := w.SolveMedium(&q.medium, &c, r); err != nil {
				b.Fatal(err)
			}
			steps, points := 0, 0
			k, step := 0, 1
			b.ReportAllocs()
			for b.Loop() {
				var err error
				if warm {
					c.Total[q.H] = -0.10 + 0.50*float64(k)/99
					if k += step; k == 0 || k == 99 {
						step = -step
					}
					err = w.SolveMediumFrom(&q.medium, &c, r)
				} else {
					err = w.SolveMedium(&q.medium, &c, r)
				}
				if err != nil {
					b.Fatal(err)
				}
				steps += r.Iterations
				points++
			}
			b.ReportMetric(float64(steps)/float64(points), "steps")
		})
	}
	run("cold", false)
	run("warm", true)
}
