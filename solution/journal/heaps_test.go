package journal

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/demo"
)

// Each heap alone could dissolve, and together they are no bath: the one too many is refused
// when it happens, whoever is sure, and the life stays as it was.
func TestHeapsThatAreNoBath(t *testing.T) {
	mixed := Event{Kind: Mixed, At: start, VolumeLitres: 20, Water: "moderately hard tap water", TemperatureC: number(20), Reagent: "tetrasodium EDTA", MassGrams: 500}
	live, err := Replay(demo.Tables(t), mixed)
	require.NoError(t, err)
	heap := Event{Kind: Added, Reagent: "calcium chloride"}
	for i := 1; ; i++ {
		require.Less(t, i, 40, "somewhere it ends")
		heap.At, heap.MassGrams = start.Add(time.Duration(i)*time.Hour), 0.399*1000*live.bath.Litres()
		if err = live.Try(heap); err != nil {
			break
		}
	}
	require.ErrorIs(t, err, chem.ErrInput)
	require.ErrorContains(t, err, "more than a bath can be")
	heap.Sure = true
	require.ErrorContains(t, live.Try(heap), "more than a bath can be")
	_, err = live.Bath().State()
	require.NoError(t, err, "as it was")
}
