package care

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// What holds for every bath is said of a bath of which nothing is told, and nothing else
// is; whatever comes on top of it when heat, acid, hardness or a part is told was called
// for by that.
func TestCalledForByWhatIsTold(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	always, err := Work{}.Practice(std)
	require.NoError(t, err)
	require.NotEmpty(t, always)
	plain := map[string]bool{}
	for _, a := range always {
		assert.False(t, a.Called, a.Do)
		plain[a.Do] = true
	}
	for name, w := range map[string]Work{"hot": {TemperatureC: 60}, "sour": {PH: 4}, "hard": {HardnessFraction: 0.3}, "zinc": {Materials: []string{"galvanised bolt"}}} {
		told, err := w.Practice(std)
		require.NoError(t, err)
		assert.Greater(t, len(told), len(always), name)
		for _, a := range told {
			assert.Equal(t, !plain[a.Do], a.Called, "%s: %s", name, a.Do)
		}
	}
}

// What bleach alone calls for is one line of each signal, with all that its hazards say.
func TestCautionsOfBleachAreOne(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	citric, err := std.Reagent("citric acid")
	require.NoError(t, err)
	bleach, err := std.Material("hypochlorite")
	require.NoError(t, err)
	all, err := Cautions(std, []tables.Reagent{citric}, nil)
	require.NoError(t, err)
	lines := map[tables.Signal]int{}
	for _, c := range all {
		if len(c.About) == 1 && c.About[0] == bleach.Name {
			lines[c.Signal]++
		}
	}
	assert.NotEmpty(t, lines)
	for signal, n := range lines {
		assert.Equal(t, 1, n, "%v", signal)
	}
}

// What is left in a litre is told with two digits, and what nobody finds as less than a
// hundredth of a milligram.
func TestRound(t *testing.T) {
	for x, want := range map[float64]string{0: "less than 0.01", 0.00499: "less than 0.01", 0.005: "0.005", 0.0123: "0.012", 3.449: "3.4", 1514.87: "1500", 15759: "16000"} {
		assert.Equal(t, want, round(x))
	}
}

// A strong chelant is called by its abbreviation, one of a caller's without any by its name.
func TestCalledWithoutAbbreviation(t *testing.T) {
	var c tables.Component
	c.Class, c.Name = tables.StrongChelant, "edetate"
	assert.Equal(t, "edetate", called(c))
	c.Synonyms = []string{"edta"}
	assert.Equal(t, "EDTA", called(c))
}
