package recipe_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func way(chelant, acid string, perKg, total, kept, alone float64) recipe.Outcome {
	setter := named(acid)
	return recipe.Outcome{
		Chelant: named(chelant), Acid: setter, Keeper: &setter, KeptRustGrams: kept, Taken: recipe.Taken{LeftAlone: bath.Capacity{RustGrams: alone}, Practical: bath.Capacity{RustGrams: kept - 5}},
		Cost: &recipe.Cost{Total: total, PerKgRust: perKg, Keeper: 2}, Signal: tables.Warning, Breakdown: tables.Stays,
	}
}

func named(reagent string) solution.Portion {
	return solution.Portion{Reagent: reagent, Name: reagent, MassGrams: 300}
}

// The better buy of ways set up by hand, read off them by eye: the cheapest lacks a
// price, the next is dangerous, the one that takes no rust costs nothing for it; the
// extra brings 78 − 70 g for 12 − 9, for which the keeper would take 2 × 8/75 = 0.21.
func TestBetterBuy(t *testing.T) {
	unpriced, strong, extra, idle := way("EDTA", "vinegar", 1, 1, 71, 65), way("EDTA", "muriatic acid", 90, 8, 71, 66), way("EDTA", "citric acid", 150, 12, 76, 78), way("MGDA", "citric acid", 0, 1, 0, 0)
	unpriced.Cost.Missing = []string{"vinegar"}
	strong.Signal = tables.Danger
	extra.Extras = []solution.Portion{named("trisodium citrate")}
	green, greener, greenest := way("EDDS", "citric acid", 300, 9, 40, 30), way("GLDA", "citric acid", 200, 9, 55, 40), way("IDS", "citric acid", 220, 9, 50, 40)
	green.Breakdown, greener.Breakdown, greenest.Breakdown, idle.Breakdown = tables.BreaksDown, tables.BreaksDown, tables.BreaksDown, tables.BreaksDown
	edta := way("EDTA", "citric acid", 120, 9, 75, 70)
	const extras = " 300 g of trisodium citrate lets the bath take 8 g more rust unattended for 3.00; citric acid added as the pH climbs does that for 0.21."
	const greens = " Of the chelants that break down in a drain GLDA takes most, a practical 50 g of rust at that pH, against 70 g."
	require.Equal(t, "muriatic acid costs least, 90 per kg of rust; without the word danger on its label citric acid, 120 per kg."+greens+extras,
		recipe.BetterBuy([]recipe.Outcome{edta, unpriced, strong, extra, green, greener, greenest, idle}))
	// a mild way that is cheapest says so once, whatever comes first in the list
	require.Equal(t, "citric acid costs least, 120 per kg of rust.", recipe.BetterBuy([]recipe.Outcome{edta, way("EDTA", "vinegar", 130, 9, 70, 70)}))
	require.Equal(t, "vinegar costs least, 110 per kg of rust.", recipe.BetterBuy([]recipe.Outcome{edta, way("EDTA", "vinegar", 110, 9, 70, 70)}))
	require.Equal(t, "muriatic acid costs least, 90 per kg of rust.", recipe.BetterBuy([]recipe.Outcome{strong}))
	// another chelant is named, and the first alone decides whether green ones are told of
	require.Equal(t, "EDTA with citric acid costs least, 120 per kg of rust.", recipe.BetterBuy([]recipe.Outcome{greener, edta}))
	require.Equal(t, "Nothing to compare: no way has all its prices and takes rust while its pH is held.", recipe.BetterBuy([]recipe.Outcome{unpriced, idle, {}}))
	// an extra is held against the same chelant and acid alone; without prices it costs nothing to tell
	other := extra
	other.Chelant = named("DTPA")
	require.NotContains(t, recipe.BetterBuy([]recipe.Outcome{edta, other}), "unattended")
	other = extra
	other.Acid = named("vinegar")
	require.NotContains(t, recipe.BetterBuy([]recipe.Outcome{edta, other}), "unattended")
	other = extra
	other.Cost = nil
	require.Contains(t, recipe.BetterBuy([]recipe.Outcome{edta, other}), " 300 g of trisodium citrate lets the bath take 8 g more rust unattended.")
	spent := edta
	spent.LeftAlone.RustGrams = 0
	require.NotContains(t, recipe.BetterBuy([]recipe.Outcome{spent, extra}), "unattended")
	little := edta
	little.LeftAlone.RustGrams = 0.5
	require.Contains(t, recipe.BetterBuy([]recipe.Outcome{little, extra}), "unattended")
}

// A bag by arithmetic: 500 g of a salt of 452.23 g/mol (Na4EDTA·4H2O, from the atomic
// weights) and 99 % hold 1.0946 mol, a bath of 0.05 mol/L for 21.9 L, which bind so much
// iron one to one: 61.1 g, 97.3 g as FeO(OH). At 3.60 a kilogram, three quarters of that
// put to use, a kilogram of rust costs 3.60 × 0.5/(0.75 × 0.0973).
func TestBagByHand(t *testing.T) {
	salt := demo.Reagent(t, "tetrasodium EDTA tetrahydrate")
	b, err := recipe.Bag(salt, 500*measure.Gram, 0.05)
	require.NoError(t, err)
	moles := 500 * salt.Assay.Typical / 452.23
	require.InEpsilon(t, moles/0.05, b.BathLitres, 1e-4)
	require.InEpsilon(t, moles*55.845, b.Capacity.IronGrams, 1e-4)
	require.InEpsilon(t, moles*88.852, b.Capacity.RustGrams, 1e-4)
	price, err := recipe.ParsePrice("3.60 per kg")
	require.NoError(t, err)
	bags, err := recipe.CompareBags(salt, price)
	require.NoError(t, err)
	require.InEpsilon(t, 3.6/(2*moles), bags[0].PerMole, 1e-4)
	require.InEpsilon(t, 3.6*500/(0.75*moles*88.852), bags[0].PerKgRust, 1e-4)
	lye, err := recipe.CompareBags(demo.Reagent(t, "lye"), price)
	require.NoError(t, err)
	require.Zero(t, lye[0].PerMole)
	require.Zero(t, lye[0].PerKgRust)
	_, err = recipe.Bag(demo.Reagent(t, "lye"), 1, 0.1)
	require.ErrorIs(t, err, chem.ErrInput)
}

// What an outcome says is what its bath says when it is mixed and asked by hand; shares
// are quotients; labels are those of what sets the pH and of what goes in besides, the
// strongest word first.
func TestOutcomesAreTheirBaths(t *testing.T) {
	std, o := demo.Tables(t), demo.Oxide(t, "lepidocrocite")
	r := demo.Recipe(t)
	price, err := recipe.ParsePrice("5 per kg")
	require.NoError(t, err)
	citrate, lye, soda := demo.Reagent(t, "trisodium citrate"), demo.Reagent(t, "lye"), demo.Reagent(t, "disodium EDTA")
	acids := map[string]tables.Reagent{}
	r.Prices = map[string]recipe.Price{r.Chelant.ID: price, citrate.ID: price, lye.ID: price, soda.ID: price}
	for _, name := range []string{"citric acid", "muriatic acid", "phosphoric acid"} {
		acids[name] = demo.Reagent(t, name)
		r.Prices[acids[name].ID] = price
	}
	mildly, err := r.WithChelant(soda)
	require.NoError(t, err)
	mildly.Base = lye
	ways, err := r.Try(std, o, r, other(r, func(r *recipe.Recipe) { r.Acid, r.PH = acids["muriatic acid"], 5 }), mildly,
		other(r, func(r *recipe.Recipe) {
			r.Extras, r.Amount = []recipe.Extra{{Reagent: citrate, Mass: 0.3}}, measure.Amount{MassGrams: 200}
		}), other(r, func(r *recipe.Recipe) { r.Acid, r.Base = acids["phosphoric acid"], lye }))
	require.NoError(t, err)
	for i, made := range []struct {
		chelant, acid tables.Reagent
		grams, pH     float64
		extra         float64
		signal        tables.Signal
	}{
		{r.Chelant, acids["citric acid"], 500, 7, 0, tables.Warning},
		{r.Chelant, acids["muriatic acid"], 500, 5, 0, tables.Danger},
		{soda, lye, 500 * r.Chelant.MolPerGram().Typical / soda.MolPerGram().Typical, 7, 0, tables.Danger},
		{r.Chelant, acids["citric acid"], 200, 7, 300, tables.Warning},
		{r.Chelant, acids["phosphoric acid"], 500, 7, 0, tables.Danger},
	} {
		w := ways[i]
		require.Equal(t, []string{made.chelant.Name, made.chelant.ID, made.acid.Name, made.acid.ID}, []string{w.Chelant.Name, w.Chelant.Reagent, w.Acid.Name, w.Acid.Reagent})
		require.InEpsilon(t, made.grams, w.Chelant.MassGrams, 1e-9)
		require.Equal(t, made.extra > 0, len(w.Extras) == 1)
		for _, e := range w.Extras {
			require.InDelta(t, made.extra, e.MassGrams, 1e-9)
			require.Equal(t, citrate.ID, e.Reagent)
		}
		require.InDelta(t, made.pH, w.PH, 0)
		require.Equal(t, made.signal, w.Signal)
		require.Equal(t, tables.Stays, w.Breakdown)
		require.Empty(t, w.NoIron)

		b := mixedByHand(t, r, made.chelant, w.Chelant.MassGrams, made.extra/1000)
		before, err := b.Equilibrate()
		require.NoError(t, err)
		require.NoError(t, b.Add(made.acid, unit.Mass(w.Acid.MassGrams/1000)))
		after, err := b.Equilibrate()
		require.NoError(t, err)
		require.InDelta(t, made.pH, after.PH, 1e-6)
		moles := w.Chelant.MassGrams * made.chelant.MolPerGram().Typical
		require.InEpsilon(t, moles/b.Litres(), w.StrengthMolPerLitre, 1e-9)
		// strong base for a unit of pH: over a hundredth, times a hundred
		const step = 0.01
		base := b.Clone()
		d, err := base.Dose(lye, solution.PH(made.pH+step))
		require.NoError(t, err)
		require.InEpsilon(t, d.MassGrams*lye.MolPerGram().Typical/step/b.Litres(), w.BufferCapacityMolPerLitre, 0.03)
		alone, end, err := b.LeftAlone(o)
		require.NoError(t, err)
		require.InEpsilon(t, alone.RustGrams, w.LeftAlone.RustGrams, 1e-6)
		require.InDelta(t, end, w.EndPH, 1e-6)
		held, err := b.Held(o, made.pH)
		require.NoError(t, err)
		require.InEpsilon(t, held.IronMoles, w.Held.IronMoles, 1e-6)
		require.InEpsilon(t, w.LeftAlone.IronMoles/moles, w.IronPerChelant, 1e-6)
		free := moles - 20*float64(r.Water.Hardness())
		require.InEpsilon(t, 0.75*min(free, held.IronMoles), w.Practical.IronMoles, 0.01)
		kept := made.acid
		if before.PH < made.pH {
			kept = acids["citric acid"]
		}
		require.Equal(t, kept.ID, w.Keeper.Reagent)
		u, err := b.Upkeep(kept, o, made.pH, 1)
		require.NoError(t, err)
		require.InEpsilon(t, u.RustGrams, w.KeptRustGrams, 1e-6)
		require.InEpsilon(t, u.Acid.MassGrams, w.Keeper.MassGrams, 1e-6)
		require.InEpsilon(t, 0.005*(w.Chelant.MassGrams+w.Acid.MassGrams+made.extra+w.Keeper.MassGrams), w.Cost.Total, 1e-9)
		require.InEpsilon(t, 0.005*w.Keeper.MassGrams, w.Cost.Keeper, 1e-9)
		require.InEpsilon(t, w.Cost.Total/b.Litres(), w.Cost.PerLitre, 1e-9)
		require.InEpsilon(t, 1000*w.Cost.Total/w.KeptRustGrams, w.Cost.PerKgRust, 1e-9)
	}
	// the acid beyond pH 7 takes half a mole of iron for each mole of base that it asks for
	sour := mixedByHand(t, r, r.Chelant, 500, 0)
	require.NoError(t, sour.Add(acids["muriatic acid"], unit.Mass(ways[1].Acid.MassGrams/1000)))
	d, err := sour.Dose(lye, solution.PH(7))
	require.NoError(t, err)
	require.InEpsilon(t, d.MassGrams*lye.MolPerGram().Typical/2*55.845, ways[1].SteelAtRiskGrams, 0.01)
	require.Zero(t, ways[0].SteelAtRiskGrams)
}

func mixedByHand(t *testing.T, r recipe.Recipe, chelant tables.Reagent, grams, citrateKg float64) *bath.Bath {
	t.Helper()
	r.Chelant = chelant
	if citrateKg > 0 {
		r.Extras = []recipe.Extra{{Reagent: demo.Reagent(t, "trisodium citrate"), Mass: unit.Mass(citrateKg)}}
	}
	b, err := bath.New(demo.Tables(t), undosed(t, r, grams))
	require.NoError(t, err)
	return b
}

// A chelant whose hold on iron nobody has measured is mixed and paid for, and takes
// no rust that could be told.
func TestChelantWithoutIron(t *testing.T) {
	r := demo.Recipe(t)
	r.Chelant = demo.Reagent(t, "trisodium MGDA")
	price, err := recipe.ParsePrice("10 per kg")
	require.NoError(t, err)
	r.Prices = map[string]recipe.Price{r.Chelant.ID: price, r.Acid.ID: price}
	p, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.Contains(t, p.Notes, r.Chelant.Name+": "+bath.ErrNoIron.Error()+" for it, so that what its bath takes is not computed.")
	require.Zero(t, p.Iron)
	require.InEpsilon(t, 0.01*(500+p.Acid.MassGrams), p.Cost.Total, 1e-9)
	require.Zero(t, p.Cost.PerKgRust)
	ways, err := r.Try(demo.Tables(t), demo.Oxide(t, "lepidocrocite"))
	require.NoError(t, err)
	require.Equal(t, p.Notes[len(p.Notes)-1], ways[0].NoIron)
	require.Equal(t, tables.BreaksDown, ways[0].Breakdown)
	require.InEpsilon(t, p.Cost.Total, ways[0].Cost.Total, 1e-9)
	require.Zero(t, ways[0].Cost.PerKgRust)
	_, err = r.Outlook(demo.Tables(t))
	require.ErrorIs(t, err, bath.ErrNoIron)
}

// The outlook is that of the recipe as it is, with light rust on 50 cm² for each litre.
func TestOutlook(t *testing.T) {
	std, r, o := demo.Tables(t), demo.Recipe(t), demo.Oxide(t, "lepidocrocite")
	x, err := r.Outlook(std)
	require.NoError(t, err)
	ways, err := r.Try(std, o)
	require.NoError(t, err)
	require.Equal(t, ways[0].LeftAlone, x.LeftAlone)
	require.Equal(t, ways[0].Held, x.Held)
	require.InDelta(t, ways[0].EndPH, x.EndPH, 1e-12)
	require.Equal(t, o.Name, x.Oxide)
	pace, err := rust.NewPace(std)
	require.NoError(t, err)
	light, layer, err := rust.Light(std)
	require.NoError(t, err)
	b := demo.Mix(t, r)
	area := unit.Area(50e-4 * b.Litres()) // m²
	want, err := pace.Time(b, rust.Dip{Rust: light, Layer: layer, Area: area, Oxide: o, Held: true})
	require.NoError(t, err)
	require.InEpsilon(t, want.Hours.Typical, x.Light.Hours.Typical, 1e-9)
	require.InEpsilon(t, want.Hours.High, x.Light.Hours.High, 1e-9)
}

// An acid that goes the wrong way is told apart from one that does not reach.
func TestWordsForWhatIsOutOfReach(t *testing.T) {
	want := func(chelant, acid string, pH float64) string {
		r := demo.Recipe(t)
		r.Chelant, r.Acid, r.PH = demo.Reagent(t, chelant), demo.Reagent(t, acid), pH
		_, err := r.Mix(demo.Tables(t))
		var bad *chem.InputError
		require.ErrorAs(t, err, &bad)
		require.Equal(t, "Acid", bad.Field)
		return bad.Want
	}
	require.Contains(t, want("disodium EDTA", "citric acid", 8), "a base")
	require.Contains(t, want("tetrasodium EDTA tetrahydrate", "lye", 8), "an acid")       // starts above, and lye goes up
	require.Contains(t, want("disodium EDTA", "baking soda", 11.9), "reaches")            // goes up, but not so far
	require.Contains(t, want("tetrasodium EDTA tetrahydrate", "vinegar", 2.0), "reaches") // goes down, but not so far
}

// Topping up in words: water alone where nothing was carried off.
func TestTopUpText(t *testing.T) {
	std, r := demo.Tables(t), demo.Recipe(t)
	u, err := r.TopUp(std, 0, 1.5*measure.Litre)
	require.NoError(t, err)
	require.Equal(t, "Fill up with 1.5 L of water.", u.Text)
	require.Zero(t, u.Chelant.MassGrams)
	b := demo.Mix(t, r)
	u, err = r.TopUp(std, unit.Volume(b.Litres()/4)*measure.Litre, 0) // a quarter of it all
	require.NoError(t, err)
	require.InEpsilon(t, 5, u.WaterLitres, 1e-9)
	require.InEpsilon(t, 125, u.Chelant.MassGrams, 1e-9)
	p, err := r.Plan(std)
	require.NoError(t, err)
	require.InEpsilon(t, p.Acid.MassGrams/4, u.Acid.MassGrams, 1e-9)
	require.Contains(t, u.Text, "stir in 125 g")
}

// A cloth by hand, all three figures of each range: it holds 0.6, 1 and 1.5 L/m², loses
// three tenths of that at 0.25, 0.1 and 0.05 L/(m² h), and the bath in it is then
// 1/0.7 times as strong; filled again until the layer is gone.
func TestSheetByHand(t *testing.T) {
	r := demo.Recipe(t)
	r.Amount = measure.AmountOfMass(10 * measure.Gram) // which takes less than a gram per litre
	b, o := demo.Mix(t, r), demo.Oxide(t, "lepidocrocite")
	_, layer, err := rust.Light(demo.Tables(t))
	require.NoError(t, err)
	c, err := b.Capacities(o, 7)
	require.NoError(t, err)
	perLitre := c.Practical.RustGrams / b.Litres()
	require.Less(t, perLitre, 1.0)
	s, err := recipe.Wet(b, o, 7, layer, 3*measure.SquareMetre)
	require.NoError(t, err)
	require.InDelta(t, 1/0.7, s.Concentration, 1e-9)
	load := layer.RustGramsPerM2
	for _, x := range []struct{ holds, litres, rust, rounds, load, hours, dries float64 }{
		{0.6, s.BathLitres.Low, s.RustGrams.Low, s.Rounds.High, load.High, s.WetHours.Low, 0.25},
		{1, s.BathLitres.Typical, s.RustGrams.Typical, s.Rounds.Typical, load.Typical, s.WetHours.Typical, 0.1},
		{1.5, s.BathLitres.High, s.RustGrams.High, s.Rounds.Low, load.Low, s.WetHours.High, 0.05},
	} {
		require.InDelta(t, 3*x.holds, x.litres, 1e-9)
		require.InEpsilon(t, 3*x.holds*perLitre, x.rust, 1e-9)
		require.InDelta(t, math.Ceil(x.load/(x.holds*perLitre)), x.rounds, 0)
		require.InEpsilon(t, 0.3*x.holds/x.dries, x.hours, 1e-9)
	}
}

// A part half under: half its height and the overlap, and so much of its metal; one
// that an overlap covers lies whole under.
func TestHalfByHand(t *testing.T) {
	box := recipe.Tub{Bottom: [2]unit.Length{0.5, 0.4}, Rim: [2]unit.Length{0.5, 0.4}, Height: 0.3}
	part := recipe.Part{Height: 0.2, Volume: 0.004}
	f, err := box.Half(part, 0.03)
	require.NoError(t, err)
	require.InEpsilon(t, 1000*(0.5*0.4*0.13-0.004*0.13/0.2), f.BathLitres, 1e-9)
	require.InEpsilon(t, 13, f.LevelWithPartCM, 1e-9)
	require.InEpsilon(t, 17, f.ToTheRimCM, 1e-9)
	f, err = box.Half(part, 0.15)
	require.NoError(t, err)
	require.InEpsilon(t, 1000*(0.5*0.4*0.2-0.004), f.BathLitres, 1e-9)
}

// Prices as people write them, by arithmetic; money for nothing, or of no number, is
// refused.
func TestPricesByHand(t *testing.T) {
	citric := demo.Reagent(t, "citric acid")
	vinegar := demo.Reagent(t, "vinegar")
	for text, want := range map[string]float64{ // for 2 kg
		"4/lb": 4 * 2 / 0.45359237, "$4/lb": 4 * 2 / 0.45359237, "€ 3 per kg": 6, "10 per 5 kg": 4, "7.5 / kg": 15, "3 per ½ kg": 12, "0/lb": 0, "£3/kg": 6, "$12 for 5 lb": 2.4 * 2 / 0.45359237, "6 euros per kg": 12, "5 for kg": 10,
	} {
		p, err := recipe.ParsePrice(text)
		require.NoError(t, err, text)
		bags, err := recipe.CompareBags(citric, p)
		require.NoError(t, err)
		require.InDelta(t, want/2, bags[0].PerKg, 1e-9, text)
	}
	gallon, err := recipe.ParsePrice("6/gal") // 3.785411784 L of the density of vinegar
	require.NoError(t, err)
	bags, err := recipe.CompareBags(vinegar, gallon)
	require.NoError(t, err)
	require.InEpsilon(t, 6/(3.785411784*1.006), bags[0].PerKg, 1e-9)
	for _, bad := range []string{"", "5", "-1/lb", "NaN/lb", "Inf/lb", "x/lb", "5/0 lb", "5/moon", "5 to lb", "£-3/kg", "£/kg", "3 £ €/kg", "3.4.5/kg"} {
		_, err := recipe.ParsePrice(bad)
		require.ErrorIs(t, err, chem.ErrInput, bad)
	}
}

// Money is told as it was given, a sign before and a word behind; sums in two currencies
// are refused.
func TestMoneyAsGiven(t *testing.T) {
	for currency, want := range map[string]string{"": "3.20", "£": "£3.20", "$": "$3.20", "US$": "US$3.20", "euros": "3.20 euros", "kr": "3.20 kr"} {
		require.Equal(t, want, recipe.Money(3.2, 2, currency))
	}
	for text, want := range map[string]string{"£3/kg": "£", "$12 for 5 lb": "$", "6 euros per kg": "euros", "6 €/kg": "€", "4/lb": ""} {
		p, err := recipe.ParsePrice(text)
		require.NoError(t, err)
		require.Equal(t, want, p.Currency, text)
		require.Equal(t, text, p.Text)
	}
	r := demo.Recipe(t)
	pounds, err := recipe.ParsePrice("£3/kg")
	require.NoError(t, err)
	plain, err := recipe.ParsePrice("4/kg")
	require.NoError(t, err)
	r.Prices = map[string]recipe.Price{r.Chelant.ID: pounds, r.Acid.ID: plain}
	p, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.Equal(t, "£", p.Cost.Currency)
	ways, err := r.Try(demo.Tables(t), demo.Oxide(t, "lepidocrocite"))
	require.NoError(t, err)
	require.Contains(t, recipe.BetterBuy(ways), "costs least, £")
	r.Prices = map[string]recipe.Price{r.Chelant.ID: pounds} // one price is better than none
	p, err = r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.InDelta(t, 1.5, p.Cost.Total, 1e-9)
	require.Equal(t, []string{r.Acid.Name}, p.Cost.Missing)
	plain.Currency = "$"
	r.Prices[r.Acid.ID] = plain
	_, err = r.Plan(demo.Tables(t))
	require.ErrorIs(t, err, chem.ErrInput)
}
