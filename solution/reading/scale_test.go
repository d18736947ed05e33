package reading

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// A jar and a vat are believed as the tub is: ten times of everything, or a tenth, brings ten
// times or a tenth of what is weighed and the same pH and chances, in the open and under a lid,
// with acid or base to set the pH. Factors of ten keep what is rounded to two digits.
func TestBeliefsOfAllSizes(t *testing.T) {
	meter := strip(t, "pH meter")
	for name, x := range map[string]struct {
		salt, acid, base string
		first, second    float64 // read
		grams            float64 // of what sets the pH, in between
		open             bool
	}{
		"acid":         {"tetrasodium EDTA", "citric acid", "washing soda", 11.1, 9.3, 55, false},
		"acid, open":   {"tetrasodium EDTA", "citric acid", "washing soda", 11.1, 5.4, 140, true},
		"base":         {"disodium EDTA", "", "lye", 4.6, 5.6, 15, false},
		"soda in open": {"disodium EDTA", "citric acid", "washing soda", 4.6, 5.6, 30, true},
	} {
		type told struct {
			advice   *Advice
			forecast *Forecast
			remedies []Remedy
			amount   float64
		}
		ask := func(times float64) (out told) {
			s := Setup{Water: water(t, "moderately hard tap water"), Volume: unit.Volume(20*times) * measure.Litre, Temperature: tub(t).Temperature,
				Bag: []Candidate{{reagent(t, x.salt), 1}}, Amount: measure.Amount{MassGrams: 500 * times}, Base: reagent(t, x.base), Open: x.open}
			if x.acid != "" {
				s.Acid = reagent(t, x.acid)
			}
			with := s.Acid
			if x.salt == "disodium EDTA" {
				with = s.Base
			}
			s.Extras = []Added{{reagent(t, "table salt"), measure.Amount{MassGrams: 20 * times}}}
			m := model(t, s)
			p := infer(t, m, Read{meter, x.first}, Added{with, measure.Amount{MassGrams: x.grams * times}}, Read{meter, x.second})
			out.advice = advise(t, p)
			var err error
			out.remedies, err = p.Remedies()
			require.NoError(t, err)
			out.forecast, err = m.Forecast(func(bag, dose float64) float64 { return bag + 3*dose })
			require.NoError(t, err)
			out.amount = p.over(p.chelant).Typical
			return out
		}
		one := ask(1)
		times := map[bool]float64{true: 10, false: 0.1}[x.grams < 50]
		other := ask(times)
		same := func(what string, want, got float64) {
			t.Helper()
			assert.InDelta(t, want, got, 2e-3*max(want, -want)+1e-6, "%s, %g times: %s", name, times, what)
		}
		ranges := func(what string, by float64, want, got tables.Range) {
			t.Helper()
			same(what, by*want.Low, got.Low)
			same(what, by*want.Typical, got.Typical)
			same(what, by*want.High, got.High)
		}
		ranges("pH", 1, one.advice.PH, other.advice.PH)
		ranges("need", times, one.advice.NeedGrams, other.advice.NeedGrams)
		same("window", one.advice.Window, other.advice.Window)
		require.Equal(t, one.advice.Action, other.advice.Action)
		if one.advice.Weighed != nil {
			same("weighed", times*one.advice.Weighed.MassGrams, other.advice.Weighed.MassGrams)
			same("overshoot", one.advice.Weighed.Overshoot, other.advice.Weighed.Overshoot)
			ranges("pH after", 1, one.advice.Weighed.PHAfter, other.advice.Weighed.PHAfter)
		}
		ranges("forecast of pH", 1, one.forecast.PH.Range, other.forecast.PH.Range)
		ranges("dose", times, one.forecast.DoseGrams.Range, other.forecast.DoseGrams.Range)
		ranges("iron", times, one.forecast.IronMoles.Range, other.forecast.IronMoles.Range)
		ranges("cost", times, one.forecast.Cost.Range, other.forecast.Cost.Range)
		ranges("by constants", times, one.forecast.ByConstants, other.forecast.ByConstants)
		same("first", times*one.forecast.FirstGrams, other.forecast.FirstGrams)
		same("chelant", times*one.amount, other.amount)
		require.Len(t, other.remedies, len(one.remedies))
		for _, r := range one.remedies { // two that leave alike may change places
			y := other.remedies[slices.IndexFunc(other.remedies, func(y Remedy) bool { return y.ReagentID == r.ReagentID })]
			ranges(r.Reagent, times, r.MassGrams, y.MassGrams)
			same(r.Reagent, times*r.SafeGrams, y.SafeGrams)
			same(r.Reagent, times*r.SaltMoles, y.SaltMoles)
			same(r.Reagent, times*r.GasLitres, y.GasLitres)
			same(r.Reagent, times*r.NowGrams, y.NowGrams)
			same(r.Reagent, times*r.ForGoodGrams, y.ForGoodGrams)
		}
	}
}
