package recipe_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// A bucket by hand: a frustum of diameters 26 and 30 cm, 36 cm high, holds
// π/12 · 36 · (26² + 26·30 + 30²) = 22.2 L (geometry).
func TestTubs(t *testing.T) {
	bucket := recipe.Tub{Bottom: [2]unit.Length{0.26, 0.26}, Rim: [2]unit.Length{0.30, 0.30}, Height: 0.36, Round: true}
	require.InDelta(t, math.Pi/12*0.36*(0.26*0.26+0.26*0.30+0.30*0.30), float64(bucket.Volume(bucket.Height)), 1e-12)
	tote := recipe.Tub{Bottom: [2]unit.Length{0.50, 0.35}, Rim: [2]unit.Length{0.58, 0.41}, Height: 0.30}
	box := recipe.Tub{Bottom: [2]unit.Length{0.5, 0.4}, Rim: [2]unit.Length{0.5, 0.4}, Height: 0.3}
	require.InDelta(t, 0.06, float64(box.Volume(box.Height)), 1e-12)

	r := rand.New(rand.NewPCG(5, 4))
	for _, tub := range []recipe.Tub{bucket, tote, box} {
		for range 50 {
			depth := unit.Length(0.3 * r.Float64())
			got, err := tub.Level(tub.Volume(depth), recipe.Part{})
			require.NoError(t, err)
			require.InDelta(t, float64(depth), float64(got), 1e-9)

			part := recipe.SteelPart(unit.Mass(10*r.Float64()), unit.Length(0.1+0.15*r.Float64()))
			fill, err := tub.Cover(part, 0.02)
			require.NoError(t, err)
			require.Less(t, fill.LevelWithoutPartCM, fill.LevelWithPartCM)
			require.InDelta(t, 1000*float64(tub.Volume(unit.Length(fill.LevelWithPartCM)*measure.Centimetre)), fill.BathLitres+1000*float64(part.Volume), 1e-9)
			level, err := tub.Level(unit.Volume(fill.BathLitres/1000), part)
			require.NoError(t, err)
			require.InDelta(t, fill.LevelWithPartCM, 100*float64(level), 1e-9)
		}
	}
	// A vise of 12 kg displaces a litre and a half: 12 / 7.85.
	vise := recipe.SteelPart(12, 0.12)
	require.InDelta(t, 1.529, 1000*float64(vise.Volume), 0.001)
	_, err := box.Cover(recipe.SteelPart(12, 0.4), 0)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = box.Cover(vise, 0.3)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = box.Level(0.061, recipe.Part{})
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = box.Level(0.01, recipe.Part{Height: 0.01, Volume: 0.05}) // no room for it
	require.ErrorIs(t, err, chem.ErrInput)
}

// A litre that was tried, made for the tub, reads the same.
func TestScale(t *testing.T) {
	small := demo.Recipe(t)
	small.Volume, small.Amount = 1e-3, measure.AmountOfMass(0.025)
	small.Extras = []recipe.Extra{{Reagent: demo.Reagent(t, "trisodium citrate"), Mass: 0.005}}
	large, err := small.Scale(20e-3)
	require.NoError(t, err)
	a, err := small.Plan(demo.Tables(t))
	require.NoError(t, err)
	b, err := large.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.InDelta(t, a.PHBefore.Typical, b.PHBefore.Typical, 1e-9)
	require.InDelta(t, 20, b.Acid.MassGrams/a.Acid.MassGrams, 1e-6)
	require.InDelta(t, a.StrengthMolPerLitre, b.StrengthMolPerLitre, 1e-9)
	require.InDelta(t, a.IonicStrengthAfterMolPerLitre, b.IonicStrengthAfterMolPerLitre, 1e-9)
	require.Equal(t, unit.Mass(0.005), small.Extras[0].Mass)
	_, err = small.Scale(0)
	require.ErrorIs(t, err, chem.ErrInput)
}

// What is topped up has the strength it had.
func TestTopUp(t *testing.T) {
	r := demo.Recipe(t)
	b := demo.Mix(t, r)
	before, err := b.Holdings()
	require.NoError(t, err)
	litres := b.Litres()
	require.NoError(t, b.Drain(2e-3))
	require.NoError(t, b.Evaporate(1e-3))
	u, err := r.TopUp(demo.Tables(t), 2e-3, 1e-3)
	require.NoError(t, err)
	require.NoError(t, b.AddWater(r.Water, unit.Volume(u.WaterLitres/1000)))
	require.NoError(t, b.Add(r.Chelant, u.Chelant.Mass()))
	require.NoError(t, b.Add(r.Acid, u.Acid.Mass()))
	after, err := b.Holdings()
	require.NoError(t, err)
	require.InDelta(t, litres, b.Litres(), 1e-6*litres)
	for i := range before {
		require.InDelta(t, before[i].TotalMoles, after[i].TotalMoles, 1e-6*before[i].TotalMoles, before[i].Chelant)
	}
	st, err := b.State()
	require.NoError(t, err)
	require.InDelta(t, 7, st.PH, 0.05) // the water evaporated left its hardness behind
	_, err = r.TopUp(demo.Tables(t), -1, 0)
	require.ErrorIs(t, err, chem.ErrInput)
}

// other changes a recipe.
func other(r recipe.Recipe, change func(*recipe.Recipe)) recipe.Recipe {
	change(&r)
	return r
}

// Acids compared: all reach the same pH; the weak ones buffer better there than
// the strong one; citric, with three protons for 192 g, needs about 0.5 to 0.6 g
// where muriatic acid of 31.45 % needs one (116 g for a proton; arithmetic).
func TestCompare(t *testing.T) {
	r := demo.Recipe(t)
	price := func(s string) recipe.Price {
		p, err := recipe.ParsePrice(s)
		require.NoError(t, err)
		return p
	}
	r.Prices = map[string]recipe.Price{r.Chelant.ID: price("6/lb"), r.Acid.ID: price("4/lb")}
	o := demo.Oxide(t, "lepidocrocite")
	choices := []recipe.Recipe{r}
	for _, acid := range []string{"vinegar", "muriatic acid", "phosphoric acid", "sodium bisulfate"} {
		choices = append(choices, other(r, func(r *recipe.Recipe) { r.Acid = demo.Reagent(t, acid) }))
	}
	sour, err := r.WithChelant(demo.Reagent(t, "disodium EDTA"))
	require.NoError(t, err)
	sour.Base = demo.Reagent(t, "lye")
	choices = append(choices,
		other(r, func(r *recipe.Recipe) {
			r.Extras = []recipe.Extra{{Reagent: demo.Reagent(t, "trisodium citrate"), Mass: 0.3}}
		}), sour)
	ways, err := r.Try(demo.Tables(t), o, choices...)
	require.NoError(t, err)
	citric, muriatic, citrate, disodium := ways[0], ways[2], ways[5], ways[6]
	require.InDelta(t, 0.55, citric.Acid.MassGrams/muriatic.Acid.MassGrams, 0.05)
	require.Greater(t, ways[3].BufferCapacityMolPerLitre, muriatic.BufferCapacityMolPerLitre) // phosphate has pKa2 near 7
	require.Greater(t, citrate.LeftAlone.IronMoles, citric.LeftAlone.IronMoles)
	require.Greater(t, citrate.BufferCapacityMolPerLitre, citric.BufferCapacityMolPerLitre)
	require.Equal(t, tables.Danger, muriatic.Signal)
	require.Empty(t, citric.Cost.Missing)
	require.Equal(t, []string{muriatic.Acid.Name}, muriatic.Cost.Missing)
	// The same moles of chelant: 452.2 against 372.2 g/mol.
	require.InDelta(t, 372.24/452.23*0.99/0.995, disodium.Chelant.MassGrams/citric.Chelant.MassGrams, 1e-3)
	require.Equal(t, citric.Acid.Reagent, disodium.Keeper.Reagent)
	for _, w := range ways {
		if w.Acid.Reagent != citric.Acid.Reagent && w.Keeper.Reagent != citric.Acid.Reagent { // the chelant sets the end, save where citrate helps
			require.InDelta(t, muriatic.KeptRustGrams, w.KeptRustGrams, 0.02*muriatic.KeptRustGrams, w.Acid.Name)
		}
		require.Positive(t, w.Keeper.MassGrams)
	}
	require.NotEmpty(t, recipe.BetterBuy(ways))
	_, err = r.Try(demo.Tables(t), o, other(r, func(r *recipe.Recipe) { r.Acid = demo.Reagent(t, "lye") }))
	require.ErrorIs(t, err, chem.ErrInput)
}

func TestBagsAndBought(t *testing.T) {
	salt := demo.Reagent(t, "tetrasodium EDTA tetrahydrate")
	var prices []recipe.Price
	for _, s := range []string{"9 per lb", "90 per 25 kg", "25 per 5 lb"} {
		p, err := recipe.ParsePrice(s)
		require.NoError(t, err)
		prices = append(prices, p)
	}
	bags, err := recipe.CompareBags(salt, prices...)
	require.NoError(t, err)
	require.InDelta(t, 3.6, bags[0].PerKg, 1e-9)
	require.InDelta(t, 25/(5*0.45359237), bags[1].PerKg, 1e-9)
	require.InDelta(t, 9/0.45359237, bags[2].PerKg, 1e-9)

	fresh, err := demo.Tables(t).Rust("fresh orange rust")
	require.NoError(t, err)
	l, err := rust.LayerOfMass(fresh, 100*measure.Gram, measure.SquareMetre)
	require.NoError(t, err)
	b, err := recipe.TermsOf(30, measure.Gallon, 150*measure.Gram, l)
	require.NoError(t, err)
	require.InDelta(t, 30/3.785411784, b.PerLitre, 1e-9)
	require.InDelta(t, 200, b.PerKgRust, 1e-9)
	require.InDelta(t, 20, b.PerM2, 1e-9)
}

// More chelant takes more rust in proportion and costs in proportion; common
// practice, no source: rust on lightly rusted sheet comes off within a day in
// about 30 g/L at pH 7. Capacity at least does not stand in the way: a litre
// takes the 10 µm on a tenth of a square metre, both sides of a hand's sheet.
func TestStrengths(t *testing.T) {
	r := demo.Recipe(t)
	var ways []recipe.Recipe
	for _, grams := range []float64{300, 600, 900} { // in 20 L
		ways = append(ways, other(r, func(r *recipe.Recipe) { r.Amount = measure.Amount{MassGrams: grams} }))
	}
	s, err := r.Try(demo.Tables(t), demo.Oxide(t, "lepidocrocite"), ways...)
	require.NoError(t, err)
	require.InDelta(t, 2, s[1].Practical.IronMoles/s[0].Practical.IronMoles, 0.1)
	require.InDelta(t, 1.5, s[2].Practical.IronMoles/s[1].Practical.IronMoles, 0.05)
	fresh, err := demo.Tables(t).Rust("fresh orange rust")
	require.NoError(t, err)
	light, err := rust.LayerOfThickness(fresh, 10e-6)
	require.NoError(t, err)
	require.Greater(t, float64(light.Area(s[1].Practical))/20, 0.1)
}

// Results survive a round trip through JSON, and their numbers carry units.
func TestJSON(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	o := demo.Oxide(t, "goethite")
	c, err := b.Capacities(o, 7)
	require.NoError(t, err)
	data, err := json.Marshal(c)
	require.NoError(t, err)
	var back bath.Capacities
	require.NoError(t, json.Unmarshal(data, &back))
	require.Equal(t, c, back)
	drift, err := b.Drift(o, 3)
	require.NoError(t, err)
	data, err = json.Marshal(drift)
	require.NoError(t, err)
	var again []bath.DriftPoint
	require.NoError(t, json.Unmarshal(data, &again))
	require.Equal(t, drift, again)
}

// Prices come back as they were written, and add up in a plan.
func TestPricesAndCost(t *testing.T) {
	for _, text := range []string{"4.50/lb", "38 per 5 lb", "6/gal", "90 per 25 kg"} {
		p, err := recipe.ParsePrice(text)
		require.NoError(t, err)
		data, err := json.Marshal(p)
		require.NoError(t, err)
		var back recipe.Price
		require.NoError(t, json.Unmarshal(data, &back))
		require.Equal(t, p, back)
		require.Equal(t, text, back.Text)
	}

	r := demo.Recipe(t)
	price := func(s string) recipe.Price {
		p, err := recipe.ParsePrice(s)
		require.NoError(t, err)
		return p
	}
	citrate := demo.Reagent(t, "trisodium citrate")
	r.Extras = []recipe.Extra{{Reagent: citrate, Mass: 0.1}}
	r.Prices = map[string]recipe.Price{r.Chelant.ID: price("6 per kg"), citrate.ID: price("10 per kg")}
	p, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.InDelta(t, 3, p.Cost.Chelant, 1e-9)
	require.InDelta(t, 1, p.Cost.Extras, 1e-9)
	require.InDelta(t, 4, p.Cost.Total, 1e-9)
	require.InDelta(t, 4/p.BathLitres, p.Cost.PerLitre, 1e-9)
	require.Equal(t, []string{r.Acid.Name}, p.Cost.Missing)

	ways, err := r.Try(demo.Tables(t), demo.Oxide(t, "lepidocrocite"))
	require.NoError(t, err)
	fresh, err := demo.Tables(t).Rust("fresh orange rust")
	require.NoError(t, err)
	l, err := rust.LayerOfMass(fresh, 100*measure.Gram, measure.SquareMetre)
	require.NoError(t, err)
	terms, err := recipe.TermsOf(ways[0].Cost.Total, 20*measure.Litre, unit.Mass(ways[0].KeptRustGrams)*measure.Gram, l)
	require.NoError(t, err)
	require.InDelta(t, ways[0].Cost.Total/20, terms.PerLitre, 1e-9)
	require.InDelta(t, terms.PerKgRust/10, terms.PerM2, 1e-9)
	_, err = recipe.TermsOf(1, 0, 1, l)
	require.ErrorIs(t, err, chem.ErrInput)
}

// A lower start takes more rust unattended, wants more acid, and puts more
// steel at risk.
func TestStarts(t *testing.T) {
	r := demo.Recipe(t)
	var at []recipe.Recipe
	for _, pH := range []float64{9, 8, 7, 6, 5} {
		at = append(at, other(r, func(r *recipe.Recipe) { r.PH = pH }))
	}
	starts, err := r.Try(demo.Tables(t), demo.Oxide(t, "lepidocrocite"), at...)
	require.NoError(t, err)
	for i, s := range starts[1:] {
		require.Greater(t, s.Acid.MassGrams, starts[i].Acid.MassGrams)
		require.Greater(t, s.LeftAlone.IronMoles, starts[i].LeftAlone.IronMoles)
		require.GreaterOrEqual(t, s.SteelAtRiskGrams, starts[i].SteelAtRiskGrams)
	}
	require.Zero(t, starts[2].SteelAtRiskGrams)
	require.Positive(t, starts[3].SteelAtRiskGrams)
	_, err = r.Try(demo.Tables(t), demo.Oxide(t, "lepidocrocite"), other(r, func(r *recipe.Recipe) { r.PH = 1 }))
	require.ErrorIs(t, err, chem.ErrInput)
}

// In an open tub soda is dosed for good: the plan asks for what ends at the pH wanted,
// stops before it today and says so; under a lid it asks for what shows it now, and says what comes when the lid is off; and lye only what the gas of the
// water asks for, of which nothing is said. Two thirds of a closed dose and less, by the stoichiometry of CO3²⁻ + 2 H⁺.
func TestPlanInTheOpen(t *testing.T) {
	std := demo.Tables(t)
	r := demo.Recipe(t)
	r.Chelant, r.Acid = demo.Reagent(t, "disodium EDTA"), demo.Reagent(t, "washing soda")
	closed, err := r.Plan(std)
	require.NoError(t, err)
	require.Contains(t, closed.InTheOpen.Text, "Doses for pH 7.0: now 128 g, for good 72 g, advised 128 g. The lid keeps the gas in; once it is off")
	citric, err := demo.Recipe(t).Plan(std)
	require.NoError(t, err)
	require.Nil(t, citric.InTheOpen)
	r.Place.Cover = bath.Still
	open, err := r.Plan(std)
	require.NoError(t, err)
	require.NotNil(t, open.InTheOpen)
	require.Less(t, open.Acid.MassGrams, 0.67*closed.Acid.MassGrams)
	require.InDelta(t, open.InTheOpen.ForGoodGrams, open.Acid.MassGrams, 1e-6*open.Acid.MassGrams)
	require.InDelta(t, open.InTheOpen.StartPH, open.PHAfter, 1e-6)
	require.Contains(t, open.Notes[0], "do not add")
	b, err := r.Mix(std)
	require.NoError(t, err)
	require.Equal(t, bath.Still, b.Place().Cover)
	aired := b.Solution.Clone()
	_, err = aired.Degas()
	require.NoError(t, err)
	st, err := aired.Equilibrate()
	require.NoError(t, err)
	require.InDelta(t, 7, st.PH, 1e-3)
	outcomes, err := r.Try(std, demo.Oxide(t, "lepidocrocite"), r, other(r, func(r *recipe.Recipe) { r.Acid = demo.Reagent(t, "lye") }))
	require.NoError(t, err)
	require.InEpsilon(t, outcomes[1].LeftAlone.RustGrams, outcomes[0].LeftAlone.RustGrams, 0.02, "the gas gone, soda and lye make one bath")
	r.Acid = demo.Reagent(t, "lye")
	plain, err := r.Plan(std)
	require.NoError(t, err)
	require.Equal(t, plain.InTheOpen.ForGoodGrams, plain.Acid.MassGrams)
	require.Less(t, plain.InTheOpen.ForGoodGrams, 0.99*plain.InTheOpen.NowGrams)
	require.NotContains(t, plain.Notes, plain.InTheOpen.Text)
	r.Place.Cover = "ajar"
	_, err = r.Plan(std)
	require.ErrorIs(t, err, chem.ErrInput)
}

// What fizzes out is gone by the reading at which the steps stop: in front of that the
// acid form of the chelant with baking soda would be left short.
func TestStepsOfAFizzingDose(t *testing.T) {
	r := demo.Recipe(t)
	r.Chelant, r.Acid, r.Place.Cover = demo.Reagent(t, "EDTA acid"), demo.Reagent(t, "baking soda"), bath.Still
	p, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.Greater(t, p.InTheOpen.FizzLitres, 50.0)
	last := p.Steps[len(p.Steps)-1]
	require.InDelta(t, p.InTheOpen.StartPH, last.PHTo, 0.1)
	require.Contains(t, last.Text, fmt.Sprintf("read %.1f", p.InTheOpen.StartPH))

	r.Place = bath.Place{} // under a lid the dose is the one that shows the pH
	p, err = r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.InDelta(t, 7, p.PHAfter, 1e-6)
	require.Contains(t, p.Steps[len(p.Steps)-1].Text, "read 7.0")
}
