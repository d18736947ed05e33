package tables

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

// What a kind's reactions with half of the ligands lead one to expect of an enthalpy, held against what the other
// half's data say: every other table, or every other reaction where a kind stands in one table. It is the
// test of what stands in for an enthalpy that nobody measured.
func TestKindsOnTheOtherHalf(t *testing.T) {
	tb := standardTables(t)
	type known struct {
		table string
		each  float64 // kJ/mol
	}
	all := map[string][]known{}
	for e := range tb.Equilibria() {
		_, pairing := tb.pairedLigand(e.Table, nil)
		k, n, hydroxides := tb.kindOf(e.Reaction, pairing || e.Table == "hedp")
		if e.Determined[1] && n != 0 {
			all[k.name] = append(all[k.name], known{e.Table, (e.DeltaH/1000 - hydroxides*waterEnthalpy) / n})
		}
	}
	held, inUse, of := 0, 0, 0
	var off []float64 // of the half, by its median
	for _, k := range []kind{protonation, protonationStrong, protonationBound, hydrolysis, hydrolysisMixed, association, associationStrong, dissolution, dissolutionBasic} {
		slices.SortStableFunc(all[k.name], func(a, b known) int { return cmp.Compare(a.table, b.table) })
		var halves [2][]float64
		side, last := 1, ""
		for _, x := range all[k.name] {
			if x.table != last || all[k.name][0].table == all[k.name][len(all[k.name])-1].table {
				side, last = 1-side, x.table
			}
			halves[side] = append(halves[side], x.each)
		}
		for i, half := range halves {
			slices.Sort(half)
			if len(half) < 4 || len(halves[1-i]) == 0 {
				continue
			}
			median := stat.Quantile(0.5, stat.Empirical, half, nil)
			apart := make([]float64, len(half))
			for j, x := range half {
				apart[j] = math.Abs(x - median)
			}
			slices.Sort(apart)
			spread, in := stat.Quantile(0.95, stat.Empirical, apart, nil)/2, 0
			for _, x := range halves[1-i] {
				if math.Abs(x-median) <= 2*spread {
					in++
				}
				if math.Abs(x-median) <= 2*k.spread {
					inUse++
				}
				off = append(off, (x-median)/k.spread)
			}
			t.Logf("%-40s %5.1f ± %4.1f of %3d holds %3d of %3d others", k.name, median, spread, len(half), in, len(halves[1-i]))
			held, of = held+in, of+len(halves[1-i])
		}
	}
	share, wide := float64(held)/float64(of), float64(inUse)/float64(of)
	t.Logf("median and spread of one half hold %.1f %% of %d enthalpies of the other, its median with the spread in use %.1f %%; the mean lies %.2f spreads off",
		100*share, of, 100*wide, stat.Mean(off, nil))
	require.Greater(t, of, 300)
	require.InDelta(t, 0.95, wide, 0.03)
	// A spread from half of a kind is too narrow where ligands differ: the median complex of a strong chelant gives off
	// 23 kJ/mol in one half and takes up 4 in the other.
	require.InDelta(t, 0.825, share, 0.03)
	require.InDelta(t, 0, stat.Mean(off, nil), 0.2)
}
