package reading

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// A powder that is no salt of the chelant is poured by its own assay, weak or full; a blend is
// two powders in the part that its deviate tells, and of two portions each has the same.
func TestStrangersPouredByHand(t *testing.T) {
	m := model(t, labelled(t))
	p, err := m.portion(Added{Amount: amount(t, "500 g")})
	require.NoError(t, err)
	for i := range m.strangers {
		k := &m.strangers[i]
		if k.powder == nil {
			continue
		}
		assay := k.reagent.Assay
		for z, want := range map[float64]float64{0: assay.Typical, -1: share(assay, -1), -8: 0.45 * share(assay, -8)} {
			all := make([]float64, common)
			all[ofAssay] = z
			var mix mixture
			m.pour(&mix, k, all, &p, 0)
			require.True(t, mix.strange)
			assert.InEpsilon(t, 500*want, mix.powders[0].grams, 1e-6, k.reagent.Name)
			assert.Zero(t, mix.powders[1].grams)
			m.pour(&mix, k, all, &p, 0)
			assert.InEpsilon(t, 1000*want, mix.powders[0].grams, 1e-6, k.reagent.Name)
		}
	}
	blend := &m.strangers[len(m.strangers)-1]
	require.Nil(t, blend.powder)
	all := make([]float64, common)
	all[ofBlend], all[ofBlend+1], all[ofBlend+2] = -8, 8, 1
	var mix mixture
	m.pour(&mix, blend, all, &p, 0)
	part := distuv.UnitNormal.CDF(1)
	assert.InEpsilon(t, 500*part, mix.powders[0].grams, 1e-9)
	assert.InEpsilon(t, 500*(1-part), mix.powders[1].grams, 1e-9)
	assert.Same(t, m.strangers[0].powder, mix.powders[0].axis)
	assert.Same(t, m.strangers[len(m.strangers)-2].powder, mix.powders[1].axis)
}
