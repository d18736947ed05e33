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
