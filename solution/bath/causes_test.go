package bath_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/tables"
)

// troubles are baths in which something is wrong, in grams of the salt and mol of else in a litre.
var troubles = map[bath.Cause]struct {
	grams, celsius float64
	place          bath.Place
	more           map[string]float64
}{
	bath.TooStrong:  {grams: 250, celsius: 20},
	bath.OutOfRange: {grams: 25, celsius: 20, more: map[string]float64{"Na+": 4, "Cl-": 4}},
	bath.TooWeak:    {grams: 1, celsius: 20},
	bath.Starved:    {grams: 25, celsius: 20, more: map[string]float64{"Ca2+": 0.05, "Cl-": 0.05, "OH-": 0.05}},
	bath.Spent:      {grams: 25, celsius: 20, more: map[string]float64{"Fe3+": 0.05, "OH-": 0.11, "Cl-": 0.04}},
	bath.Settled:    {grams: 25, celsius: 20, more: map[string]float64{"Fe3+": 0.06, "Na+": 0.05, "Cl-": 0.015, "OH-": 0.215}},
	bath.GasLeaving: {grams: 25, celsius: 20, place: bath.Place{Cover: bath.Still}, more: map[string]float64{"H2CO3": 0.05, "HCO3-": 0.02, "Na+": 0.02}},
	bath.Drifted:    {grams: 25, celsius: 20, more: map[string]float64{"Fe3+": 0.02, "OH-": 0.06}},
	bath.Soured:     {grams: 25, celsius: 20, more: map[string]float64{"H+": 0.1, "Cl-": 0.1}},
	bath.TooCold:    {grams: 25, celsius: 5},
	bath.Working:    {grams: 25, celsius: 20, more: map[string]float64{"OH-": 0.006, "Na+": 0.006}},
}

// diagnosed is what is said of such a bath, of so many litres.
func diagnosed(t *testing.T, cause bath.Cause, litres float64, atHand ...tables.Reagent) bath.Diagnosis {
	t.Helper()
	x, r := troubles[cause], demo.Recipe(t)
	r.Volume, r.Temperature = unit.Volume(litres)*measure.Litre, chem.Celsius(x.celsius)
	r.Amount = measure.AmountOfMass(unit.Mass(x.grams*litres) * measure.Gram)
	b := demo.Mix(t, r)
	for species, n := range x.more {
		require.NoError(t, b.AddSpecies(species, unit.Mole(n*litres)))
	}
	require.NoError(t, b.Stand(x.place))
	d, err := b.Diagnose(demo.Oxide(t, "lepidocrocite"), 7, atHand...)
	require.NoError(t, err)
	require.Equal(t, cause, d.Cause, "%g L: %s", litres, d.Text)
	return d
}

// Of what is wrong with a bath a glass of it is told as a cubic metre is, and what to put in
// goes as the size.
func TestCausesInAllSizes(t *testing.T) {
	atHand := []tables.Reagent{demo.Reagent(t, "citric acid"), demo.Reagent(t, "washing soda"), demo.Reagent(t, "tetrasodium EDTA")}
	for cause := range troubles {
		tub := diagnosed(t, cause, 20, atHand...)
		for _, litres := range []float64{0.1, 1000} {
			laws.Extensive(t, tub, diagnosed(t, cause, litres, atHand...), litres/20, 1e-5, 1)
		}
	}
}

// A diagnosis names what is to be put in if something at hand serves, and else says what would
// in words of its own; either way in whole sentences.
func TestDiagnosesNameTheirRemedies(t *testing.T) {
	atHand := []tables.Reagent{demo.Reagent(t, "citric acid"), demo.Reagent(t, "washing soda"), demo.Reagent(t, "tetrasodium EDTA")}
	for cause := range troubles {
		with, without := diagnosed(t, cause, 20, atHand...), diagnosed(t, cause, 20)
		require.Nil(t, without.Remedy)
		for _, d := range []bath.Diagnosis{with, without} {
			for _, broken := range []string{"%!", "  ", " .", "..", " ,", "dd  ", "add and", "Add,"} {
				assert.NotContains(t, d.Text, broken, cause)
			}
			assert.True(t, strings.HasSuffix(d.Text, "."), d.Text)
			assert.NotContains(t, without.Text, " of Citric acid")
			if figure, ok := map[bath.Cause]string{ // what is free, or is not, and how cold or strong it is
				bath.Starved: fmt.Sprintf("hold the chelant: %.0f %% of it is free", 100*d.FreeChelantFraction), bath.Spent: fmt.Sprintf("used up: %.0f %% of it holds metal", 100*(1-d.FreeChelantFraction)),
				bath.Drifted: fmt.Sprintf("%.0f %% of its chelant is", 100*d.FreeChelantFraction), bath.Soured: fmt.Sprintf("soured to pH %.1f:", d.PH),
				bath.TooStrong: "Add " + measure.FormatLitres(d.WaterLitres) + " of water", bath.OutOfRange: "Add " + measure.FormatLitres(d.WaterLitres) + " of water",
				bath.TooWeak: "all of it takes " + measure.FormatGrams(d.After.RustGrams) + " of rust",
			}[cause]; ok {
				assert.Contains(t, d.Text, figure)
			}
		}
		if with.Remedy != nil {
			assert.Contains(t, with.Text, with.Remedy.Text()+" of "+with.Remedy.Name, cause)
			assert.NotEqual(t, with.Text, without.Text)
		}
		mends := map[bath.Cause]bool{bath.TooWeak: true, bath.Starved: true, bath.Spent: true, bath.Soured: true, bath.Drifted: true, bath.GasLeaving: true, bath.Working: true, bath.Settled: true}
		assert.Equal(t, mends[cause], with.Remedy != nil, "%s: %s", cause, with.Text)
	}
	for cause, says := range map[bath.Cause]string{
		bath.Spent: "or add chelant and bring it to pH again.", bath.Starved: " Add chelant, or mix a new bath with softer water.", bath.TooWeak: "Add chelant and bring it to pH again.",
		bath.Soured: "it wants a base, such as washing soda.", bath.Drifted: "use a stronger acid.", bath.Settled: "Let it sink and filter it off.", bath.GasLeaving: "Stir and wait; add nothing for it.",
	} {
		assert.Contains(t, diagnosed(t, cause, 20).Text, says)
	}
}

// The pH to work at where an oxide is barred is the highest half unit at which it gives half of
// what it gives at the best of them, which half a unit above it does not; where it gives next to
// nothing at all of them none is told, and nothing is to be put in.
func TestWhereABarredOxideGoes(t *testing.T) {
	acid := demo.Reagent(t, "muriatic acid") // to pH 0 if need be
	barred := 0
	for _, chelant := range []string{"nta3-", "edds4-", "ida2-", "gluc-", "tart2-", "malate2-"} {
		c, err := demo.Tables(t).Component(chelant)
		require.NoError(t, err)
		for _, oxide := range []string{"goethite", "hematite", "magnetite"} {
			o := demo.Oxide(t, oxide)
			b := anionBath(t, chelant, -float64(c.Species.Formula.Charge()), 8)
			d, err := b.Diagnose(o, 8, acid)
			require.NoError(t, err)
			per := func(pH float64) float64 {
				l, err := b.Limit(o, pH)
				if errors.Is(err, bath.ErrLimitless) {
					return math.Inf(1)
				}
				require.NoError(t, err)
				return l.IronPerChelant
			}
			require.Equal(t, per(8) < 0.05, d.Cause == bath.Barred, "%s, %s", chelant, oxide)
			if d.Cause != bath.Barred {
				continue
			}
			barred++
			best := 0.0
			for pH := 2.0; pH <= 12; pH += 0.5 {
				best = max(best, min(1, per(pH)))
			}
			if d.TargetPH == 0 {
				assert.Less(t, best, 0.05, "%s, %s", chelant, oxide)
				assert.Nil(t, d.Remedy)
				assert.Contains(t, d.Text, "next to no "+oxide+" at any pH")
				continue
			}
			assert.InDelta(t, math.Round(2*d.TargetPH), 2*d.TargetPH, 1e-9)
			assert.GreaterOrEqual(t, per(d.TargetPH), 0.5*best-1e-9, "%s, %s: %g", chelant, oxide, d.TargetPH)
			assert.Less(t, per(d.TargetPH+0.5), 0.5*best, "%s, %s: %g", chelant, oxide, d.TargetPH)
			assert.Equal(t, d.TargetPH < 5, strings.Contains(d.Text, "eats bare steel"), d.Text)
		}
	}
	assert.Greater(t, barred, 6)
}

// Water with iron and acid in it and no chelant gets answers, all of them numbers: shares of
// no chelant are none.
func TestWaterWithoutChelant(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	for _, cover := range []bath.Cover{bath.Lidded, bath.Still} {
		b := plainTub(t, bath.Place{Cover: cover}, map[string]float64{"muriatic acid": 50})
		require.NoError(t, b.Dissolve(o, measure.Gram))
		r, err := b.Redox()
		require.NoError(t, err)
		assert.Zero(t, r.InBath.ChelantMoles)
		assert.Zero(t, r.InBath.ChelantFraction)
		assert.InEpsilon(t, 1/88.852/2*55.845, r.InBath.SteelGrams, 1e-4)
		c, err := b.Capacities(o, 3)
		require.NoError(t, err)
		assert.Zero(t, c.Chelant.IronMoles)
		l, err := b.Limit(o, 3)
		require.NoError(t, err)
		assert.Zero(t, l.IronPerChelant)
		assert.Positive(t, l.IronMoles)
		drift, err := b.Drift(o, 2)
		require.NoError(t, err)
		h, err := b.Clone().Pass(bath.Parts{BareSteelCm2: 100, Rust: rusty(t, 0.1)}, 10*measure.Hour)
		require.NoError(t, err)
		assert.Zero(t, h.FreeMoles.Typical)
		d, err := b.Diagnose(o, 7, demo.Reagent(t, "citric acid"))
		require.NoError(t, err)
		assert.Equal(t, bath.Nothing, d.Cause)
		for _, x := range []any{r, c, l, drift, h, d} {
			laws.ThroughJSON(t, x) // which has no word for what is no number
		}
	}
}

// A bath of a chelant without a constant for iron(III) is refused, one of any other is not;
// a trace of it beside EDTA is one, too. Which those are: the README.
func TestChelantsWithoutIron(t *testing.T) {
	std := demo.Tables(t)
	without := []string{"mgda3-", "glda4-", "ids4-"}
	for _, c := range std.Components() {
		if !c.Class.Chelant() {
			continue
		}
		name := c.Species.String()
		for _, beside := range []unit.Mole{0, 0.1} {
			v, err := solution.New(std, chem.Celsius(20))
			require.NoError(t, err)
			require.NoError(t, v.AddPureWater(measure.Litre))
			require.NoError(t, v.AddSpecies(name, 0.01))
			require.NoError(t, v.AddSpecies("edta4-", beside))
			require.NoError(t, v.AddSpecies("Na+", unit.Mole(-0.01*float64(c.Species.Formula.Charge()))+4*beside))
			_, err = bath.New(std, v)
			if strings.Contains(strings.Join(without, " "), name) {
				assert.ErrorIs(t, err, bath.ErrNoIron, name)
				assert.ErrorIs(t, err, chem.ErrInput, name)
			} else {
				assert.NoError(t, err, name)
			}
		}
	}
}

// The acid of EDTA at the bottom weighs what its formula says: C10H16N2O8, 292.244 g/mol by
// standard atomic weights (arithmetic).
func TestSettledAcidByItsFormula(t *testing.T) {
	sour, err := demo.Mix(t, demo.Recipe(t)).At(2)
	require.NoError(t, err)
	h, err := sour.Holdings()
	require.NoError(t, err)
	moles := h.Of("edta4-").SettledMoles
	require.Greater(t, moles, 0.5)
	d, err := sour.Diagnose(demo.Oxide(t, "lepidocrocite"), 7)
	require.NoError(t, err)
	assert.InEpsilon(t, moles*(10*12.011+16*1.008+2*14.007+8*15.999), d.SettledAcidGrams, 1e-5)
	assert.Contains(t, d.Text, measure.FormatGrams(d.SettledAcidGrams)+" of the chelant lies at the bottom")
}

// Where a plan of upkeep stops for want of equilibrium, done, it has a hundredth of the chelant
// or less still to dissolve by itself; where it stops because the chelant is used up, three
// quarters of that hold metal; and each dose but the last few lets the pH rise as far as was said.
func TestWhyUpkeepStops(t *testing.T) {
	for _, x := range []struct {
		acid, oxide string
		pH          float64
		ends        bool
	}{{"citric acid", "hematite", 9, true}, {"vinegar", "goethite", 9, true}, {"vinegar", "hematite", 8.5, false}} {
		r, o, acid := demo.Recipe(t), demo.Oxide(t, x.oxide), demo.Reagent(t, x.acid)
		r.PH = x.pH
		b := demo.Mix(t, r)
		u, err := b.Upkeep(acid, o, x.pH, 0.5)
		require.NoError(t, err)
		require.Greater(t, len(u.Doses), 5)
		for _, d := range u.Doses {
			require.NoError(t, b.Dissolve(o, unit.Mass(d.RustGrams)*measure.Gram))
			require.NoError(t, b.Add(acid, unit.Mass(d.AcidGrams)*measure.Gram))
		}
		h, err := b.Holdings()
		require.NoError(t, err)
		edta := h.Of("edta4-")
		alone, _, err := b.LeftAlone(o)
		require.NoError(t, err)
		if x.ends {
			assert.Equal(t, "equilibrium allows no more "+x.oxide+" near pH 9.0", u.Stopped)
			assert.LessOrEqual(t, alone.IronMoles, 0.01*edta.TotalMoles)
			assert.Greater(t, edta.FreeMoles, 0.26*edta.TotalMoles)
		} else {
			assert.Contains(t, u.Stopped, "75 % of the chelant holds metal")
			assert.InDelta(t, 0.25, edta.FreeMoles/edta.TotalMoles, 0.011)
		}
	}
}

// What a bath dissolves at a held pH is the same whether its vessel was opened to the air
// or not: strong acid and base hold the pH, and what carbonate there is stays.
func TestLimitOfAnOpenedVessel(t *testing.T) {
	for _, oxide := range []string{"ferrihydrite", "hematite"} {
		o := demo.Oxide(t, oxide)
		shut := plainTub(t, bath.Place{}, map[string]float64{"tetrasodium EDTA": 300, "washing soda": 300})
		opened := shut.Clone()
		require.NoError(t, opened.Open(0.0007))
		for _, pH := range []float64{8, 9, 10.5} {
			want, err := shut.Limit(o, pH)
			require.NoError(t, err)
			got, err := opened.Limit(o, pH)
			require.NoError(t, err)
			assert.InEpsilon(t, want.IronMoles, got.IronMoles, 1e-6, "%s at pH %g", oxide, pH)
		}
	}
}

// A bath that has had all that an oxide gives says no more of holding its pH, which would
// bring nothing.
func TestNothingMoreByHolding(t *testing.T) {
	r, o := demo.Recipe(t), demo.Oxide(t, "hematite")
	r.PH = 9
	b := demo.Mix(t, r)
	require.NoError(t, b.Dissolve(demo.Oxide(t, "ferrihydrite"), 62*measure.Gram))
	b, err := b.At(9)
	require.NoError(t, err)
	d, err := b.Diagnose(o, 9)
	require.NoError(t, err)
	require.Equal(t, bath.Working, d.Cause)
	require.Zero(t, d.After.IronMoles)
	assert.NotContains(t, d.Text, "when its pH is held")
}

// Where a bath stands higher than it may rise, the plan of its upkeep begins with acid alone, as
// much as brings it to its pH, and goes on as that of a bath that was mixed there; after how many
// parts the acid is due is told of the first dose that rust goes before.
func TestAcidFirst(t *testing.T) {
	o, citric, r := demo.Oxide(t, "lepidocrocite"), demo.Reagent(t, "citric acid"), demo.Recipe(t)
	r.PH = 11
	b := demo.Mix(t, r)
	dose, err := b.Dose(citric, solution.PH(7))
	require.NoError(t, err)
	u, err := b.Upkeep(citric, o, 7, 0.5)
	require.NoError(t, err)
	first := u.Doses[0]
	assert.Zero(t, first.RustGrams)
	assert.InEpsilon(t, dose.MassGrams, first.AcidGrams, 1e-6)
	assert.InDelta(t, state(t, b).PH, first.PHFrom, 1e-6)
	assert.InDelta(t, 7, first.PHTo, 1e-4)
	mixed, err := demo.Mix(t, demo.Recipe(t)).Upkeep(citric, o, 7, 0.5)
	require.NoError(t, err)
	require.Len(t, u.Doses, 1+len(mixed.Doses))
	for i, d := range mixed.Doses {
		assert.InEpsilon(t, d.RustGrams, u.Doses[1+i].RustGrams, 0.01)
		assert.InEpsilon(t, d.AcidGrams, u.Doses[1+i].AcidGrams, 0.01)
	}
	assert.InEpsilon(t, mixed.Acid.MassGrams+first.AcidGrams, u.Acid.MassGrams, 0.01)
	text, err := u.Parts(citric, unit.Mass(0.4*u.Doses[1].RustGrams)*measure.Gram)
	require.NoError(t, err)
	assert.Contains(t, text, "after every 2 parts of ")
}
