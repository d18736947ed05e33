package bath_test

import (
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
	"example.com/chelation/tables"
)

// What a dosing says are its figures, each where it matters: both doses where a reader could
// tell them apart, the way to the pH where that starts off by a strip's fifth of a unit, the
// foam from a tenth of a litre on, and nothing of gas where none moves the pH.
func TestDosingsSayTheirFigures(t *testing.T) {
	waited, foamed, plain := 0, 0, 0
	for _, x := range []struct {
		cover      bath.Cover
		salt, with string
		pH         float64
	}{
		{bath.Still, "disodium EDTA", "washing soda", 7}, {bath.Bubbled, "EDTA acid", "washing soda", 6.5}, {bath.Lidded, "disodium EDTA", "washing soda", 7},
		{bath.Lidded, "EDTA acid", "baking soda", 6}, {bath.Still, "EDTA acid", "baking soda", 6}, {bath.Boarded, "disodium EDTA", "baking soda", 7.5},
		{bath.Still, "tetrasodium EDTA", "citric acid", 7}, {bath.Lidded, "tetrasodium EDTA", "citric acid", 7}, {bath.Still, "disodium EDTA", "lye", 7}, {bath.Still, "tetrasodium EDTA", "citric acid", 9.5},
	} {
		b := plainTub(t, bath.Place{Cover: x.cover}, map[string]float64{x.salt: 500})
		r := demo.Reagent(t, x.with)
		d, err := b.OpenDose(r, x.pH)
		require.NoError(t, err)
		dose := solution.NewPortion(r, unit.Mass(d.AdvisedGrams/1000)).Text() + " of " + r.Name
		require.True(t, strings.HasPrefix(d.Text, dose), d.Text)
		same := measure.Customary(measure.FormatGrams(d.NowGrams)) == measure.Customary(measure.FormatGrams(d.ForGoodGrams))
		assert.Equal(t, !same, strings.Contains(d.Text, fmt.Sprintf("Doses for pH %.1f: ", x.pH)), d.Text)
		assert.Equal(t, same, strings.Contains(d.Text, fmt.Sprintf(" for pH %.1f.", x.pH)), d.Text)
		assert.Equal(t, strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(d.Text, dose), either(same, fmt.Sprintf(" for pH %.1f.", x.pH), "."))), d.Beside())
		gas, waits := measure.FormatLitres(d.GasLitres), math.Abs(d.StartPH-x.pH) >= 0.2
		way := fmt.Sprintf("The pH starts at %.1f and comes to %.1f in ", d.StartPH, x.pH)
		today := fmt.Sprintf("what shows it today ends near %.1f.", d.NowEndPH)
		shut := fmt.Sprintf("The lid keeps the gas in; once it is off, %s of carbon dioxide leave and the pH goes to %.1f.", gas, d.NowEndPH)
		open := x.cover != bath.Lidded
		assert.Equal(t, waits && open, strings.Contains(d.Text, way), d.Text)
		assert.Equal(t, waits && open, strings.Contains(d.Text, " as "+gas+" of carbon dioxide leave"), d.Text)
		assert.Equal(t, waits && open && d.NowGrams > 0, strings.Contains(d.Text, today), d.Text)
		assert.Equal(t, waits && open, strings.Contains(d.Text, fmt.Sprintf("If it has to be %.1f today, stir and wait; do not add.", x.pH)), d.Text)
		assert.Equal(t, waits && !open, strings.Contains(d.Text, shut), d.Text)
		foam := waits && d.FizzLitres > 0.1
		assert.Equal(t, foam, strings.Contains(d.Text, measure.FormatLitres(d.FizzLitres)+" fizz out at once: add it in portions"), d.Text)
		assert.NotContains(t, d.Text, "  ")
		assert.Equal(t, waits && open, d.DaysTo.High > 0)
		if waits && open {
			waited++
		}
		if waits && x.cover == bath.Boarded { // the ends of the days are those of the velocity, fastest first
			y, err := b.Exchange()
			require.NoError(t, err)
			for _, end := range [][2]float64{{d.DaysTo.Low, y.GasCmPerHour.High}, {d.DaysTo.High, y.GasCmPerHour.Low}} {
				own := b.Clone()
				y.GasCmPerHour.Low, y.GasCmPerHour.Typical, y.GasCmPerHour.High = end[1], end[1], end[1]
				require.NoError(t, own.Stand(bath.Place{Cover: x.cover, GasCmPerHour: y.GasCmPerHour}))
				at, err := own.OpenDose(r, x.pH)
				require.NoError(t, err)
				assert.InEpsilon(t, end[0], at.DaysTo.Typical, 0.02)
			}
		}
		if foam {
			foamed++
		}
		if same {
			plain++
		}
	}
	assert.Positive(t, min(waited, foamed, plain))
}

func either(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// The acid due after so many parts is told with both of its doses, in the share of the first
// that it is.
func TestDosesAfterParts(t *testing.T) {
	o, citric := demo.Oxide(t, "lepidocrocite"), demo.Reagent(t, "citric acid")
	b := plainTub(t, bath.Place{}, map[string]float64{"disodium EDTA": 500, "washing soda": 127})
	u, err := b.Upkeep(citric, o, 7, 0.5)
	require.NoError(t, err)
	i := 0
	for u.Doses[i].RustGrams == 0 {
		i++
	}
	first := u.Doses[i]
	const each = 2.0
	parts := math.Max(1, math.Floor(first.RustGrams/each))
	grams := u.AcidPerRustGram * each * parts
	share := grams / first.AcidGrams
	text, err := u.Parts(citric, each*measure.Gram)
	require.NoError(t, err)
	both := solution.Doses{NowGrams: share * first.NowGrams, ForGoodGrams: share * first.ForGoodGrams}
	told := both.Told(7, grams)
	require.NotEmpty(t, told)
	assert.True(t, strings.HasSuffix(text, ". "+told), text)
	assert.InEpsilon(t, first.NowGrams, first.AcidGrams, 1e-9, "under a lid")
	assert.Greater(t, first.ForGoodGrams, 1.1*first.NowGrams, "gas that leaves would lift the pH")
}

// A pH that arrives within the hour is told in minutes: in a wide, shallow, bubbled tub it is there by
// when the dosing says.
func TestArrivalWithinTheHour(t *testing.T) {
	soda := demo.Reagent(t, "washing soda")
	fast := tables.Range{Low: 300, Typical: 400, High: 500}
	b := plainTub(t, bath.Place{Cover: bath.Bubbled, SurfaceCm2: 2e4, GasCmPerHour: fast}, map[string]float64{"disodium EDTA": 500})
	d, err := b.OpenDose(soda, 7)
	require.NoError(t, err)
	require.True(t, 0 < d.DaysTo.Low && d.DaysTo.High < 1./24, d.DaysTo)
	assert.Contains(t, d.Text, "comes to 7.0 in 2 minutes (1 to 2)")
	require.NoError(t, b.Add(soda, unit.Mass(d.AdvisedGrams/1000)))
	_, err = b.Fizz()
	require.NoError(t, err)
	h, err := b.Pass(bath.Parts{}, unit.Time(d.DaysTo.Typical)*measure.Day)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, h.PH.Typical, 6.89, "by then")
}

// A trace that has settled, a ten-millionth of a mole in a litre, is told of a glass as of a
// cubic metre.
func TestTracesThatSettleInAllSizes(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	for _, litres := range []float64{0.05, 20, 1000} {
		v, err := solution.New(demo.Tables(t), chem.Celsius(20))
		require.NoError(t, err)
		require.NoError(t, v.AddPureWater(unit.Volume(litres)*measure.Litre))
		for species, n := range map[string]float64{"Fe3+": 1e-7, "Cl-": 3e-7, "Na+": 3e-7, "OH-": 3e-7} {
			require.NoError(t, v.AddSpecies(species, unit.Mole(n*litres)))
		}
		b, err := bath.New(demo.Tables(t), v)
		require.NoError(t, err)
		drift, err := b.Drift(o, 2)
		require.NoError(t, err)
		require.Len(t, drift[0].SettledGrams, 1, "%g L", litres)
		// Fe(OH)3 of 106.867 g/mol (standard atomic weights)
		assert.InEpsilon(t, 1e-7*litres*106.867, drift[0].SettledGrams[0].Value, 0.05, "%g L", litres)
	}
}
