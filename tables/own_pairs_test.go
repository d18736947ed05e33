package tables

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// A caller's constant of EDTA from a sodium salt is corrected for the pair with sodium that the tables
// hold already: 0.1 mol/L of it leaves 1/(1 + K·0.1) of the chelant free, whose logarithm is added; from
// tetraalkylammonium salts nothing is.
func TestOwnRowsLeanOnThePairs(t *testing.T) {
	std := standardTables(t)
	pair, err := std.Formation("Na(edta)^3-")
	require.NoError(t, err)
	sodium := math.Log10(1 + 0.1*math.Pow(10, pair.Constant.Log10K(chem.Celsius(25), 0.1)))
	refused := math.NaN() // the sodium of Na2SO4 is less than the ionic strength
	for medium, shift := range map[string]float64{"Na+": sodium, "NaBr": sodium, "R4N+": 0, "(CH3)4NCl": 0, "R4NBr": 0, "NaCl2": refused, "Na2SO4": refused, "Br-": refused, "brine": refused} {
		own := files(map[string]string{
			"components.csv":     "species,composition,name,role,class,synonyms\nBe2+,,beryllium,metal,other metal,\n",
			"constants/edta.csv": constantHeader + "Be2+ + edta4- = Be(edta)^2-,log K,25,0.1," + medium + ",9.2,0.1,fit,nist46,\n",
		})
		with, err := std.With(own)
		if math.IsNaN(shift) {
			require.ErrorContains(t, err, "constants/edta.csv line 2, column medium is "+chem.Echo(medium)+": want the formula of a 1:1 salt", medium)
			continue
		}
		require.NoError(t, err)
		f, err := with.Formation("Be(edta)^2-")
		require.NoError(t, err)
		require.InDelta(t, shift, with.equilibria[f.Steps[0].Equilibrium].Observations[0].Shift, 1e-9, medium)
	}
}
