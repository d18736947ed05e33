package titration_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/titration"
)

// book makes a titration at unit activity coefficients with these constants, and
// pKw of 14.
func book(t testing.TB, sample, titrant *solution.Solution, probe string, constants map[string]float64) *titration.Titration {
	t.Helper()
	only(t, sample, titrant, canonical(t, constants))
	require.NoError(t, sample.SetConstant("OH-", -14, 0))
	run, err := titration.New(sample, titrant, probe)
	require.NoError(t, err)
	return run
}

func strongBase(t testing.TB, c float64) *solution.Solution {
	return mix(t, 100, map[string]float64{"Na+": c, "OH-": c})
}

func strongAcid(t testing.TB, c float64) *solution.Solution {
	return mix(t, 100, map[string]float64{"H+": c, "Cl-": c})
}

// Strong acid with strong base: [H+] − Kw/[H+] = (c V0 − b V)/(V0 + V), whose
// root has a closed form. So have its slope and, at equivalence, its steepest
// place: slope (c+… ) 1/(2 ln10 √Kw) per unit of concentration.
func TestStrongAcidClosedForm(t *testing.T) {
	const c, b, v0 = 0.1, 0.1, 50.0
	run := book(t, mix(t, v0, map[string]float64{"H+": c, "Cl-": c}), strongBase(t, b), "H+", nil)
	curve, err := run.Curve(context.Background(), titration.Grid{UpTo: 100 * mL, Points: 401, Step: 0.2, Slopes: true})
	require.NoError(t, err)
	require.Greater(t, len(curve), 420, "points are added where the curve is steep")
	for _, p := range curve {
		total := v0 + p.ML
		excess := (c*v0 - b*p.ML) / total
		r := math.Sqrt(excess*excess + 4e-14)
		h := (excess + r) / 2
		if excess < 0 {
			h = 2e-14 / (r - excess)
		}
		assert.InDelta(t, -math.Log10(h), p.P, 1e-8, "at %g mL", p.ML)
		rate := (-b - excess) / total // d excess/dV
		assert.InEpsilon(t, -rate/(r*math.Ln10), p.SlopePerML, 1e-7, "slope at %g mL", p.ML)
		bend := (2*rate/total/r + rate*rate*excess/(r*r*r)) / math.Ln10
		assert.InDelta(t, bend, p.BendPerML2, 1e-6*math.Abs(rate*rate/(r*r)), "bend at %g mL", p.ML)
	}
	for i := 1; i < len(curve); i++ {
		assert.LessOrEqual(t, curve[i].P-curve[i-1].P, 0.2001)
		assert.Greater(t, curve[i].ML, curve[i-1].ML)
	}
	v, err := run.Equivalence("H+ = 0")
	require.NoError(t, err)
	assert.InDelta(t, 50, float64(v/mL), 1e-9)
}

// Weak acid with strong base. The volume of base at a pH has a closed form,
//
//	V = V0 (c α − Δ)/(b + Δ),  Δ = [H+] − [OH−],  α = Ka/(Ka + [H+])
//
// (any text on titration; R. de Levie, J. Chem. Educ. 70 (1993) 209, from
// memory). The familiar figures for 50 mL of 0.1 mol/L acetic acid, Ka = 1.75e-5,
// with 0.1 mol/L NaOH are 2.88 before, 4.76 half way, 8.73 at equivalence (from
// memory; Skoog et al. print 2.88, 4.76 and 8.73 for 0.1 mol/L).
func TestWeakAcidClosedForm(t *testing.T) {
	const c, b, v0, ka = 0.1, 0.1, 50.0, 1.75e-5
	run := book(t, mix(t, v0, map[string]float64{"Hac": c}), strongBase(t, b), "H+", map[string]float64{"Hac": -math.Log10(ka)})
	for v, want := range map[float64]float64{0: 2.88, 10: 4.16, 25: 4.76, 40: 5.36, 49: 6.45, 50: 8.73, 51: 11.00, 60: 11.96, 75: 12.30} {
		p, err := run.At(unit.Volume(v) * mL)
		require.NoError(t, err)
		assert.InDelta(t, want, p.P, 0.006, "at %g mL", v)
	}
	for p, err := range run.Points(context.Background(), titration.Grid{UpTo: 100 * mL}) {
		require.NoError(t, err)
		h := math.Pow(10, -p.P)
		delta := h - 1e-14/h
		v := v0 * (c*ka/(ka+h) - delta) / (b + delta)
		assert.InDelta(t, p.ML, v, 1e-6*(1+p.ML))
	}
}

// Carbonate with hydrochloric acid: two steps, near pH 8.3 and 4 at equivalence.
// pKa 6.35 and 10.33 as in textbooks at 25 °C; for 0.05 mol/L sodium carbonate
// the amphiprotic pH is (6.35 + 10.33)/2.
func TestCarbonateSteps(t *testing.T) {
	run := book(t, mix(t, 50, map[string]float64{"Na+": 0.1, "CO3^2-": 0.05}), strongAcid(t, 0.1), "H+",
		map[string]float64{"HCO3-": 10.33, "H2CO3": 16.68})
	eq, err := run.Equivalents(80 * mL)
	require.NoError(t, err)
	require.Len(t, eq, 2)
	assert.Equal(t, "H+ = CO3^2-", eq[0].Balance)
	assert.InDelta(t, 25, eq[0].ML, 1e-9)
	assert.Equal(t, "H+ = 2 CO3^2-", eq[1].Balance)
	assert.InDelta(t, 50, eq[1].ML, 1e-9)
	p, err := run.At(25 * mL)
	require.NoError(t, err)
	assert.InDelta(t, (6.35+10.33)/2, p.P, 0.01)
	bends, err := run.Inflections(context.Background(), 80*mL)
	require.NoError(t, err)
	require.Len(t, bends, 2)
	for i, want := range []float64{25, 50} {
		assert.InEpsilon(t, want, bends[i].ML, 0.003)
		assert.Less(t, bends[i].Jump, 0.0, "pH falls")
		assert.False(t, bends[i].Kink)
	}
	buffers, err := run.Buffers(context.Background(), 80*mL)
	require.NoError(t, err)
	require.Len(t, buffers, 2)
	for i, pK := range []float64{10.33, 6.35} {
		b := buffers[i]
		assert.InDelta(t, pK, b.P, 0.35, "the gentlest place is near pKa, drawn off by dilution and water")
		assert.Less(t, b.FromML, b.ML)
		assert.Greater(t, b.ToML, b.ML)
	}
	// the second is whole: Van Slyke's pKa ± 1 is 1/11 to 10/11 of the way
	assert.InDelta(t, 25+25.0/11, buffers[1].FromML, 0.7)
	assert.InDelta(t, 25+250.0/11, buffers[1].ToML, 0.7)
}

// Sulfate with barium, 1:1, Ks = 1.1e-10 (a common textbook value, from memory):
// before, at and after equivalence the solubility product's quadratic gives pBa.
func TestPrecipitation(t *testing.T) {
	const c, b, v0 = 0.05, 0.1, 50.0
	ks := 1.1e-10
	sample := mix(t, v0, map[string]float64{"Ba2+": c, "Cl-": 2 * c})
	titrant := mix(t, 100, map[string]float64{"Na+": 2 * b, "SO4^2-": b})
	only(t, sample, titrant, nil)
	require.NoError(t, sample.SetConstant("BaSO4(s, barite)", -math.Log10(ks), 0))
	require.NoError(t, sample.Allow("BaSO4(s, barite)"))
	run, err := titration.New(sample, titrant, "Ba2+")
	require.NoError(t, err)
	for _, v := range []float64{0, 5, 10, 24, 25, 26, 30, 40} {
		p, err := run.At(unit.Volume(v) * mL)
		require.NoError(t, err)
		excess := (c*v0 - b*v) / (v0 + v)
		r := math.Sqrt(excess*excess + 4*ks)
		m := (excess + r) / 2
		if excess < 0 {
			m = 2 * ks / (r - excess)
		}
		if v == 0 {
			m = c
		}
		assert.InDelta(t, -math.Log10(m), p.P, 1e-7, "at %g mL", v)
	}
	eq, err := run.Equivalents(50 * mL)
	require.NoError(t, err)
	require.Len(t, eq, 1)
	assert.InDelta(t, 25, eq[0].ML, 1e-9)
}

// Of two anions that a metal brings down, the second begins with a kink.
func TestKinkWhereASolidAppears(t *testing.T) {
	sample := mix(t, 50, map[string]float64{"SO4^2-": 0.01, "CO3^2-": 0.01, "Na+": 0.04})
	require.NoError(t, sample.Allow("BaCO3(s, witherite)"))
	titrant := mix(t, 100, map[string]float64{"Ba2+": 0.05, "Cl-": 0.1})
	run, err := titration.New(sample, titrant, "Ba2+")
	require.NoError(t, err)
	bends, err := run.Inflections(context.Background(), 25*mL)
	require.NoError(t, err)
	require.NotEmpty(t, bends)
	kinks := 0
	for _, b := range bends {
		if b.Kink {
			kinks++
			for _, side := range []float64{-1e-6, 1e-6} {
				p, err := run.At(unit.Volume(b.ML*(1+side))*mL, "witherite")
				require.NoError(t, err)
				assert.Equal(t, side > 0, p.MolPerLitre[0] > 0, "at %g mL", p.ML)
			}
		}
	}
	assert.Equal(t, 1, kinks)
}

// Chelant titrations by their kinds. What decides is the balance of all metals
// and all chelant, whichever is in the burette, and the inflection follows.
func TestKindsOfChelantTitration(t *testing.T) {
	held := func(s *solution.Solution, pH float64) *solution.Solution {
		require.NoError(t, s.HoldPH(pH))
		return s
	}
	edta := mix(t, 100, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01})
	magnesium := mix(t, 100, map[string]float64{"Mg2+": 0.01, "Cl-": 0.02})
	for name, c := range map[string]struct {
		sample, titrant *solution.Solution
		probe           string
		ml              float64
		balance         string
	}{
		"direct": {held(mix(t, 50, map[string]float64{"Ca2+": 0.002, "Cl-": 0.004}), 10), edta, "Ca2+", 10, "Ca2+ = edta4-"},
		"two together": {held(mix(t, 50, map[string]float64{"Ca2+": 0.002, "Mg2+": 0.001, "Cl-": 0.006}), 10), edta, "Mg2+", 15,
			"Mg2+ + Ca2+ = edta4-"},
		// nickel is slow: chelant in excess, the rest back with magnesium
		"back": {held(mix(t, 50, map[string]float64{"Ni2+": 0.001, "Cl-": 0.002, "Na+": 0.008, "H2edta2-": 0.004}), 10), magnesium, "Mg2+", 15,
			"Mg2+ + Ni2+ = edta4-"},
		// calcium drives magnesium from Mg(edta)2-, and the magnesium is
		// titrated: no change in the balance
		"displacement": {held(mix(t, 50, map[string]float64{"Ca2+": 0.002, "Cl-": 0.004, "Mg(edta)^2-": 0.002, "Na+": 0.004}), 10), edta, "Mg2+", 10,
			"Mg2+ + Ca2+ = edta4-"},
	} {
		run, err := titration.New(c.sample, c.titrant, c.probe)
		require.NoError(t, err, name)
		eq, err := run.Equivalents(30 * mL)
		require.NoError(t, err, name)
		require.Len(t, eq, 1, name)
		assert.Equal(t, c.balance, eq[0].Balance, name)
		assert.InDelta(t, c.ml, eq[0].ML, 1e-9, name)
		bends, err := run.Inflections(context.Background(), 30*mL)
		require.NoError(t, err, name)
		best := titration.Inflection{}
		for _, b := range bends {
			if math.Abs(b.Jump) > math.Abs(best.Jump) {
				best = b
			}
		}
		assert.InEpsilon(t, c.ml, best.ML, 0.01, name)
	}
	// masking: at pH 12.7 magnesium is down as hydroxide and calcium alone is
	// titrated
	sample := held(mix(t, 50, map[string]float64{"Ca2+": 0.002, "Mg2+": 0.001, "Cl-": 0.006}), 12.7)
	run, err := titration.New(sample, edta, "Ca2+")
	require.NoError(t, err)
	bends, err := run.Inflections(context.Background(), 30*mL)
	require.NoError(t, err)
	require.NotEmpty(t, bends)
	assert.InEpsilon(t, 10, bends[0].ML, 0.01)
	assert.Greater(t, bends[0].Jump, 0.5)
}

func TestPointsStopWithTheContext(t *testing.T) {
	run := book(t, mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+", map[string]float64{"Hac": 4.76})
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	n := 0
	var last error
	for _, err := range run.Points(ctx, titration.Grid{UpTo: 50 * mL}) {
		if last = err; err == nil {
			if n++; n == 7 {
				cancel()
			}
		}
	}
	assert.Equal(t, 7, n)
	assert.ErrorIs(t, last, context.Canceled)
	_, err := run.Curve(ctx, titration.Grid{UpTo: 50 * mL})
	assert.ErrorIs(t, err, context.Canceled)
	_, err = run.Inflections(ctx, 50*mL)
	assert.ErrorIs(t, err, context.Canceled)
	n = 0
	for range run.Points(context.Background(), titration.Grid{UpTo: 50 * mL}) {
		if n++; n == 3 {
			break
		}
	}
	assert.Equal(t, 3, n, "a caller may leave at any point")
}

func TestRefusals(t *testing.T) {
	run := book(t, mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+", map[string]float64{"Hac": 4.76})
	ctx := context.Background()
	for name, g := range map[string]titration.Grid{
		"no end":          {},
		"one point":       {UpTo: mL, Points: 1},
		"a negative step": {UpTo: mL, Step: -1},
		"NaN":             {UpTo: unit.Volume(math.NaN())},
		"before zero":     {UpTo: -mL},
		"none of it here": {UpTo: mL, Species: []string{"Ca2+"}},
	} {
		_, err := run.Curve(ctx, g)
		assert.ErrorIs(t, err, chem.ErrInput, name)
	}
	_, err := run.Curve(ctx, titration.Grid{UpTo: mL, Species: []string{"unobtainium"}})
	assert.Error(t, err)
	for _, b := range []string{"", "H+", "H+ = ac- = 1", "H+ = H+", "Ca2+ = 0", "0 = 0", "H+ = -2 ac-"} {
		_, err := run.Equivalence(b)
		assert.Error(t, err, "balance %q", b)
	}
	_, err = run.Equivalence("H+ = 2 ac-")
	assert.ErrorIs(t, err, titration.ErrNone)
	_, err = titration.New(mix(t, 50, nil), strongBase(t, 1), "Ca2+")
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = titration.New(mix(t, 50, nil), strongBase(t, 1), "nonsense")
	assert.Error(t, err)
}

// The curve of an acid that loses protons to a base never falls, whatever is in
// the bath.
func TestCurveIsMonotone(t *testing.T) {
	run, err := titration.New(bathSample(t, 7), strongBase(t, 1), "H+")
	require.NoError(t, err)
	last := math.Inf(-1)
	for p, err := range run.Points(context.Background(), titration.Grid{UpTo: 20 * mL, Points: 400}) {
		require.NoError(t, err)
		assert.GreaterOrEqual(t, p.P, last, "at %g mL", p.ML)
		last = p.P
	}
}

// Ten times the sample takes ten times the titrant.
func TestScale(t *testing.T) {
	a, err := titration.New(bathSample(t, 6), strongBase(t, 0.5), "H+")
	require.NoError(t, err)
	big := bathSample(t, 6)
	for range 9 {
		require.NoError(t, big.Mix(bathSample(t, 6)))
	}
	b, err := titration.New(big, strongBase(t, 0.5), "H+")
	require.NoError(t, err)
	for _, v := range []float64{0, 1, 5, 12} {
		p, err := a.At(unit.Volume(v) * mL)
		require.NoError(t, err)
		q, err := b.At(unit.Volume(10*v) * mL)
		require.NoError(t, err)
		assert.InDelta(t, p.P, q.P, 1e-8, "at %g mL", v)
	}
}
