package bath_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// A soured bath that soda brings back is told how much gas that makes, in words too. By
// hand: at pH 7 in balance with the air next to nothing of the carbonate stays, so that
// nearly each mole of soda (124.0 g of the monohydrate, 84.0 g of bicarbonate) and of the
// water's leaves as 24.06 L (gas law, 20 °C and 1 atm). Lye makes none.
func TestRemedyTellsItsGas(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	for soda, molarMass := range map[string]float64{"washing soda": 124.0, "baking soda": 84.01} {
		for _, cover := range []bath.Cover{bath.Still, bath.Lidded} {
			sour := plainTub(t, bath.Place{Cover: cover}, map[string]float64{"tetrasodium EDTA": 500, "citric acid": 400})
			d, err := sour.Diagnose(o, 7, demo.Reagent(t, soda))
			require.NoError(t, err)
			require.Equal(t, bath.Soured, d.Cause)
			require.NotNil(t, d.Remedy)
			assert.Contains(t, d.Text, measure.FormatLitres(d.GasLitres)+" of carbon dioxide leave: never close the tub.")
			assert.Contains(t, d.Text, "in four portions, each when the foam of the last has gone")
			want := d.RemedyDoses.ForGoodGrams
			if cover == bath.Lidded {
				want = d.RemedyDoses.NowGrams
			}
			assert.Equal(t, want, d.Remedy.MassGrams)
			if cover == bath.Still {
				assert.InEpsilon(t, 24.06*d.Remedy.MassGrams/molarMass, d.GasLitres, 0.1, soda)
			}
			require.NoError(t, sour.Add(demo.Reagent(t, soda), d.Remedy.Mass()))
			if cover == bath.Still {
				assert.InDelta(t, 7, airedPH(t, sour), 0.02)
			}
		}
	}
	sour := plainTub(t, bath.Place{Cover: bath.Still}, map[string]float64{"tetrasodium EDTA": 500, "citric acid": 400})
	d, err := sour.Diagnose(o, 7, demo.Reagent(t, "lye"))
	require.NoError(t, err)
	assert.Less(t, d.GasLitres, 1.0, "what the water brought")
}
