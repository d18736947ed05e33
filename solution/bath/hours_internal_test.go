package bath

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// One hour is an hour and more are hours, as the number is written.
func TestHoursAreCounted(t *testing.T) {
	for hours := 0.55; hours < 5; hours += 0.1 {
		text := daysText(tables.Range{Low: hours / 48, Typical: hours / 24, High: hours / 12})
		number, rest, _ := strings.Cut(text, " ")
		require.Equal(t, fmt.Sprintf("%.0f", max(1, hours)), number)
		require.Equal(t, number == "1", strings.HasPrefix(rest, "hour ("), text)
	}
}
