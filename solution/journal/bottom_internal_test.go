package journal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"

	"example.com/chelation/solution/internal/demo"
)

// What is learned is the likeliest that there is about it, also where a reading was mistyped
// and pulls: a step to either side of any deviate fits worse, or no better than the last step
// of the fit tells. The deviates are read back from what was learned.
func TestLessonIsAtTheBottom(t *testing.T) {
	for _, seed := range []uint64{0, 2} {
		s := newShop(t, seed, "tetrasodium EDTA tetrahydrate", "tetrasodium EDTA tetrahydrate")
		dose := s.dose(t, s.told, s.acid, s.tap)
		for _, typo := range []float64{0, -3} {
			var all []Event
			for _, e := range s.bath(t, dose).events {
				if e.Kind == Reading && len(all) == 3 { // after half of the dose, where little holds the pH
					e.PH = number(*e.PH + typo)
				}
				all = append(all, e)
			}
			l, err := Replay(demo.Tables(t), all...)
			require.NoError(t, err)
			f := fit{lives: []*Life{l}}
			f.collect("blue")
			k, _, err := f.run(s.told)
			require.NoError(t, err)
			salt, acid := k.reagents[s.told.ID], k.reagents[s.acid.ID]
			if salt.Assay.Typical == 1 || acid.Assay.Typical == 1 {
				continue // as much as it can be, and no deviate to be read
			}
			free := salt.ExcessBase.Typical - s.told.ExcessBase.Typical
			end := s.told.ExcessBase.High - s.told.ExcessBase.Typical
			if free < 0 {
				end = s.told.ExcessBase.Typical - s.told.ExcessBase.Low
			}
			z := []float64{math.Log(salt.Assay.Typical/s.told.Assay.Typical) / bagSpread, 1.6449 * free / end,
				math.Log(k.water.Typical) / waterSpread, math.Log(acid.Assay.Typical/s.acid.Assay.Typical) / acidSpread}
			norm := func(z []float64) float64 {
				off := make([]float64, len(z)+f.readings)
				require.NoError(t, f.misfit(off, s.told, z))
				return floats.Norm(off, 2)
			}
			least := norm(z)
			assert.LessOrEqual(t, least, norm(make([]float64, 4)), "better than nothing learned")
			for i := range z {
				for _, step := range []float64{-0.3, 0.3} {
					z[i] += step
					assert.Greater(t, norm(z), least-0.02, "seed %d, off by %g, deviate %d", seed, typo, i)
					z[i] -= step
				}
			}
		}
	}
}
