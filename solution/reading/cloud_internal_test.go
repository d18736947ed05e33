package reading

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// byHand is a cloud of five baths, kept at ten, of weights that do not add up yet and
// likelihoods of a reading to go with them, of which one in fifty is a mistake.
func byHand() *cloud {
	w := &cloud{size: 10, course: &course{seen: []*step{nil, {gross: 0.02, background: 0.25}}}}
	for i, weight := range []float64{0.4, 0.2, 0.2, 0.8, 0.4} {
		w.baths = append(w.baths, bath{weight: weight, logs: []float64{99, 0}, likelihood: math.Pow(0.01, float64(i))})
	}
	return w
}

// Weights add up to one, and what is in play is Kish's effective number, 1/Σ w²
// (Survey Sampling, 1965, p. 258), here 1/0.26, of the size.
func TestScaleByHand(t *testing.T) {
	w := byHand()
	sum, inPlay := w.scale()
	assert.InDelta(t, 2, sum, 1e-12)
	assert.InDelta(t, 1/0.26/10, inPlay, 1e-12)
	for i, want := range []float64{0.2, 0.1, 0.1, 0.4, 0.2} {
		assert.InDelta(t, want, w.baths[i].weight, 1e-12)
	}
}

// Half of a reading weighs as the root of its likelihood, of a mistake as of one that is none,
// and the other half as what is missing to the whole; its evidence is the mean likelihood: Bayes.
func TestWeighByHand(t *testing.T) {
	w := byHand()
	before := []float64{0.2, 0.1, 0.1, 0.4, 0.2}
	half, whole := make([]float64, 5), make([]float64, 5)
	var atHalf, atWhole float64
	for i, b := range before {
		half[i], whole[i] = b*(0.98*math.Pow(10, -float64(i))+0.02*0.5), b*(0.98*math.Pow(100, -float64(i))+0.02*0.25)
		atHalf, atWhole = atHalf+half[i], atWhole+whole[i]
	}
	gain, _ := w.weigh(before, 1, 0.5)
	assert.InDelta(t, math.Log(atHalf), gain, 1e-12)
	for i := range w.baths {
		b := &w.baths[i]
		assert.InDelta(t, half[i]/atHalf, b.weight, 1e-12)
		before[i], b.logs[1] = b.weight, math.Log(half[i]/(0.2*[]float64{1, 0.5, 0.5, 2, 1}[i]))
	}
	more, _ := w.weigh(before, 1, 1)
	assert.InDelta(t, math.Log(atWhole), gain+more, 1e-12)
	for i := range w.baths {
		assert.InDelta(t, whole[i]/atWhole, w.baths[i].weight, 1e-12)
	}
}

// The first clouds are the prior: of either kind, weights of each salt add up to its odds
// among its kind, whatever its number of baths, and the evidence is what the kind has of
// all. Where something was seen no salt has fewer baths than the part of what is rare, and
// without anything seen each has the part that its odds are.
func TestFirstCloudIsThePrior(t *testing.T) {
	m := model(t, tub(t))
	for name, events := range map[string][]Event{"nothing seen": nil, "a reading": {Read{strip(t, "universal strip"), 11}}} {
		c, err := m.compile(events)
		require.NoError(t, err)
		for _, kinds := range [][]salt{m.salts, m.strangers} {
			w := m.prior(c, kinds, 3000)
			odds, number := map[string]float64{}, map[string]float64{}
			for _, b := range w.baths {
				odds[b.salt.reagent.ID] += b.weight
				number[b.salt.reagent.ID] += 1 / float64(len(w.baths))
			}
			all, salts := 0.0, 0.0
			for _, s := range kinds {
				all, salts = all+s.prior, salts+1
			}
			require.Positive(t, salts)
			assert.InDelta(t, math.Log(all), w.evidence, 1e-12)
			for _, s := range kinds {
				id := s.reagent.ID
				assert.InDelta(t, s.prior/all, odds[id], 0.02*s.prior/all+2e-3, "%s: %s", name, id)
				if events == nil {
					assert.InDelta(t, s.prior/all, number[id], 2/float64(len(w.baths)), id)
				} else {
					assert.GreaterOrEqual(t, number[id], 0.75*rare/(1+salts*rare), id)
				}
			}
		}
	}
}

// What could be found out: each strip read as the bath is and once half of what is
// missing is in, to scale digits; the half is that of the middle bath's need.
func TestHalfOfWhatIsMissing(t *testing.T) {
	m := model(t, tub(t))
	p := infer(t, m, Read{strip(t, "universal strip"), 11})
	strips := []tables.Strip{strip(t, "universal strip"), strip(t, "pH meter")}
	tests, err := p.Tests(strips...)
	require.NoError(t, err)
	setter, err := m.template(m.setter)
	require.NoError(t, err)
	need, _ := p.needs(&setter, m.sign, m.setup.PH)
	half := measure.RoundDown(p.span(need).Typical / 2)
	require.Positive(t, half)
	read, stirred := 0, 0
	for _, x := range tests {
		for _, s := range strips {
			if !strings.Contains(x.Text, s.Name) {
				continue
			}
			if !strings.HasPrefix(x.Text, "stir in ") {
				read++
				continue
			}
			stirred++
			said, _, _ := strings.Cut(strings.TrimPrefix(x.Text, "stir in "), " of ")
			grams, err := measure.ParseMass(said)
			require.NoError(t, err)
			assert.InEpsilon(t, half, float64(grams/measure.Gram), 0.02)
			assert.LessOrEqual(t, float64(grams/measure.Gram), 0.5*p.span(need).Typical*1.01)
			assert.Greater(t, float64(grams/measure.Gram), 0.4*p.span(need).Typical)
		}
	}
	assert.Equal(t, []int{2, 2}, []int{read, stirred})
}

// What a mixture lacks at its own pH is nothing, at both ends of the grid as in between,
// and a mixture given that base is there.
func TestLackEndsAtThePH(t *testing.T) {
	m := model(t, tub(t))
	p := infer(t, m)
	f := m.surface
	for _, b := range p.baths[:40] {
		pH := f.pH(&b.mix)
		there := b.mix
		there.base += f.lackAt(&b.mix, pH)
		assert.InDelta(t, pH, f.pH(&there), 2e-4, "what refinements leave")
		for _, to := range []float64{f.grid[0] + 0.02, f.grid[len(f.grid)-1] - 0.02, 7} {
			mix := b.mix
			mix.base += f.lackAt(&b.mix, to)
			assert.InDelta(t, to, f.pH(&mix), 2e-3, "from pH %.2f", pH)
		}
	}
}
