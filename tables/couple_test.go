package tables

import (
	"io/fs"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// The electromotive series as every textbook prints it, from aluminium to
// silver (common practice, no source).
func TestCouplesInOrder(t *testing.T) {
	std, err := Standard()
	require.NoError(t, err)
	var metals []string
	last := -10.0
	for c := range All[Couple](std) {
		require.Positive(t, c.Electrons(), c.ID)
		require.NotEmpty(t, c.Sources, c.ID)
		if !c.Metal() {
			continue
		}
		require.Greater(t, c.PotentialVolts, last, c.ID)
		last = c.PotentialVolts
		metals = append(metals, c.ID)
	}
	require.Equal(t, "aluminium zinc chromium iron cadmium nickel tin lead copper silver", strings.Join(metals, " "))
	brass, err := Find[Couple](std, "Brass")
	require.NoError(t, err)
	require.Equal(t, "copper", brass.ID)
	_, err = Find[Couple](std, "coper")
	require.EqualError(t, err, `couple is "coper": want a name of the tables, such as "copper"`)
}

func TestBadCouplesAreRefused(t *testing.T) {
	good, err := fs.ReadFile(embedded, "data/couples.csv")
	require.NoError(t, err)
	for name, change := range map[string][2]string{
		"other atoms":  {"Zn2+,Zn(s)", "Zn2+,Cd(s)"},
		"wrong way":    {"Fe3+,Fe2+", "Fe2+,Fe3+"},
		"no component": {"Ag+,Ag(s)", "Ag2+,Ag(s)"},
		"out of range": {"-0.7618", "-7.618"},
		"no source":    {"0.003,,crc-potentials", "0.003,,"},
		"twice":        {"silver,silver,", "silver,copper,"},
	} {
		t.Run(name, func(t *testing.T) {
			bad := strings.Replace(string(good), change[0], change[1], 1)
			require.NotEqual(t, string(good), bad)
			std, err := Standard()
			require.NoError(t, err)
			loaded := &Tables{lists: map[reflect.Type]any{reflect.TypeFor[Source](): listed[Source](std), reflect.TypeFor[Component](): listed[Component](std)}}
			err = load(loaded, []fs.FS{fstest.MapFS{"couples.csv": {Data: []byte(bad)}}}, "couples.csv", row.couple)
			refusedAt(t, err, "couples.csv", ".*", name)
		})
	}
}
