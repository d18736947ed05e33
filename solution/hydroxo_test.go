package solution_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
)

// What the complexes that two protons or two citrates make change of the iron that a chelant of
// 0.05 mol/L takes from its hydroxide, per chelant, at 20 °C and a held pH: Fe(OH)2(edta)³⁻ (Schwarzenbach &
// Heller 1951) a quarter at pH 11 and nothing to speak of below 10; iron(II)'s with EDTA (the same) nothing
// up to 11; those with two citrates (Vukosav et al. 2012) make of all or nothing one half throughout. The
// figures are ours: they tell what hangs on constants that nothing else guards both ways.
func TestWhatUnguardedComplexesCarry(t *testing.T) {
	std := demo.Tables(t)
	const c = 0.05 // mol/L
	takes := func(ligand, solid string, pH float64, without ...string) float64 {
		s, err := solution.New(std, chem.Celsius(20))
		require.NoError(t, err)
		require.NoError(t, s.AddPureWater(measure.Litre))
		for species, n := range map[string]unit.Mole{ligand: c, "Na+": 4 * c, "Cl-": c, solid: 4 * c} {
			require.NoError(t, s.AddSpecies(species, n))
		}
		require.NoError(t, s.Allow(solid))
		for _, species := range without {
			require.NoError(t, s.SetConstant(species, -60, 0.2)) // so weak that there is none
		}
		require.NoError(t, s.HoldPH(pH))
		st, err := s.Equilibrate()
		require.NoError(t, err)
		left := 0.0
		for _, x := range st.Solids {
			left += x.Moles
		}
		return (4*c - left) / c
	}
	const ferric, ferrous = "Fe(OH)3(s, ferrihydrite)", "Fe(OH)2(s)"
	for _, row := range []struct {
		ligand, solid string
		pH            float64
		without       []string
		all, fewer    float64 // iron per chelant
	}{
		{"edta4-", ferric, 8, []string{"Fe(OH)2(edta)^3-"}, 1.00, 1.00},
		{"edta4-", ferric, 10, []string{"Fe(OH)2(edta)^3-"}, 1.00, 1.00},
		{"edta4-", ferric, 11, []string{"Fe(OH)2(edta)^3-"}, 0.89, 0.66},
		{"edta4-", ferrous, 9, []string{"Fe(OH)(edta)^3-", "Fe(OH)2(edta)^4-"}, 1.01, 1.00},
		{"edta4-", ferrous, 11, []string{"Fe(OH)(edta)^3-", "Fe(OH)2(edta)^4-"}, 1.00, 1.00},
		{"cit3-", ferric, 7, []string{"Fe(cit)2^3-", "Fe(OH)(cit)2^4-", "Fe(OH)2(cit)2^5-"}, 0.50, 0.73},
		{"cit3-", ferric, 8, []string{"Fe(cit)2^3-", "Fe(OH)(cit)2^4-", "Fe(OH)2(cit)2^5-"}, 0.49, 0.00},
		{"cit3-", ferric, 11, []string{"Fe(cit)2^3-", "Fe(OH)(cit)2^4-", "Fe(OH)2(cit)2^5-"}, 0.36, 0.00},
	} {
		assert.InDelta(t, row.all, takes(row.ligand, row.solid, row.pH), 0.01, "%s at pH %g", row.ligand, row.pH)
		assert.InDelta(t, row.fewer, takes(row.ligand, row.solid, row.pH, row.without...), 0.01, "%s at pH %g, without %v", row.ligand, row.pH, row.without)
	}
}
