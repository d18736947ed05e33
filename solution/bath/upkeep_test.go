package bath_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
)

// The acid that holds the pH goes in step with the rust, and whatever is held
// ends where the chelant does.
func TestUpkeep(t *testing.T) {
	citric := demo.Reagent(t, "citric acid")
	for _, pH := range []float64{5, 6, 7, 8} {
		r := demo.Recipe(t)
		r.PH = pH
		b := demo.Mix(t, r)
		u, err := b.Upkeep(citric, demo.Oxide(t, "lepidocrocite"), pH, 0.5)
		require.NoError(t, err)
		require.NotEmpty(t, u.Doses)
		rust, acid := 0.0, 0.0
		for i, d := range u.Doses {
			require.InDelta(t, pH, d.PHTo, 1e-6)
			require.Less(t, d.PHFrom, pH+0.5+1e-6)
			require.Positive(t, d.RustGrams)
			require.Positive(t, d.AcidGrams)
			if i > 0 {
				require.Less(t, d.RoomIronGrams, u.Doses[i-1].RoomIronGrams)
			}
			rust, acid = rust+d.RustGrams, acid+d.AcidGrams
		}
		require.InDelta(t, acid/rust, u.AcidPerRustGram, 1e-9)
		// The protons by hand: FeO(OH) takes up three, of which the chelant itself
		// brings none to two and hydrolysis gives one back; citric acid brings
		// one to three. That makes 0.2 to 1 mol of acid for one of rust, at
		// 192.12 and 88.85 g/mol.
		moles := u.AcidPerRustGram * 88.85 / 192.12
		require.InDelta(t, 0.6, moles, 0.4, "pH %g", pH)
		c, err := b.Capacities(demo.Oxide(t, "lepidocrocite"), pH)
		require.NoError(t, err)
		require.Greater(t, u.RustGrams, 0.9*c.Practical.RustGrams, "pH %g", pH)
		text, err := u.Parts(citric, 2*measure.Gram)
		require.NoError(t, err)
		require.Contains(t, text, "of rust each")
	}
}

// A cup of the bath asks for acid as 20 litres do, after a hundredth of the rust.
func TestUpkeepOfACup(t *testing.T) {
	citric, o := demo.Reagent(t, "citric acid"), demo.Oxide(t, "lepidocrocite")
	cup, err := demo.Recipe(t).Scale(0.2 * measure.Litre)
	require.NoError(t, err)
	small, err := demo.Mix(t, cup).Upkeep(citric, o, 7, 0.5)
	require.NoError(t, err)
	whole, err := demo.Mix(t, demo.Recipe(t)).Upkeep(citric, o, 7, 0.5)
	require.NoError(t, err)
	require.Less(t, small.Doses[0].RustGrams, 1.0)
	require.InEpsilon(t, whole.RustGrams/100, small.RustGrams, 1e-6)
	text, err := small.Parts(citric, 0.02*measure.Gram)
	require.NoError(t, err)
	require.Contains(t, text, fmt.Sprintf("after every %d parts", int(small.Doses[0].RustGrams/0.02)))
}
