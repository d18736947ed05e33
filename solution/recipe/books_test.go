package recipe_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// undosed mixes what goes in before the acid by hand, step by step.
func undosed(t *testing.T, r recipe.Recipe, grams float64) *solution.Solution {
	t.Helper()
	s, err := solution.New(demo.Tables(t), r.Temperature)
	require.NoError(t, err)
	require.NoError(t, s.AddWater(r.Water, r.Volume))
	require.NoError(t, s.Add(r.Chelant, unit.Mass(grams/1000)))
	for _, e := range r.Extras {
		require.NoError(t, s.Add(e.Reagent, e.Mass))
	}
	return s
}

// phWith is the pH of a vessel with grams of a reagent in.
func phWith(t *testing.T, s *solution.Solution, r tables.Reagent, grams float64) float64 {
	t.Helper()
	v := s.Clone()
	require.NoError(t, v.Add(r, unit.Mass(grams/1000)))
	st, err := v.Equilibrate()
	require.NoError(t, err)
	return st.PH
}

// books are recipes downwards and upwards, weighed and spooned, with and without
// more in them.
func books(t *testing.T) map[string]recipe.Recipe {
	out := map[string]recipe.Recipe{"tool library": demo.Recipe(t)}
	change := func(name string, how func(*recipe.Recipe)) {
		r := demo.Recipe(t)
		how(&r)
		out[name] = r
	}
	change("lye", func(r *recipe.Recipe) {
		r.Chelant, r.Acid, r.PH = demo.Reagent(t, "disodium EDTA"), demo.Reagent(t, "lye"), 7.5
	})
	change("strong acid to 8.2", func(r *recipe.Recipe) { r.Acid, r.PH = demo.Reagent(t, "muriatic acid"), 8.2 })
	change("a jar with more in it", func(r *recipe.Recipe) {
		r.Volume, r.Amount = 2*measure.Litre, measure.AmountOfMass(80*measure.Gram)
		r.Extras = []recipe.Extra{{Reagent: demo.Reagent(t, "trisodium citrate"), Mass: 0.02}, {Reagent: demo.Reagent(t, "sodium gluconate"), Mass: 0.01}}
	})
	change("spooned", func(r *recipe.Recipe) {
		cups, err := measure.ParseAmount("3 cups")
		require.NoError(t, err)
		r.Amount = cups
	})
	return out
}

// A plan's figures are those of the vessel that it describes: litres as told, moles of
// chelant as weighed over what a mole weighs, hardness held one to one (EDTA holds
// calcium by 10⁷ at pH 7, so that all but a hundredth is held), the rest free for iron.
func TestPlanIsTheVesselItDescribes(t *testing.T) {
	for name, r := range books(t) {
		t.Run(name, func(t *testing.T) {
			p, err := r.Plan(demo.Tables(t))
			require.NoError(t, err)
			litres := float64(r.Volume) * 1000
			require.InEpsilon(t, litres, p.WaterLitres, 1e-12)
			require.InDelta(t, 20, p.TemperatureC, 1e-9)
			v := undosed(t, r, p.Chelant.MassGrams)
			require.InDelta(t, p.PHBefore.Typical, phWith(t, v, r.Acid, 0), 1e-9)
			require.InDelta(t, r.PH, phWith(t, v, r.Acid, p.Acid.MassGrams), 1e-6)
			require.InDelta(t, r.PH, p.PHAfter, 1e-6)
			before, err := v.Equilibrate()
			require.NoError(t, err)
			require.InEpsilon(t, before.IonicStrengthMolPerLitre, p.IonicStrengthBeforeMolPerLitre, 1e-9)
			require.NoError(t, v.Add(r.Acid, p.Acid.Mass()))
			after, err := v.Equilibrate()
			require.NoError(t, err)
			require.InEpsilon(t, after.IonicStrengthMolPerLitre, p.IonicStrengthAfterMolPerLitre, 1e-6)
			require.InEpsilon(t, float64(v.Volume())*1000, p.BathLitres, 1e-9)
			moles := p.Chelant.MassGrams * r.Chelant.Assay.Typical / r.Chelant.Formula.MolarMass()
			require.InEpsilon(t, moles, p.StrengthMolPerLitre*p.BathLitres, 1e-9)
			hard := float64(r.Water.Hardness()) * litres
			require.InDelta(t, hard/moles, p.HardnessFraction, 0.01*hard/moles)
			require.InEpsilon(t, moles*(1-p.HardnessFraction), p.Iron.IronMoles, 1e-6)
			require.Zero(t, p.UndissolvedGrams)
			require.Zero(t, p.UndissolvedAfterGrams)
			require.Less(t, p.PHBefore.Low, p.PHBefore.Typical)
			require.Greater(t, p.PHBefore.High, p.PHBefore.Typical)
		})
	}
}

// Salt that does not dissolve lies on the bottom, and with the base in none of it does:
// EDTA acid, of which water takes half a gram per litre (solubility about 0.5 g/L at 25
// °C, handbook value from memory).
func TestPlanOfASaltThatDoesNotDissolve(t *testing.T) {
	r := demo.Recipe(t)
	r.Chelant, r.Acid, r.Amount = demo.Reagent(t, "EDTA acid"), demo.Reagent(t, "lye"), measure.AmountOfMass(400*measure.Gram)
	p, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.InDelta(t, 400-20*0.5, p.UndissolvedGrams, 20)
	require.Zero(t, p.UndissolvedAfterGrams)
	// Of the disodium salt a litre of water takes 108 g at 22 °C and 111 g at 21 °C (Welcher 1958; an old trade
	// handbook; both from memory), however much lies there.
	r.Chelant = demo.Reagent(t, "disodium EDTA")
	for _, kilograms := range []float64{3, 5, 8} {
		r.Amount = measure.AmountOfMass(unit.Mass(kilograms))
		p, err = r.Plan(demo.Tables(t))
		require.NoError(t, err)
		require.InDelta(t, 110, (1000*kilograms-p.UndissolvedGrams)/20, 4, "g/L of %v kg", kilograms)
	}
}

// Every point of the curve is where so much acid brings the vessel; the points stand at
// the half units from the start to half a unit beyond the pH wanted, and the grams per
// half unit are those between neighbours.
func TestCurveOfAPlan(t *testing.T) {
	for name, r := range books(t) {
		t.Run(name, func(t *testing.T) {
			p, err := r.Plan(demo.Tables(t))
			require.NoError(t, err)
			v := undosed(t, r, p.Chelant.MassGrams)
			down := 1.0
			if r.PH > p.PHBefore.Typical {
				down = -1
			}
			require.Equal(t, recipe.Point{PH: p.PHBefore.Typical}, p.Curve[0])
			for i, c := range p.Curve[1:] {
				before := p.Curve[i]
				require.InDelta(t, math.Round(2*c.PH), 2*c.PH, 1e-9)
				step := down * (before.PH - c.PH)
				require.True(t, step > 0 && step <= 0.5+1e-9)
				if i > 0 {
					require.InDelta(t, 0.5, step, 1e-9)
				}
				require.InDelta(t, c.PH, phWith(t, v, r.Acid, c.AcidGrams), 1e-6)
				require.InEpsilon(t, 0.5*(c.AcidGrams-before.AcidGrams)/step, c.GramsPerHalfPH, 1e-6)
			}
			beyond := down * (r.PH - p.Curve[len(p.Curve)-1].PH)
			require.True(t, beyond > 0 && beyond <= 0.5+1e-9, "%g beyond", beyond)
		})
	}
}

// The steps, done: each brings the vessel where it says. The first is no more than is
// safe, but for a spoon's twentieth; each of the rest moves the pH by half a unit where
// that is done soonest, as near as spoons come to it from below; all of them come to
// the dose within half a portion.
func TestStepsDone(t *testing.T) {
	for name, r := range books(t) {
		t.Run(name, func(t *testing.T) {
			p, err := r.Plan(demo.Tables(t))
			require.NoError(t, err)
			v := undosed(t, r, p.Chelant.MassGrams)
			in, pH := 0.0, p.PHBefore.Typical
			for i, s := range p.Steps {
				require.InDelta(t, pH, s.PHFrom, 1e-9)
				most := 0.0
				for range s.Times {
					in += s.Portion.MassGrams
					next := phWith(t, v, r.Acid, in)
					most, pH = max(most, math.Abs(next-pH)), next
				}
				require.InDelta(t, pH, s.PHTo, 1e-9)
				if len(p.Steps) > 1 && i == len(p.Steps)-1 {
					require.LessOrEqual(t, most, 0.65)
				}
				require.Contains(t, s.Text, s.Portion.Text())
				if s.Times > 1 {
					require.Contains(t, s.Text, fmt.Sprintf("Expect about %d portions.", s.Times))
				} else if in > s.Portion.MassGrams {
					require.Contains(t, s.Text, "Expect one portion.")
				}
			}
			first, last := p.Steps[0], p.Steps[len(p.Steps)-1]
			require.Len(t, p.Steps, 2)
			safe := min(p.Forecast.FirstGrams, p.Acid.MassLowGrams)
			require.Equal(t, 1, first.Times)
			require.LessOrEqual(t, first.Portion.MassGrams, 1.05*safe)
			require.GreaterOrEqual(t, first.Portion.MassGrams, 0.8*safe)
			require.Contains(t, first.Text, fmt.Sprintf("near %.1f", first.PHTo))
			require.Contains(t, last.Text, fmt.Sprintf("read %.1f", r.PH))
			require.InDelta(t, p.Acid.MassGrams, in, 0.5*last.Portion.MassGrams+1e-9)
			least := math.Inf(1)
			low, high := min(first.PHTo, r.PH), max(first.PHTo, r.PH)
			for i, c := range p.Curve[1:] {
				if max(c.PH, p.Curve[i].PH) > low && min(c.PH, p.Curve[i].PH) < high { // the stretch to the point touches what is left
					least = min(least, c.GramsPerHalfPH)
				}
			}
			rest := p.Acid.MassGrams - first.Portion.MassGrams
			require.LessOrEqual(t, last.Portion.MassGrams, 1.05*rest)
			require.GreaterOrEqual(t, last.Portion.MassGrams, 0.7*min(least, rest))
		})
	}
	// one portion is the dose where little is asked, and none where nothing is
	r := demo.Recipe(t)
	start := phWith(t, undosed(t, r, 500), r.Acid, 0)
	r.PH = start
	none, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.Empty(t, none.Steps)
	require.InDelta(t, 0, none.Acid.MassGrams, 1e-6)
	require.Less(t, none.Curve[len(none.Curve)-1].PH, start, "an acid's curve goes down")
	// near the start no first portion is safe, and no spoon is larger than what is asked
	r.PH = start - 0.05
	near, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.Zero(t, near.Acid.MassLowGrams)
	require.Len(t, near.Steps, 1)
	require.LessOrEqual(t, near.Steps[0].Portion.MassGrams, 1.05*near.Acid.MassGrams)
	cup := demo.Recipe(t)
	cup.Volume, cup.Amount = 0.05*measure.Litre, measure.AmountOfMass(0.2*measure.Gram)
	tiny, err := cup.Plan(demo.Tables(t))
	require.NoError(t, err)
	for _, s := range tiny.Steps {
		require.LessOrEqual(t, s.Portion.MassGrams, 1.05*tiny.Acid.MassGrams)
	}
	ways, err := cup.Try(demo.Tables(t), demo.Oxide(t, "lepidocrocite"))
	require.NoError(t, err)
	require.Less(t, ways[0].Acid.MassGrams, 1.0)
}

// A recipe of another size is the same bath: what counts grows with it, what is
// per litre stays.
func TestPlanScales(t *testing.T) {
	small := books(t)["a jar with more in it"]
	price, err := recipe.ParsePrice("6 per kg")
	require.NoError(t, err)
	small.Prices = map[string]recipe.Price{}
	for _, reagent := range []string{"tetrasodium EDTA tetrahydrate", "citric acid", "trisodium citrate", "sodium gluconate"} {
		small.Prices[demo.Reagent(t, reagent).ID] = price
	}
	large, err := small.Scale(14 * measure.Litre)
	require.NoError(t, err)
	a, err := small.Plan(demo.Tables(t))
	require.NoError(t, err)
	b, err := large.Plan(demo.Tables(t))
	require.NoError(t, err)
	const seven = 1e-6
	for name, pair := range map[string][2]float64{
		"chelant": {a.Chelant.MassGrams, b.Chelant.MassGrams}, "acid": {a.Acid.MassGrams, b.Acid.MassGrams},
		"acid at least": {a.Acid.MassLowGrams, b.Acid.MassLowGrams}, "acid at most": {a.Acid.MassHighGrams, b.Acid.MassHighGrams},
		"water": {a.WaterLitres, b.WaterLitres}, "bath": {a.BathLitres, b.BathLitres},
		"iron": {a.Iron.IronGrams, b.Iron.IronGrams}, "rust": {a.Iron.RustGrams, b.Iron.RustGrams},
		"cost": {a.Cost.Total, b.Cost.Total}, "cost of the extras": {a.Cost.Extras, b.Cost.Extras}, "cost of the acid": {a.Cost.Acid, b.Cost.Acid},
	} {
		require.InEpsilon(t, 7, pair[1]/pair[0], seven, name)
	}
	for i := range a.Curve {
		require.InDelta(t, a.Curve[i].PH, b.Curve[i].PH, seven)
		require.InDelta(t, 7*a.Curve[i].AcidGrams, b.Curve[i].AcidGrams, seven*(1+b.Curve[i].AcidGrams))
	}
	for name, pair := range map[string][2]float64{
		"strength": {a.StrengthMolPerLitre, b.StrengthMolPerLitre}, "fraction": {a.HardnessFraction, b.HardnessFraction},
		"per litre": {a.Cost.PerLitre, b.Cost.PerLitre}, "per kilogram of rust": {a.Cost.PerKgRust, b.Cost.PerKgRust},
	} {
		require.InEpsilon(t, pair[0], pair[1], seven, name)
	}
	// money: 6 per kilogram of everything that goes in
	all := (a.Chelant.MassGrams + a.Acid.MassGrams + 30) / 1000
	require.InEpsilon(t, 6*all, a.Cost.Total, 1e-9)
	require.Empty(t, a.Cost.Missing)
	require.InEpsilon(t, 1000*a.Cost.Total/a.Iron.RustGrams, a.Cost.PerKgRust, 1e-9)
	require.InEpsilon(t, a.Cost.Total, a.Forecast.Cost.Typical, 0.03, "the forecast counts the same money")
}

// A recipe keeps to what its documentation says: the ends are taken, what lies beyond
// is not.
func TestBoundsOfARecipe(t *testing.T) {
	r := demo.Recipe(t)
	check := func(change func(*recipe.Recipe, float64)) func(float64) error {
		return func(x float64) error {
			s := r
			s.Volume, s.Amount = measure.Litre, measure.AmountOfMass(20*measure.Gram)
			change(&s, x)
			_, err := s.Scale(s.Volume)
			return err
		}
	}
	keeps(t, "PH", 2, 12, check(func(r *recipe.Recipe, x float64) { r.PH = x }))
	keeps(t, "Temperature", 273.15, 373.15, check(func(r *recipe.Recipe, x float64) { r.Temperature = unit.Temperature(x) }))
	keeps(t, "Volume", 0.05, 1e5, check(func(r *recipe.Recipe, x float64) {
		r.Volume, r.Amount = unit.Volume(x/1000), measure.AmountOfMass(unit.Mass(0.02*x))
	}))
	keeps(t, "Extras", 0, 1, check(func(r *recipe.Recipe, x float64) {
		r.Extras = []recipe.Extra{{Reagent: r.Acid, Mass: unit.Mass(x)}}
	}))
	heavy := r
	heavy.Extras = []recipe.Extra{{Reagent: r.Acid, Mass: 25}}
	_, err := heavy.Scale(heavy.Volume)
	require.ErrorContains(t, err, "2.5e+04 g of "+r.Acid.Name)
	keeps(t, "Amount", 1e-3, 400, func(x float64) error {
		if x < 1e-3 {
			x = 0
		}
		return check(func(r *recipe.Recipe, x float64) { r.Amount = measure.AmountOfMass(unit.Mass(x) * measure.Gram) })(x)
	})
	salt := r.Chelant
	keeps(t, "bag, kg", 0.001, 1e5, func(x float64) error { _, err := recipe.Bag(salt, unit.Mass(x), 0.1); return err })
	keeps(t, "strength", 0.001, 1, func(x float64) error { _, err := recipe.Bag(salt, 1, x); return err })
	fresh, err := demo.Tables(t).Rust("fresh orange rust")
	require.NoError(t, err)
	l, err := rust.LayerOfMass(fresh, 100*measure.Gram, measure.SquareMetre)
	require.NoError(t, err)
	terms := func(cost, litres, grams float64) error {
		_, err := recipe.TermsOf(cost, unit.Volume(litres)*measure.Litre, unit.Mass(grams)*measure.Gram, l)
		return err
	}
	keeps(t, "cost", 0, 1e9, func(x float64) error { return terms(x, 1, 1) })
	keeps(t, "litres", 0.01, 1e6, func(x float64) error { return terms(1, x, 1) })
	keeps(t, "rust", 0.001, 1e9, func(x float64) error { return terms(1, 1, x) })
	b, o := demo.Mix(t, r), demo.Oxide(t, "lepidocrocite")
	keeps(t, "cloth", 1e-3, 1e3, func(x float64) error { _, err := recipe.Wet(b, o, 7, l, unit.Area(x)); return err })
	for i, side := range []string{"length", "width", "length of the rim", "width of the rim", "height"} {
		keeps(t, side, 0.01, 20, func(x float64) error {
			sides := [5]unit.Length{1, 1, 1, 1, 1}
			sides[i] = unit.Length(x)
			_, err := recipe.Tub{Bottom: [2]unit.Length(sides[:2]), Rim: [2]unit.Length(sides[2:4]), Height: sides[4], Round: i%2 == 0}.Level(0, recipe.Part{})
			return err
		})
	}
	shaft := recipe.Tub{Bottom: [2]unit.Length{1, 1}, Rim: [2]unit.Length{1, 1}, Height: 20}
	keeps(t, "height of a part", 1e-3, 20, func(x float64) error { _, err := shaft.Half(recipe.Part{Height: unit.Length(x)}, 0); return err })
	hall := recipe.Tub{Bottom: [2]unit.Length{20, 20}, Rim: [2]unit.Length{20, 20}, Height: 20}
	keeps(t, "volume of bath", 0, 1e6, func(x float64) error {
		_, err := hall.Level(unit.Volume(x)*measure.Litre, recipe.Part{})
		return err
	})
	box := recipe.Tub{Bottom: [2]unit.Length{0.5, 0.4}, Rim: [2]unit.Length{0.5, 0.4}, Height: 0.3}
	keeps(t, "part in a box", 0, 0.3, func(x float64) error { _, err := box.Cover(recipe.Part{Height: unit.Length(x)}, 0); return err })
	_, err = box.Cover(recipe.Part{Height: 0.3}, 0.01)
	require.ErrorIs(t, err, chem.ErrInput, "no room for a margin")
	keeps(t, "margin", 0, 0.2, func(x float64) error { _, err := box.Cover(recipe.Part{Height: 0.1}, unit.Length(x)); return err })
	keeps(t, "its volume", 0, 0.02, func(x float64) error {
		_, err := box.Cover(recipe.Part{Height: 0.1, Volume: unit.Volume(x)}, 0)
		return err
	})
	keeps(t, "what a box holds", 0, 0.06, func(x float64) error { _, err := box.Level(unit.Volume(x), recipe.Part{}); return err })
	whole := b.Litres()
	keeps(t, "drag-out", 0, whole, func(x float64) error {
		_, err := r.TopUp(demo.Tables(t), unit.Volume(x)*measure.Litre, 0)
		return err
	})
	keeps(t, "evaporated", 0, whole, func(x float64) error {
		_, err := r.TopUp(demo.Tables(t), 0, unit.Volume(x)*measure.Litre)
		return err
	})
}

// keeps checks that a call takes the ends of a range, but for rounding, and refuses as
// bad input what lies a millionth beyond, and what is no number.
func keeps(t *testing.T, name string, low, high float64, call func(float64) error) {
	t.Helper()
	const within, beyond = 1e-12, 1e-6
	require.NoError(t, call(low*(1+within)), "%s %g", name, low)
	require.NoError(t, call(high*(1-within)), "%s %g", name, high)
	for _, x := range []float64{low - beyond*max(math.Abs(low), 1e-3), high + beyond*high, math.NaN(), math.Inf(1)} {
		require.ErrorIs(t, call(x), chem.ErrInput, "%s %g", name, x)
	}
}
