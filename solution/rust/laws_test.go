package rust_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// A lever is worth what the dip done that way is worth: warmed, soured, held, moved,
// stirred or brushed by hand, the time is that of the lever, and how many times faster
// it makes the dip lies about the quotient of the two. The most helpful comes first,
// what only a laboratory has seen last; what is done already is not advised.
func TestLeversAreTheDipsDoneSo(t *testing.T) {
	p, b := pace(t), demo.Mix(t, demo.Recipe(t))
	d := light(t, 20)
	d.Held = false
	plain, err := p.Time(b, d)
	require.NoError(t, err)
	warm, sour := b.Clone(), b.Clone()
	require.NoError(t, warm.SetTemperature(chem.Celsius(35)))
	sour, err = sour.At(6)
	require.NoError(t, err)
	change := func(how func(*rust.Dip)) rust.Dip {
		c := d
		how(&c)
		return c
	}
	held := func(c *rust.Dip) { c.Held = true }
	brush := map[tables.Adherence]float64{tables.Loose: 0.3, tables.Adherent: 0.7, tables.Scale: 0.95}[d.Rust.Adherence] // left: common practice
	done := map[string]struct {
		bath *bath.Bath
		dip  rust.Dip
	}{
		"Warm the bath to 35 °C.":                             {warm, d},
		"Bring it a pH unit lower and keep it there.":         {sour, change(held)},
		"Hold the pH with a little acid as it climbs.":        {b, change(held)},
		"Lift or turn the parts every hour or so.":            {b, change(func(c *rust.Dip) { c.Motion = rust.Moved })},
		"Pump or stir it all the time, without bubbling air.": {b, change(func(c *rust.Dip) { c.Motion = rust.Stirred })},
		"Keep air out: cover the bath, do not bubble.":        {b, change(func(c *rust.Dip) { c.Airless = true })},
		"Scrape and brush before the bath.": {b, change(func(c *rust.Dip) {
			c.Layer.IronGramsPerM2, c.Layer.RustGramsPerM2 = d.Layer.IronGramsPerM2.Times(brush), d.Layer.RustGramsPerM2.Times(brush)
		})},
	}
	levers, err := p.Levers(b, d)
	require.NoError(t, err)
	last, met := math.Inf(1), 0
	for i, l := range levers {
		if l.Laboratory {
			require.Equal(t, len(levers)-1, i)
		} else {
			require.LessOrEqual(t, l.TimesFaster.Typical, last)
			last = l.TimesFaster.Typical
		}
		way, known := done[l.Do]
		if !known {
			continue
		}
		met++
		x, err := p.Time(way.bath, way.dip)
		require.NoError(t, err)
		for _, pair := range [][2]float64{{x.Hours.Low, l.Hours.Low}, {x.Hours.Typical, l.Hours.Typical}, {x.Hours.High, l.Hours.High}} {
			require.InEpsilon(t, pair[0], pair[1], 1e-6, l.Do)
		}
		require.InEpsilon(t, plain.Hours.Typical/x.Hours.Typical, l.TimesFaster.Typical, 0.15, l.Do)
		require.LessOrEqual(t, l.TimesFaster.Low, l.TimesFaster.Typical)
		require.InDelta(t, plain.Hours.Typical-x.Hours.Typical, l.SavedHours.Typical, 0.12*plain.Hours.Typical, l.Do)
	}
	require.Equal(t, len(done), met)
	brushed, err := p.Brushing(b, d)
	require.NoError(t, err)
	require.Equal(t, brushed, levers[slices.IndexFunc(levers, func(l rust.Lever) bool { return strings.HasPrefix(l.Do, "Scrape") })])
	// once done, none of it is advised again
	for do, way := range done {
		again, err := p.Levers(way.bath, way.dip)
		require.NoError(t, err)
		for _, l := range again {
			if strings.HasPrefix(do, "Scrape") || strings.HasPrefix(do, "Bring") {
				continue // more of the same helps more
			}
			require.NotEqual(t, do, l.Do)
		}
	}
	// below pH 6 nothing lower is advised; fresh chelant where a tenth or more is taken
	low, err := b.At(5.9)
	require.NoError(t, err)
	advised := func(b *bath.Bath, word string) bool {
		all, err := p.Levers(b, d)
		require.NoError(t, err)
		return slices.ContainsFunc(all, func(l rust.Lever) bool { return strings.HasPrefix(l.Do, word) })
	}
	require.False(t, advised(low, "Bring"))
	require.True(t, advised(b, "Bring"))
	require.False(t, advised(b, "Take fresh"))
	used := b.Clone()
	require.NoError(t, used.Dissolve(demo.Oxide(t, "lepidocrocite"), 15*measure.Gram))
	used, err = used.At(7)
	require.NoError(t, err)
	require.True(t, advised(used, "Take fresh"))
	for celsius, want := range map[float64]bool{29.9: true, 30: false} {
		at := b.Clone()
		require.NoError(t, at.SetTemperature(chem.Celsius(celsius)))
		require.Equal(t, want, advised(at, "Warm"))
	}
}

// What a dip says beside its hours is what the bath says: the pH and free chelant it
// starts and ends at, by dissolving the rust in it; the steel of a part forgotten there,
// by attack on its area over the hours between clean early and clean late.
func TestDipByDissolving(t *testing.T) {
	p, b := pace(t), demo.Mix(t, demo.Recipe(t))
	d := light(t, 20)
	d.Held = false
	x, err := p.Time(b, d)
	require.NoError(t, err)
	free := func(b *bath.Bath) float64 {
		h, err := b.Holdings()
		require.NoError(t, err)
		return h.Counted().Free() / b.Litres()
	}
	pH := func(b *bath.Bath) float64 {
		st, err := b.State()
		require.NoError(t, err)
		return st.PH
	}
	require.InDelta(t, pH(b), x.PH, 1e-9)
	require.InEpsilon(t, free(b), x.FreeChelantMolPerLitre, 1e-9)
	after := b.Clone()
	grams := 20 * 0.2 * d.Oxide.Grams(1) / bath.IronMolarMass // of oxide, that holds the layer's iron on 0.2 m²
	require.NoError(t, after.Dissolve(d.Oxide, unit.Mass(grams)*measure.Gram))
	require.InDelta(t, pH(after), x.EndPH, 1e-4)
	require.InEpsilon(t, free(after), x.EndFreeChelantMolPerLitre, 1e-4)
	attack, err := after.Attack(d.Area, unit.Time(3600*(x.Hours.High-x.Hours.Low)))
	require.NoError(t, err)
	require.InEpsilon(t, attack.Typical, x.SteelIfLeftGrams.Typical, 1e-6)
	require.InEpsilon(t, attack.High, x.SteelIfLeftGrams.High, 1e-6)
	for _, hours := range []float64{x.Hours.Low, x.Hours.Typical, x.Hours.High} {
		require.Contains(t, x.Text, rust.RoughTime(hours))
	}
	r, err := p.Rust(b, d)
	require.NoError(t, err)
	require.InEpsilon(t, 2000, r.AreaCm2, 1e-9)
	require.InEpsilon(t, 20*0.2/55.845, r.IronMoles, 1e-6)
	require.Equal(t, d.Oxide, r.Oxide)
	kinetic := func(id string) float64 {
		k, err := tables.Find[tables.Kinetic](demo.Tables(t), id)
		require.NoError(t, err)
		return k.Value.Typical
	}
	// D δ⁻¹ at 20 °C, D by its activation energy of 19 kJ/mol from 25 °C
	cooler := math.Exp(19000 / 8.314462618 * (1/298.15 - 1/293.15))
	require.InEpsilon(t, kinetic("diffusivity")*cooler/kinetic("film-still"), r.FilmMetresPerS, 1e-6)
}

// Layers by hand: what a class of corrosivity takes in a year times years^0.523, its middle
// the geometric mean with a tenth of the high end at least; a mass as it is told; and so
// many grams of iron in each by the fraction of the rust, the extremes crosswise.
func TestLayersByHand(t *testing.T) {
	std := demo.Tables(t)
	fresh, err := std.Rust("fresh orange rust")
	require.NoError(t, err)
	iron := fresh.IronFraction()
	for id, loss := range map[string][2]float64{"C1": {0, 10}, "C2": {10, 200}, "C5": {650, 1500}} { // g/m², ISO 9223:2012
		c, err := std.Corrosivity(id)
		require.NoError(t, err)
		for _, years := range []float64{0.01, 1, 7, 20} {
			l, err := rust.LayerOfYears(c, fresh, years)
			require.NoError(t, err)
			grown := math.Pow(years, 0.523)
			middle := math.Sqrt(max(loss[0], loss[1]/10) * loss[1])
			require.InDelta(t, loss[0]*grown, l.IronGramsPerM2.Low, 1e-9)
			require.InEpsilon(t, middle*grown, l.IronGramsPerM2.Typical, 1e-9)
			require.InEpsilon(t, loss[1]*grown, l.IronGramsPerM2.High, 1e-9)
			require.InDelta(t, loss[0]*grown/iron.High, l.RustGramsPerM2.Low, 1e-9)
			require.InEpsilon(t, middle*grown/iron.Typical, l.RustGramsPerM2.Typical, 1e-9)
			require.InEpsilon(t, loss[1]*grown/iron.Low, l.RustGramsPerM2.High, 1e-9)
			require.Contains(t, l.Name, map[bool]string{true: " 1 year in", false: " " + strconv.FormatFloat(years, 'g', 3, 64) + " years in"}[years == 1])
		}
	}
	l, err := rust.LayerOfMass(fresh, 100*measure.Gram, 2*measure.SquareMetre)
	require.NoError(t, err)
	require.Equal(t, tables.Range{Low: 50, Typical: 50, High: 50}, l.RustGramsPerM2)
	require.InEpsilon(t, 50*iron.Typical, l.IronGramsPerM2.Typical, 1e-9)
	require.InEpsilon(t, 50*iron.Low, l.IronGramsPerM2.Low, 1e-9)
	require.InEpsilon(t, 1, float64(l.Area(bath.IronCapacity(unit.Mole(50*iron.Typical/55.845)))), 1e-6)
	_, reference, err := rust.Light(std)
	require.NoError(t, err)
	require.InEpsilon(t, 30, reference.IronGramsPerM2.Typical, 1e-9)

	// a bench vise's worth: 0.25 m² of 40 g of iron per m², a third of it brushed off
	salt := demo.Reagent(t, "tetrasodium EDTA tetrahydrate")
	layer := rust.Layer{IronGramsPerM2: tables.Range{Low: 30, Typical: 40, High: 60}, RustGramsPerM2: tables.Range{Low: 50, Typical: 70, High: 100}}
	for adherence, off := range map[tables.Adherence]float64{tables.Loose: 0.7, tables.Adherent: 0.3, tables.Scale: 0.05} { // common practice
		x, err := layer.Load(0.25, adherence, salt, 0.06)
		require.NoError(t, err)
		require.InEpsilon(t, 10*off, x.BrushedIronGrams, 1e-9)
		require.InEpsilon(t, 10*(1-off), x.LeftIronGrams, 1e-9)
		require.InEpsilon(t, 10*off/55.845*452.23/salt.Assay.Typical, x.ChelantSavedGrams, 1e-4)
		require.InEpsilon(t, 10/(0.75*0.06*55.845), x.UnbrushedBathLitres, 1e-6)
		require.InEpsilon(t, (1-off)*x.UnbrushedBathLitres, x.BathLitres, 1e-9)
		require.InDelta(t, 7.5, x.IronGrams.Low, 1e-9)
		require.InDelta(t, 25, x.RustGrams.High, 1e-9)
	}
}

// The ends of what is told are taken, what lies a millionth beyond is not.
func TestBoundsOfADip(t *testing.T) {
	std := demo.Tables(t)
	fresh, err := std.Rust("fresh orange rust")
	require.NoError(t, err)
	shed, err := std.Corrosivity("C2")
	require.NoError(t, err)
	salt := demo.Reagent(t, "tetrasodium EDTA tetrahydrate")
	l, err := rust.LayerOfMass(fresh, 100*measure.Gram, measure.SquareMetre)
	require.NoError(t, err)
	p, b, d := pace(t), demo.Mix(t, demo.Recipe(t)), light(t, 20)
	keeps := func(name string, low, high float64, call func(float64) error) {
		t.Helper()
		const within, beyond = 1e-12, 1e-6
		require.NoError(t, call(low*(1+within)), name)
		require.NoError(t, call(high*(1-within)), name)
		for _, x := range []float64{low - beyond*max(low, 1e-3), high * (1 + beyond), math.NaN(), math.Inf(1)} {
			require.ErrorIs(t, call(x), chem.ErrInput, "%s %g", name, x)
		}
	}
	keeps("µm", 1, 1e4, func(x float64) error { _, err := rust.LayerOfThickness(fresh, unit.Length(x*1e-6)); return err })
	keeps("g/m²", 0.01, 1e5, func(x float64) error { _, err := rust.LayerOfMass(fresh, unit.Mass(x)*measure.Gram, 1); return err })
	keeps("years", 0.01, 20, func(x float64) error { _, err := rust.LayerOfYears(shed, fresh, x); return err })
	keeps("m²", 1e-6, 1e4, func(x float64) error { _, err := l.Load(unit.Area(x), tables.Loose, salt, 0.05); return err })
	keeps("mol/L", 1e-4, 2, func(x float64) error { _, err := l.Load(1, tables.Loose, salt, x); return err })
	keeps("part gone", 0, 1, func(x float64) error { _, err := p.Seen(b, d, measure.Day, x); return err })
	keeps("hours", 0.01, 1e5, func(x float64) error { _, err := p.Seen(b, d, unit.Time(3600*x), 1); return err })
}

// A time is told in a number that one says, the nearest of its unit, from minutes to
// months: what is written lies no further off than half a step.
func TestRoughTimesAreSaid(t *testing.T) {
	hours := map[string]float64{"minute": 1. / 60, "hour": 1, "day": 24, "week": 168, "month": 730}
	said := map[string][]float64{
		"minute": {1, 2, 3, 5, 10, 15, 20, 30, 40, 50}, "hour": {1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20}, "day": {1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12},
		"week": {2, 3, 4, 6, 8}, "month": {2, 3, 4, 6, 9, 12, 18, 24, 30},
	}
	last := 0.0
	for h := 0.02; h < 24000; h *= 1.003 {
		text := rust.RoughTime(h)
		number, name, found := strings.Cut(text, " ")
		require.True(t, found, text)
		n, err := strconv.ParseFloat(number, 64)
		require.NoError(t, err)
		name = strings.TrimSuffix(name, "s")
		require.Contains(t, said[name], n, text)
		require.Equal(t, n == 1, !strings.HasSuffix(text, "s"), text)
		told := n * hours[name]
		require.GreaterOrEqual(t, told, last, "never less for a longer time")
		last = told
		for _, other := range said[name] {
			require.LessOrEqual(t, math.Abs(math.Log(told/h)), math.Abs(math.Log(other*hours[name]/h))+1e-9, "%g h: %s", h, text)
		}
	}
	require.Equal(t, "years", rust.RoughTime(30*730*1.11))
}
