package titration_test

import (
	"context"
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// The rows of testdata/hardness.csv that are titrations: ISO 6059 and ASTM D1126
// as quoted there.
func TestHardnessCalculations(t *testing.T) {
	f, err := os.Open("../../testdata/hardness.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	n := 0
	for _, r := range rows[1:] {
		if r[1] != "titrated_hardness" && r[1] != "total_hardness" || !strings.Contains(r[2], "V_edta_mL") {
			continue
		}
		at := map[string]string{}
		for pair := range strings.SplitSeq(r[2], ";") {
			key, value, _ := strings.Cut(pair, "=")
			at[key] = value
		}
		x := titration.Titre{
			Sample: titration.Aliquot{Volume: unit.Volume(number(t, at["V_sample_mL"])) * mL}, Strength: titration.Result{Value: number(t, at["c_edta_M"])},
			Delivered: titration.Aliquot{Volume: unit.Volume(number(t, at["V_edta_mL"])) * mL},
		}
		c, err := x.Concentration()
		require.NoError(t, err)
		u, err := tables.Find[tables.HardnessUnit](demo.Tables(t), at["unit"])
		require.NoError(t, err)
		assert.InDelta(t, number(t, r[3]), c.Value/u.MolPerLitre, number(t, r[5]), "%s: %s", r[0], r[9])
		n++
	}
	assert.GreaterOrEqual(t, n, 3)
	// alkalinity as CaCO3 = A × N × 50 000/mL sample, Standard Methods 2320 B
	// (from memory)
	c, err := titration.Titre{Sample: titration.Aliquot{Volume: 100 * mL}, Strength: titration.Result{Value: 0.02}, Delivered: titration.Aliquot{Volume: 12 * mL}}.Concentration()
	require.NoError(t, err)
	a := tables.Alkalinity(c.Value)
	assert.InDelta(t, 12*0.02*50000/100, a.CaCO3(), 0.2)
}

// The uncertainty of a titre against a simulation of it.
func TestTitreUncertaintyAgainstSimulation(t *testing.T) {
	x := titration.Titre{
		Sample:   titration.Aliquot{Volume: 5 * mL, With: tables.Dispenser{ToleranceML: 0.1}},
		Strength: titration.Result{Value: 0.02, Standard: 0.0002}, Drops: 37,
		Delivered: titration.Aliquot{With: tables.Dispenser{Relative: 0.05, StepML: 0.05}}, Bias: titration.Result{Value: -0.02, Standard: 0.01},
	}
	r, err := x.Concentration()
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(4, 2))
	rectangle := func(half float64) float64 { return half * (2*rng.Float64() - 1) }
	const n = 200000
	sum, squares := 0.0, 0.0
	for range n {
		drops := 37 - rng.Float64()
		v := drops * 0.05 * (1 + rectangle(0.05))
		c := 0.02 * (1 + 0.01*rng.NormFloat64()) * v / (5 + rectangle(0.1)) / (0.98 + 0.01*rng.NormFloat64())
		sum += c
		squares += c * c
	}
	mean := sum / n
	assert.InEpsilon(t, mean, r.Value, 0.001)
	assert.InEpsilon(t, math.Sqrt(squares/n-mean*mean), r.Standard, 0.01)
	source, share := r.Dominant()
	assert.Equal(t, "size of the drop or scale of the burette", source)
	assert.InDelta(t, 0.25/3*0.01/math.Pow(r.Relative(), 2), share, 1e-9)
}

// A bath of known free chelant, counted with a kit: the numbers must come back.
func TestKit(t *testing.T) {
	h, err := demo.Tables(t).ParseHardness("1 gpg")
	require.NoError(t, err)
	// a kit counts a grain a drop: 8 drops are 7½ grains. Any drop and sample will
	// do: drop times strength over sample is what the kit fixes.
	c, err := titration.Titre{
		Sample: titration.Aliquot{Volume: mL}, Strength: titration.Result{Value: float64(h) * 20}, Drops: 8,
		Delivered: titration.Aliquot{With: tables.Dispenser{Relative: 0.1, StepML: 0.05}},
	}.Concentration()
	require.NoError(t, err)
	hardness := tables.Hardness(c.Value)
	assert.InEpsilon(t, 7.5*float64(h), float64(hardness), 1e-12)
	// 100 mL of water at 19.5 gpg and 2 mL of bath at 0.1 mol/L: what is left
	water, bath, free := 100.0, 2.0, 0.1
	left := (19.5*float64(h)*water - free*bath) / (water + bath)
	drops := int(math.Ceil(left / float64(h)))
	x := titration.KitTest{
		Bath: titration.Aliquot{Volume: unit.Volume(bath) * mL}, Water: titration.Aliquot{Volume: unit.Volume(water) * mL},
		WaterDrops: 20, Drops: drops, PerDrop: titration.Result{Value: float64(h), Standard: 0.06 * float64(h)},
	}
	c, err = x.Concentration()
	require.NoError(t, err)
	assert.InDelta(t, free, c.Value, 2*c.Standard)
	x.Drops = 0
	_, err = x.Concentration()
	assert.ErrorIs(t, err, chem.ErrInput, "all hardness was bound")
	x.Drops = 25
	_, err = x.Concentration()
	assert.ErrorIs(t, err, titration.ErrNone)
}

func TestTitreRefuses(t *testing.T) {
	good := titration.Titre{Sample: titration.Aliquot{Volume: 5 * mL}, Strength: titration.Result{Value: 0.02}, Delivered: titration.Aliquot{Volume: 3 * mL}}
	_, err := good.Concentration()
	require.NoError(t, err)
	for name, spoil := range map[string]func(*titration.Titre){
		"no sample":     func(x *titration.Titre) { x.Sample.Volume = 0 },
		"no strength":   func(x *titration.Titre) { x.Strength.Value = 0 },
		"NaN":           func(x *titration.Titre) { x.Strength.Value = math.NaN() },
		"both":          func(x *titration.Titre) { x.Drops = 3 },
		"drop of none":  func(x *titration.Titre) { x.Drops, x.Delivered.Volume = 3, 0 },
		"nothing":       func(x *titration.Titre) { x.Delivered.Volume = 0 },
		"blank":         func(x *titration.Titre) { x.Blank = 4 * mL },
		"bad dispenser": func(x *titration.Titre) { x.Delivered.With.Relative = -1 },
		"bad bias":      func(x *titration.Titre) { x.Bias.Value = -2 },
	} {
		x := good
		spoil(&x)
		_, err := x.Concentration()
		assert.ErrorIs(t, err, chem.ErrInput, name)
	}
}

// Iron in the bath. A quick calcium titration at pH 10 finds the free chelant;
// one that waits until the iron has settled finds that too which held iron.
func TestInterferenceOfIron(t *testing.T) {
	bath := mix(t, 1000, map[string]float64{"Na+": 0.2, "H2edta2-": 0.1})
	require.NoError(t, bath.AddSpecies("Fe(edta)-", 0.03))
	require.NoError(t, bath.AddSpecies("Na+", 0.03))
	ebt := indicator(t, "EBT")
	calcium := mix(t, 100, map[string]float64{"Ca2+": 0.09, "Mg2+": 0.01, "Cl-": 0.2})
	beaker := bath.Clone()
	require.NoError(t, beaker.Remove(1-float64(5*mL/bath.Volume())))
	require.NoError(t, beaker.AddPureWater(45*mL))
	require.NoError(t, beaker.HoldPH(10))
	i, err := titration.PredictInterference(context.Background(), beaker, 5*mL, calcium, ebt)
	require.NoError(t, err)
	require.NotNil(t, i.QuickMolPerLitre)
	require.NotNil(t, i.SlowMolPerLitre)
	assert.InEpsilon(t, 0.1, *i.QuickMolPerLitre, 0.01)
	// Fe(OH)2(edta)^3- keeps a little of the iron, and its chelant, however long one waits.
	assert.InDelta(t, 0.1285, *i.SlowMolPerLitre, 0.0015)
	survives(t, i)
	_, err = titration.PredictInterference(context.Background(), beaker, 5*mL, nil, ebt)
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = titration.PredictInterference(context.Background(), beaker, 0, calcium, ebt)
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = titration.PredictInterference(context.Background(), beaker, 5*mL, strongBase(t, 1), ebt)
	assert.ErrorIs(t, err, chem.ErrInput, "no calcium in the titrant")
}

// dispensers are those of the tables.
func dispensers(t *testing.T) []tables.Dispenser {
	return slices.Collect(tables.All[tables.Dispenser](demo.Tables(t)))
}

func TestSchemes(t *testing.T) {
	s, err := titration.Titre{}.Schemes(0.05, 0.005, dispensers(t), 0.001, 0.01, 0.1)
	require.NoError(t, err)
	require.True(t, s[0].Meets)
	assert.LessOrEqual(t, s[0].Result.Relative(), 0.005)
	for _, x := range s {
		if x.Meets {
			assert.GreaterOrEqual(t, x.TitrantML, s[0].TitrantML)
			continue
		}
		assert.Greater(t, x.Result.Relative(), 0.005)
	}
	// with drops alone the goal is out of reach, and the size of the drop is why
	pipette, err := tables.Find[tables.Dispenser](demo.Tables(t), "Pipette 5 mL")
	require.NoError(t, err)
	drops, err := tables.Find[tables.Dispenser](demo.Tables(t), "drop bottle")
	require.NoError(t, err)
	s, err = titration.Titre{}.Schemes(0.05, 0.005, []tables.Dispenser{pipette, drops}, 0.1)
	require.NoError(t, err)
	assert.False(t, s[0].Meets)
	source, _ := s[0].Result.Dominant()
	assert.Equal(t, "size of the drop or scale of the burette", source)
	_, err = titration.Titre{}.Schemes(0.05, 0.005, dispensers(t), 1e-9)
	assert.ErrorIs(t, err, titration.ErrNone)
	_, err = titration.Titre{}.Schemes(-1, 0.1, nil)
	assert.ErrorIs(t, err, chem.ErrInput)
	// a blank and a bias that all choices share are poured besides, and come off again
	s, err = titration.Titre{Blank: 0.2 * mL, Bias: titration.Result{Value: 0.1}}.Schemes(0.05, 0.5, slices.DeleteFunc(dispensers(t), func(d tables.Dispenser) bool { return d.Serves != "titrant" && d.ID != pipette.ID }), 0.1)
	require.NoError(t, err)
	assert.InDelta(t, 0.05, s[0].Result.Value, 1e-12)
	assert.InDelta(t, 0.2+2.5*1.1, s[0].TitrantML, 1e-12)
}

// The uncertainty of the kit's answer against a simulation, in which the size of
// the drop is the same in both counts.
func TestKitUncertaintyAgainstSimulation(t *testing.T) {
	h, err := demo.Tables(t).ParseHardness("1 gpg")
	require.NoError(t, err)
	x := titration.KitTest{
		Bath:       titration.Aliquot{Volume: 5 * mL, With: tables.Dispenser{Relative: 0.04}},
		Water:      titration.Aliquot{Volume: 100 * mL, With: tables.Dispenser{ToleranceML: 2}},
		WaterDrops: 22, Drops: 13, PerDrop: titration.Result{Value: float64(h), Standard: float64(h) * 0.1 / math.Sqrt(3)},
	}
	r, err := x.Concentration()
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(9, 9))
	rectangle := func(half float64) float64 { return half * (2*rng.Float64() - 1) }
	const n = 200000
	sum, squares := 0.0, 0.0
	for range n {
		drop := float64(h) * (1 + rectangle(0.1))
		b, w := 5*(1+rectangle(0.04)), 100+rectangle(2)
		c := drop * ((22-rng.Float64())*w - (13-rng.Float64())*(w+b)) / b
		sum += c
		squares += c * c
	}
	mean := sum / n
	assert.InEpsilon(t, mean, r.Value, 0.003)
	assert.InEpsilon(t, math.Sqrt(squares/n-mean*mean), r.Standard, 0.02)
}
