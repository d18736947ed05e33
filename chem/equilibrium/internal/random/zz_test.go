package random

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"example.com/chelation/chem/equilibrium"
)

func TestZZ(t *testing.T) {
	var sum [2]time.Duration
	var cnt, slow, fail, crowd [2]int
	for b := range 12 {
		rng := rand.New(rand.NewPCG(1, uint64(b)))
		for range 10 {
			p := Shape(rng)
			w := p.System.NewWorkspace()
			r := p.System.NewResult()
			var c equilibrium.Conditions
			for q := range 10 {
				if q%2 == 0 {
					p.FromAnswer(rng, &c)
				} else {
					p.FromConstants(rng, &c)
				}
				st := time.Now()
				err := w.Solve(&c, r)
				d := time.Since(st)
				sum[q%2] += d
				cnt[q%2]++
				if d > 20*time.Millisecond {
					slow[q%2]++
					fmt.Println("slow", q%2, d, p.System.Components(), p.System.Species(), p.System.Solids(), err)
				}
				if err != nil {
					if e, ok := err.(*equilibrium.ComponentError); ok && e.Err == equilibrium.ErrCrowded {
						crowd[q%2]++
						if q%2 == 0 && crowd[0] < 2 { fmt.Println(p.System.Components(), p.System.Species(), err);equilibrium.Debug = true; w.Solve(&c, r); equilibrium.Debug=false }
					} else {
						fail[q%2]++
						if fail[q%2] < 4 { equilibrium.Debug = true; w.Solve(&c, r); equilibrium.Debug=false }
						fmt.Println("fail", q%2, d, p.System.Components(), p.System.Species(), p.System.Solids(), err)
					}
				}
			}
		}
	}
	fmt.Println(sum, cnt, slow, fail, crowd)
}
