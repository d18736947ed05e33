package bath_test

import (
	"maps"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// An event that does nothing changes nothing of what comes, however often it is done; one
// that brings other rust starts that afresh, by hand: grains of N mol that go in τ hours lose
// 3 N/τ an hour at first, whatever went before, slower by a quarter of a power of ten for a
// unit of pH up to 8 and by half of one above.
func TestAnEventThatDoesNothing(t *testing.T) {
	parts := bath.Parts{Rust: rusty(t, 0.4), BareSteelCm2: 500}
	course := func() *bath.Course {
		c, err := used(t, bath.Place{}).Course(parts)
		require.NoError(t, err)
		return c
	}
	until := func(c *bath.Course, hours float64) bath.Hour {
		told, err := c.Until(unit.Time(hours) * measure.Hour)
		require.NoError(t, err)
		return told[0]
	}
	plain, broken := course(), course()
	for _, hours := range []float64{0.5, 1} {
		want, got := until(plain, hours), until(broken, hours)
		for _, x := range [][2]float64{
			{want.PH.Typical, got.PH.Typical}, {want.RustLeftGrams.Typical, got.RustLeftGrams.Typical}, {want.RustLeftGrams.Low, got.RustLeftGrams.Low},
			{want.RustLeftGrams.High, got.RustLeftGrams.High}, {want.SteelLostGrams.Typical, got.SteelLostGrams.Typical}, {want.PHByRust, got.PHByRust}, {want.PHBySteel, got.PHBySteel},
		} {
			assert.InDelta(t, x[0], x[1], 2e-3*math.Abs(x[0])+1e-6, "%g h", hours)
		}
		require.NoError(t, broken.Do(func(*bath.Bath, *bath.Parts) error { return nil }))
	}
	at, more := until(broken, 1), 0.0
	require.NoError(t, broken.Do(func(_ *bath.Bath, p *bath.Parts) error {
		p.Rust.IronMoles, p.Rust.FilmMetresPerS, p.Rust.Hours = 1, 0, tables.Range{Low: 100, Typical: 100, High: 100}
		more = p.Rust.Oxide.Grams(1)
		return nil
	}))
	assert.InEpsilon(t, more, until(broken, 1).RustLeftGrams.Typical, 1e-9)
	lost := more - until(broken, 1.1).RustLeftGrams.Typical
	free := 1000 * until(broken, 1.1).FreeMoles.Typical / 20.3 // mol/m³, half covered at 1
	slow := math.Pow(10, 0.25*(min(at.PH.Typical, 8)-7+2*max(0, at.PH.Typical-8)))
	assert.InEpsilon(t, more*3*0.1/100/slow*free/(1+free), lost, 0.03)
}

// A tub's velocity by Bayes' rule, worked out apart from this code: for each of many
// velocities the pH that a course of its own shows, weighed by the range of the cover as it
// was believed, a normal error of each reading and one in fifty that it is a mistake; a
// reading at hour 0 shifts the others.
func TestLearnByBayes(t *testing.T) {
	const n, half = 41, 3.0
	water := func(p bath.Place) *bath.Bath { return plainTub(t, p, nil) }
	before, err := water(bath.Place{Cover: bath.Still}).Exchange()
	require.NoError(t, err)
	prior := before.GasCmPerHour
	start := state(t, water(bath.Place{})).PH
	var velocities, densities []float64
	shown := map[float64][]float64{}
	for i := range n {
		z := half * (2*float64(i)/(n-1) - 1)
		end := prior.High
		if z < 0 {
			end = prior.Low
		}
		v := prior.Typical * math.Pow(end/prior.Typical, math.Abs(z)/1.6449)
		velocities, densities = append(velocities, v), append(densities, math.Exp(-z*z/2))
		b := water(bath.Place{Cover: bath.Still, GasCmPerHour: tables.Range{Low: v, Typical: v, High: v}})
		for _, hours := range []float64{24, 48} {
			h, err := b.Pass(bath.Parts{}, 24*measure.Hour)
			require.NoError(t, err)
			shown[hours] = append(shown[hours], h.PH.Typical)
		}
	}
	for _, readings := range [][]bath.GasReading{
		{{Hours: 24, PH: shown[24][24], Tolerance: 0.05}},
		{{Hours: 0, PH: start + 0.1, Tolerance: 0.05}, {Hours: 24, PH: shown[24][25] + 0.1, Tolerance: 0.05}, {Hours: 48, PH: shown[48][27] + 0.1, Tolerance: 0.08}},
		{{Hours: 24, PH: shown[24][10], Tolerance: 0.1}, {Hours: 48, PH: shown[48][30], Tolerance: 0.1}},
	} {
		weights, sum, offset := make([]float64, n), 0.0, 0.0
		for i := range weights {
			weights[i] = densities[i]
			for _, r := range readings {
				if r.Hours == 0 {
					offset = r.PH - start
					continue
				}
				off := (r.PH - shown[r.Hours][i] - offset) / r.Tolerance
				weights[i] *= 0.02 + 0.98*math.Exp(-off*off/2)
			}
			sum += weights[i]
		}
		quantile := func(q float64) float64 { // of what lies half below each velocity
			at := 0.0
			for i, w := range weights {
				if next := at + w/2/sum + weights[max(0, i-1)]/2/sum; i > 0 && next >= q {
					return velocities[i-1] * math.Pow(velocities[i]/velocities[i-1], (q-at)/(next-at))
				} else if i > 0 {
					at = next
				}
			}
			return velocities[n-1]
		}
		p, fits, err := water(bath.Place{Cover: bath.Still}).Learn(readings...)
		require.NoError(t, err)
		require.True(t, fits)
		assert.InEpsilon(t, quantile(0.05), p.GasCmPerHour.Low, 0.05, readings)
		assert.InEpsilon(t, quantile(0.5), p.GasCmPerHour.Typical, 0.05, readings)
		assert.InEpsilon(t, quantile(0.95), p.GasCmPerHour.High, 0.05, readings)
	}
}

// Of the species that hold the iron those are listed that hold more than a hundredth of it,
// five at most, the main ones first: counted from the state.
func TestSpeciesOfADrift(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	listed := map[int]bool{}
	for _, salt := range []map[string]float64{{"tetrasodium EDTA": 300}, {"citric acid": 300}, {"tetrasodium EDTA": 20, "citric acid": 100}} {
		for _, pH := range []float64{4, 7, 9} {
			b, err := plainTub(t, bath.Place{}, salt).At(pH)
			require.NoError(t, err)
			require.NoError(t, b.Corrode(4*measure.Gram))
			drift, err := b.Drift(o, 2)
			require.NoError(t, err)
			st := state(t, b)
			iron, last := 0.0, math.Inf(1)
			holds := map[string]float64{}
			for _, d := range st.Species {
				for _, part := range d.Made {
					if part.Component == "Fe3+" || part.Component == "Fe2+" {
						holds[d.Species] += part.N * d.MolPerLitre
						iron += part.N * d.MolPerLitre
					}
				}
			}
			above := 0
			for _, n := range holds {
				if n > 0.01*iron {
					above++
				}
			}
			got := drift[0].IronSpeciesMolPerLitre
			listed[above] = true
			require.Len(t, got, min(5, above), "%v at pH %g", salt, pH)
			for _, x := range got {
				assert.Greater(t, holds[x.Name], 0.01*iron)
				assert.LessOrEqual(t, x.Value, last)
				last = x.Value
			}
		}
	}
	assert.Greater(t, len(listed), 2, "one and several")
	assert.Greater(t, slices.Max(slices.Collect(maps.Keys(listed))), 5, "and more than are told")
}

// Behind a film that lets next to nothing through a layer loses film times free chelant times
// its area, of a pin as of a panel.
func TestRustBehindAFilmByItsArea(t *testing.T) {
	for _, area := range []float64{0.01, 0.25, 4} { // m²
		b, r := demo.Mix(t, demo.Recipe(t)), rusty(t, area)
		r.AreaCm2, r.FilmMetresPerS, r.Hours = 1e4*area, 1e-9, tables.Range{Low: 0.01, Typical: 0.01, High: 0.01}
		holdings, err := b.Holdings()
		require.NoError(t, err)
		free := 1000 * holdings.Counted().Free() / b.Litres() // mol/m³
		h, err := b.Pass(bath.Parts{Rust: r}, measure.Hour)
		require.NoError(t, err)
		assert.InEpsilon(t, area*1e-9*free*3600, area-h.RustLeftGrams.Typical/r.Oxide.Grams(1), 0.05, "%g m²", area)
	}
}

// Oxides of several irons go as grains of so much iron do, and end where equilibrium ends
// them: what is gone of the rust is in the bath, of either state as its formula has it.
func TestOxidesOfSeveralIrons(t *testing.T) {
	for oxide, ferrous := range map[string]float64{"hematite": 0, "magnetite": 1. / 3, "ferrihydrite": 0} {
		o := demo.Oxide(t, oxide)
		r := rusty(t, 3)
		r.Oxide, r.FilmMetresPerS = o, 0
		b := demo.Mix(t, demo.Recipe(t))
		most, pH, err := b.LeftAlone(o)
		require.NoError(t, err)
		soon, err := b.Clone().Pass(bath.Parts{Rust: r}, measure.Hour/100)
		require.NoError(t, err)
		gone := 3 * (1 - soon.RustLeftGrams.Typical/o.Grams(3))
		assert.InEpsilon(t, 3*3*0.01/16, gone, 0.1, "%s: three times N/τ, a little less as the pH climbs", oxide)
		h, err := b.Pass(bath.Parts{Rust: r}, 20000*measure.Hour)
		require.NoError(t, err)
		gone = 3 * (1 - h.RustLeftGrams.Typical/o.Grams(3))
		assert.InEpsilon(t, most.IronMoles, gone, 0.02, oxide)
		assert.InDelta(t, pH, h.PH.Typical, 0.03, oxide)
		assert.InDelta(t, gone, h.IronIIIMoles.Typical+h.IronIIMoles.Typical, 1e-6, oxide)
		assert.InDelta(t, ferrous*gone, h.IronIIMoles.Typical, 1e-6, oxide)
	}
}
