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

// A tub that is told by its volume alone keeps its shape: eight times the volume has four times
// the surface and twice the depth.
func TestTubsKeepTheirShape(t *testing.T) {
	at := func(litres float64) bath.Exchange {
		v, err := solution.New(demo.Tables(t), chem.Celsius(20))
		require.NoError(t, err)
		require.NoError(t, v.AddPureWater(unit.Volume(litres)*measure.Litre))
		b, err := bath.New(demo.Tables(t), v)
		require.NoError(t, err)
		x, err := b.Exchange()
		require.NoError(t, err)
		return x
	}
	assert.InEpsilon(t, 1000, at(20).SurfaceCm2, 1e-6)
	assert.InEpsilon(t, 4000, at(160).SurfaceCm2, 1e-6)
	assert.InEpsilon(t, 250, at(2.5).SurfaceCm2, 1e-6)
	for _, litres := range []float64{2.5, 20, 160} {
		assert.InEpsilon(t, 20*math.Cbrt(litres/20), at(litres).DepthCm, 1e-6)
	}
}

// Warmth, by what is published: iron(III) comes to steel as it diffuses, by T/η with 1.002
// mPa·s at 20 °C, 0.653 at 40 and 1.307 at 10 (handbook values of water's viscosity); carbon
// dioxide leaves by the root of its Schmidt number, 600 at 20 °C, 360 at 30 (Wanninkhof 1992,
// table A1, from memory: 1911.1 − 118.11 t + 3.4527 t² − 0.04132 t³), and no faster beyond.
func TestWarmthByWhatIsPublished(t *testing.T) {
	film, gas := map[float64]float64{}, map[float64]float64{}
	for _, celsius := range []float64{10, 20, 30, 40} {
		b := acidWater(t, 0.02, bath.Place{Cover: bath.Still})
		require.NoError(t, b.SetTemperature(chem.Celsius(celsius)))
		x, err := b.Exchange()
		require.NoError(t, err)
		film[celsius] = x.SteelMetresPerS.Typical
		h, err := b.Pass(bath.Parts{}, measure.Hour/10)
		require.NoError(t, err)
		gas[celsius] = h.CO2OutMoles.Typical
	}
	for celsius, viscosity := range map[float64]float64{10: 1.307, 40: 0.653} {
		assert.InEpsilon(t, (celsius+273.15)/293.15*1.002/viscosity, film[celsius]/film[20], 0.03, "%g °C", celsius)
	}
	assert.InEpsilon(t, math.Sqrt(600/359.6), gas[30]/gas[20], 0.01)
	assert.InEpsilon(t, gas[30], gas[40], 0.005)
}

// What an area of steel loses is uncertain by the two figures that matter, each by itself: the
// ends are those of courses with the film or the gas velocity at one of its ends, put together
// as independent. Under a lid the film alone counts; of steel without end in a still tub the
// air does, once the iron(III) that was there is gone.
func TestAttackByItsTwoFigures(t *testing.T) {
	for _, area := range []float64{0.02, 3} {
		b := used(t, bath.Place{Cover: bath.Still})
		got, err := b.Attack(unit.Area(area), 20*measure.Hour)
		require.NoError(t, err)
		x, err := b.Exchange()
		require.NoError(t, err)
		lost := func(velocity float64) float64 {
			own := used(t, bath.Place{Cover: bath.Still, GasCmPerHour: tables.Range{Low: velocity, Typical: velocity, High: velocity}})
			h, err := own.Pass(bath.Parts{BareSteelCm2: 1e4 * area}, 20*measure.Hour)
			require.NoError(t, err)
			return h.SteelLostGrams.Typical
		}
		middle := lost(x.GasCmPerHour.Typical)
		assert.InEpsilon(t, middle, got.Typical, 1e-3)
		// with a velocity that is certain, what is left of the range is the film's
		sure := used(t, bath.Place{Cover: bath.Still, GasCmPerHour: tables.Range{Low: x.GasCmPerHour.Typical, Typical: x.GasCmPerHour.Typical, High: x.GasCmPerHour.Typical}})
		film, err := sure.Attack(unit.Area(area), 20*measure.Hour)
		require.NoError(t, err)
		assert.InEpsilon(t, math.Hypot(middle-lost(x.GasCmPerHour.Low), film.Typical-film.Low), got.Typical-got.Low, 0.02)
		assert.InEpsilon(t, math.Hypot(lost(x.GasCmPerHour.High)-middle, film.High-film.Typical), got.High-got.Typical, 0.02)
		if area < 1 {
			assert.InEpsilon(t, 0.5, film.Low/film.Typical, 0.1)
		} else {
			assert.InEpsilon(t, 1, film.Low/film.Typical, 0.1)
		}
	}
}

// A plan of upkeep ends after sixty doses, and says so.
func TestSixtyDosesAreEnough(t *testing.T) {
	r := demo.Recipe(t)
	r.PH = 8
	u, err := demo.Mix(t, r).Upkeep(demo.Reagent(t, "citric acid"), demo.Oxide(t, "lepidocrocite"), 8, 0.1)
	require.NoError(t, err)
	assert.Len(t, u.Doses, 60)
	assert.Equal(t, "after 60 doses: start at a lower pH, or let it rise further between them", u.Stopped)
}

// The ends of what parts and hours may be are taken, what lies a millionth beyond is not.
func TestBoundsOfPartsAndHours(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	keeps := func(name string, low, high float64, call func(float64) error) {
		t.Helper()
		require.NoError(t, call(low), name)
		require.NoError(t, call(high), name)
		for _, x := range []float64{low - 1e-6*max(low, 1), high * (1 + 1e-6), math.NaN()} {
			require.ErrorIs(t, call(x), chem.ErrInput, "%s %g", name, x)
		}
	}
	rust := func(change func(*bath.Rust, float64)) func(float64) error {
		return func(x float64) error {
			r := rusty(t, 0.1)
			change(&r, x)
			_, err := b.Course(bath.Parts{Rust: r})
			return err
		}
	}
	keeps("iron", 1e-9, 1e5, rust(func(r *bath.Rust, x float64) { r.IronMoles = x }))
	keeps("area", 1e-2, 1e8, rust(func(r *bath.Rust, x float64) { r.AreaCm2 = x }))
	keeps("film", 0, 1, rust(func(r *bath.Rust, x float64) { r.FilmMetresPerS = x }))
	keeps("hours of the rust", 1e-9, 1e9, rust(func(r *bath.Rust, x float64) { r.Hours = tables.Range{Low: x, Typical: x, High: x} }))
	keeps("steel", 0, 1e7, func(x float64) error { _, err := b.Course(bath.Parts{BareSteelCm2: x}); return err })
	keeps("time", 0, 1e5, func(x float64) error { _, err := b.Clone().Pass(bath.Parts{}, unit.Time(x)*measure.Hour); return err })
	keeps("time of an attack", 0, 1e5, func(x float64) error { _, err := b.Attack(1e-4, unit.Time(x)*measure.Hour); return err })
	keeps("velocity", 1e-9, 1000, func(x float64) error {
		return b.Clone().Stand(bath.Place{Cover: bath.Still, GasCmPerHour: tables.Range{Low: x, Typical: x, High: x}})
	})
	open := acidWater(t, 0.02, bath.Place{Cover: bath.Still})
	keeps("pH of a gas reading", 1, 13, func(x float64) error {
		_, _, err := open.Learn(bath.GasReading{Hours: 1, PH: x, Tolerance: 0.1})
		return err
	})
	require.NoError(t, b.Clone().Strip("zinc", unit.Mass(b.Litres()*1e6*(1-1e-9))*measure.Gram))
	require.ErrorIs(t, b.Clone().Strip("zinc", unit.Mass(b.Litres()*1e6*(1+1e-6))*measure.Gram), chem.ErrInput)
}
