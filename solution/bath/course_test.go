package bath_test

import (
	"math"
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

// used is the tool library's bath after 30 g of rust, in a place.
func used(t testing.TB, p bath.Place) *bath.Bath {
	t.Helper()
	b := demo.Mix(t, demo.Recipe(t))
	require.NoError(t, b.Dissolve(demo.Oxide(t, "lepidocrocite"), 30*measure.Gram))
	require.NoError(t, b.Stand(p))
	return b
}

// rusty is rust on parts that would go in 16 hours.
func rusty(t testing.TB, iron float64) bath.Rust {
	return bath.Rust{Oxide: demo.Oxide(t, "lepidocrocite"), IronMoles: iron, AreaCm2: 1e4, Hours: tables.Range{Low: 5, Typical: 16, High: 50},
		FilmMetresPerS: 1e-6}
}

// amounts are what a bath holds of some components, mol.
func amounts(t testing.TB, b *bath.Bath, names ...string) []float64 {
	t.Helper()
	var out []float64
	for _, name := range names {
		n, err := b.Amount(name)
		require.NoError(t, err)
		out = append(out, float64(n))
	}
	return out
}

// Elements, charge and electrons are kept to 1e-9 of what there is: what a course
// tells of gas, steel and rust is what the bath has more or less of. The ledgers are
// written down here from the equations, not taken from the code: an iron of the steel
// brings two electrons more than iron(II) in the end holds, an oxygen takes four, a
// destroyed chelant gives two and a carbon dioxide.
func TestCourseKeepsTheBooks(t *testing.T) {
	for _, p := range []bath.Place{{}, {Cover: bath.Still, Light: bath.Sunlit}, {Cover: bath.Bubbled, Light: bath.RoomLit}} {
		b := used(t, p)
		require.NoError(t, b.Add(demo.Reagent(t, "baking soda"), 100*measure.Gram))
		rust := rusty(t, 0.4)
		names := []string{"Fe3+", "Fe2+", "CO3^2-", "edta4-", "H+", "Cl-", "Na+", "Ca2+", "cit3-", "Mg2+"}
		charges := []float64{3, 2, -2, -4, 1, -1, 1, 2, -3, 2}
		before := amounts(t, b, names...)
		h, err := b.Pass(bath.Parts{Rust: rust, BareSteelCm2: 1500}, 72*measure.Hour)
		require.NoError(t, err)
		after := amounts(t, b, names...)
		change := map[string]float64{}
		charge := 0.0
		for i, name := range names {
			change[name] = after[i] - before[i]
			charge += charges[i] * change[name]
		}
		steel, spoilt := h.SteelLostGrams.Typical/bath.IronMolarMass, h.LightSpoiltMoles.Typical+h.AirSpoiltMoles.Typical
		dissolved := rust.IronMoles - h.RustLeftGrams.Typical/rust.Oxide.Grams(1)
		assert.Positive(t, steel)
		assert.InDelta(t, steel+dissolved, change["Fe3+"]+change["Fe2+"], 1e-9, "iron")
		assert.InDelta(t, 3*steel+2*spoilt-4*h.O2InMoles.Typical, change["Fe2+"], 1e-9, "electrons over iron(III)")
		assert.InDelta(t, spoilt-h.CO2OutMoles.Typical, change["CO3^2-"], 1e-9, "carbon")
		assert.InDelta(t, -spoilt, change["edta4-"], 1e-9, "chelant")
		assert.InDelta(t, 0, charge, 1e-9, "charge")
		assert.InDelta(t, h.PH.Typical, state(t, b).PH, 1e-6, "the bath is where the course says")
		assert.InDelta(t, h.IronIIMoles.Typical, after[1], 1e-12)
		sum := h.PHByGas + h.PHByRust + h.PHBySteel + h.PHByAir + h.PHByLight
		fresh := used(t, p)
		require.NoError(t, fresh.Add(demo.Reagent(t, "baking soda"), 100*measure.Gram))
		assert.InDelta(t, h.PH.Typical-state(t, fresh).PH, sum, 1e-6, "what moved the pH adds up")
	}
}

func state(t testing.TB, b *bath.Bath) *solution.State {
	t.Helper()
	st, err := b.State()
	require.NoError(t, err)
	return st
}

// A course told in one step or in twenty, each of which starts small again, ends
// within a thousandth.
func TestCourseDoesNotHangOnItsSteps(t *testing.T) {
	for _, p := range []bath.Place{{}, {Cover: bath.Still, Light: bath.Sunlit}, {Cover: bath.Bubbled}} {
		parts := bath.Parts{Rust: rusty(t, 0.5), BareSteelCm2: 1000}
		b := used(t, p)
		require.NoError(t, b.Add(demo.Reagent(t, "baking soda"), 200*measure.Gram))
		whole, err := b.Clone().Pass(parts, 100*measure.Hour)
		require.NoError(t, err)
		c, err := b.Course(parts)
		require.NoError(t, err)
		var times []unit.Time
		for i := range 20 {
			times = append(times, unit.Time(5*(i+1))*measure.Hour)
		}
		hours, err := c.Until(times...)
		require.NoError(t, err)
		last := hours[19]
		for _, x := range [][2]tables.Range{{whole.PH, last.PH}, {whole.IronIIIMoles, last.IronIIIMoles}, {whole.IronIIMoles, last.IronIIMoles},
			{whole.SteelLostGrams, last.SteelLostGrams}, {whole.FreeMoles, last.FreeMoles}, {whole.O2InMoles, last.O2InMoles}, {whole.CO2OutMoles, last.CO2OutMoles},
			{whole.RustLeftGrams, last.RustLeftGrams}, {whole.BoundMoles, last.BoundMoles}, {whole.LightSpoiltMoles, last.LightSpoiltMoles}, {whole.AirSpoiltMoles, last.AirSpoiltMoles}} {
			assert.InDelta(t, x[0].Typical, x[1].Typical, 1e-3*math.Abs(x[1].Typical)+1e-5, p.Cover)
		}
		for _, x := range []tables.Range{last.PH, last.SteelLostGrams, last.FreeMoles} {
			assert.LessOrEqual(t, x.Low, x.Typical)
			assert.Less(t, x.Low, x.High)
			assert.LessOrEqual(t, x.Typical, x.High)
		}
	}
}

// The second way of computing: tiny explicit steps (Heun), each of which reacts the
// vessel and equilibrates it as anybody would, with the rates written down again from
// their sources for 20 °C. No code of the course, its integrator or its compiled run
// takes part, so that a wrong root would show in the values.
func TestCourseAgainstTinySteps(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of equilibria")
	}
	const hours, steps, steel = 24.0, 300, 0.1 // m²
	b := used(t, bath.Place{Cover: bath.Stirred, SurfaceCm2: 1500})
	require.NoError(t, b.Add(demo.Reagent(t, "baking soda"), 150*measure.Gram))
	litres, area := b.Litres(), 0.15
	react := func(b *bath.Bath, text string, n float64) {
		r, err := chem.ParseReaction(text)
		require.NoError(t, err)
		require.NoError(t, b.React(r, unit.Mole(n)))
	}
	move := func(b *bath.Bath, gas, oxygen, iron, spoilt float64) *bath.Bath {
		next := b.Clone()
		react(next, "2 Fe3+ + Fe(s) = 3 Fe2+", iron)
		react(next, "4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O", oxygen)
		react(next, "H2CO3 = CO2(g, air) + H2O", gas)
		if spoilt > 0 {
			e, err := next.Tables().Component("edta4-")
			require.NoError(t, err)
			r, err := chem.ParseReaction("2 Fe3+ + 2 H2O + 2 HCl(g) = 2 Fe2+ + H2CO3 + 2 Cl- + C9H16N2O7(s, gone)")
			require.NoError(t, err)
			r.Terms = append(r.Terms, chem.Term{Coefficient: -1, Species: e.Species})
			require.NoError(t, next.React(r, unit.Mole(spoilt)))
		}
		return next
	}
	ionic := state(t, b).IonicStrengthMolPerLitre
	rates := func(b *bath.Bath) (gas, oxygen, iron, spoilt float64) { // mol/h
		st := state(t, b)
		acid, err := st.Concentration("H2CO3")
		require.NoError(t, err)
		pressure, err := b.PressureCO2()
		require.NoError(t, err)
		mine := amounts(t, b, "Fe3+", "Fe2+")
		ferric, ferrous := 1000*mine[0]/litres, 1000*mine[1]/litres // mol/m³
		for _, s := range st.Solids {
			require.Zero(t, s.Moles, "nothing settles in this bath, so that totals are dissolved")
		}
		v := 0.05 * math.Sqrt(600/600.0) // 5 cm/h, Schmidt number of carbon dioxide about 600 at 20 °C
		gas = v * area * 1000 * acid * (1 - 7e-4/pressure)
		full := 0.2841 * math.Pow(10, -0.13*ionic)
		k := 0.05 * math.Sqrt(600/530.0)
		enhanced := 1 + 0.183*ferrous/(3.4*full)
		slow := 0.065 * math.Exp(-27200/8.314462618*(1/293.15-1/298.15)) * ferrous * ferrous * (litres / 1000 / area) * 3600
		if ferrous > 0 {
			oxygen = area * full / (1/(enhanced*k) + 1/slow)
		}
		iron = 5e-6 * 3600 * steel * ferric / 2
		left := amounts(t, b, "edta4-")[0]
		return gas, oxygen, iron, 0.3 * oxygen * left / (left + 1e-3*1.077)
	}
	tiny := b.Clone()
	var gasOut, oxygenIn, lost float64
	const dt = hours / steps
	for range steps {
		g1, o1, i1, s1 := rates(tiny)
		g2, o2, i2, s2 := rates(move(tiny, g1*dt, o1*dt, i1*dt, s1*dt))
		g, o, i, s := (g1+g2)/2*dt, (o1+o2)/2*dt, (i1+i2)/2*dt, (s1+s2)/2*dt
		tiny = move(tiny, g, o, i, s)
		gasOut, oxygenIn, lost = gasOut+g, oxygenIn+o, lost+i
	}
	h, err := b.Pass(bath.Parts{BareSteelCm2: 1e4 * steel}, hours*measure.Hour)
	require.NoError(t, err)
	assert.InDelta(t, state(t, tiny).PH, h.PH.Typical, 3e-3)
	assert.InEpsilon(t, gasOut, h.CO2OutMoles.Typical, 1e-3)
	assert.InEpsilon(t, oxygenIn, h.O2InMoles.Typical, 1e-3)
	assert.InEpsilon(t, lost*bath.IronMolarMass, h.SteelLostGrams.Typical, 1e-3)
	assert.InEpsilon(t, amounts(t, tiny, "Fe2+")[0], h.IronIIMoles.Typical, 1e-3)
	free, err := tiny.Holdings()
	require.NoError(t, err)
	assert.InEpsilon(t, free.Counted().Free(), h.FreeMoles.Typical, 1e-3)
}
