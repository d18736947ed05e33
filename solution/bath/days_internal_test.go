package bath

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// A wait is told in whole minutes where an hour holds nine in ten of them, in whole hours up to a
// day and a half, none of them nought, in days of two digits beyond, and as half a year or never
// where no pH came.
func TestDaysText(t *testing.T) {
	for _, x := range []struct {
		r    tables.Range
		want string
	}{
		{tables.Range{Low: 0.25, Typical: 0.5, High: 1.49}, "12 hours (6 to 36)"},
		{tables.Range{Low: 0.25, Typical: 0.5, High: 1.51}, "0.5 days (0.25 to 1.5)"},
		{tables.Range{Low: 3.14, Typical: 7.77, High: 31.4}, "7.8 days (3.1 to 31)"},
		{tables.Range{Low: 30, Typical: longestWait / 24, High: longestWait / 24}, "half a year or never"},
	} {
		require.Equal(t, x.want, daysText(x.r))
	}
	require.Equal(t, "3 minutes (1 to 4)", daysText(tables.Range{Low: 0.001, Typical: 0.002, High: 0.003}))
	require.Equal(t, "1 minute (1 to 59)", daysText(tables.Range{Low: 0.0001, Typical: 0.0002, High: 59. / 1440}))
	require.Equal(t, "1 hour (1 to 1)", daysText(tables.Range{Low: 0.001, Typical: 0.002, High: 61. / 1440}))
}
