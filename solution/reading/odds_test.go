package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of a hundred baths ninety hold what the label says and lie in the window but for nine, ten hold
// something else and two of these lie in it. By the odds told 83 of a hundred are in the window; with
// ten times those of something else, which is 100 to 90, it is (81 + 20) of 190, and by all odds
// between the chance is no less.
func TestChanceByTheLeastFavourableOdds(t *testing.T) {
	m := model(t, labelled(t))
	require.InDelta(t, 10, m.doubts[inKind].Odds, 0)
	read := infer(t, m, Read{strip(t, "universal strip"), 9})
	p := counted(read, 7, map[float64]int{7: 83, 8.4: 17}, 2)
	for i := range p.baths {
		if i < 2 || i >= 92 { // in the order of their pH
			p.baths[i].salt = &m.strangers[0]
		}
	}
	assert.InDelta(t, 101.0/190, advise(t, p).Window, 1e-9)
	pH := p.PH()
	assert.Equal(t, 7.0, pH.Typical)
	assert.Equal(t, 8.4, pH.High)
}

// Whatever the odds of the doubts are within their factors, what is stated of a bath holds for
// them: the window at the least, and the ends of the range.
func TestStatedForAllOdds(t *testing.T) {
	s := tub(t)
	universal := strip(t, "universal strip")
	for _, events := range [][]Event{
		{Read{universal, 8}, Read{universal, 8}},
		{Read{universal, 11}, Added{s.Acid, amount(t, "70 g")}, Read{universal, 8}, Added{s.Acid, amount(t, "10 g")}, Read{universal, 7}, Read{universal, 7}},
		{Read{universal, 8}, Added{s.Acid, amount(t, "60 g")}, Read{universal, 7}},
	} {
		p := infer(t, model(t, s), events...)
		stated, pH := advise(t, p).Window, p.PH()
		other, _ := p.is(inKind)
		off, _ := p.is(inOffset)
		for _, kind := range []float64{0.1, 0.5, 1, 3, 10} {
			for _, offset := range []float64{1.0 / 3, 1, 2, 3} {
				var all, inside, below, above, one float64
				for i := range p.baths {
					b := &p.baths[i]
					w := b.weight
					if other(b) {
						w *= kind
					}
					if off(b) {
						w *= offset
					}
					all, one = all+w, max(one, w) // ends lie on baths
					if math.Abs(b.pH-7) <= Window {
						inside += w
					}
					if b.pH < pH.Low {
						below += w
					}
					if b.pH > pH.High {
						above += w
					}
				}
				name := []any{"%d events, odds of something else %g, of an offset %g", len(events), kind, offset}
				assert.GreaterOrEqual(t, inside/all, stated-1e-9, name...)
				assert.LessOrEqual(t, below/all, 0.05+one/all, name...)
				assert.LessOrEqual(t, above/all, 0.05+one/all, name...)
			}
		}
	}
}
