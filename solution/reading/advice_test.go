package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// An addition tolerated at a smaller risk is never larger.
func TestLessRiskLessAcid(t *testing.T) {
	last := 0.0
	for _, risk := range []float64{0.01, 0.02, 0.05, 0.2, 0.5} {
		s := tub(t)
		s.Risk = risk
		a := advise(t, infer(t, model(t, s), Read{strip(t, "universal strip"), 10}))
		require.Equal(t, Add, a.Action)
		assert.GreaterOrEqual(t, a.Weighed.MassGrams*1.02, last, "risk %g", risk)
		last = a.Weighed.MassGrams
		assert.LessOrEqual(t, a.Weighed.Overshoot, risk)
		assert.LessOrEqual(t, a.Spooned.Overshoot, risk)
	}
}

// What is advised exists in the drawer, or on the scale, and is what it says.
func TestPortionsCanBeMeasured(t *testing.T) {
	m := model(t, tub(t))
	for _, seen := range []float64{4, 8, 10, 11, 12} {
		a := advise(t, infer(t, m, Read{strip(t, "universal strip"), seen}))
		require.Equal(t, Add, a.Action, "pH %g", seen)
		assert.InEpsilon(t, a.Spooned.MassGrams, 1000*float64(volume(t, a.Spooned.Text))*reagent(t, a.Reagent).Packing().Typical, 0.05, a.Spooned.Text)
		assert.InEpsilon(t, a.Weighed.MassGrams, a.Spooned.MassGrams, 0.4)
		grams, err := measure.ParseMass(a.Weighed.Text)
		require.NoError(t, err)
		assert.InEpsilon(t, a.Weighed.MassGrams, 1000*float64(grams), 0.03)
		assert.NotEmpty(t, a.Why)
	}
}

// Near the target a reading is believed and nothing more is added; a bath that
// went below is turned back with base; a fresh bath is read first, and so is one
// into which something was just stirred.
func TestWhatToDo(t *testing.T) {
	s := tub(t)
	m := model(t, s)
	meter := strip(t, "pH meter")
	assert.Equal(t, Look, advise(t, infer(t, m)).Action)
	assert.Equal(t, Look, advise(t, infer(t, m, Read{meter, 11.1}, Added{s.Acid, amount(t, "60 g")})).Action)
	neutral := advise(t, infer(t, m, Read{meter, 11.1}, Added{s.Acid, amount(t, "85 g")}, Read{meter, 7}))
	assert.Equal(t, Stop, neutral.Action)
	assert.Greater(t, neutral.Window, 0.9)

	p := infer(t, m, Read{meter, 11.1}, Added{s.Acid, amount(t, "140 g")}, Read{meter, 5.6})
	sour := advise(t, p)
	assert.Equal(t, Add, sour.Action)
	assert.Equal(t, s.Base.Name, sour.Reagent)
	remedies, err := p.Remedies()
	require.NoError(t, err)
	require.NotEmpty(t, remedies)
	for _, r := range remedies {
		assert.Positive(t, r.SafeGrams)
		assert.LessOrEqual(t, r.SafeGrams, r.MassGrams.Typical)
		if r.Reagent == s.Base.Name { // under a lid what shows today, which is more than what is right for good
			assert.InEpsilon(t, sour.NeedGrams.Typical, r.MassGrams.Typical, 0.01)
			assert.Greater(t, r.NowGrams, 1.3*r.ForGoodGrams)
		}
	}
	// An overshoot of some 50 g of citric acid, three protons less what the
	// bath does not take up at pH 7, weighs about as much again in washing soda:
	// 62 g of monohydrate for each mole of protons (formula masses), once the gas has
	// left: CO3²⁻ + 2 H⁺.
	byName := map[string]Remedy{}
	for _, r := range remedies {
		byName[r.Reagent] = r
	}
	lye, soda := byName["Sodium hydroxide"], byName["Sodium carbonate monohydrate"]
	assert.InEpsilon(t, lye.SaltMoles*lye.ForGoodGrams/lye.NowGrams, soda.SaltMoles*soda.ForGoodGrams/soda.NowGrams, 0.02)
}

// A base that cannot reach the target is refused: baking soda holds a bath near
// pH 8 (pK of bicarbonate 6.35 and 10.33, whose mean is 8.3).
func TestBaseTooWeak(t *testing.T) {
	s := tub(t)
	s.Base, s.PH = reagent(t, "baking soda"), 10
	_, err := infer(t, model(t, s), Read{strip(t, "pH meter"), 4.4}).Advise()
	require.ErrorIs(t, err, chem.ErrInput)
	assert.ErrorContains(t, err, "Base")
}

// Before anything is known a reading tells more of the salt than anything else
// for the trouble; after it, the hydrates are left, and weighing a spoon tells
// more than reading again.
func TestCheapestTest(t *testing.T) {
	m := model(t, tub(t))
	universal := strip(t, "universal strip")
	first, err := infer(t, m).Tests(universal)
	require.NoError(t, err)
	assert.Contains(t, first[0].Text, "read the bath")
	other := m.doubts[inKind].More
	assert.InDelta(t, -(1-other)*math.Log2((1-other)/7)-other*math.Log2(other), first[0].OpenBits, 0.03, "seven salts and something else")
	p := infer(t, m, Read{universal, 11})
	then, err := p.Tests(universal)
	require.NoError(t, err)
	bits := map[string]float64{}
	for _, x := range then {
		bits[x.Text] = x.Bits
		assert.LessOrEqual(t, x.Bits, x.OpenBits+1e-9)
		assert.GreaterOrEqual(t, x.Bits, 0.0)
	}
	assert.Greater(t, bits["weigh a level tablespoon from the bag"], bits["read the bath with a "+universal.Name])
}

// What widens the forecast: for a spooned bag of stated salt the spoon, for a
// weighed one the free base and the water; prices follow the masses.
func TestForecast(t *testing.T) {
	s := tub(t)
	s.Bag = tetrasodium(t)
	price := func(salt, acid float64) float64 { return 0.010*salt + 0.008*acid }
	spooned, err := model(t, s).Forecast(price)
	require.NoError(t, err)
	assert.Equal(t, "weigh the salt", spooned.DoseGrams.Causes[0].Remedy)
	assert.Equal(t, "weigh the salt", spooned.IronMoles.Causes[0].Remedy)
	assert.Equal(t, "weigh the salt", spooned.Cost.Causes[0].Remedy)

	s.Bag, s.Amount = tetrasodium(t)[2:], amount(t, "500 g")
	weighed, err := model(t, s).Forecast(nil)
	require.NoError(t, err)
	assert.Nil(t, weighed.Cost)
	assert.Equal(t, "free base in the bag", weighed.PH.Causes[0].Name)
	assert.Less(t, width(weighed.DoseGrams.Range), width(spooned.DoseGrams.Range))
	// 500 g at 0.99 and 452.2 g/mol, less 90 mg/L of hardness as CaCO3 in 20 L.
	assert.InDelta(t, 500*0.99/452.23-0.0180, weighed.IronMoles.Typical, 0.01)
	for _, f := range []Figure{weighed.PH, weighed.DoseGrams, weighed.IronMoles} {
		sum := 0.0
		for _, c := range f.Causes {
			sum += c.Share
		}
		assert.LessOrEqual(t, sum, 1.1, "no more than the whole: %+v", f)
		assert.Greater(t, sum, 0.6, "the causes explain most of the range: %+v", f)
	}
	// If all is as told, the bath takes what the solver says for a bag of typical free base,
	// and most of the range comes from what the tables leave open of that and of the constants.
	var constants float64 // standard uncertainty, g
	dose := func(free float64) float64 {
		salt := s.Bag[0].Salt
		salt.ExcessBase.Typical = free
		v, err := solution.New(standard(t), s.Temperature)
		require.NoError(t, err)
		require.NoError(t, v.AddWater(s.Water, s.Volume))
		require.NoError(t, v.Add(salt, 500*measure.Gram))
		d, err := v.Dose(s.Acid, solution.PH(7))
		require.NoError(t, err)
		require.NoError(t, v.Add(s.Acid, d.Mass()))
		u, err := v.DoseUncertainty(s.Acid)
		require.NoError(t, err)
		constants = u.Sigma
		return d.MassGrams
	}
	free := s.Bag[0].Salt.ExcessBase
	low, high, typical := dose(free.Low), dose(free.High), dose(free.Typical)
	assert.InDelta(t, typical, weighed.DoseGrams.Typical, 1)
	assert.InDelta(t, typical-math.Hypot(typical-low, 1.645*constants), weighed.DoseGrams.Low, 1.5)
	assert.InDelta(t, typical+math.Hypot(typical-high, 1.645*constants), weighed.DoseGrams.High, 1.5)
	assert.InDelta(t, typical-1.645*constants, weighed.ByConstants.Low, 0.01)
	assert.InDelta(t, typical, weighed.ByConstants.Typical, 0.01)
	assert.InDelta(t, typical+1.645*constants, weighed.ByConstants.High, 0.01)
	// Nine doubts of the table bear on a bath that nobody read.
	right := 1.0
	for _, id := range []string{"label", "else", "strength", "alkali", "count", "spoon", "water", "gas", "reagent"} {
		d, err := tables.Find[tables.Doubt](standard(t), id)
		require.NoError(t, err)
		right *= 1 - d.Less - d.More
	}
	assert.InDelta(t, 1-right, weighed.DoubtFraction, 0.05)
	assert.LessOrEqual(t, weighed.FirstGrams, weighed.DoseGrams.Typical)
}

// A reading has an end: a bath of trisodium EDTA, which starts at pH 8.8, gets acid once two
// readings of a meter agree, although powders that hold no pH at all start there too.
func TestReadingsHaveAnEnd(t *testing.T) {
	s := tub(t)
	m, meter := model(t, s), strip(t, "pH meter")
	a := advise(t, infer(t, m, Read{meter, 8.79}, Read{meter, 8.77}))
	require.Equal(t, Add, a.Action, a.Why)
	assert.Equal(t, s.Acid.Name, a.Reagent)
	assert.LessOrEqual(t, a.Weighed.Overshoot, mostRisk)
}
