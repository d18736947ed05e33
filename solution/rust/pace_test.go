package rust_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

const hour = measure.Hour

func pace(t testing.TB) *rust.Pace {
	t.Helper()
	p, err := rust.NewPace(demo.Tables(t))
	require.NoError(t, err)
	return p
}

// light is fresh rust of so many g of iron per m² on 0.2 m², invented.
func light(t testing.TB, iron float64) rust.Dip {
	t.Helper()
	r, err := demo.Tables(t).Rust("fresh orange rust")
	require.NoError(t, err)
	l, err := rust.LayerOfMass(r, unit.Mass(iron/r.IronFraction().Typical)*measure.Gram, measure.SquareMetre)
	require.NoError(t, err)
	return rust.Dip{Rust: r, Layer: l, Area: 0.2, Oxide: demo.Oxide(t, "lepidocrocite"), Held: true}
}

func hours(t testing.TB, p *rust.Pace, b *bath.Bath, d rust.Dip) tables.Range {
	t.Helper()
	x, err := p.Time(b, d)
	require.NoError(t, err)
	require.InDelta(t, 1, x.RustDissolvedFraction, 1e-9, x.Text)
	require.Positive(t, x.Hours.Low)
	require.Less(t, x.Hours.Low, x.Hours.Typical)
	require.Less(t, x.Hours.Typical, x.Hours.High)
	require.Greater(t, x.Hours.High, x.BoundHours.Low)
	return x.Hours
}

// longer holds for all three figures.
func longer(t *testing.T, a, b tables.Range) {
	t.Helper()
	require.Greater(t, a.Low, b.Low)
	require.Greater(t, a.Typical, b.Typical)
	require.Greater(t, a.High, b.High)
}

// Nothing in print fixes the rate: before anything was seen the range is a factor
// of ten at least. Lightly rusted sheet comes clean within a day in about 30 g/L at
// pH 7 (common practice, no source), and that lies inside, nearer the late end.
func TestPriorIsWide(t *testing.T) {
	r := demo.Recipe(t)
	r.Amount = measure.AmountOfMass(0.6) // 30 g/L
	x := hours(t, pace(t), demo.Mix(t, r), light(t, 30))
	require.GreaterOrEqual(t, x.High/x.Low, 10.0)
	require.Less(t, x.Typical, 24.0)
	require.Greater(t, x.High, 24.0)
}

// What holds for any such bath: warmer, more acid, more moved, more free chelant
// and less rust are never slower.
func TestTimeLaws(t *testing.T) {
	p := pace(t)
	b, d := demo.Mix(t, demo.Recipe(t)), light(t, 30)
	base := hours(t, p, b, d)
	for _, c := range []float64{25, 30, 45} {
		warm := b.Clone()
		require.NoError(t, warm.SetTemperature(chem.Celsius(c)))
		next := hours(t, p, warm, d)
		longer(t, base, next)
		base = next
	}
	base = hours(t, p, b, d)
	for _, pH := range []float64{8, 8.5, 9, 9.5} {
		at, err := b.At(pH)
		require.NoError(t, err)
		next := hours(t, p, at, d)
		longer(t, next, base)
		base = next
	}
	base = hours(t, p, b, d)
	still := base
	for _, m := range []rust.Motion{rust.Moved, rust.Stirred} {
		d := d
		d.Motion = m
		next := hours(t, p, b, d)
		longer(t, base, next)
		base = next
	}
	weak := demo.Recipe(t)
	weak.Amount = measure.AmountOfMass(0.25)
	longer(t, hours(t, p, demo.Mix(t, weak), d), still)
	less := light(t, 15)
	longer(t, still, hours(t, p, b, less))
	drifting := d
	drifting.Held = false
	longer(t, hours(t, p, b, drifting), still)
	airless := d
	airless.Airless = true
	longer(t, still, hours(t, p, b, airless))
}

// The order of rates of Sidhu et al. 1981 in 0.5 mol/L HCl: lepidocrocite, magnetite,
// akaganeite, maghemite, hematite, goethite; goethite 130 times slower there, to
// the power of 0.8 here.
func TestPhasesKeepTheirOrder(t *testing.T) {
	p, b, d := pace(t), demo.Mix(t, demo.Recipe(t)), light(t, 10)
	d.Motion = rust.Stirred
	last, first := 0.0, 0.0
	for _, name := range []string{"lepidocrocite", "magnetite", "akaganeite", "maghemite", "hematite", "goethite"} {
		phase, err := tables.Find[tables.RustPhase](demo.Tables(t), name)
		require.NoError(t, err)
		d.Rust = tables.Rust{Entry: tables.Entry{Name: name}, Constituents: []tables.Constituent{{Phase: phase, Share: tables.Range{Low: 1, Typical: 1, High: 1}}}}
		x := hours(t, p, b, d)
		require.Greater(t, x.Typical, last, name)
		if last = x.Typical; first == 0 {
			first = last
		}
	}
	require.InEpsilon(t, 0.8*math.Log(130), math.Log(last/first), 0.1)
}

// Half as strong again is not visibly faster (common practice, no source): the
// eye does not tell 20 % in a night. Twice the half-coverage it would be.
func TestStrongerIsNotFaster(t *testing.T) {
	levers, err := pace(t).Levers(demo.Mix(t, demo.Recipe(t)), light(t, 30))
	require.NoError(t, err)
	byName := map[string]rust.Lever{}
	for i, l := range levers {
		byName[l.Do] = l
		require.GreaterOrEqual(t, l.TimesFaster.Low, 1-1e-3, l.Do)
		require.NotEmpty(t, l.Source)
		if i > 0 && !l.Laboratory {
			require.LessOrEqual(t, l.TimesFaster.Typical, levers[i-1].TimesFaster.Typical)
		}
	}
	strong := byName["Make it half as strong again, at the same pH."]
	require.Less(t, strong.TimesFaster.Typical, 1.1)
	require.Less(t, strong.TimesFaster.High, 1.3)
	// 7 to 31 times in the laboratory (Biswakarma et al. 2019); the film takes its
	// part of that in a tub.
	air := levers[len(levers)-1]
	require.True(t, air.Laboratory)
	require.Less(t, air.TimesFaster.High, 31.0)
	// 84 kJ/mol (67 to 96) from 20 to 35 °C is 5.4 times (3.8 to 6.8), less what the
	// film takes.
	warm := byName["Warm the bath to 35 °C."]
	require.Less(t, warm.TimesFaster.High, 7.2)
	require.Greater(t, warm.TimesFaster.Typical, 3.0)
}

// A bath left alone stops where its proton limit lies, whichever way one asks.
func TestTimeStopsAtTheProtonLimit(t *testing.T) {
	b, d := demo.Mix(t, demo.Recipe(t)), light(t, 250)
	d.Held, d.Area = false, 0.2 // 50 g of iron
	c, err := b.Capacities(d.Oxide, 7)
	require.NoError(t, err)
	x, err := pace(t).Time(b, d)
	require.NoError(t, err)
	require.InEpsilon(t, c.Proton.IronGrams/50, x.RustDissolvedFraction, 1e-6)
	require.InDelta(t, c.EndPH, x.EndPH, 1e-3)
	require.Zero(t, x.Hours)
	require.Contains(t, x.Text, "Never")
	levers, err := pace(t).Levers(b, d)
	require.NoError(t, err)
	require.NotEmpty(t, levers)
	for _, l := range levers {
		require.Zero(t, l.TimesFaster)
		require.Positive(t, l.Hours.Low)
	}
	_, err = pace(t).Seen(b, d, 10*hour, 1)
	require.ErrorIs(t, err, chem.ErrInput)
}

// Acid alone holds no iron near pH 7, and is told so.
func TestNoChelantNeverEnds(t *testing.T) {
	v, err := solution.New(demo.Tables(t), chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(1e-3))
	require.NoError(t, v.Add(demo.Reagent(t, "table salt"), 1e-3))
	b, err := bath.New(demo.Tables(t), v)
	require.NoError(t, err)
	x, err := pace(t).Time(b, light(t, 30))
	require.NoError(t, err)
	require.Contains(t, x.Text, "no free chelant")
	levers, err := pace(t).Levers(b, light(t, 30))
	require.NoError(t, err)
	require.Empty(t, levers)
}

// Thickness: a still film of 0.5 mm cannot feed a layer of 90 g of iron per m² in
// much under 15 h at 0.03 mol/L of free EDTA (arithmetic), less what the range of
// films allows.
func TestDiffusionBound(t *testing.T) {
	b, d := demo.Pure(t, demo.Tables(t), 0.030, 7, "muriatic acid"), light(t, 90)
	d.Area = 1e-4
	x, err := pace(t).Time(b, d)
	require.NoError(t, err)
	require.InDelta(t, 15, x.BoundHours.Typical, 2)
}

// Sightings are worth the same in any order; clean at a time cuts the late end,
// half clean cuts both; an odd one moves little and is counted.
func TestSeen(t *testing.T) {
	p, b, d := pace(t), demo.Mix(t, demo.Recipe(t)), light(t, 30)
	before := hours(t, p, b, d)
	day, err := p.Seen(b, d, 24*hour, 1)
	require.NoError(t, err)
	x := hours(t, day, b, d)
	require.Less(t, x.High, 0.75*before.High)
	require.Greater(t, x.Low, 0.7*before.Low)
	half, err := p.Seen(b, d, 10*hour, 0.5)
	require.NoError(t, err)
	y := hours(t, half, b, d)
	require.Less(t, y.High/y.Low, before.High/before.Low)
	require.Greater(t, y.Low, before.Low) // grains half gone have four fifths of their way left

	ab, err := day.Seen(b, d, 10*hour, 0.5)
	require.NoError(t, err)
	ba, err := half.Seen(b, d, 24*hour, 1)
	require.NoError(t, err)
	u, v := hours(t, ab, b, d), hours(t, ba, b, d)
	require.InEpsilon(t, u.Typical, v.Typical, 1e-9)
	require.InEpsilon(t, u.High, v.High, 1e-9)
	require.Equal(t, before, hours(t, p, b, d), "a pace does not change")
	require.Zero(t, ba.Odd())

	odd, err := p.Seen(b, d, 300*hour, 0.1)
	require.NoError(t, err)
	require.Equal(t, 1, odd.Odd())
	require.InEpsilon(t, before.Typical, hours(t, odd, b, d).Typical, 0.2)

	// What was seen in the cold tells of the warm.
	warm := b.Clone()
	require.NoError(t, warm.SetTemperature(chem.Celsius(35)))
	require.Less(t, hours(t, day, warm, d).High, hours(t, p, warm, d).High)
}

// On parts drawn at random, given what was seen of one part like it, nine ranges
// in ten hold the next part. Each part has a time of its own: its tub's, which
// comes from the forecast before anything was seen, times 1.7 either way.
func TestForecastsHold(t *testing.T) {
	p, b, d := pace(t), demo.Mix(t, demo.Recipe(t)), light(t, 30)
	prior := hours(t, p, b, d)
	source := rand.New(rand.NewPCG(8, 1))
	part := math.Log(1.7) / 1.645
	tub := math.Sqrt(math.Pow(math.Log(prior.High/prior.Low)/(2*1.645), 2) - part*part)
	held, narrower := 0, 0.0
	const n = 100
	for range n {
		mean := math.Log(prior.Typical) + tub*source.NormFloat64()
		first, next := math.Exp(mean+part*source.NormFloat64()), math.Exp(mean+part*source.NormFloat64())
		// Seen every day at the same hour until it is clean.
		look := 24 * (1 + math.Floor(first/24))
		q, err := p.Seen(b, d, unit.Time(look)*hour, 1)
		require.NoError(t, err)
		if look > 24 {
			u := 1 - (look-24)/first
			q, err = q.Seen(b, d, unit.Time(look-24)*hour, 1-u*u*u)
			require.NoError(t, err)
		}
		x := hours(t, q, b, d)
		if x.Low <= next && next <= x.High {
			held++
		}
		narrower += math.Log(x.High/x.Low) / math.Log(prior.High/prior.Low) / n
	}
	t.Logf("%d of %d held; ranges %.2f of the first", held, n, narrower)
	require.Greater(t, held, n*84/100)
	require.Less(t, narrower, 0.95)
}

func TestRefusedDips(t *testing.T) {
	p, b, good := pace(t), demo.Mix(t, demo.Recipe(t)), light(t, 30)
	for field, spoil := range map[string]func(*rust.Dip){
		"rust":          func(d *rust.Dip) { d.Rust = tables.Rust{} },
		"oxide":         func(d *rust.Dip) { d.Oxide = bath.Oxide{} },
		"motion":        func(d *rust.Dip) { d.Motion = "bubbled" },
		"area":          func(d *rust.Dip) { d.Area = 0 },
		"iron per area": func(d *rust.Dip) { d.Layer = rust.Layer{} },
	} {
		d := good
		spoil(&d)
		_, err := p.Time(b, d)
		var e *chem.InputError
		require.ErrorAs(t, err, &e, field)
		require.Equal(t, field, e.Field)
		_, err = p.Levers(b, d)
		require.ErrorIs(t, err, chem.ErrInput)
	}
	for _, bad := range []struct {
		after unit.Time
		part  float64
	}{{0, 1}, {-hour, 1}, {hour, -0.1}, {hour, 1.1}, {unit.Time(math.NaN()), 1}, {hour, math.NaN()}} {
		_, err := p.Seen(b, good, bad.after, bad.part)
		require.ErrorIs(t, err, chem.ErrInput, bad)
	}
	for _, x := range []struct {
		energy   float64
		from, to unit.Temperature
		taken    bool
	}{{0, 200, 500, true}, {300, 500, 200, true}, {-1e-9, 293, 303, false}, {300.001, 293, 303, false}, {84, 199.999, 303, false}, {84, 303, 199.999, false}, {84, 500.001, 303, false}, {84, 303, 500.001, false}} {
		if _, err := rust.Arrhenius(x.energy, x.from, x.to); x.taken {
			require.NoError(t, err, x)
		} else {
			require.ErrorIs(t, err, chem.ErrInput, x)
		}
	}
}

func TestRoughTime(t *testing.T) {
	for want, h := range map[string]float64{
		"1 minute": 0.01, "40 minutes": 0.7, "1 hour": 1.1, "8 hours": 7.6, "1 day": 26, "4 days": 95, "2 weeks": 340, "2 months": 1500, "years": 1e5,
	} {
		require.Equal(t, want, rust.RoughTime(h), h)
	}
	// Never off by more than a third, up to two years.
	for h := 0.02; h < 17000; h *= 1.1 {
		text := rust.RoughTime(h)
		q, err := measure.ParseTime(text)
		if err != nil { // months
			continue
		}
		require.InDelta(t, 0, math.Log(float64(q)/3600/h), math.Log(1.45), "%g h: %s", h, text)
	}
}

// The plan's outlook is what the bath itself says.
func TestOutlook(t *testing.T) {
	for _, pH := range []float64{2.5, 5, 7, 9, 11.5} {
		r := demo.Recipe(t)
		r.PH = pH
		if pH > 11.2 {
			r.Acid = demo.Reagent(t, "sodium hydroxide")
		}
		x, err := r.Outlook(demo.Tables(t))
		require.NoError(t, err)
		require.NotEmpty(t, x.Light.Text)
		if pH != 7 {
			continue
		}
		c, err := demo.Mix(t, r).Capacities(demo.Oxide(t, "lepidocrocite"), 7)
		require.NoError(t, err)
		require.InEpsilon(t, c.Proton.RustGrams, x.LeftAlone.RustGrams, 1e-9)
		require.InEpsilon(t, c.Equilibrium.RustGrams, x.Held.RustGrams, 1e-6)
	}
}

func BenchmarkTime(b *testing.B) {
	p, tub, d := pace(b), demo.Mix(b, demo.Recipe(b)), light(b, 30)
	for b.Loop() {
		if _, err := p.Time(tub, d); err != nil {
			b.Fatal(err)
		}
	}
}

// The course of a closed bath without steel takes a part's rust in the time that the
// pace tells, held or drifting: one law stands behind both, and the median of the worlds
// is not far from the typical one.
func TestCourseAgreesWithPace(t *testing.T) {
	p, d := pace(t), light(t, 30)
	for _, held := range []bool{true, false} {
		b := demo.Mix(t, demo.Recipe(t))
		d.Held, d.Area = held, 0.5
		if held {
			require.NoError(t, b.HoldPH(7))
		}
		told, err := p.Time(b, d)
		require.NoError(t, err)
		r, err := p.Rust(b, d)
		require.NoError(t, err)
		require.InEpsilon(t, 0.5*30/55.845, r.IronMoles, 1e-3)
		early, err := b.Clone().Pass(bath.Parts{Rust: r}, unit.Time(0.8*told.Hours.Typical)*measure.Hour)
		require.NoError(t, err)
		require.Greater(t, early.RustLeftGrams.Typical, 0.01)
		late, err := b.Clone().Pass(bath.Parts{Rust: r}, unit.Time(1.2*told.Hours.Typical)*measure.Hour)
		require.NoError(t, err)
		require.Zero(t, late.RustLeftGrams.Typical)
		if !held {
			require.InDelta(t, told.EndPH, late.PH.Typical, 0.02)
		}
	}
	_, err := (&rust.Pace{}).Rust(demo.Mix(t, demo.Recipe(t)), d)
	require.ErrorIs(t, err, chem.ErrInput)
}
