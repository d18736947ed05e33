package equilibrium

import (
	"fmt"
	"testing"
	"time"
)

func TestZZ(t *testing.T) {
	b := newBath(t)
	w := b.sys.NewWorkspace()
	r := b.sys.NewResult()
	c := &Conditions{LnK: b.lnK, LnKs: b.off, Total: append([]float64(nil), b.total...)}
	w.Solve(c, r)
	tm := func(name string, f func()) {
		best := time.Hour
		for range 50 {
			st := time.Now()
			for range 100 {
				f()
			}
			best = min(best, time.Since(st)/100)
		}
		fmt.Println(name, best)
	}
	copy(w.x0, w.x)
	for i := range w.d {
		w.d[i] = 1e-3 * float64(i%3-1)
	}
	tm("prepare", func() { w.prepare(c, nil, 0, r) })
	tm("move", func() { w.since = 0; w.move(1e-9, 0, true) })
	w.evaluate()
	tm("relax", func() { w.relax() })
	tm("sums", func() { w.sums() })
	tm("imbalance", func() { w.imbalance() })
	tm("jacobian", func() { w.jacobian() })
	tm("jac+factor", func() { w.jacobian(); w.lu.factor() })
	d := make([]float64, 10)
	tm("solve", func() { w.lu.solve(d) })
	tm("closes", func() { w.closes() })
	tm("wanted", func() { w.wanted() })
	tm("report", func() { w.report(c, nil, r) })
	fmt.Println(len(w.b.terms.groups), len(w.b.terms.from), len(w.b.terms.side))
}
