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
	const steps = 400
	for _, x := range []struct {
		tiny
		cover bath.Cover
		light bath.Light
		soda  float64 // g, and citric acid
		acid  float64
		hours float64
	}{
		{tiny{k600: 0.05, film: 5e-6, steel: 0.1, area: 0.15}, bath.Stirred, bath.Dark, 150, 0, 24},
		{tiny{k600: 0.01, film: 1e-6, steel: 0.05, area: 0.15, rust: 0.4, sun: 0.12}, bath.Still, bath.Sunlit, 80, 60, 10},
	} {
		b := used(t, bath.Place{Cover: x.cover, Light: x.light, SurfaceCm2: 1e4 * x.area})
		require.NoError(t, b.Add(demo.Reagent(t, "baking soda"), unit.Mass(x.soda)*measure.Gram))
		require.NoError(t, b.Add(demo.Reagent(t, "citric acid"), unit.Mass(x.acid)*measure.Gram))
		x.ionic, x.oxide = state(t, b).IonicStrengthMolPerLitre, demo.Oxide(t, "lepidocrocite")
		step := b.Clone()
		var gone extents
		dt := x.hours / steps
		for range steps {
			first := x.rates(t, step, gone)
			second := x.rates(t, x.move(t, step, first.times(dt)), gone.plus(first.times(dt)))
			both := first.plus(second).times(dt / 2)
			step, gone = x.move(t, step, both), gone.plus(both)
		}
		parts := bath.Parts{BareSteelCm2: 1e4 * x.steel}
		if x.rust > 0 {
			parts.Rust = rusty(t, x.rust)
			assert.Greater(t, gone[rusts], 0.1, "some of it has gone")
			assert.Greater(t, gone[lights], 1e-3)
		}
		h, err := b.Pass(parts, unit.Time(x.hours)*measure.Hour)
		require.NoError(t, err)
		assert.InDelta(t, state(t, step).PH, h.PH.Typical, 3e-3)
		same := func(want, got float64) { t.Helper(); assert.InDelta(t, want, got, 1e-3*want+1e-9, x.cover) }
		same(gone[gases], h.CO2OutMoles.Typical)
		same(gone[oxygens], h.O2InMoles.Typical)
		same(gone[steels]*bath.IronMolarMass, h.SteelLostGrams.Typical)
		same(gone[airs], h.AirSpoiltMoles.Typical)
		same(gone[lights], h.LightSpoiltMoles.Typical)
		same(x.oxide.Grams(unit.Mole(x.rust-gone[rusts])), h.RustLeftGrams.Typical)
		same(amounts(t, step, "Fe2+")[0], h.IronIIMoles.Typical)
		free, err := step.Holdings()
		require.NoError(t, err)
		same(free.Counted().Free(), h.FreeMoles.Typical)
	}
}

// extents are in mol.
type extents [6]float64

const (
	gases = iota
	oxygens
	steels
	airs
	lights
	rusts
)

func (e extents) times(x float64) extents {
	for i := range e {
		e[i] *= x
	}
	return e
}

func (e extents) plus(other extents) extents {
	for i := range e {
		e[i] += other[i]
	}
	return e
}

// tiny is a bath on its way in tiny steps.
type tiny struct {
	k600, film, steel, area float64 // m/h, m/s, m², m²
	rust, sun               float64 // mol of rusty's, mol/(m² d)
	ionic                   float64
	oxide                   bath.Oxide
}

// move lets so much of everything happen to a copy.
func (x *tiny) move(t *testing.T, b *bath.Bath, e extents) *bath.Bath {
	next := b.Clone()
	react := func(text string, n float64, more ...chem.Term) {
		r, err := chem.ParseReaction(text)
		require.NoError(t, err)
		r.Terms = append(r.Terms, more...)
		require.NoError(t, next.React(r, unit.Mole(n)))
	}
	react("2 Fe3+ + Fe(s) = 3 Fe2+", e[steels])
	react("4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O", e[oxygens])
	react("H2CO3 = CO2(g, air) + H2O", e[gases])
	edta, err := next.Tables().Component("edta4-")
	require.NoError(t, err)
	react("2 Fe3+ + 2 H2O + 2 HCl(g) = 2 Fe2+ + H2CO3 + 2 Cl- + C9H16N2O7(s, gone)", e[airs]+e[lights], chem.Term{Coefficient: -1, Species: edta.Species})
	require.NoError(t, next.Dissolve(x.oxide, unit.Mass(x.oxide.Grams(unit.Mole(e[rusts])))*measure.Gram))
	return next
}

// rates are in mol/h, after what has gone so far.
func (x *tiny) rates(t *testing.T, b *bath.Bath, gone extents) (rate extents) {
	st := state(t, b)
	at := func(species string) float64 {
		c, err := st.Concentration(species)
		require.NoError(t, err)
		return c
	}
	pressure, err := b.PressureCO2()
	require.NoError(t, err)
	mine, litres := amounts(t, b, "Fe3+", "Fe2+", "edta4-"), b.Litres()
	ferric, ferrous := 1000*mine[0]/litres, 1000*mine[1]/litres // mol/m³
	for _, s := range st.Solids {
		require.Zero(t, s.Moles, "nothing settles in this bath, so that totals are dissolved")
	}
	rate[gases] = x.k600 * x.area * 1000 * at("H2CO3") * (1 - 7e-4/pressure) // Schmidt number of carbon dioxide about 600 at 20 °C
	full := 0.2841 * math.Pow(10, -0.13*x.ionic)
	k := x.k600 * math.Sqrt(600/530.0)
	enhanced := 1 + 0.183*ferrous/(3.4*full)
	slow := 0.065 * math.Exp(-27200/8.314462618*(1/293.15-1/298.15)) * ferrous * ferrous * (litres / 1000 / x.area) * 3600
	if ferrous > 0 {
		rate[oxygens] = x.area * full / (1/(enhanced*k) + 1/slow)
	}
	rate[steels] = x.film * 3600 * x.steel * ferric / 2
	there := mine[2] / (mine[2] + 1e-3*1.077)
	rate[airs] = 0.3 * rate[oxygens] * there
	rate[lights] = x.sun / 24 * x.area * there * ferric / (ferric + 1)
	if x.rust > 0 {
		rate[rusts] = x.dissolves(t, b, st, at, gone[rusts])
	}
	return rate
}

// dissolves is the rust of rusty that goes, in mol/h: 16 h for grains that are covered and far
// from equilibrium at pH 7, a quarter of a power of ten less for a unit of pH up to 8 and
// twice that above. What the surface gives off, half covered at 1 mmol/L of free chelant, is
// what a film of 1 µm/s lets through: the chelant at the surface is found by halving.
func (x *tiny) dissolves(t *testing.T, b *bath.Bath, st *solution.State, at func(string) float64, gone float64) float64 {
	f, err := b.Tables().Formation(x.oxide.Species)
	require.NoError(t, err)
	saturation := f.Constant.Log10K(b.Temperature(), st.IonicStrengthMolPerLitre) + math.Log10(at("Fe3+")) - 3*math.Log10(at("H+")) // FeOOH + 3 H⁺ = Fe³⁺
	holdings, err := b.Holdings()
	require.NoError(t, err)
	free := 1000 * holdings.Counted().Free() / b.Litres() // mol/m³
	tau := 16 * 3600 * math.Pow(10, 0.25*(min(st.PH, 8)-7+2*max(0, st.PH-8)))
	const area, film, half = 1.0, 1e-6, 1.0 // m², m/s, mol/m³
	most := 3 * x.rust / area * math.Pow(1-gone/x.rust, 2./3) * (1 - math.Pow(10, saturation)) / tau
	low, high := 0.0, free
	for range 60 {
		if middle := (low + high) / 2; most*middle/(half+middle) < film*(free-middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return 3600 * area * film * (free - low)
}
