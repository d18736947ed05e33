package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/demo"
)

// What is published of the oxides' solubility at 25 °C and zero ionic strength, as log10 K
// of one iron with three protons, lies within the ranges of what a bath takes, held and
// left alone, and of where it ends.
func TestBandsHoldWhatIsPublished(t *testing.T) {
	std := demo.Tables(t)
	for _, x := range []struct {
		oxide  string
		log10K float64
		source string
	}{
		{"ferrihydrite", 4.89, "Whittemore & Langmuir 1974: pQ 37.1 of fresh amorphous material"},
		{"ferrihydrite", 4.14, "Liu & Millero 1999: fresh gel"},
		{"ferrihydrite", 3.14, "Majzlan et al. 2004: six-line"},
		{"lepidocrocite", 0.59, "Diakonov 1998: pKsp 41.4"},
		{"lepidocrocite", 1.39, "Lindsay 1979, from memory"},
		{"lepidocrocite", 1.85, "Lemire et al. 2013, from memory"},
		{"goethite", -2.21, "Whittemore & Langmuir 1974: pQ 44.2, well crystallised"},
		{"goethite", -0.02, "Lindsay 1979, from memory"},
		{"goethite", 0.5, "Baes & Mesmer 1976, from memory"},
		{"hematite", -0.71, "SRD 46 row 170828"},
		{"hematite", 0.09, "Lindsay 1979, from memory"},
		{"maghemite", 1.59, "Lemire et al. 2013, from memory"},
	} {
		o := demo.Oxide(t, x.oxide)
		f, err := std.Formation(o.Species)
		require.NoError(t, err)
		dissolving := f.Steps[0]
		e, _ := std.EquilibriumAt(dissolving.Equilibrium)
		for _, pH := range []float64{5, 7, 9} {
			r := demo.Recipe(t)
			r.Temperature, r.PH = chem.Celsius(25), pH
			told, err := demo.Mix(t, r).Capacities(o, pH)
			require.NoError(t, err)
			other := demo.Mix(t, r)
			require.NoError(t, other.SetConstant(o.Species, f.Constant.Log10K(chem.Celsius(25), 0)+dissolving.N*(x.log10K-e.LogK), 0))
			is, err := other.Capacities(o, pH)
			require.NoError(t, err)
			const little = 1e-6 // mol
			within := func(low, value, high float64, what string) {
				require.True(t, low-little <= value && value <= high+little, "%s of %s at pH %g by %s: %g, not %g to %g", what, x.oxide, pH, x.source, value, low, high)
			}
			within(told.EquilibriumLow.IronMoles, is.Equilibrium.IronMoles, told.EquilibriumHigh.IronMoles, "held")
			within(told.ProtonLow.IronMoles, is.Proton.IronMoles, told.ProtonHigh.IronMoles, "left alone")
			within(told.EndPHLow, is.EndPH, told.EndPHHigh, "end pH")
		}
	}
}
