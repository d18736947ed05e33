package reading

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A short form of examples/calibration, which runs two thousand: baths drawn
// from the priors, read with a strip of one unit and with a meter. The bounds
// are those of the long run, widened by three standard deviations of the count.
func TestCalibration(t *testing.T) {
	trials := uint64(40)
	if testing.Short() {
		trials = 12
	}
	m := model(t, tub(t))
	for _, name := range []string{"universal strip", "pH meter"} {
		s := strip(t, name)
		var inside, asked Coverage
		over, reached := 0, make([]int, 0, trials)
		for seed := range trials {
			trial, err := m.Trial(seed)
			require.NoError(t, err)
			r, err := trial.FollowAdvice(s, false)
			require.NoError(t, err)
			if r.Overshot {
				over++
			}
			reached = append(reached, r.Additions)
			inside.add(r.Inside)
			asked.add(r.Asked)
		}
		n := float64(trials)
		assert.LessOrEqual(t, float64(over), 0.05*n+3*1.5, name)
		few := 0
		for _, x := range reached {
			if x <= 4 {
				few++
			}
		}
		assert.Greater(t, float64(few), n/2, "%s: half the baths need at most four additions", name)
		for what, c := range map[string][2]int{"pH": {inside.PH, asked.PH}, "EDTA": {inside.EDTA, asked.EDTA}, "need": {inside.Need, asked.Need}} {
			t.Logf("%s: %s within its range %d of %d times", name, what, c[0], c[1])
			if !testing.Short() {
				assert.InDelta(t, 0.9, float64(c[0])/float64(c[1]), 0.1, "%s: %s", name, what)
			}
		}
	}
}

func (c *Coverage) add(o Coverage) {
	c.PH += o.PH
	c.EDTA += o.EDTA
	c.Need += o.Need
}

// Trials of one seed are the same bath, whatever is done to it.
func TestTrialsRepeat(t *testing.T) {
	m := model(t, tub(t))
	one, err := m.Trial(7)
	require.NoError(t, err)
	other, err := m.Trial(7)
	require.NoError(t, err)
	require.Equal(t, one.EDTA(), other.EDTA())
	run, err := one.FollowSpoons(strip(t, "universal strip"), volume(t, "1 tbsp"))
	require.NoError(t, err)
	again, err := other.FollowSpoons(strip(t, "universal strip"), volume(t, "1 tbsp"))
	require.NoError(t, err)
	assert.Equal(t, run, again)
}
