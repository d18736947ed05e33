package equilibrium

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What README tells of Newton steps is what is taken: on the tub's own titration and
// its neighbours, with a solid, with the ionic strength, for a dose, and in systems of
// 40 and 100 components. More would be another way to the same answer, which no
// balance notices.
func TestStepsAsTold(t *testing.T) {
	told := map[string]float64{"SolveCold": 8.1, "SolveWarm": 3.3, "SolveSolids": 10, "IonicStrength/cold": 9.7, "IonicStrength/warm": 3.2, "Dose": 16}
	for _, k := range tasks(t) {
		most, ok := told[k.name]
		if !ok {
			continue
		}
		delete(told, k.name)
		const walk = 198 // there and back
		steps := 0
		for range walk {
			steps += k.run()
		}
		t.Logf("%s %.3f", k.name, float64(steps)/walk)
		assert.LessOrEqual(t, float64(steps)/walk, most+0.1, k.name) // where the walk is broken off counts for some hundredths
	}
	assert.Empty(t, told)
	for n, most := range map[int]int{40: 9, 100: 9} {
		s, c := chain(t, n)
		r := new(Result)
		require.NoError(t, s.NewWorkspace().Solve(c, r))
		assert.LessOrEqual(t, r.Iterations, most, "%d components", n)
	}
}
