package main

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Boilers are cleaned with 3 to 5 % of citric acid that ammonia brings to pH 3.5, at 93 °C (corrosion handbook);
// where there is much iron it starts at 4.5 or above, or ferrous citrate comes down (NACE Corrosion/87, abstract). The
// constant was put between the two at 4 %; both ends of the strength follow.
func TestFerrousCitrateOfBoilers(t *testing.T) {
	standard, err := tables.Standard()
	require.NoError(t, err)
	ammonia, err := standard.Reagent("ammonia")
	require.NoError(t, err)
	const molar = 192.124 // g/mol of citric acid
	for start, settles := range map[float64]bool{3.5: true, 4.5: false, 5.5: false} {
		for _, percent := range []float64{3, 4, 5} {
			for _, iron := range []float64{0.5, 0.65, 0.8} { // per citrate, from magnetite and the steel
				s, err := solution.New(standard, chem.Celsius(93))
				require.NoError(t, err)
				acid := 10 * percent / molar
				require.NoError(t, s.AddPureWater(measure.Litre))
				require.NoError(t, s.AddSpecies("cit3-", unit.Mole(acid)))
				require.NoError(t, s.AddSpecies("H+", unit.Mole(3*acid)))
				d, err := s.Dose(ammonia, solution.PH(start))
				require.NoError(t, err)
				require.NoError(t, s.Add(ammonia, d.Mass()))
				require.NoError(t, s.AddSpecies("Fe(OH)2(s)", unit.Mole(iron*acid)))
				require.NoError(t, s.Allow("FeH(cit)·H2O(s)"))
				st, err := s.Equilibrate()
				require.NoError(t, err)
				k := slices.IndexFunc(st.Solids, func(x solution.Solid) bool { return x.Species == "FeH(cit)·H2O(s)" })
				assert.Equal(t, settles, st.Solids[k].Moles > 0, "from pH %v with %v %% and %v iron: %+v", start, percent, iron, st.Solids[k])
			}
		}
	}
}
