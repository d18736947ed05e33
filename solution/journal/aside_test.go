package journal

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/internal/demo"
)

// What a file holds and cannot have happened teaches nothing, as if it had been struck out, and
// is in the way of nothing: more evaporated than there was, a hundredweight of lye, a bath that
// was evaporated before it was mixed.
func TestWhatCannotHaveHappenedTeachesNothing(t *testing.T) {
	std := demo.Tables(t)
	at := func(hours int) time.Time { return start.Add(time.Duration(hours) * time.Hour) }
	sound := []Event{
		{At: at(0), Kind: Mixed, VolumeLitres: 20, Water: "moderately hard tap water", TemperatureC: number(20), Reagent: "tetrasodium EDTA tetrahydrate", MassGrams: 500, Bag: "blue"},
		{At: at(1), Kind: Reading, PH: number(11), ResolutionPH: 0.5},
		{At: at(2), Kind: Added, Reagent: "citric acid", MassGrams: 40},
		{At: at(3), Kind: Reading, PH: number(9), ResolutionPH: 0.5},
		{At: at(4), Kind: Dipped, Oxide: "lepidocrocite", AreaCM2: 500, RustGramsPerM2: 50, Hours: 12},
		{At: at(5), Kind: Dipped, SteelGrams: 0.2, BareSteelCM2: 100, Hours: 10},
	}
	slips := []Event{
		{At: at(2), Kind: Evaporated, VolumeLitres: 100}, {At: at(2), Kind: Added, Reagent: "lye", MassGrams: 100e3},
		{At: at(2), Kind: Added, Reagent: "moonshine", MassGrams: 5},
		{At: at(2), Kind: Amended, Number: 1, Note: "mistyped", As: []Event{{At: at(0), Kind: Evaporated, VolumeLitres: 3}}},
	}
	life := func(events ...Event) *Life {
		j, err := Read(std, written(t, events))
		require.NoError(t, err)
		return j.Life()
	}
	plain := life(sound...)
	with := life(append(append(append([]Event{}, sound[:2]...), slips...), sound[2:]...)...)
	require.Len(t, with.aside, len(slips), "%v", with.aside)
	want, err := Learn("blue", plain)
	require.NoError(t, err)
	got, err := Learn("blue", with)
	require.NoError(t, err)
	assert.Equal(t, want, got)
	pace, n, err := Pace(std, plain)
	require.NoError(t, err)
	again, m, err := Pace(std, with)
	require.NoError(t, err)
	assert.Equal(t, n, m)
	assert.Equal(t, pace, again)
	assert.Positive(t, n)
}
