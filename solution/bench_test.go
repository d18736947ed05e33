package solution

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// call is one thing to time.
type call struct {
	name string
	run  func() error
}

var sink float64

// calls are the vessel's calls on the tool library's bath, the yardstick first: one
// pass over all species of the solver's benchmark, by one math.Exp each.
func calls(t testing.TB) []call {
	s, acid := tub(t), reagent(t, "citric acid, anhydrous")
	_, err := s.Equilibrate()
	require.NoError(t, err)
	var components []int
	for _, name := range []string{"H+", "Na+", "Ca2+", "Mg2+", "Fe2+", "Fe3+", "Zn2+", "edta4-", "cit3-", "CO3^2-"} {
		i, err := s.component(name)
		require.NoError(t, err)
		components = append(components, i)
	}
	var lnK []float64
	var start, index []int
	var coefficient []float64
	for _, f := range standard(t).Formations(components, 0) {
		lnK, start = append(lnK, f.Constant.LogK*math.Ln10), append(start, len(index))
		for _, c := range f.Coefficients {
			index = append(index, slices.Index(components, c.Component))
			coefficient = append(coefficient, c.N)
		}
	}
	start = append(start, len(index))
	x, out := make([]float64, len(components)), make([]float64, len(lnK))
	for i := range x {
		x[i] = -10
	}
	return []call{
		{"a pass", func() error {
			for j, a := range lnK {
				for e := start[j]; e < start[j+1]; e++ {
					a += coefficient[e] * x[index[e]]
				}
				out[j] = math.Exp(a)
			}
			sink += out[0]
			return nil
		}},
		{"Equilibrate, unchanged", func() error { _, err := s.Equilibrate(); return err }},
		{"clone and Equilibrate", func() error {
			c := s.Clone()
			if err := c.AddPureWater(0.1 * litre); err != nil {
				return err
			}
			_, err := c.Equilibrate()
			return err
		}},
		{"Dose to a pH", func() error { _, err := s.Dose(acid, PH(7)); return err }},
		{"Response", func() error { _, _, err := s.Response(acid); return err }},
		{"Uncertainty", func() error { _, err := s.Uncertainty(PH(0)); return err }},
		{"a new vessel", func() error {
			_, err := tub(t).Equilibrate()
			return err
		}},
	}
}

// BenchmarkVesselRatios prints the calls in passes over all species, from one run
// in which they take turns and each counts by its fastest turn, so that other
// work on the machine cancels as far as it can.
func BenchmarkVesselRatios(b *testing.B) {
	list := calls(b)
	best := make([]time.Duration, len(list))
	for b.Loop() {
		for i, c := range list {
			n := 20
			if i == 0 {
				n = 2000
			}
			start := time.Now()
			for range n {
				if err := c.run(); err != nil {
					b.Fatal(err)
				}
			}
			if d := time.Since(start) / time.Duration(n); best[i] == 0 || d < best[i] {
				best[i] = d
			}
		}
	}
	var table strings.Builder
	fmt.Fprintf(&table, "\n%-24s %12s %9s %8s\n", "", "time", "passes", "allocs")
	for i, c := range list {
		allocs := testing.AllocsPerRun(5, func() { _ = c.run() })
		fmt.Fprintf(&table, "%-24s %12s %9.1f %8.0f\n", c.name, best[i], float64(best[i])/float64(best[0]), allocs)
	}
	fmt.Print(table.String()) // b.Log keeps ten lines only
}
