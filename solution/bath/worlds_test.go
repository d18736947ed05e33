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

// acidWater is 20 L of pure water at 20 °C, sour enough that all carbonate is carbonic acid,
// of which it holds so many mol/L.
func acidWater(t *testing.T, carbonic float64, p bath.Place) *bath.Bath {
	t.Helper()
	v, err := solution.New(demo.Tables(t), chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(20*measure.Litre))
	require.NoError(t, v.AddSpecies("H2CO3", unit.Mole(20*carbonic)))
	require.NoError(t, v.Add(demo.Reagent(t, "muriatic acid"), 50*measure.Gram))
	b, err := bath.New(demo.Tables(t), v)
	require.NoError(t, err)
	require.NoError(t, b.Stand(p))
	return b
}

// Where one figure alone sets the pace, and for a moment in proportion, what a course tells
// has the range of that figure in the tables, from end to end: steel that of the film, gas that
// of the velocity, spoilt chelant that of the light, rust that of its hours the other way
// round, bubbles that of the time they take, and water that has stood for long that of the
// room's air.
func TestRangesOfACourseAreThoseOfItsFigures(t *testing.T) {
	rust := rusty(t, 1)
	rust.FilmMetresPerS = 0
	fresh := demo.Mix(t, demo.Recipe(t))
	kinetic := func(id string) tables.Range {
		k, err := tables.Find[tables.Kinetic](demo.Tables(t), id)
		require.NoError(t, err)
		return k.Value
	}
	inverse := func(r tables.Range) tables.Range {
		return tables.Range{Low: 1 / r.High, Typical: 1 / r.Typical, High: 1 / r.Low}
	}
	less := func(r tables.Range, from float64) tables.Range {
		return tables.Range{Low: from - r.High, Typical: from - r.Typical, High: from - r.Low}
	}
	for name, x := range map[string]struct {
		bath  *bath.Bath
		parts bath.Parts
		hours float64
		of    func(bath.Hour) tables.Range
		want  tables.Range
	}{
		"still steel": {used(t, bath.Place{}), bath.Parts{BareSteelCm2: 100}, 0.1, func(h bath.Hour) tables.Range { return h.SteelLostGrams }, kinetic("steel-still")},
		"still":       {acidWater(t, 0.02, bath.Place{Cover: bath.Still}), bath.Parts{}, 0.1, func(h bath.Hour) tables.Range { return h.CO2OutMoles }, kinetic("gas-still")},
		"bubbles":     {acidWater(t, 2, bath.Place{Cover: bath.Boarded}), bath.Parts{}, 1e-3, func(h bath.Hour) tables.Range { return h.CO2OutMoles }, inverse(kinetic("fizz-time"))},
		"room": {acidWater(t, 0, bath.Place{Cover: bath.Bubbled}), bath.Parts{}, 40, func(h bath.Hour) tables.Range { return less(h.CO2OutMoles, 0) },
			kinetic("room-carbon-dioxide")},
		"sun":  {used(t, bath.Place{Cover: bath.Still, Light: bath.Sunlit}), bath.Parts{}, 0.1, func(h bath.Hour) tables.Range { return h.LightSpoiltMoles }, kinetic("light-sun")},
		"rust": {fresh, bath.Parts{Rust: rust}, 0.01, func(h bath.Hour) tables.Range { return less(h.RustLeftGrams, rust.Oxide.Grams(1)) }, inverse(rust.Hours)},
	} {
		c, err := x.bath.Course(x.parts)
		require.NoError(t, err)
		told, err := c.Until(unit.Time(x.hours) * measure.Hour)
		require.NoError(t, err)
		got := x.of(told[0])
		assert.InEpsilon(t, x.want.Low/x.want.Typical, got.Low/got.Typical, 0.07, name)
		assert.InEpsilon(t, x.want.High/x.want.Typical, got.High/got.Typical, 0.07, name)
	}
}

// Bubbles by hand: in acid water what is above the pressure at which it fizzes falls as
// exp(−t/τ), beside what goes through the surface, k (c − c of the air). With a = k/depth,
// b = 1/τ the concentration tends to (a cₐ + b c_f)/(a + b), as exp(−(a + b) t). Below
// that pressure nothing bubbles. Henry's constant at 20 °C 0.039 mol/(L atm), Plummer &
// Busenberg 1982; 0.977 atm and 0.2 h are the tables' judgement.
func TestBubblesByHand(t *testing.T) {
	const perAtm, tau, hours = 0.039, 0.2, 0.3
	for _, carbonic := range []float64{0.2, 0.036} {
		b := acidWater(t, carbonic, bath.Place{Cover: bath.Still})
		x, err := b.Exchange()
		require.NoError(t, err)
		litres := b.Litres()
		c0, air, fizz := 20*carbonic/litres, perAtm*7e-4, perAtm*0.977
		a, bubbling := 1/x.DepthCm, 1/tau
		if c0 < fizz {
			bubbling = 0
		}
		end := (a*air + bubbling*fizz) / (a + bubbling)
		want := litres * (c0 - end) * (1 - math.Exp(-(a+bubbling)*hours))
		h, err := b.Pass(bath.Parts{}, hours*measure.Hour)
		require.NoError(t, err)
		assert.InEpsilon(t, want, h.CO2OutMoles.Typical, 0.01, carbonic)
	}
}

// When a figure passes a value, straight between the hours told, by hand: where its middle
// does, and the first and the last of its ends; a zero where it never does.
func TestPastByHand(t *testing.T) {
	hours := []bath.Hour{
		{Hours: 0, PH: tables.Range{Low: 6, Typical: 7, High: 8}},
		{Hours: 10, PH: tables.Range{Low: 7, Typical: 8, High: 9}},
		{Hours: 30, PH: tables.Range{Low: 8, Typical: 9, High: 10}},
	}
	pH := func(h bath.Hour) tables.Range { return h.PH }
	falling := func(h bath.Hour) tables.Range {
		return tables.Range{Low: -h.PH.High, Typical: -h.PH.Typical, High: -h.PH.Low}
	}
	for _, x := range []struct {
		value float64
		want  tables.Range
	}{
		{8.5, tables.Range{Low: 5, Typical: 20}},  // the lowest has not come there yet
		{9.5, tables.Range{Low: 20}},              // of the highest alone
		{6.25, tables.Range{Low: 2.5}},            // the others began above
		{8, tables.Range{Typical: 10}},            // the highest began there, the lowest ends there
		{20, tables.Range{}}, {1, tables.Range{}}, // never
	} {
		assert.Equal(t, x.want, bath.Past(hours, x.value, pH), "%g", x.value)
		assert.Equal(t, x.want, bath.Past(hours, -x.value, falling), "-%g", x.value)
	}
	wide := append(hours, bath.Hour{Hours: 50, PH: tables.Range{Low: 11, Typical: 11, High: 11}})
	assert.Equal(t, tables.Range{Low: 20, Typical: 35, High: 40}, bath.Past(wide, 9.5, pH))
	assert.Zero(t, bath.Past(nil, 7, pH))
	assert.Zero(t, bath.Past(hours[:1], 7, pH))
}
