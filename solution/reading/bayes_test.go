package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"example.com/chelation/chem/measure"
)

// believed is what follows from some events, in figures: the chances of the salts by their
// sodium, of something else last, and the mean and width of the pH now, that of nine in ten as of a
// normal error: one bath in a thousand, whose reading was a mistake, would make half of a variance.
type believed struct {
	salts  [6]float64
	pH, sd float64
}

// believe counts baths by their weights.
func believe(baths []bath) (x believed) {
	var pH, weights []float64
	all := 0.0
	for i := range baths {
		b := &baths[i]
		all += b.weight
		if b.salt.other {
			x.salts[5] += b.weight
		} else {
			x.salts[int(math.Round(b.salt.base))] += b.weight
		}
		x.pH += b.weight * b.pH
		pH, weights = append(pH, b.pH), append(weights, b.weight)
	}
	for id := range x.salts {
		x.salts[id] /= all
	}
	stat.SortWeighted(pH, weights)
	rank := func(q float64) float64 { return stat.Quantile(q, stat.Empirical, pH, weights) }
	x.pH, x.sd = x.pH/all, (rank(0.95)-rank(0.05))/(2*1.645)
	return x
}

// byBayes is the belief by Bayes' rule alone: many baths of the prior, of either kind, each
// weighed by how likely all that was seen is in it.
func byBayes(t *testing.T, m *Model, size int, events ...Event) believed {
	c, err := m.compile(events)
	require.NoError(t, err)
	var all []bath
	for _, kinds := range [][]salt{m.salts, m.strangers} {
		w := m.prior(c, kinds, size)
		for _, b := range w.baths {
			m.follow(c, &b, len(c.seen), 1, math.Inf(-1))
			b.weight *= math.Exp(w.evidence)
			for _, l := range b.logs {
				b.weight *= math.Exp(l)
			}
			b.pH = m.surface.pH(&b.mix) + m.astray(c, b.z, c.amounts-1)
			all = append(all, b)
		}
	}
	return believe(all)
}

// What a cloud learns by degrees, resampled and moved, is what Bayes' rule says of the
// prior: within three standard deviations of a chance, 0.019 (DEVELOPERS), and what
// that many baths leave a mean and a width.
func TestCloudIsWhatBayesSays(t *testing.T) {
	m := model(t, tub(t))
	universal := strip(t, "universal strip")
	acid := func(grams float64) Added { return Added{m.setup.Acid, measure.Amount{MassGrams: grams}} }
	for name, events := range map[string][]Event{
		"a strip":      {Read{universal, 9}},
		"two strips":   {Read{universal, 10}, Read{universal, 11}},
		"a spoon":      {Spoon{volume(t, "1 tbsp"), 11 * measure.Gram}},
		"a look":       {Clarity(false), Read{universal, 4}},
		"strips alone": {Read{universal, 11}, acid(75), Read{universal, 7}, Read{universal, 7}},
	} {
		want, got := byBayes(t, m, 8000, events...), believe(infer(t, m, events...).baths)
		for sodium, chance := range want.salts {
			assert.InDelta(t, chance, got.salts[sodium], 0.06, "%s: %d", name, sodium)
		}
		assert.InDelta(t, want.pH, got.pH, 0.15*want.sd, name)
		assert.InEpsilon(t, want.sd, got.sd, 0.15, name)
	}
}

// So is what a meter tells, on the average of nine readings: means of a cloud scatter by 0.017, a
// tenth of the width, about those of Bayes' rule.
func TestCloudsOfAMeterAreWhatBayesSays(t *testing.T) {
	m, meter := model(t, tub(t)), strip(t, "pH meter")
	off, wider := 0.0, 0.0
	for mark := range 9 {
		read := Read{meter, math.Round(1090+5*float64(mark)) / 100}
		want, got := byBayes(t, m, 4000, read), believe(infer(t, m, read).baths)
		off, wider = off+(got.pH-want.pH)/9, wider+got.sd/want.sd/9
	}
	assert.InDelta(t, 0, off, 0.02)
	assert.InDelta(t, 1, wider, 0.1)
}

// Steps leave a belief as it is, however many there are: that of the salts of a label, read
// with a meter, has the mean and the width that Bayes' rule gives it after eighty steps.
func TestStepsLeaveABeliefAsItIs(t *testing.T) {
	m := model(t, labelled(t))
	for _, seen := range []float64{11.1, 10.8} {
		c, err := m.compile([]Event{Read{strip(t, "pH meter"), seen}})
		require.NoError(t, err)
		of := func(baths []bath) believed {
			for i := range baths {
				baths[i].pH = m.surface.pH(&baths[i].mix) + m.astray(c, baths[i].z, 0)
			}
			return believe(baths)
		}
		many := m.prior(c, m.salts, 8000)
		for i := range many.baths {
			b := &many.baths[i]
			m.follow(c, b, 1, 1, math.Inf(-1))
			b.weight *= math.Exp(b.logs[0])
		}
		w := m.prior(c, m.salts, particles)
		w.learn(1, true)
		w.resample()
		for range 10 {
			for i := range w.baths {
				w.baths[i].copy = true // so that it goes on to the last
			}
			w.move(1, 1, false)
		}
		want, got := of(many.baths), of(w.baths)
		assert.InEpsilon(t, want.sd, got.sd, 0.12, seen)
		assert.InDelta(t, want.pH, got.pH, 0.15*want.sd, seen)
		kept := 0
		for i := range w.baths {
			if w.baths[i].copy {
				kept++
			}
		}
		assert.LessOrEqual(t, float64(kept), alike*particles, "most have moved")
	}
}

// Of a label the salts that it does not name have four hundredths of the first cloud each, so
// that there are some when a reading speaks for them, and where nothing is seen their odds.
func TestFirstCloudOfALabel(t *testing.T) {
	m := model(t, labelled(t))
	for name, events := range map[string][]Event{"seen": {Read{strip(t, "universal strip"), 4}}, "unseen": nil} {
		c, err := m.compile(events)
		require.NoError(t, err)
		w := m.prior(c, m.salts, 1000)
		number, odds := map[*salt]float64{}, map[*salt]float64{}
		for i := range w.baths {
			b := &w.baths[i]
			number[b.salt] += 1 / float64(len(w.baths))
			odds[b.salt] += b.weight
		}
		others := float64(len(m.salts) - 1)
		for i := range m.salts {
			k := &m.salts[i]
			chance := 0.9
			if !k.named {
				chance = 0.1 / others
			}
			part := chance
			if events != nil {
				part = max(0.9*chance, 0.04) / (0.9*0.9 + 0.04*others)
			}
			assert.InDelta(t, part, number[k], 2e-3, "%s: %s", name, k.reagent.Name)
			assert.InDelta(t, chance, odds[k], 2e-3, "%s: %s", name, k.reagent.Name)
		}
	}
}
