package compiled_test

import (
	"runtime"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// Whatever reactions take and in whatever order they stand, the one that is told to take
// too much is, by a search of its own through all of them, that with the largest share in
// the component that is short, and going back by what is told ends the shortage where
// it is the only one.
func TestShortInAnyOrder(t *testing.T) {
	r, moles := vessel(t, 0, rusty)
	iron, edta := component(t, r, "Fe3+"), component(t, r, "edta4-")
	exact := 0
	for _, takes := range [][]float64{{1, 2, 3}, {1, 3, 2}, {2, 1, 3}, {2, 3, 1}, {3, 1, 2}, {3, 2, 1}, {0, 0, 1}, {0, 1, 0}, {1, 0, 0}, {2, 2, 1}} {
		changes := make([][]float64, len(takes))
		extents := make([]float64, len(takes))
		for i, n := range takes {
			changes[i] = make([]float64, len(moles))
			changes[i][iron], changes[i][edta], changes[i][r.Proton] = -n, 1, -5
			extents[i] = 0.02
		}
		most := slices.Index(takes, slices.Max(takes))
		extents[most] += 0.05
		f := compiled.NewFlow(r, moles, 1, changes)
		f.Go(extents)
		reaction, much := f.Short()
		require.Equal(t, most, reaction, "%v", takes)
		extents[reaction] -= much
		f.Go(extents)
		assert.InDelta(t, 0, f.Moles[iron], 1e-12, "%v", takes)
		copy(extents, make([]float64, len(takes)))
		extents[most] = 0.05 / takes[most]
		if f.Go(extents); f.Moles[iron] == 0 {
			reaction, _ = f.Short()
			assert.Equal(t, -1, reaction, "what is used up to the last is not short")
			exact++
		}
		f.Go(make([]float64, len(takes)))
		reaction, much = f.Short()
		assert.Equal(t, -1, reaction, "H+ may be fewer than none")
		assert.Zero(t, much)
	}
	assert.Positive(t, exact)
}

// What was compiled is kept while a handful of others come and go, of problems in a
// setting and of settings at their temperatures.
func TestKeptWhileOthersCome(t *testing.T) {
	stock := compiled.StockOf(demo.Tables(t))
	setting := stock.At(chem.Celsius(41.5))
	var problems []*compiled.Problem
	var settings []*compiled.Setting
	for round := range 3 {
		for i := range 5 {
			p, err := setting.Problem([]int{stock.Proton, stock.Proton + 1 + i})
			require.NoError(t, err)
			s := stock.At(chem.Celsius(42 + float64(i)))
			if round == 0 {
				problems, settings = append(problems, p), append(settings, s)
			}
			assert.Same(t, problems[i], p)
			assert.Same(t, settings[i], s)
			assert.Len(t, slices.Compact(slices.Clone(p.Members)), 2)
		}
	}
}

// From an answer of its own a solve has nothing to look for: a step, or two after a
// hundredth, where one from nothing takes several.
func TestFromAnAnswer(t *testing.T) {
	r, moles := vessel(t, 0, rusty)
	r.Fill(moles, 1)
	require.NoError(t, r.Solve())
	cold, kept := r.Result.Iterations, r.Answer()
	r.Return()
	require.Greater(t, cold, 4)
	for litres, most := range map[float64]int{1: 1, 1.01: 4} {
		again := r.Problem.Borrow()
		again.From(kept)
		again.Fill(moles, litres)
		require.NoError(t, again.Solve())
		assert.LessOrEqual(t, again.Result.Iterations, most, "%g L", litres)
		again.Return()
	}
}

// A salt of which there is more than the largest ionic strength that means anything, and
// one beyond what water holds, are refused each by its own name.
func TestMoreThanWaterHolds(t *testing.T) {
	for _, n := range []float64{30, 300, 990, 1500, 5000} {
		r, moles := vessel(t, 0, map[string]float64{"Na+": n, "Cl-": n})
		r.Fill(moles, 1)
		err := r.Solve()
		if n < 1000 {
			require.NoError(t, err)
			assert.InDelta(t, n, r.Result.Ionic, 1e-9*n)
			continue
		}
		require.ErrorIs(t, err, equilibrium.ErrIonicStrength, "%g mol/L", n)
		assert.NotContains(t, err.Error(), "total of", "none of its totals is at fault")
	}
}

// What was compiled for tables goes with them.
func TestStockGoesWithItsTables(t *testing.T) {
	before := compiled.Stocks()
	for range 3 {
		std, err := tables.Standard()
		require.NoError(t, err)
		more, err := std.With(fstest.MapFS{})
		require.NoError(t, err)
		compiled.StockOf(more)
	}
	for range 50 {
		runtime.GC()
		runtime.Gosched()
		if compiled.Stocks() <= before {
			return
		}
	}
	assert.LessOrEqual(t, compiled.Stocks(), before)
}
