package reading

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Baths that are drawn to try advice on keep the ranges of the tables, nine in ten within, hold
// a salt of the label as often as it is weighed, and are off by what the constants leave; what is
// told right is never beyond a doubt.
func TestDrawnBathsKeepTheRanges(t *testing.T) {
	s := tub(t)
	s.Bag = tetrasodium(t)
	s.Bag[0].Weight, s.Bag[1].Weight, s.Bag[2].Weight = 1, 2, 5
	const n = 4000
	for _, base := range []bool{false, true} { // sets the pH
		if base {
			s.Acid = tables.Reagent{}
		}
		m := model(t, s)
		random := rand.New(rand.NewPCG(7, 8))
		salts, within, water, off := map[string]float64{}, map[string]float64{}, []float64{}, []float64{}
		hold := func(what string, r tables.Range, x float64) {
			if r.Low <= x && x <= r.High {
				within[what] += 1.0 / n
			}
		}
		for range n {
			bath, o, err := m.Draw(random)
			require.NoError(t, err)
			k := bath.Bag[0].Salt
			salts[k.ID] += 1.0 / n
			told := reagent(t, k.ID)
			hold("assay", told.Assay, k.Assay.Typical)
			hold("free base", told.ExcessBase, k.ExcessBase.Typical)
			hold("packing", packing(told), k.Bulk.Typical)
			hold("packing of the base", packing(s.Base), bath.Base.Bulk.Typical)
			if setter := bath.Acid; !base {
				hold("packing of the acid", packing(s.Acid), setter.Bulk.Typical)
				hold("assay of the acid", s.Acid.Assay, setter.Assay.Typical)
				require.Equal(t, s.Base.Assay.Typical, bath.Base.Assay.Typical, "only of what sets the pH")
			} else {
				hold("assay of the base", s.Base.Assay, bath.Base.Assay.Typical)
			}
			water, off = append(water, math.Log(float64(bath.Water.Alkalinity/s.Water.Alkalinity))), append(off, o)
		}
		for i, c := range s.Bag {
			assert.InDelta(t, c.Weight/8, salts[c.Salt.ID], 0.03, "salt %d", i)
		}
		for what, share := range within {
			if assay := map[string]tables.Range{"assay": s.Bag[0].Salt.Assay, "assay of the acid": s.Acid.Assay, "assay of the base": s.Base.Assay}[what]; assay.High >= 1 {
				assert.InDelta(t, 0.95, share, 0.015, what) // whose end is a bound
			} else if what == "assay" {
				assert.Greater(t, share, 0.885, what)
			} else {
				assert.InDelta(t, 0.9, share, 0.02, what)
			}
		}
		assert.Len(t, within, 5+map[bool]int{false: 1, true: 0}[base])
		assert.InEpsilon(t, 0.05, stat.StdDev(off, nil), 0.05)
		assert.InEpsilon(t, math.Log(1.15)/1.645, stat.StdDev(water, nil), 0.05)
	}
}

// A reading far from the bath keeps its digits on both sides: the normal integral between
// the ends of its mark, by the complement, alike mirrored.
func TestFarReadingsKeepTheirDigits(t *testing.T) {
	x, err := newSight(Read{strip(t, "pH meter"), 7})
	require.NoError(t, err)
	for far := 0.0; far < 30; far += 1.7 {
		above := x.likelihood(7-far*x.spread, 0)
		a, b := far-0.005/x.spread, far+0.005/x.spread
		want := 0.5 * (math.Erfc(a/math.Sqrt2) - math.Erfc(b/math.Sqrt2))
		assert.InEpsilon(t, want, above, 1e-6, "%g standard deviations", far)
		assert.InEpsilon(t, above, x.likelihood(7+far*x.spread, 0), 1e-6)
		assert.InEpsilon(t, above, x.likelihood(7-far*x.spread-0.1, 0.1), 1e-6, "a bias is taken off")
	}
}

// What an addition does, by hand: the middle of what the scale or the spoon makes of it, and
// the share of baths that it carries past their limit, those that are past it not counted.
func TestOutcomeByHand(t *testing.T) {
	p := infer(t, model(t, labelled(t)), Read{strip(t, "pH meter"), 11.1})
	p.baths = p.baths[:5]
	for i := range p.baths {
		p.baths[i].weight = []float64{0.1, 0.15, 0.2, 0.25, 0.3}[i]
	}
	x, err := p.model.template(p.model.setter)
	require.NoError(t, err)
	out := p.outcome(&x, "a spoon", 20, []float64{-1, 19, 20, 21, 0}, []float64{1, 1, 1, 1, 1})
	assert.Equal(t, "a spoon", out.Text)
	assert.InDelta(t, 0.15, out.Overshoot, 1e-12)
	assert.InDelta(t, 20, out.MassGrams, 1e-9)
	less := p.outcome(&x, "", 10, []float64{5, 5, 5, 5, 5}, []float64{2, 2, 2, 2, 2})
	assert.InDelta(t, 20, less.MassGrams, 1e-9)
	assert.InDelta(t, 1, less.Overshoot, 1e-12)
	assert.InDelta(t, out.PHAfter.Typical, less.PHAfter.Typical, 1e-9, "the same 20 g")
	assert.Less(t, out.PHAfter.Typical, p.PH().Typical)
}

// What is said of an addition are its figures: what is needed, one bath in so many by the
// risk, or the chance of the middle of it, and on which side of the limit.
func TestWhyByHand(t *testing.T) {
	p := infer(t, model(t, labelled(t)), Read{strip(t, "pH meter"), 11.1})
	a := &Advice{Reagent: "Acid", PH: tables.Range{Low: 10.9, Typical: 11, High: 11.2}, NeedGrams: tables.Range{Low: 60, Typical: 80, High: 100}, Weighed: &Portion{MassGrams: 70, Overshoot: 0.0123}}
	x := &portion{}
	said := p.whyAdd(a, x, -1, 6, 0.02)
	assert.Equal(t, "The bath is at pH 10.9 to 11.2 and needs 60 g to 100 g of Acid to reach 7.0. More than 70 g at once could carry it below 6.0 in one bath in 50; the next reading will narrow this down.", said)
	assert.Contains(t, p.whyAdd(a, x, 1, 8, 0.008), "above 8.0 in one bath in 125")
	a.Weighed.MassGrams = 74.3 // 0.93 of 80 is 74.4
	assert.Contains(t, p.whyAdd(a, x, -1, 6, 0.02), "in one bath in 50")
	a.Weighed.MassGrams = 74.5
	assert.Contains(t, p.whyAdd(a, x, -1, 6, 0.02), "is the middle of that, with a chance of 1.2 % to end below 6.0.")
	a.Weighed.Overshoot = 0.0009
	assert.Contains(t, p.whyAdd(a, x, -1, 6, 0.02), "less than 0.1 %")
	a.NeedGrams.Low = -3
	assert.Contains(t, p.whyAdd(a, x, -1, 6, 0.02), "needs none or up to 100 g")
	for _, open := range []bool{false, true} {
		for _, name := range []string{"washing soda", "lye"} {
			x.open, x.reagent = open, reagent(t, name)
			assert.Equal(t, open && name == "washing soda", strings.Contains(p.whyAdd(a, x, 1, 8, 0.02), "comes there within days"))
		}
	}
	assert.Equal(t, "7.0", span(tables.Range{Low: 6.96, High: 7.04}))
	assert.Equal(t, "6.9 to 7.1", span(tables.Range{Low: 6.94, High: 7.06}))
}

// How likely it is, before anything was read, that something told is wrong: by the table, as
// often as it may be; the label by what else the bag may hold; and afterwards as the baths have it.
func TestChancesOfWrongByHand(t *testing.T) {
	m := model(t, labelled(t))
	p := infer(t, m, Read{strip(t, "pH meter"), 11.1}, Added{m.setup.Acid, measure.Amount{MassGrams: 20}}, Read{strip(t, "universal strip"), 11})
	for k, want := range map[int]float64{
		ofAssay: 0.11, ofFreeBase: 0.06, ofWater: 0.11, ofGas: 0.1, ofHeap: 0.05, ofSetter: 0.04,
		inCount: 2 * 0.04, inOffset: 2 * 0.5, inReading: 0.02, inKind: 0.1, inLabel: 0.9 * 0.1,
	} {
		before, now := p.wrong(k)
		assert.InDelta(t, want, before, 1e-9, doubtIDs[k])
		assert.True(t, 0 <= now && now <= 1+1e-9)
	}
	for i := range p.baths {
		clear(p.baths[i].z)
		p.baths[i].weight, p.baths[i].salt = 1/float64(len(p.baths)), &m.salts[0]
	}
	for _, k := range []int{ofAssay, inCount, inOffset, inLabel, inKind} {
		_, now := p.wrong(k)
		assert.Zero(t, now, doubtIDs[k])
	}
	quarter := len(p.baths) / 4
	for i := range quarter {
		p.baths[i].z[ofHeap], p.baths[2*i].z[common+1], p.baths[i].z[common+4+1] = 8, -8, 8 // heaped, the second amount, the second instrument
	}
	for k, want := range map[int]float64{ofHeap: 0.25, inCount: 0.25, inOffset: 0.25, ofAssay: 0} {
		_, now := p.wrong(k)
		assert.InDelta(t, want, now, 0.01, doubtIDs[k])
	}
	p.gross = []float64{0.1, 0.4}
	_, now := p.wrong(inReading)
	assert.InDelta(t, 0.4, now, 0)
	// told once likely by a quarter and twice as likely as before
	ids := map[string]bool{}
	for _, x := range p.Suspects() {
		ids[x.Doubt] = true
	}
	assert.Equal(t, map[string]bool{"reading": true, "count": true, "spoon": true}, ids)
}

// A strip for something else is none, nor is one without a step, an error or a scale.
func TestStripsThatAreNone(t *testing.T) {
	good := strip(t, "universal strip")
	_, err := newSight(Read{good, 7})
	require.NoError(t, err)
	for what, spoil := range map[string]func(*tables.Strip){
		"quantity": func(s *tables.Strip) { s.Quantity = "hardness" }, "step": func(s *tables.Strip) { s.Step = 0 },
		"error": func(s *tables.Strip) { s.ReadingError = 0 }, "scale": func(s *tables.Strip) { s.High = s.Low },
	} {
		bad := good
		spoil(&bad)
		_, err := newSight(Read{bad, good.Low})
		require.ErrorIs(t, err, chem.ErrInput, what)
	}
}

// The bases that undo an overshoot are a powder of each kind: the one of the setup where it is of
// the kind, else the first of the tables; of the salts of the chelant the one with the most base
// and, of those, the most water.
func TestKindsOfRemedies(t *testing.T) {
	s := labelled(t)
	for base, soda := range map[string]string{"washing soda": "sodium-carbonate-monohydrate", "washing soda crystals": "sodium-carbonate-decahydrate", "lye": "", "household ammonia": ""} {
		s.Base = reagent(t, base)
		kinds := model(t, s).kinds()
		if soda == "" {
			soda = "sodium-carbonate" // the first of the tables
		}
		for i, want := range []string{soda, "sodium-bicarbonate", "sodium-hydroxide", "edta-tetrasodium-tetrahydrate"} {
			assert.Equal(t, want, kinds[i].ID, "%s beside %s", want, base)
		}
	}
	s.Base = reagent(t, "potassium hydroxide")
	assert.Equal(t, "potassium-hydroxide", model(t, s).kinds()[2].ID)
	s.Bag, s.Base = []Candidate{{reagent(t, "trisodium NTA"), 1}}, tables.Reagent{}
	assert.Equal(t, "nta-trisodium", model(t, s).kinds()[3].ID)
}
