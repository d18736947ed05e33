package cli

import (
	"flag"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// Whatever words stand on a command line, they are a recipe or one line of complaint
// with the exit code of bad input.
func FuzzFlags(f *testing.F) {
	f.Add("-volume\n5 gal\n-amount\n1 lb\n-hardness\n7 gpg")
	f.Add("-ph\nseven\n--\n-csv")
	f.Add("-temperature\n70 °F\n-acid\ncitrc\n-cover\nstill\n-surface\n1 m²")
	f.Add("-units\nus\n-water\nrain\n-alkalinity\n-3 dH")
	std, err := tables.Standard()
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, line string) {
		flags, _ := Flags("fuzz", "tries words.", io.Discard)
		read := Recipe(flags)
		err := Parse(flags, strings.Split(line, "\n"))
		if err == nil {
			var in Input
			r := read(std, &in)
			if in.Err == nil {
				require.NotEmpty(t, r.Chelant.ID)
				require.NotEmpty(t, r.Acid.ID)
				return
			}
			err = in.Err
		}
		if err == flag.ErrHelp {
			return
		}
		require.Equal(t, 2, ExitCode(err), "%v", err)
		require.NotContains(t, err.Error(), "\n")
	})
}
