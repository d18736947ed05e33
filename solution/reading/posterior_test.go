package reading

import (
	"errors"
	"math"
	"slices"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

func probability(p *Posterior, ids ...string) float64 {
	sum := 0.0
	for _, b := range p.Salts() {
		if slices.Contains(ids, b.Salt.ID) {
			sum += b.Weight
		}
	}
	return sum
}

// amongSalts is the probability if the bag holds EDTA at all.
func amongSalts(p *Posterior, ids ...string) float64 {
	return probability(p, ids...) / (1 - probability(p, ""))
}

var (
	fourSodium  = []string{"edta-tetrasodium-anhydrous", "edta-tetrasodium-dihydrate", "edta-tetrasodium-tetrahydrate"}
	threeSodium = []string{"edta-trisodium", "edta-trisodium-dihydrate"}
)

// One part in a hundred of water, read with a meter. The pH values are printed
// ones: tetrasodium 11.3 (handbook), disodium 4.3 to 4.7 and 4.0 to 5.0 at 5 %
// (reagent specification, ISO 6353/2), trisodium 9.3 (Handbook of Pharmaceutical
// Excipients; from memory, unverified).
func TestSaltsByTheirPrintedPH(t *testing.T) {
	s := tub(t)
	s.Water, s.Volume, s.Amount = water(t, "distilled water"), 1e-3, amount(t, "10 g")
	m, _ := model(t, s).sound() // a bag of one of the salts, that is, and nothing with it
	meter := strip(t, "pH meter")
	assert.Greater(t, amongSalts(infer(t, m, Read{meter, 11.3}), fourSodium...), 0.98)
	assert.Greater(t, amongSalts(infer(t, m, Read{meter, 4.5}), "edta-disodium"), 0.98)
	assert.Greater(t, amongSalts(infer(t, m, Read{meter, 9.3}), threeSodium...), 0.95)

	// The salt with three sodium is likely at its printed pH and at that of the
	// pure salt, a unit lower: its free base alone moves it that far.
	printed, pure := infer(t, m, Read{meter, 9.3}), infer(t, m, Read{meter, 8.3})
	assert.Greater(t, probability(pure, threeSodium...), 0.95)
	assert.Less(t, max(pure.gross[0], printed.gross[0]), hasty, "neither is surprising")
	// One reading does not tell one hydrate of it from the other.
	for _, p := range []*Posterior{printed, pure} {
		assert.InDelta(t, 0.5, probability(p, "edta-trisodium")/probability(p, threeSodium...), 0.15)
	}
}

// Common practice, no source: two level tablespoons in a US quart, neutral with
// citric acid, take a third tablespoon to about 10, and about a quarter teaspoon
// of citric acid brings a strip back to near 7. The model believes the first of
// them more or less and finds the last surprising: by the tables a tablespoon of
// tetrasodium EDTA takes about twice as much citric acid. So the three together
// speak for lighter spoons, leave the hydrate open, and do not call any of the
// readings a mistake.
func TestThreeFactsOfPractice(t *testing.T) {
	s := tub(t)
	s.Volume, s.Amount = volume(t, "1 qt"), amount(t, "2 tbsp")
	m := model(t, s)
	universal := strip(t, "universal strip")
	facts := []Event{
		Read{universal, 11},
		Added{s.Acid, amount(t, "3/4 tsp")}, Read{universal, 7},
		Added{Amount: amount(t, "1 tbsp")}, Read{universal, 10},
		Added{s.Acid, amount(t, "1/4 tsp")}, Read{universal, 7},
	}
	p := infer(t, m, facts...)
	assert.Less(t, slices.Max(p.gross), doubtful)
	for _, b := range p.Salts() {
		t.Logf("%-35s %.3f", b.Salt.Name, b.Weight)
	}
	alone := infer(t, m)
	spoon := 14.78676478125 // mL, a US tablespoon
	t.Logf("a tablespoon of the bag: %.3g g before, %.3g g after", spoon/1000*alone.over(alone.packing).Typical, spoon/1000*p.over(p.packing).Typical)
	t.Logf("pH in the end %.1f, with %.1f to %.1f", p.PH().Typical, p.PH().Low, p.PH().High)
	assert.Greater(t, amongSalts(p, fourSodium...), 0.9)
	tetra := s
	tetra.Bag = tetrasodium(t)
	believed := infer(t, model(t, tetra))
	assert.Less(t, p.over(p.packing).Typical, believed.over(believed.packing).Typical, "spoons of tetrasodium EDTA lighter than believed at first")
	foretold := func(n int) (chance float64) { // of an event, by those before it
		p, r := infer(t, m, facts[:n]...), facts[n].(Read)
		x, err := r.compile(m, &course{})
		require.NoError(t, err)
		for _, b := range p.baths {
			z := b.z[p.course.bias()]
			chance += b.weight * math.Exp(x.log(x.sight.likelihood(b.pH, x.sight.bias*z+m.doubts[inOffset].at(z)), 1))
		}
		return chance
	}
	assert.Less(t, foretold(4), 0.3, "about 9 would be read more often")
	assert.Less(t, foretold(6), 0.3)
	assert.Greater(t, foretold(6), 0.01)
}

// A gross reading is flagged and set aside: the pH comes out as without it, and
// the others stay as credible as they were.
func TestContradictionIsFlagged(t *testing.T) {
	m := model(t, tub(t))
	s := m.setup
	universal := strip(t, "universal strip")
	before := []Event{Read{universal, 11}, Added{s.Acid, amount(t, "1/4 cup")}, Read{universal, 9}}
	clean := infer(t, m, before...)
	spoiled := infer(t, m, append(slices.Clone(before), Read{universal, 3})...)
	require.Len(t, spoiled.gross, 3)
	assert.Greater(t, spoiled.gross[2], doubtful)
	assert.Less(t, slices.Max(spoiled.gross[:2]), doubtful)
	assert.InDelta(t, clean.PH().Typical, spoiled.PH().Typical, 0.15)
	a := advise(t, spoiled)
	assert.Equal(t, Look, a.Action)
	require.Len(t, a.Flags, 1)
	assert.Contains(t, a.Flags[0], "event 4")
	again := infer(t, m, append(slices.Clone(before), Read{universal, 3}, Read{universal, 9})...)
	assert.Equal(t, Add, advise(t, again).Action)
}

// The same setup and events give the same digits.
func TestInferenceIsRepeatable(t *testing.T) {
	events := []Event{Read{strip(t, "universal strip"), 11}, Added{reagent(t, "citric acid"), amount(t, "60 g")}, Read{strip(t, "pH meter"), 9.1}}
	one, other := advise(t, infer(t, model(t, tub(t)), events...)), advise(t, infer(t, model(t, tub(t)), events...))
	assert.Empty(t, cmp.Diff(one, other))
}

// What is weighed, seen or known tells as it should.
func TestOtherObservations(t *testing.T) {
	m := model(t, tub(t))
	alone := infer(t, m)
	assert.InDelta(t, 1.0/7, amongSalts(alone, "edta-acid"), 2e-3)
	assert.Greater(t, amongSalts(infer(t, m, Clarity(false)), "edta-acid"), 0.8)
	assert.Less(t, probability(infer(t, m, Clarity(true)), "edta-acid"), 0.01)

	spoon := volume(t, "1 tbsp")
	light := infer(t, m, Read{strip(t, "universal strip"), 4})
	heavy := infer(t, m, Spoon{Volume: spoon, Mass: 0.0155}) // 1.05 g per mL, disodium EDTA by the tables
	assert.Greater(t, probability(heavy, "edta-disodium"), 0.5)
	assert.Less(t, width(heavy.over(heavy.packing)), 0.5*width(light.over(light.packing)), "a weighed spoon tells the packing better than a reading")

	// Of the mass it tells less: that one bath in fifteen was heaped or miscounted it does
	// not see, and the end at one in twenty lies where those begin. Of level cups well counted
	// it tells by Bayes: levelling 0.05 and the packing of the tables, 0.097, make 0.044, and
	// with the 0.05 of the cups 0.067.
	level, _ := m.sound()
	light, heavy = infer(t, level, Read{strip(t, "universal strip"), 4}), infer(t, level, Spoon{Volume: spoon, Mass: 0.0155})
	assert.Less(t, width(heavy.over(heavy.bag)), 0.7*width(light.over(light.bag)), "a weighed spoon tells the mass better than a reading")
	var squares, mean, all float64
	for _, b := range heavy.baths {
		if x := math.Log(heavy.bag(&b)); b.salt.reagent.ID == "edta-disodium" {
			all, mean, squares = all+b.weight, mean+b.weight*x, squares+b.weight*x*x
		}
	}
	assert.InEpsilon(t, 0.067, math.Sqrt(squares/all-mean*mean/all/all), 0.2)

	narrow := infer(t, m, Read{strip(t, "universal strip"), 11}, Read{strip(t, "universal strip"), 11}, Read{strip(t, "pH meter"), 11.1}).PH()
	assert.Less(t, width(narrow), width(infer(t, m, Read{strip(t, "universal strip"), 11}).PH()))
}

func width(r tables.Range) float64 { return r.High - r.Low }

// More may come from the bag: it raises the EDTA in proportion.
func TestMoreFromTheBag(t *testing.T) {
	m := model(t, tub(t))
	universal := strip(t, "universal strip")
	one := infer(t, m, Read{universal, 11})
	more := infer(t, m, Read{universal, 11}, Added{Amount: amount(t, "1 cup")})
	// Four standard errors of the medians of two clouds, whose baths differ by 0.2.
	assert.InDelta(t, 4.0/3, more.over(more.chelant).Typical/one.over(one.chelant).Typical, 4.0/3*4*1.25*0.2*math.Sqrt(2.0/particles))
}

func TestBadInput(t *testing.T) {
	tb := standard(t)
	for field, change := range map[string]func(*Setup){
		"Volume":          func(s *Setup) { s.Volume = 0 },
		"Temperature":     func(s *Setup) { s.Temperature = 20 },
		"WaterTolerance":  func(s *Setup) { s.WaterTolerance = math.NaN() },
		"PH":              func(s *Setup) { s.PH = 13 },
		"Risk":            func(s *Setup) { s.Risk = 1 },
		"Amount":          func(s *Setup) { s.Amount = amount(t, "20 kg") },
		"Acid":            func(s *Setup) { s.Acid = reagent(t, "lye") },
		"Base":            func(s *Setup) { s.Base = reagent(t, "citric acid") },
		"Base is missing": func(s *Setup) { s.Acid, s.Base = tables.Reagent{}, tables.Reagent{} },
		"Bag":             func(s *Setup) { s.Bag = []Candidate{{reagent(t, "table salt"), 1}} },
		"Bag is Trisodium": func(s *Setup) {
			s.Bag = []Candidate{{reagent(t, "disodium EDTA"), 1}, {reagent(t, "sodium citrate"), 1}}
		},
		"Bag is empty": func(s *Setup) { s.Bag = []Candidate{{reagent(t, "disodium EDTA"), 0}} },
	} {
		s := tub(t)
		change(&s)
		_, err := New(tb, s)
		require.ErrorIs(t, err, chem.ErrInput, field)
		var input *chem.InputError
		require.True(t, errors.As(err, &input))
		assert.Contains(t, err.Error(), field)
	}
	m := model(t, tub(t))
	meter := strip(t, "pH meter")
	for text, e := range map[string]Event{
		"15":              Read{meter, 15},
		"NaN":             Read{meter, math.NaN()},
		"hardness":        Read{strip(t, "hardness strip"), 60},
		"zero amount":     Added{reagent(t, "citric acid"), measure.Amount{}},
		"a tub of acid":   Added{reagent(t, "citric acid"), amount(t, "100 kg")},
		"a feather spoon": Spoon{Volume: 1e-6, Mass: 1e-9},
		"nothing":         nil,
	} {
		_, err := m.Infer([]Event{e})
		require.ErrorIs(t, err, chem.ErrInput, text)
		assert.Contains(t, err.Error(), "event 1", text)
	}
	_, err := m.Infer([]Event{Added{m.setup.Acid, amount(t, "10 g")}, Clarity(true)})
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = infer(t, m).Tests(strip(t, "hardness strip"))
	assert.ErrorIs(t, err, chem.ErrInput)
}

// A model serves several goroutines.
func TestConcurrentUse(t *testing.T) {
	m := model(t, tub(t))
	universal := strip(t, "universal strip")
	want := advise(t, infer(t, m, Read{universal, 5}))
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			p, err := m.Infer([]Event{Read{universal, 5}})
			if !assert.NoError(t, err) {
				return
			}
			got, err := p.Advise()
			assert.NoError(t, err)
			assert.Empty(t, cmp.Diff(want, got))
			_, err = p.Remedies()
			assert.NoError(t, err)
		})
	}
	wg.Wait()
}
