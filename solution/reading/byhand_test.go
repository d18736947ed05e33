package reading

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// four is a belief of four baths by hand, 0.1, 0.2, 0.3 and 0.4 of it, of three salts: the
// last is something else.
func four(t *testing.T) *Posterior {
	t.Helper()
	m := *model(t, labelled(t))
	m.salts = []salt{{place: 0, clear: true, named: true}, {place: 1}, {place: 2, other: true}}
	m.salts[0].reagent.Name, m.salts[1].reagent.Name, m.salts[2].reagent.Name = "one", "two", "other"
	p := &Posterior{cloud: &cloud{model: &m, size: 4, course: &course{amounts: 1}}}
	for i, k := range []int{0, 1, 0, 2} {
		p.baths = append(p.baths, bath{salt: &m.salts[k], weight: 0.1 * float64(i+1), z: make([]float64, common+3), pH: 6 + float64(i)})
	}
	return p
}

// What an outcome tells of the salt, in bits, by hand: nothing if it is the same whatever
// the salt; all there is to know if each salt has an outcome of its own; and in between what
// the two hold apart less what they hold together (C. E. Shannon 1948).
func TestBitsByHand(t *testing.T) {
	p := four(t) // salts 0.4, 0.2, 0.4
	h := func(shares ...float64) (bits float64) {
		for _, x := range shares {
			bits -= x * math.Log2(x)
		}
		return bits
	}
	assert.InDelta(t, 0, p.tells(func(*bath) []float64 { return []float64{0.3, 0.7} }), 1e-12)
	own := func(b *bath) []float64 { x := make([]float64, 3); x[b.salt.place] = 1; return x }
	assert.InDelta(t, h(0.4, 0.2, 0.4), p.tells(own), 1e-12)
	// two outcomes that tell the first from the others nine times in ten
	half := func(b *bath) []float64 {
		if b.salt.place == 0 {
			return []float64{0.9, 0.1}
		}
		return []float64{0.1, 0.9}
	}
	first := 0.4*0.9 + 0.6*0.1
	want := h(0.4, 0.2, 0.4) + h(first, 1-first) - h(0.36, 0.04, 0.02, 0.18, 0.04, 0.36)
	assert.InDelta(t, want, p.tells(half), 1e-12)
	assert.Positive(t, want)
	for i := range p.model.salts { // to leave the bath clear or not are all there is
		k := &p.model.salts[i]
		assert.InDelta(t, 1, k.looks(true)+k.looks(false), 1e-12)
		assert.InDelta(t, map[int]float64{0: 0.97, 1: 0.03, 2: 0.5}[i], k.looks(true), 1e-12)
	}
	sum, leading := 0.0, p.leading()
	for _, c := range p.Salts() {
		sum += c.Weight
	}
	assert.InDelta(t, 1, sum, 1e-12)
	assert.Equal(t, "if the bag holds one or other or two", leading, "0.8 are not more than four fifths")
	p.baths[1].weight, p.baths[2].weight = 0.19, 0.31
	assert.Equal(t, "if the bag holds one or other", p.leading())
}

// Normal scores of ranks by hand: of n values all different those of (i − ½)/n, ties
// sharing the middle of theirs (as van der Waerden 1952 has them with n + 1), and
// none where all are equal. Between groups lies all of the variance where each is of one
// value, less what chance makes of it, and none where groups have nothing to do with it.
func TestRanksAndGroupsByHand(t *testing.T) {
	y := ranks([]float64{30, 10, 20, 20, 40})
	for i, u := range []float64{0.7, 0.1, 0.4, 0.4, 0.9} {
		assert.InDelta(t, distuv.UnitNormal.Quantile(u), y[i], 1e-12)
	}
	assert.Nil(t, ranks([]float64{2, 2, 2}))
	p := four(t)
	y = []float64{-1, 1, -1, 1}
	by := func(groups ...int) float64 {
		i := -1
		return p.between(y, 3, func(*bath) int { i++; return groups[i] })
	}
	variance := 4.0 / 3 // of −1, 1, −1, 1
	assert.InDelta(t, 1/variance-1.0/4, by(0, 1, 0, 1), 1e-12, "two groups: one beyond the first")
	assert.InDelta(t, 1/variance-2.0/4, by(0, 1, 0, 2), 1e-12)
	assert.Zero(t, by(0, 0, 1, 1), "what chance makes of it is more")
	assert.Zero(t, by(2, 2, 2, 2))
}

// Spoons hold no more than may go in, and hardly less: a pinch more would be another set of
// them. Below the smallest there are none.
func TestSpoonsHoldNoMore(t *testing.T) {
	for litres := 0.0005; litres < 1.2; litres *= 1.17 {
		for _, form := range []tables.Form{tables.Powder, tables.Liquid} {
			names, holds, err := spoonsWithin(form, litres)
			require.NoError(t, err)
			if holds == 0 {
				require.Less(t, litres, 0.0007, "an eighth of a teaspoon is 0.6 mL")
				continue
			}
			require.LessOrEqual(t, holds, litres*(1+1e-6))
			require.Greater(t, holds, 0.49*litres, names) // an eighth of a teaspoon, a quarter
			require.NotContains(t, names, "about")
			require.Equal(t, form == tables.Powder, strings.Contains(names, "level"), names)
			if form == tables.Liquid {
				said, _, _ := strings.Cut(names, ", ")
				v, err := measure.ParseVolume(said)
				require.NoError(t, err)
				require.InEpsilon(t, holds, float64(v/measure.Litre), 0.06, names)
			}
		}
	}
	_, none, err := spoonsWithin(tables.Powder, 0)
	require.NoError(t, err)
	require.Zero(t, none)
}

// What is needed brings a mixture to the pH, up or down, and less than nothing undoes what
// is beyond; the same in two portions; where no amount that makes sense does it the most that
// does is told, on the side on which it lacks.
func TestNeedBringsItThere(t *testing.T) {
	s := labelled(t)
	m := model(t, s)
	k := &m.salts[0]
	for _, name := range []string{"citric acid", "muriatic acid", "vinegar", "lye", "borax", "tetrasodium EDTA"} {
		p, err := m.template(reagent(t, name))
		require.NoError(t, err)
		sign := -1.0
		if p.raises(m.surface, 7) {
			sign = 1
		}
		assert.Equal(t, name == "lye" || name == "borax" || name == "tetrasodium EDTA", sign > 0, name)
		var fresh mixture
		k.pour(&fresh, 500*k.reagent.Assay.Typical, k.free.Typical)
		for _, to := range []float64{6, 7, 8, 9} {
			for _, sour := range []float64{40, 110} {
				mix := fresh
				mix.setter = sour
				before := m.surface.pH(&mix)
				grams, reached := m.surface.need(&mix, &p, sign, to)
				if !reached {
					assert.InDelta(t, m.setup.most(p.reagent), math.Abs(grams), 1e-9, name)
					continue
				}
				require.Equal(t, sign*(to-before) > 0, grams > 0, "%s from %.2f to %g: %g g", name, before, to, grams)
				if grams < 0 && (!p.setter || mix.setter+grams < 0) { // what is not in it cannot be taken out
					continue
				}
				there := p.stirred(&mix, grams)
				assert.InDelta(t, to, m.surface.pH(&there), 2e-3, name)
				part := p.stirred(&mix, 0.4*grams)
				rest, _ := m.surface.need(&part, &p, sign, to)
				assert.InDelta(t, 0.6*grams, rest, 2e-3*math.Abs(grams)+1e-3, name)
			}
		}
	}
	soda, err := m.template(reagent(t, "baking soda"))
	require.NoError(t, err)
	var sour mixture
	k.pour(&sour, 500*k.reagent.Assay.Typical, k.free.Typical)
	sour.setter = 110
	grams, reached := m.surface.need(&sour, &soda, 1, 10.5) // a bath of bicarbonate stands near 8.3
	assert.False(t, reached)
	assert.InDelta(t, 8000, grams, 1e-9, "400 g in each of 20 L")
}

// What is poured, by hand, in a bath that differs in one thing at a time from the middle one:
// of what sets the pH grams times its strength, of the bag grams times its assay, with the
// base of its formula and what is free; a spoon by its packing, heaped by half, a slip of the
// spoon by a twentieth, of the scale by a hundredth.
func TestPouredByHand(t *testing.T) {
	s := labelled(t)
	m := model(t, s)
	k, salt, acid := &m.salts[0], s.Bag[0].Salt, s.Acid
	const end, far = 1.6448536269514722, 8.0 // deviates of the ends of a range, and beyond all doubts
	pour := func(e Added, off float64, z map[int]float64) (mix mixture) {
		p, err := m.portion(e)
		require.NoError(t, err)
		all := make([]float64, common)
		for l, x := range z {
			all[l] = x
		}
		m.pour(&mix, k, all, &p, off)
		return mix
	}
	near := func(want, got float64, what string) { t.Helper(); assert.InEpsilon(t, want, got, 1e-6, what) }
	grams, cup := Added{acid, amount(t, "50 g")}, Added{acid, amount(t, "1 cup")}
	litres, d := cup.Amount.VolumeLitres, acid.Packing()
	near(50, pour(grams, 0, nil).setter, "weighed")
	near(50*1.01, pour(grams, 1, nil).setter, "a slip of the scale")
	near(50*acid.Assay.Low/acid.Assay.Typical, pour(grams, 0, map[int]float64{ofSetter: -end}).setter, "weak")
	near(litres*d.Typical, pour(cup, 0, nil).setter, "spooned")
	near(litres*d.Typical*1.05, pour(cup, 1, nil).setter, "a slip of the spoon")
	near(litres*d.Loose, pour(cup, 0, map[int]float64{ofSetterPacking: -end}).setter, "loose")
	near(litres*d.Tapped, pour(cup, 0, map[int]float64{ofSetterPacking: end}).setter, "tapped")
	near(litres*d.Typical*1.5, pour(cup, 0, map[int]float64{ofHeap: far}).setter, "heaped")
	near(50*0.65, pour(grams, 0, map[int]float64{ofSetter: -far}).setter/share(acid.Assay, -far)*acid.Assay.Typical, "weaker than sold")
	bag := Added{Amount: amount(t, "500 g")}
	perGram := 1 / salt.Formula.MolarMass()
	for what, x := range map[string]struct {
		z             map[int]float64
		assay, alkali float64
	}{
		"typical": {nil, salt.Assay.Typical, salt.ExcessBase.Typical},
		"weak":    {map[int]float64{ofAssay: -1.2}, salt.Assay.Typical * math.Pow(salt.Assay.Low/salt.Assay.Typical, 1.2/end), salt.ExcessBase.Typical},
		"free":    {map[int]float64{ofFreeBase: end / 2}, salt.Assay.Typical, (salt.ExcessBase.Typical + salt.ExcessBase.High) / 2},
		"damp":    {map[int]float64{ofAssay: -far}, 0.45 * share(salt.Assay, -far), salt.ExcessBase.Typical},
	} {
		mix := pour(bag, 0, x.z)
		near(500*perGram*x.assay, mix.chelant, what)
		near(500*perGram*x.assay*(4+x.alkali), mix.base, what)
		assert.Zero(t, mix.gas, what)
	}
	// soda in the bag: four mol of base for each of chelant at most, with half as much carbonate
	mix := pour(bag, 0, map[int]float64{ofFreeBase: far})
	soda := mix.base/mix.chelant - 4 - spreadAt(salt.ExcessBase, far)
	assert.InDelta(t, 4, soda, 1e-3)
	near(1000*mix.chelant*soda/2/20, mix.gas, "mmol in each of 20 L")
}

// spreadAt is a range at a deviate, straight from its middle to its ends and on.
func spreadAt(r tables.Range, z float64) float64 {
	return r.Typical + (r.High-r.Typical)*z/1.6448536269514722
}

// What is left once gas has gone, by hand: a carbonate leaves its strong base, in a dose and in
// what sets the pH; the carbonic acid that is kept is the same at any pH and the rest goes with
// it by powers of ten; water without a carbonate gives gas off and takes none up.
func TestAiredByHand(t *testing.T) {
	at := kept{acid: 0.03, all: 0.15} // mmol/L at pH 7
	f := &surface{model: &Model{setup: Setup{PH: 7}}, water: 1.5, aftermath: 0.01}
	soda, salt := &axis{lye: 0.02}, &axis{}
	mix := mixture{chelant: 1, base: 4, water: 0.2, gas: 0.1, other: []dose{{soda, 30}, {salt, 50}}}
	got := f.aired(mix, 8, at)
	assert.InDelta(t, 4+30*0.02, got.base, 1e-12)
	assert.Equal(t, []dose{{salt, 50}}, got.other)
	assert.InDelta(t, 0.03+0.12*10-1.5*1.2, got.gas, 1e-12)
	assert.InDelta(t, 4, mix.base, 0, "the mixture stays what it is")
	assert.Len(t, mix.other, 2)
	mix.other = []dose{{salt, 50}}
	assert.InDelta(t, 1.23-1.8, f.aired(mix, 8, at).gas, 1e-12, "more than is kept")
	assert.InDelta(t, 0.1, f.aired(mix, 9, at).gas, 1e-12, "less than is kept")
	mix.setter = 20
	set := f.aired(mix, 9, at)
	assert.InDelta(t, 4+20*0.01, set.base, 1e-12)
	assert.Zero(t, set.setter)
	assert.InDelta(t, 0.03+0.12*100-1.8, set.gas, 1e-12, "what sets the pH has brought it")
	f.aftermath = 0
	assert.InDelta(t, 20, f.aired(mix, 9, at).setter, 0)
}

// What carbon dioxide water keeps, by hand: under the air of a room 7·10⁻⁴ atm at 0.0391
// mol/(L atm), and at pH 7 with pK 6.38 five times as much in all (Plummer & Busenberg 1982 at
// 20 °C; 1.5 mmol/L of salt lower that by 0.02); where it fizzes, 0.977 atm. Tap water holds
// in all its alkalinity and the carbonic acid beside that.
func TestCarbonDioxideThatWaterKeeps(t *testing.T) {
	f := model(t, labelled(t)).surface
	acid := 1000 * 7e-4 * 0.0391
	assert.InEpsilon(t, acid, f.inRoom.acid, 0.02)
	assert.InEpsilon(t, acid*(1+math.Pow(10, 7-6.36)), f.inRoom.all, 0.05)
	assert.InEpsilon(t, 1000*0.977*0.0391, f.fizzed.acid, 0.1) // in a bath, which holds a little less
	assert.Greater(t, f.fizzed.all, 4*f.fizzed.acid)
	w := water(t, "moderately hard tap water")
	assert.InEpsilon(t, 1000*float64(w.Alkalinity)*(1+math.Pow(10, 6.36-w.PH)), f.water, 0.02)
}
