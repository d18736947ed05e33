package tables

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A reaction written for two of a species, or with the species on the left, says the same
// of one: half of log K, the other sign.
func TestReactionsWrittenForTwo(t *testing.T) {
	for _, rows := range []string{
		"2 mal2- + 2 H+ = 2 Hmal-,log K,25,0,,11.392,,fit,nist46,\nHmal- + H+ = H2mal,log K,25,0,,2.847,,fit,nist46,\n",
		"Hmal- = mal2- + H+,log K,25,0,,-5.696,,fit,nist46,\n3 H2mal = 3 Hmal- + 3 H+,log K,25,0,,-8.541,,fit,nist46,\n",
	} {
		texts := malonate()
		texts["constants/mal.csv"] = constantHeader + rows
		own, err := standardTables(t).With(files(texts))
		require.NoError(t, err)
		for species, want := range map[string]struct{ logK, protons float64 }{"Hmal-": {5.696, 1}, "H2mal": {5.696 + 2.847, 2}} {
			f, err := own.Formation(species)
			require.NoError(t, err)
			assert.InDelta(t, want.logK, f.Constant.LogK, 1e-9, species)
			require.Len(t, f.Coefficients, 2)
			for _, c := range f.Coefficients {
				n := 1.0
				if own.Components()[c.Component].Role == "proton" {
					n = want.protons
				}
				assert.InDelta(t, n, c.N, 1e-12, species)
			}
		}
	}
}
