package recipe_test

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// call is one thing to time.
type call struct {
	name string
	runs int // in one turn
	run  func() error
}

var sink float64

// calls are those of a vessel and of what is built on it, on the tool library's bath.
// The first is the yardstick.
func calls(t testing.TB) []call {
	std, r := demo.Tables(t), demo.Recipe(t)
	b, oxide := demo.Mix(t, r), demo.Oxide(t, "lepidocrocite")
	setup := reading.Setup{Water: r.Water, Volume: r.Volume, Temperature: r.Temperature, Amount: r.Amount, Acid: r.Acid, PH: 7}
	_, err := b.Equilibrate()
	require.NoError(t, err)
	return []call{
		pass(t, std),
		{"Equilibrate, unchanged", 20, func() error { _, err := b.Equilibrate(); return err }},
		{"clone and Equilibrate", 20, func() error {
			c := b.Clone()
			if err := c.AddPureWater(0.1 * measure.Litre); err != nil {
				return err
			}
			_, err := c.Equilibrate()
			return err
		}},
		{"Dose to a pH", 20, func() error { _, err := b.Dose(r.Acid, solution.PH(6)); return err }},
		{"Response", 20, func() error { _, _, err := b.Response(r.Acid); return err }},
		{"Uncertainty", 20, func() error { _, err := b.Uncertainty(solution.PH(0)); return err }},
		{"Capacities", 5, func() error { _, err := b.Capacities(oxide, 7); return err }},
		{"reading.New", 1, func() error { _, err := reading.New(std, setup); return err }},
		{"Recipe.Plan", 1, func() error { _, err := r.Plan(std); return err }},
		{"tables.With", 1, func() error { _, err := new(tables.Tables).With(tables.Data()); return err }},
	}
}

// pass is one of all species of the solver's benchmark, by one math.Exp each.
func pass(t testing.TB, std *tables.Tables) call {
	all := std.Components()
	var members, start, index []int
	for _, name := range []string{"H+", "Na+", "Ca2+", "Mg2+", "Fe2+", "Fe3+", "Zn2+", "edta4-", "cit3-", "CO3^2-"} {
		members = append(members, slices.IndexFunc(all, func(c tables.Component) bool { return c.ID == name }))
	}
	require.NotContains(t, members, -1)
	var lnK, coefficient []float64
	for _, f := range std.Formations(members, chem.Aqueous) {
		lnK, start = append(lnK, f.Constant.LogK*math.Ln10), append(start, len(index))
		for _, c := range f.Coefficients {
			index, coefficient = append(index, slices.Index(members, c.Component)), append(coefficient, c.N)
		}
	}
	start = append(start, len(index))
	x, out := slices.Repeat([]float64{-10}, len(members)), make([]float64, len(lnK))
	return call{"a pass", 2000, func() error {
		for j, a := range lnK {
			for e := start[j]; e < start[j+1]; e++ {
				a += coefficient[e] * x[index[e]]
			}
			out[j] = math.Exp(a)
		}
		sink += out[0]
		return nil
	}}
}

// BenchmarkCallRatios prints the calls in passes over all species, from one run in
// which they take turns and each counts by its fastest turn, so that other work on the
// machine cancels as far as it can.
func BenchmarkCallRatios(b *testing.B) {
	list := calls(b)
	best := make([]time.Duration, len(list))
	for b.Loop() {
		for i, c := range list {
			start := time.Now()
			for range c.runs {
				if err := c.run(); err != nil {
					b.Fatal(err)
				}
			}
			if d := time.Since(start) / time.Duration(c.runs); best[i] == 0 || d < best[i] {
				best[i] = d
			}
		}
	}
	var table strings.Builder
	fmt.Fprintf(&table, "\n%-24s %12s %9s %8s %8s\n", "", "time", "passes", "allocs", "kB")
	for i, c := range list {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		allocs := testing.AllocsPerRun(1, func() { _ = c.run() })
		runtime.ReadMemStats(&after)
		fmt.Fprintf(&table, "%-24s %12s %9.1f %8.0f %8.1f\n", c.name, best[i], float64(best[i])/float64(best[0]), allocs,
			float64(after.TotalAlloc-before.TotalAlloc)/2e3) // of two runs
	}
	fmt.Print(table.String()) // b.Log keeps ten lines only
}
