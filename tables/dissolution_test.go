package tables

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Sidhu et al. 1981 rank the phases in 0.5 mol/L HCl: lepidocrocite, magnetite,
// akaganeite, maghemite, hematite, goethite.
func TestPhaseRatesAreRanked(t *testing.T) {
	tables := referenceTables(t)
	last := math.Inf(1)
	for _, name := range []string{"gamma-FeOOH", "magnetite", "akaganeite", "maghemite", "haematite", "goethite"} {
		r, err := Find[PhaseRate](tables, name)
		require.NoError(t, err)
		rate := r.FrequencyGramsPerM2Hour * math.Exp(-1000*r.ActivationEnergyKJPerMol/(8.314*298.15))
		assert.Less(t, rate, last, name)
		last = rate
	}
	for name := range map[string]bool{"water": true, "dirt": true, "wustite": true} {
		_, err := Find[PhaseRate](tables, name)
		assert.ErrorIs(t, err, ErrNotFound, name)
	}
}

// Every figure says where it comes from, and that of the unknown rate spans ten
// times at least.
func TestKineticsAreExplained(t *testing.T) {
	tables := referenceTables(t)
	n := 0
	for k := range All[Kinetic](tables) {
		n++
		assert.NotEmpty(t, k.Note, k.ID)
		for _, key := range k.Sources {
			_, err := Find[Source](tables, key)
			assert.NoError(t, err, k.ID)
		}
	}
	assert.Equal(t, 31, n)
	k, err := Find[Kinetic](tables, "light-rust-time")
	require.NoError(t, err)
	assert.GreaterOrEqual(t, k.Value.High/k.Value.Low, 10.0)
	_, err = Find[Kinetic](tables, "light-rust-tame")
	assert.ErrorIs(t, err, ErrNotFound)
}

func ExampleFind() {
	tables, err := Standard()
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := Find[PhaseRate](tables, "goethite")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %.1f kJ/mol (%s)\n", r.Name, r.ActivationEnergyKJPerMol, r.Sources[0])
	// Output: goethite: 94.1 kJ/mol (sidhu1981)
}
