package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
)

// believed is what follows from some events, in figures: the chances of the salts by their
// sodium, of something else last, and the mean and standard deviation of the pH now.
type believed struct {
	salts  [6]float64
	pH, sd float64
}

// believe counts baths by their weights.
func believe(baths []bath) (x believed) {
	all := 0.0
	for i := range baths {
		b := &baths[i]
		all += b.weight
		if b.salt.other {
			x.salts[5] += b.weight
		} else {
			x.salts[int(math.Round(b.salt.base))] += b.weight
		}
		x.pH, x.sd = x.pH+b.weight*b.pH, x.sd+b.weight*b.pH*b.pH
	}
	for id := range x.salts {
		x.salts[id] /= all
	}
	x.pH /= all
	x.sd = math.Sqrt(x.sd/all - x.pH*x.pH)
	return x
}

// byBayes is the belief by Bayes' rule alone: many baths of the prior, of either kind, each
// weighed by how likely all that was seen is in it.
func byBayes(t *testing.T, m *Model, size int, events ...Event) believed {
	c, err := m.compile(events)
	require.NoError(t, err)
	var all []bath
	for _, other := range []bool{false, true} {
		w := m.prior(c, other, size)
		for _, b := range w.baths {
			m.follow(c, &b, len(c.seen), 1, math.Inf(-1))
			b.weight *= math.Exp(w.evidence)
			for _, l := range b.logs {
				b.weight *= math.Exp(l)
			}
			b.pH = m.surface.pH(&b.mix, 7) + m.astray(c, b.z, c.amounts-1)
			all = append(all, b)
		}
	}
	return believe(all)
}

// What a cloud learns by degrees, resampled and moved, is what Bayes' rule says of the
// prior: within three standard deviations of a stated chance, 0.027 (DEVELOPERS), and what
// that many baths leave a mean and a width.
func TestCloudIsWhatBayesSays(t *testing.T) {
	m := model(t, tub(t))
	universal, meter := strip(t, "universal strip"), strip(t, "pH meter")
	acid := func(grams float64) Added { return Added{m.setup.Acid, measure.Amount{MassGrams: grams}} }
	for name, events := range map[string][]Event{
		"a strip":      {Read{universal, 9}},
		"a meter":      {Read{meter, 11.1}},
		"two strips":   {Read{universal, 10}, Read{universal, 11}},
		"a spoon":      {Spoon{volume(t, "1 tbsp"), 11 * measure.Gram}},
		"a look":       {Clarity(false), Read{universal, 4}},
		"strips alone": {Read{universal, 11}, acid(75), Read{universal, 7}, Read{universal, 7}},
	} {
		want, got := byBayes(t, m, 4000, events...), believe(infer(t, m, events...).baths)
		for sodium, chance := range want.salts {
			assert.InDelta(t, chance, got.salts[sodium], 0.08, "%s: %d", name, sodium)
		}
		assert.InDelta(t, want.pH, got.pH, 0.15*want.sd, name)
		assert.InEpsilon(t, want.sd, got.sd, 0.15, name)
	}
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
				baths[i].pH = m.surface.pH(&baths[i].mix, 7) + m.astray(c, baths[i].z, 0)
			}
			return believe(baths)
		}
		many := m.prior(c, false, 8000)
		for i := range many.baths {
			b := &many.baths[i]
			m.follow(c, b, 1, 1, math.Inf(-1))
			b.weight *= math.Exp(b.logs[0])
		}
		w := m.prior(c, false, particles)
		w.learn(1, true)
		w.resample()
		for range 10 {
			for i := range w.baths {
				w.baths[i].copy = true // so that it goes on to the last
			}
			w.move(1, 1)
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
		assert.Less(t, kept, particles/5, "most have moved")
	}
}

// Of a label the salts that it does not name have four hundredths of the first cloud each, so
// that there are some when a reading speaks for them, and where nothing is seen their odds.
func TestFirstCloudOfALabel(t *testing.T) {
	m := model(t, labelled(t))
	for name, events := range map[string][]Event{"seen": {Read{strip(t, "universal strip"), 4}}, "unseen": nil} {
		c, err := m.compile(events)
		require.NoError(t, err)
		w := m.prior(c, false, 1000)
		number, odds := map[*salt]float64{}, map[*salt]float64{}
		for i := range w.baths {
			b := &w.baths[i]
			number[b.salt] += 1 / float64(len(w.baths))
			odds[b.salt] += b.weight
		}
		others := float64(len(m.salts) - 2)
		for i := range m.salts[:len(m.salts)-1] {
			k := &m.salts[i]
			chance := 0.97
			if !k.named {
				chance = 0.03 / others
			}
			part := chance
			if events != nil {
				part = max(0.97*chance, 0.04) / (0.97*0.97 + 0.04*others)
			}
			assert.InDelta(t, part, number[k], 2e-3, "%s: %s", name, k.reagent.Name)
			assert.InDelta(t, chance, odds[k], 2e-3, "%s: %s", name, k.reagent.Name)
		}
	}
}
