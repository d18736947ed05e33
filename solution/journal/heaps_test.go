package journal

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// Each heap alone could dissolve, and together they are no bath: the one too many is refused
// when it happens, though one is sure, and the life stays as it was.
func TestHeapsThatAreNoBath(t *testing.T) {
	mixed := Event{Kind: Mixed, At: start, VolumeLitres: 20, Water: "moderately hard tap water", TemperatureC: number(20), Reagent: "tetrasodium EDTA", MassGrams: 500}
	live, err := Replay(demo.Tables(t), mixed)
	require.NoError(t, err)
	heap := Event{Kind: Added, Reagent: "calcium chloride", Sure: true}
	for i := 1; ; i++ {
		require.Less(t, i, 40, "somewhere it ends")
		heap.At, heap.MassGrams = start.Add(time.Duration(i)*time.Hour), 0.399*1000*live.bath.Litres()
		if err = live.Try(heap); err != nil {
			break
		}
	}
	require.ErrorIs(t, err, chem.ErrInput)
	require.ErrorContains(t, err, "more than a bath can be")
	_, err = live.Bath().State()
	require.NoError(t, err, "as it was")
}

// Heaps that each could dissolve are asked about together, 0.4 kg to a litre in all. Who is sure
// of them gets no figures in the end, and is told what to do: of sour salts (pH 4, where a bath
// may stand) to thin them, of lye that this is no bath; a tub of water later there are figures.
func TestReportOfHeaps(t *testing.T) {
	std := demo.Tables(t)
	goethite, err := bath.FindOxide(std, "goethite")
	require.NoError(t, err)
	for name, cause := range map[string]bath.Cause{"sodium dihydrogen citrate": bath.OutOfRange, "lye": bath.NoBath} {
		live, err := Replay(std, Event{Kind: Mixed, At: start, VolumeLitres: 20, Water: "soft tap water", TemperatureC: number(20), Reagent: "tetrasodium EDTA", MassGrams: 500})
		require.NoError(t, err)
		for i := range 40 {
			heap := Event{Kind: Added, At: start.Add(time.Duration(i) * time.Hour), Reagent: name, MassGrams: 399 * live.bath.Litres()}
			require.ErrorIs(t, live.Try(heap), ErrDoubtful, "500 g are in it before the first")
			require.NoError(t, live.Apply(heap))
			r, err := live.Report(goethite, 7)
			require.NoError(t, err)
			require.NotEmpty(t, r.Diagnosis.Text)
			if r.Capacities.Oxide == "" {
				require.Equal(t, cause, r.Diagnosis.Cause)
				break
			}
			require.Less(t, i, 20, "somewhere it ends")
		}
		require.NoError(t, live.Apply(Event{Kind: Watered, At: start.Add(50 * time.Hour), VolumeLitres: 1000}))
		r, err := live.Report(goethite, 7)
		require.NoError(t, err)
		require.Positive(t, r.Capacities.Chelant.RustGrams)
	}
}
