package reading

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	gonum "gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
)

// vessel is the tub with what was told in it, by the solver.
func vessel(t *testing.T, s Setup, more ...Added) *solution.Solution {
	t.Helper()
	v, err := solution.New(standard(t), s.Temperature)
	require.NoError(t, err)
	require.NoError(t, v.AddWater(s.Water, s.Volume))
	for _, a := range append([]Added{{s.Bag[0].Salt, s.Amount}}, more...) {
		m, err := a.Amount.Weigh(a.Reagent.Packing())
		require.NoError(t, err)
		require.NoError(t, v.Add(a.Reagent, m.Typical()))
	}
	return v
}

// labelled is the tub with a bag of one salt, weighed.
func labelled(t *testing.T) Setup {
	s := tub(t)
	s.Bag, s.Amount = tetrasodium(t)[2:], amount(t, "500 g")
	return s
}

// An addition takes no more of the tolerated risk than its part: 0.35 of it the first time, 0.4
// of that later; and of the baths of a powder that the readings made twice as likely as it was
// no more than six in a hundred go past. Counted bath by bath, each with its own strength and slip
// of the scale; a tenth more would take too much, or go past the middle of the cloud.
func TestAdditionsTakeTheirPartOfTheRisk(t *testing.T) {
	meter, universal := strip(t, "pH meter"), strip(t, "universal strip")
	s := labelled(t)
	for _, bag := range [][]Candidate{s.Bag, nil} {
		for _, risk := range []float64{0.02, 0.05, 0.2} {
			s.Bag, s.Risk = bag, risk
			m := model(t, s)
			acid, base := Added{s.Acid, amount(t, "45 g")}, Added{s.Base, amount(t, "30 g")}
			for name, c := range map[string]struct {
				events []Event
				sign   float64
				again  bool // something went in before
			}{
				"first":       {[]Event{Read{universal, 11}}, -1, false},
				"second":      {[]Event{Read{meter, 11.1}, acid, Read{meter, 9.6}}, -1, true},
				"other way":   {[]Event{Read{meter, 11.1}, base, Read{universal, 11}}, -1, true},
				"back":        {[]Event{Read{meter, 11.1}, Added{s.Acid, amount(t, "160 g")}, Read{meter, 5}}, 1, true},
				"and further": {[]Event{Read{meter, 11.1}, Added{s.Acid, amount(t, "190 g")}, Read{meter, 4.4}, Added{s.Base, amount(t, "9 g")}, Read{meter, 4.6}}, 1, true},
			} {
				p := infer(t, m, c.events...)
				a := advise(t, p)
				if a.Weighed == nil {
					continue
				}
				part := 0.35 * risk
				if c.again {
					part *= 0.4
				}
				apart := map[*salt]float64{} // a part of each stranger that the readings speak for
				for i := range p.model.strangers {
					k := &p.model.strangers[i]
					if is := p.share(func(b *bath) bool { return b.salt == k }); is > 2*k.prior {
						apart[k] = 0.06 * is
					}
				}
				r, edge := s.Acid, 7-1.0
				if c.sign > 0 {
					r, edge = s.Base, 7+1.0
				}
				require.Equal(t, r.Name, a.Reagent, name)
				x, err := m.template(r)
				require.NoError(t, err)
				passed := func(grams float64) (all, beyond float64) { // share of baths that are not past it and would be, and of a stranger beyond its part
					limit, _ := p.needs(&x, c.sign, edge)
					of := map[*salt]float64{}
					for i := range p.baths {
						if g := grams * (1 + weighing*deviate(i, len(p.baths))); limit[i] > 0 && g > limit[i] {
							all += p.baths[i].weight
							of[p.baths[i].salt] += p.baths[i].weight
						}
					}
					beyond = -1
					for k, part := range apart {
						beyond = max(beyond, of[k]-part)
					}
					return all, beyond
				}
				told := a.Weighed.MassGrams
				one := 1.01 / float64(len(p.baths))
				all, beyond := passed(told)
				require.InDelta(t, all, a.Weighed.Overshoot, 3*one, name)
				if p.course.readings < 2 { // read twice, more may be taken
					require.LessOrEqual(t, a.Weighed.Overshoot, part+one, name)
					require.LessOrEqual(t, beyond, one, name)
				}
				middle, _ := p.needs(&x, c.sign, 7)
				wanted := p.span(middle).Typical
				require.LessOrEqual(t, told, 1.01*wanted, name)
				all, beyond = passed(1.12 * told)
				require.True(t, all > part-one || beyond > -one || 1.12*told > 0.99*wanted, "%s: a tenth more would do", name)
				require.Less(t, a.NeedGrams.Low, a.NeedGrams.Typical)
				require.InEpsilon(t, p.span(middle).Typical, a.NeedGrams.Typical, 0.02, name)
			}
		}
	}
}

// What is told of a bath that is as told is what the solver says of it: the pH at the
// start and after a portion, the dose, and the base that undoes an overshoot.
func TestBeliefAgreesWithTheSolver(t *testing.T) {
	s := labelled(t)
	m := model(t, s)
	fresh := vessel(t, s)
	st, err := fresh.Equilibrate()
	require.NoError(t, err)
	f, err := m.Forecast(nil)
	require.NoError(t, err)
	require.InDelta(t, st.PH, f.PH.Typical, 0.05)
	dose, err := fresh.Dose(s.Acid, solution.PH(7))
	require.NoError(t, err)
	require.InEpsilon(t, dose.MassGrams, f.DoseGrams.Typical, 0.03)
	meter := strip(t, "pH meter")
	p := infer(t, m, Read{meter, math.Round(100*st.PH) / 100})
	a := advise(t, p)
	require.NotNil(t, a.Weighed)
	after := vessel(t, s, Added{s.Acid, measure.Amount{MassGrams: a.Weighed.MassGrams}})
	then, err := after.Equilibrate()
	require.NoError(t, err)
	require.InDelta(t, then.PH, a.Weighed.PHAfter.Typical, 0.25)
	require.InEpsilon(t, dose.MassGrams, a.NeedGrams.Typical, 0.03)

	// 140 g where 82 are right: strong base back to 7 by the solver, in sodium by the formula
	sour := vessel(t, s, Added{s.Acid, amount(t, "140 g")})
	st, err = sour.Equilibrate()
	require.NoError(t, err)
	lye := reagent(t, "lye")
	back, err := sour.Dose(lye, solution.PH(7))
	require.NoError(t, err)
	p = infer(t, m, Read{meter, 11.14}, Added{s.Acid, amount(t, "140 g")}, Read{meter, math.Round(100*st.PH) / 100})
	all, err := p.Remedies()
	require.NoError(t, err)
	last := 0.0
	for _, r := range all {
		require.GreaterOrEqual(t, r.SaltMoles, last, "by the salt they leave")
		last = r.SaltMoles
		made, err := standard(t).Reagent(r.Reagent)
		require.NoError(t, err)
		sodium := 0.0
		for species, n := range made.Components() {
			if s := species.String(); s == "Na+" || s == "K+" {
				sodium += n
			}
		}
		require.InEpsilon(t, r.MassGrams.Typical*made.MolPerGram().Typical*sodium, r.SaltMoles, 1e-6, r.Reagent)
		require.True(t, r.MassGrams.Low <= r.MassGrams.Typical && r.MassGrams.Typical <= r.MassGrams.High)
		require.LessOrEqual(t, r.SafeGrams, r.MassGrams.Typical)
		require.Equal(t, r.NowGrams, r.MassGrams.Typical, "under a lid")
		if made.ID == lye.ID {
			require.InEpsilon(t, back.MassGrams, r.MassGrams.Typical, 0.04)
		}
		if made.Carbonated() { // the gas gone, as much sodium as lye brings; today more is asked for
			require.Greater(t, r.NowGrams, 1.1*r.ForGoodGrams)
			require.InEpsilon(t, back.MassGrams*lye.MolPerGram().Typical, r.SaltMoles*r.ForGoodGrams/r.NowGrams, 0.04, r.Reagent)
		}
	}
	require.Len(t, all, 4)
}

// Chances of all that could be read add up to one, wherever the bath is; they are largest
// where the bath is, and one in the gross share of anything else.
func TestChancesOfAReading(t *testing.T) {
	s := scale{2, 0.5, 20, 0.3, 0.04}
	for x := -3.0; x < 20; x += 0.37 {
		all, sum := s.chances(x), 0.0
		for _, c := range all {
			require.GreaterOrEqual(t, c, 0.04/20-1e-15)
			sum += c
		}
		require.InDelta(t, 1, sum, 1e-12)
		best := slices.Index(all, slices.Max(all))
		at := int(math.Floor((x - 2) / 0.5))
		require.InDelta(t, min(max(at, 0), 19), best, 1)
	}
}

// A doubt holds what is told as often as the table says, goes as far as it says and no
// further, and never back.
func TestDoubtsGoAsFarAsTheySay(t *testing.T) {
	m := model(t, labelled(t))
	for k := range m.doubts {
		d := &m.doubts[k]
		const n = 20001
		low, high, last := 0, 0, math.Inf(-1)
		for i := range n {
			z := math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/n-1)
			x := d.at(z)
			require.GreaterOrEqual(t, x, last-1e-12, d.ID)
			last = x
			if x < d.Told {
				low++
			}
			if x > d.Told {
				high++
			}
			if d.Least < d.Told || d.Most > d.Told {
				require.Equal(t, x != d.Told, d.wrong(z), d.ID)
			}
		}
		if d.Least < d.Told {
			require.InDelta(t, d.Less, float64(low)/n, 2e-4, d.ID)
			require.InDelta(t, d.Least, d.at(-8), 1e-3*math.Abs(d.Least-d.Told), d.ID)
		}
		if d.Most > d.Told {
			require.InDelta(t, d.More, float64(high)/n, 2e-4, d.ID)
			require.InDelta(t, d.Most, d.at(8), 1e-3*math.Abs(d.Most-d.Told), d.ID)
		}
	}
}

// The ends of what a setup may be told are taken, what lies a millionth beyond is not.
func TestBoundsOfASetup(t *testing.T) {
	keeps := func(name string, low, high float64, change func(*Setup, float64)) {
		t.Helper()
		call := func(x float64) error {
			s := labelled(t)
			change(&s, x)
			_, err := s.settled(standard(t))
			return err
		}
		require.NoError(t, call(low*(1+1e-12)), name)
		require.NoError(t, call(high*(1-1e-12)), name)
		for _, x := range []float64{low - 1e-6*max(low, 1), high * (1 + 1e-6), math.NaN()} {
			require.ErrorIs(t, call(x), chem.ErrInput, "%s %g", name, x)
		}
	}
	keeps("Volume", 0.05, 1e5, func(s *Setup, x float64) { s.Volume = gonum.Volume(x) * measure.Litre })
	keeps("Temperature", 273.15, 373.15, func(s *Setup, x float64) { s.Temperature = gonum.Temperature(x) })
	keeps("PH", 2, 12, func(s *Setup, x float64) { s.PH = x })
	keeps("Risk", 0.001, 0.5, func(s *Setup, x float64) { s.Risk = x })
	keeps("WaterTolerance", 1e-9, 2, func(s *Setup, x float64) {
		if s.WaterTolerance = x; x <= 1e-9-1e-10 {
			s.WaterTolerance = -1e-9
		}
	})
	m := model(t, labelled(t)) // and what goes in: 400 g of a powder, 3 kg of a liquid in a litre
	for name, most := range map[string]float64{"citric acid": 8000, "vinegar": 60000} {
		r := reagent(t, name)
		_, err := m.setup.weigh("x", r, measure.Amount{MassGrams: most})
		require.NoError(t, err)
		_, err = m.setup.weigh("x", r, measure.Amount{MassGrams: most * 1.000001})
		require.ErrorIs(t, err, chem.ErrInput)
		_, err = m.setup.weigh("x", r, measure.Amount{})
		require.ErrorIs(t, err, chem.ErrInput)
	}
	filled := m.Setup()
	require.InDelta(t, 7, filled.PH, 0)
	require.InDelta(t, 0.05, filled.Risk, 0)
	require.InDelta(t, 0.15, filled.WaterTolerance, 0)
}

// Probabilities are shares: those of the salts add up to one, most probable first, and so
// does the window with what lies outside it.
func TestProbabilitiesAddUp(t *testing.T) {
	s := tub(t)
	p := infer(t, model(t, s), Read{strip(t, "universal strip"), 9}, Spoon{volume(t, "1 tbsp"), 11 * measure.Gram})
	sum, last := 0.0, 1.0
	for _, c := range p.Salts() {
		require.LessOrEqual(t, c.Weight, last)
		last = c.Weight
		sum += c.Weight
	}
	require.InDelta(t, 1, sum, 1e-9)
	a := advise(t, p)
	inside := p.share(func(b *bath) bool { return b.pH >= 6.5 && b.pH <= 7.5 })
	require.Less(t, a.Window, inside, "at the least")
	pH, one := p.over(func(b *bath) float64 { return b.pH }), slices.Max(p.of(func(b *bath) float64 { return b.weight }))
	require.Equal(t, pH.Typical, p.PH().Typical)
	require.LessOrEqual(t, p.PH().Low, pH.Low)
	require.GreaterOrEqual(t, p.PH().High, pH.High)
	require.Less(t, one, 0.003)
	for q, x := range map[float64]float64{0.05: pH.Low, 0.5: pH.Typical, 0.95: pH.High} { // copies are alike
		require.LessOrEqual(t, p.share(func(b *bath) bool { return b.pH < x }), q+one)
		require.GreaterOrEqual(t, p.share(func(b *bath) bool { return b.pH <= x }), q-one)
	}
	for _, chance := range p.gross {
		require.True(t, chance >= 0 && chance <= 1)
	}
	tests, err := p.Tests(strip(t, "universal strip"), strip(t, "pH meter"))
	require.NoError(t, err)
	entropy := 0.0
	for _, c := range p.Salts() {
		if c.Weight > 0 {
			entropy -= c.Weight * math.Log2(c.Weight)
		}
	}
	rate := math.Inf(1)
	for _, x := range tests {
		require.InDelta(t, entropy, x.OpenBits, 1e-9)
		require.LessOrEqual(t, x.Bits/x.Minutes, rate, "most bits per minute first")
		rate = x.Bits / x.Minutes
	}
}
