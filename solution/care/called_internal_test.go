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

// Cautions of one signal that one material alone calls for are one, whichever comes
// first, and keep their words and standards; others stay apart.
func TestCautionsOfOneMaterial(t *testing.T) {
	of := func(text, standard string, signal tables.Signal, about ...string) Caution {
		return Caution{Text: text, Standard: standard, Signal: signal, About: about}
	}
	out := merged([]Caution{
		of("a", "H1", tables.Danger, "bleach"), of("b", "H2", tables.Danger, "bleach"), of("c", "H3", tables.Warning, "bleach"),
		of("d", "H4", tables.Danger, "bleach", "acid"), of("e", "H1", tables.Danger, "bleach"), of("f", "H6", tables.Danger, "acid"),
	}, "bleach")
	require.Len(t, out, 4)
	assert.Equal(t, "a b e", out[0].Text)
	assert.Equal(t, "H1; H2", out[0].Standard)
	assert.Equal(t, []string{"c", "d", "f"}, []string{out[1].Text, out[2].Text, out[3].Text})
}
