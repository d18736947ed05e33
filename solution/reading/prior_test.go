package reading

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// The ranges of the tables hold nine cases in ten (tables.Range), and so must
// the draws: those of every salt of EDTA, one in twenty at each end. An end that
// is a bound, an assay of one, leaves nothing out.
func TestPriorsKeepTheRanges(t *testing.T) {
	const n = 40000
	random := rand.New(rand.NewPCG(3, 4))
	tails := func(r tables.Range, draw func(z float64) float64) (below, above float64) {
		for range n {
			switch x := draw(random.NormFloat64()); {
			case x < r.Low:
				below++
			case x > r.High:
				above++
			}
		}
		return below / n, above / n
	}
	const slack = 4 * 0.0011 // four standard deviations of a count of one in twenty
	for r := range tables.All[tables.Reagent](standard(t)) {
		if !r.Chelant.Equal(reagent(t, "EDTA acid").Chelant) {
			continue
		}
		below, above := tails(r.Assay, func(z float64) float64 { return share(r.Assay, z) })
		assert.InDelta(t, 0.05, below, slack, "assay of %s", r.Name)
		if r.Assay.High < 1 {
			assert.InDelta(t, 0.05, above, slack, "assay of %s", r.Name)
		} else {
			assert.Zero(t, above, "assay of %s", r.Name)
		}
		if r.ExcessBase.Low < r.ExcessBase.High {
			below, above = tails(r.ExcessBase, func(z float64) float64 { return spread.At(r.ExcessBase, z) })
			assert.InDelta(t, 0.05, below, slack, "free base of %s", r.Name)
			assert.InDelta(t, 0.05, above, slack, "free base of %s", r.Name)
		}
		if d := r.Bulk; d.Typical > 0 {
			below, above = tails(packing(r), func(z float64) float64 { return spread.LogAt(packing(r), z) })
			assert.InDelta(t, 0.05, below, slack, "packing of %s", r.Name)
			assert.InDelta(t, 0.05, above, slack, "packing of %s", r.Name)
		}
	}
}

// Rounding, bias and eye together make the reading error of the tables: nine
// readings in ten come within it of the truth.
func TestReadingErrorOfEveryStrip(t *testing.T) {
	const n = 40000
	random := rand.New(rand.NewPCG(5, 6))
	for s := range tables.All[tables.Strip](standard(t)) {
		if s.Quantity != "pH" || s.ReadingError <= 0.45*s.Step {
			continue
		}
		deviation := Misreading(s)
		spread := deviation / math.Sqrt2
		within, middle := 0.0, (s.Low+s.High)/2
		for range n {
			truth := middle + (random.Float64()-0.5)*s.Step
			seen := math.Round((truth+spread*random.NormFloat64()+spread*random.NormFloat64()-s.Low)/s.Step)*s.Step + s.Low
			if math.Abs(seen-truth) <= s.ReadingError {
				within++
			}
		}
		assert.InDelta(t, 0.9, within/n, 4*0.0015, s.Name)
	}
}

// The likelihoods of all marks of a scale add up to one, gross readings included.
func TestLikelihoodsAddUp(t *testing.T) {
	for s := range tables.All[tables.Strip](standard(t)) {
		if s.Quantity != "pH" {
			continue
		}
		for _, pH := range []float64{1, 6.9, 7.2, 9.05, 13} {
			sum := 0.0
			for _, mark := range s.Marks() {
				r, err := newSight(Read{s, mark})
				assert.NoError(t, err)
				sum += r.likelihood(pH, 0.1)
			}
			assert.InDelta(t, 1, sum, 1e-9, "%s at pH %g", s.Name, pH)
		}
	}
}
