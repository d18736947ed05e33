package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

// Each of the three reasons gets its own remedy.
func TestDiagnoses(t *testing.T) {
	citric := demo.Reagent(t, "citric acid")
	lepidocrocite, goethite := demo.Oxide(t, "lepidocrocite"), demo.Oxide(t, "goethite")
	fresh := demo.Mix(t, demo.Recipe(t))
	d, err := fresh.Diagnose(lepidocrocite, 7, citric)
	require.NoError(t, err)
	require.Equal(t, bath.Working, d.Cause)
	require.Nil(t, d.Remedy)
	require.NotContains(t, d.Text, "Add")
	above, err := fresh.At(7.4) // too little to have drifted, and acid at hand
	require.NoError(t, err)
	d, err = above.Diagnose(lepidocrocite, 7, citric)
	require.NoError(t, err)
	require.Equal(t, bath.Working, d.Cause)
	require.Contains(t, d.Text, "Add "+d.Remedy.Text()+" of Citric acid")

	drifted := fresh.Clone()
	require.NoError(t, drifted.Dissolve(lepidocrocite, 45*measure.Gram))
	d, err = drifted.Diagnose(lepidocrocite, 7, citric)
	require.NoError(t, err)
	require.Equal(t, bath.Drifted, d.Cause)
	require.NotNil(t, d.Remedy)
	require.Contains(t, d.Text, "only drifted")
	// The remedy works: with the acid in, the bath takes several times more.
	require.NoError(t, drifted.Add(citric, d.Remedy.Mass()))
	better, err := drifted.Diagnose(lepidocrocite, 7, citric)
	require.NoError(t, err)
	require.InDelta(t, 7, better.PH, 1e-6)
	require.Greater(t, better.Now.IronMoles, 2*d.Now.IronMoles)

	spent := fresh.Clone()
	require.NoError(t, spent.Dissolve(lepidocrocite, 90*measure.Gram))
	spent, err = spent.At(7) // kept there by acid
	require.NoError(t, err)
	d, err = spent.Diagnose(lepidocrocite, 7, citric)
	require.NoError(t, err)
	require.Equal(t, bath.Spent, d.Cause)
	require.Nil(t, d.Remedy)

	alkaline := demo.Recipe(t)
	alkaline.PH = 11
	d, err = demo.Mix(t, alkaline).Diagnose(lepidocrocite, 7, citric)
	require.NoError(t, err)
	require.Contains(t, d.Text, "has yet to be brought to its pH", "without rust a bath has not drifted")
	d, err = demo.Mix(t, alkaline).Diagnose(goethite, 11, citric)
	require.NoError(t, err)
	require.Equal(t, bath.Barred, d.Cause)
	require.Contains(t, d.Text, "Work near")
	// What it says works: with that acid in, half the chelant can be filled.
	require.NotNil(t, d.Remedy)
	cured := demo.Mix(t, alkaline)
	require.NoError(t, cured.Add(citric, d.Remedy.Mass()))
	st, err := cured.State()
	require.NoError(t, err)
	require.InDelta(t, d.TargetPH, st.PH, 1e-6)
	l, err := cured.Limit(goethite, st.PH)
	require.NoError(t, err)
	require.Greater(t, l.IronPerChelant, 0.5)

	none := demo.Recipe(t)
	none.Chelant, none.Acid, none.PH = demo.Reagent(t, "sodium gluconate"), demo.Reagent(t, "muriatic acid"), 6
	d, err = demo.Mix(t, none).Diagnose(goethite, 7, citric)
	require.NoError(t, err) // a weak chelant alone still gets an answer
	require.NotEmpty(t, d.Text)
}

// Every other thing that goes wrong is told by its name, and the next step mends it.
func TestDiagnosesWhatElseGoesWrong(t *testing.T) {
	citric, soda, bag := demo.Reagent(t, "citric acid"), demo.Reagent(t, "washing soda"), demo.Reagent(t, "tetrasodium EDTA tetrahydrate")
	o := demo.Oxide(t, "lepidocrocite")
	library := func(change func(*recipe.Recipe)) *bath.Bath {
		r := demo.Recipe(t)
		if change != nil {
			change(&r)
		}
		return demo.Mix(t, r)
	}
	with := func(b *bath.Bath, moles map[string]float64) *bath.Bath {
		for species, n := range moles {
			require.NoError(t, b.AddSpecies(species, unit.Mole(n)))
		}
		return b
	}
	poured := func(r tables.Reagent, grams float64) *bath.Bath {
		b := library(nil)
		require.NoError(t, b.Add(r, unit.Mass(grams/1000)))
		return b
	}
	grams := func(g float64) func(*recipe.Recipe) {
		return func(r *recipe.Recipe) { r.Amount = measure.AmountOfMass(unit.Mass(g / 1000)) }
	}
	for name, x := range map[string]struct {
		bath  *bath.Bath
		cause bath.Cause
		text  string
	}{
		"acid by the bag":    {poured(citric, 1500), bath.Soured, "white grains"},
		"strong acid":        {poured(demo.Reagent(t, "muriatic acid"), 500), bath.Soured, "hydrogen"},
		"a bath of acid":     {poured(demo.Reagent(t, "muriatic acid"), 9000), bath.NoBath, "neutralise"},
		"a bath of lye":      {poured(demo.Reagent(t, "sodium hydroxide"), 3000), bath.NoBath, "collect"},
		"a whole sack":       {library(grams(5000)), bath.TooStrong, "water"},
		"salt by the bucket": {with(library(nil), map[string]float64{"Na+": 80, "Cl-": 80}), bath.OutOfRange, "water"},
		"brine of lime":      {with(library(nil), map[string]float64{"Ca2+": 1.0, "Cl-": 1.0, "OH-": 1.0}), bath.Starved, "Add"},
		"mud":                {with(library(nil), map[string]float64{"Fe3+": 1.2, "Na+": 1.0, "Cl-": 0.3, "OH-": 4.3}), bath.Settled, "mud"},
		"a spoon":            {library(grams(10)), bath.TooWeak, "Add"},
		"a shed in winter":   {library(func(r *recipe.Recipe) { r.Temperature = chem.Celsius(5) }), bath.TooCold, "slower"},
	} {
		for cover, gone := range map[bath.Cover]func(*solution.Solution) (float64, error){bath.Lidded: (*solution.Solution).Fizz, bath.Still: (*solution.Solution).Degas} {
			if cover == bath.Still && x.cause != bath.Soured {
				continue
			}
			t.Run(name+", "+string(cover), func(t *testing.T) {
				mended := x.bath.Clone()
				require.NoError(t, mended.Stand(bath.Place{Cover: cover}))
				d, err := mended.Diagnose(o, 7, citric, soda, bag)
				require.NoError(t, err)
				require.Equal(t, x.cause, d.Cause, "pH %.2f: %s", d.PH, d.Text)
				require.Contains(t, d.Text, x.text)
				if x.cause == bath.Soured || x.cause == bath.Starved || x.cause == bath.TooWeak {
					require.NotNil(t, d.Remedy, "the first at hand that serves")
				}
				if d.Remedy != nil {
					r, err := demo.Tables(t).Reagent(d.Remedy.Reagent)
					require.NoError(t, err)
					for range 8 { // each portion fizzes before the next
						require.NoError(t, mended.Add(r, unit.Mass(d.Remedy.MassGrams/8000)))
						_, err = mended.Fizz()
						require.NoError(t, err)
					}
					_, err = gone(&mended.Solution)
					require.NoError(t, err)
				}
				if d.WaterLitres > 0 {
					require.NoError(t, mended.AddPureWater(unit.Volume(d.WaterLitres)*measure.Litre))
				}
				if d.Remedy == nil && d.WaterLitres == 0 {
					return
				}
				after, err := mended.Diagnose(o, 7, citric, soda, bag)
				require.NoError(t, err)
				require.NotEqual(t, x.cause, after.Cause, after.Text)
				if x.cause == bath.Soured { // the three figures: now, for good, and of them the one that serves this tub
					require.InDelta(t, 7, after.PH, 0.05)
					require.Zero(t, after.SettledAcidGrams)
					require.Greater(t, d.RemedyDoses.NowGrams, 1.05*d.RemedyDoses.ForGoodGrams)
					require.InDelta(t, map[bath.Cover]float64{bath.Lidded: d.RemedyDoses.NowGrams, bath.Still: d.RemedyDoses.ForGoodGrams}[cover], d.Remedy.MassGrams, 1e-9)
					require.Contains(t, d.Text, "Doses for pH 7.0: now "+measure.FormatGrams(d.RemedyDoses.NowGrams)+", for good "+measure.FormatGrams(d.RemedyDoses.ForGoodGrams)+", advised "+measure.FormatGrams(d.Remedy.MassGrams)+".")
				}
			})
		}
	}
	// What the acid can still eat is by its protons: half a mole of iron for each.
	sour := poured(demo.Reagent(t, "muriatic acid"), 500)
	d, err := sour.Diagnose(o, 7)
	require.NoError(t, err)
	require.Nil(t, d.Remedy, "nothing is at hand")
	require.Contains(t, d.Text, "wants a base")
}

// Signs speak for causes that exist, and turn a diagnosis only when they speak with
// one voice.
func TestSeen(t *testing.T) {
	std := demo.Tables(t)
	known := []bath.Cause{bath.NoBath, bath.Nothing, bath.Soured, bath.TooStrong, bath.OutOfRange, bath.Barred, bath.TooWeak, bath.Starved, bath.Spent, bath.Settled, bath.GasLeaving, bath.Drifted, bath.TooCold, bath.Working}
	for s := range tables.All[tables.Sign](std) {
		require.NotEmpty(t, s.Causes, s.ID)
		for _, x := range s.Causes {
			require.Contains(t, known, bath.Cause(x.Cause), s.ID)
		}
	}
	d := bath.Diagnosis{Cause: bath.Working}
	x, err := d.Seen(std)
	require.NoError(t, err)
	require.Equal(t, []bath.LikelyCause{{Cause: bath.Working, Share: 1}}, x.Causes)
	// By hand: working 4·1, soured 6·5, of which frosted steel tells 5 and grains 6;
	// too strong 3, too cold 2.
	x, err = d.Seen(std, "crystals", "Frosted steel")
	require.NoError(t, err)
	require.Len(t, x.Signs, 2)
	require.Equal(t, bath.Soured, x.Causes[0].Cause)
	require.InDelta(t, 30.0/39, x.Causes[0].Share, 1e-12)
	x, err = d.Seen(std, "black film")
	require.NoError(t, err)
	require.Equal(t, bath.Working, x.Causes[0].Cause)
	_, err = d.Seen(std, "mauve")
	require.ErrorIs(t, err, tables.ErrNotFound)
}

// 127 g of washing soda in 500 g of disodium EDTA show pH 7 and end near 9 in the open: the
// pH climbs with neither rust nor a wrong scoop. A reading on the way is gas that left; one
// beyond it, or of a bath that holds none, is acid or base as before.
func TestGasLeavingIsACause(t *testing.T) {
	o, citric := demo.Oxide(t, "lepidocrocite"), demo.Reagent(t, "citric acid")
	b := plainTub(t, bath.Place{Cover: bath.Still}, map[string]float64{"disodium EDTA": 500, "washing soda": 127})
	d, err := b.Diagnose(o, 7, citric)
	require.NoError(t, err)
	require.Equal(t, bath.GasLeaving, d.Cause, d.Text)
	require.NotNil(t, d.Remedy, "it ends two units too high")
	require.NoError(t, b.Add(citric, d.Remedy.Mass()))
	require.InDelta(t, 7, airedPH(t, b), 0.02)

	good := plainTub(t, bath.Place{Cover: bath.Still}, map[string]float64{"disodium EDTA": 500, "washing soda": 72})
	d, err = good.Diagnose(o, 7, citric)
	require.NoError(t, err)
	require.Equal(t, bath.GasLeaving, d.Cause, d.Text)
	require.Nil(t, d.Remedy, "it comes to 7 by itself")
	require.NoError(t, good.Stand(bath.Place{}))
	d, err = good.Diagnose(o, 7, citric)
	require.NoError(t, err)
	require.NotEqual(t, bath.GasLeaving, d.Cause, "a lid keeps it")

	shut := plainTub(t, bath.Place{}, map[string]float64{"disodium EDTA": 500, "washing soda": 127})
	for _, x := range []struct {
		pH  float64
		gas bool
	}{{6.0, false}, {7.05, false}, {7.6, true}, {8.9, true}, {9.8, false}} {
		at, aired, err := shut.Read(x.pH, 0.1)
		require.NoError(t, err)
		gas := aired > 0
		require.Equal(t, x.gas, gas, "pH %g", x.pH)
		require.InDelta(t, x.pH, state(t, at).PH, 0.02)
		before, after := amounts(t, shut, "Na+", "edta4-"), amounts(t, at, "Na+", "edta4-")
		require.InDelta(t, before[1], after[1], 1e-9)
		if gas {
			require.InDelta(t, airedPH(t, shut), aired, 1e-9)
			require.InDelta(t, before[0], after[0], 1e-9, "nothing but gas went")
			require.Less(t, amounts(t, at, "CO3^2-")[0], amounts(t, shut, "CO3^2-")[0])
		}
	}
}
