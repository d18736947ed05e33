package tables

import (
	"io/fs"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// Whatever rows a caller brings, they are loaded or refused as bad input.
func FuzzWith(f *testing.F) {
	std, err := Standard()
	require.NoError(f, err)
	for _, name := range []string{"components.csv", "reagents.csv", "names.csv", "sources.csv", "solids.csv", "waters.csv", "constants/edta.csv", "constants/new.csv"} {
		text, err := fs.ReadFile(Data(), name)
		if err != nil {
			text = []byte("reaction,quantity\nFe3+ = Fe2+,log K\n")
		}
		f.Add(name, text[:min(len(text), 600)])
	}
	f.Fuzz(func(t *testing.T, name string, text []byte) {
		more, err := std.With(fstest.MapFS{name: {Data: text}})
		if err != nil {
			require.ErrorIs(t, err, chem.ErrInput)
			return
		}
		require.NotEmpty(t, more.Components())
	})
}
