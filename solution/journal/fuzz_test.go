package journal

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/demo"
)

// Whatever is said to have happened, it happens to the bath and leaves a vessel that
// has a pH, or it is refused as bad input and nothing has changed.
func FuzzEvent(f *testing.F) {
	for _, e := range append(life(), Event{At: start, Kind: Struck, Number: 2, Note: "twice"},
		Event{At: start, Kind: Stood, Cover: "still", BareSteelCM2: 100}, Event{At: start, Kind: Filtered},
		Event{At: start, Kind: Evaporated, VolumeLitres: 1}, Event{At: start, Kind: Blended, VolumeLitres: 1, Bath: life()[:1]}) {
		text, err := json.Marshal(e)
		require.NoError(f, err)
		f.Add(text)
	}
	lived, err := Replay(demo.Tables(f), life()...)
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text []byte) {
		var e Event
		if json.Unmarshal(text, &e) != nil {
			return
		}
		l := lived.clone()
		before := l.Tally()
		if err := l.Apply(e); err != nil {
			require.ErrorIs(t, err, chem.ErrInput)
			require.Equal(t, before, l.Tally())
			return
		}
		st, err := l.Bath().State()
		require.NoError(t, err)
		require.False(t, math.IsNaN(st.PH))
		require.Equal(t, before.Events+1, l.Tally().Events)
	})
}
