package journal

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// A journal and a life that nobody opened give errors; what a journal returns can
// be changed without changing it.
func TestZeroValuesAndCopies(t *testing.T) {
	mixed := life()[0]
	require.ErrorIs(t, new(Journal).Append(mixed), chem.ErrInput)
	require.ErrorIs(t, new(Life).Apply(mixed), chem.ErrInput)
	require.ErrorIs(t, new(Journal).Life().Apply(mixed), chem.ErrInput)
	_, err := new(Life).Report(bath.Oxide{}, 7, tables.Reagent{})
	require.ErrorIs(t, err, chem.ErrInput)

	j := write(t, t.TempDir()+"/tub.jsonl", life())
	was := j.Events()
	changed := j.Events()
	*changed[0].TemperatureC, changed[1].MassGrams = 99, 99
	tally := j.Life().Tally()
	tally.Reagents[0].MassGrams = 99
	require.Equal(t, was, j.Events())
	require.NotEqual(t, tally, j.Life().Tally())
}
