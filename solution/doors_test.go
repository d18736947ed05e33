package solution

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// Two figures of a dose are told in one line where a reader sees that they differ.
func TestDosesTold(t *testing.T) {
	assert.Equal(t, "Doses for pH 7.0: now 157 g, for good 90 g, advised 90 g.", Doses{157, 90}.Told(7, 90))
	assert.Equal(t, "Doses for pH 6.5: now none, for good 90 g, advised 90 g.", Doses{0, 90}.Told(6.5, 90))
	assert.Empty(t, Doses{90.01, 90}.Told(7, 90))
}

// The way of one vessel while another is poured in passes through the vessels that mixing
// makes, warmer or colder ones too, acid or soda, with the air shut off or not.
func TestPathIsMixing(t *testing.T) {
	for _, x := range []struct {
		warmth  float64
		reagent string
		open    bool
	}{{20, "citric acid", false}, {60, "citric acid", false}, {20, "washing soda", false}, {20, "washing soda", true}, {20, "muriatic acid", true}} {
		v, err := New(standard(t), chem.Celsius(x.warmth))
		require.NoError(t, err)
		require.NoError(t, v.AddPureWater(2*litre))
		require.NoError(t, v.Add(reagent(t, x.reagent), 0.1))
		s := tub(t)
		if x.open {
			require.NoError(t, s.Open(AirCO2))
		}
		way, record, err := s.Path(v)
		require.NoError(t, err)
		for _, poured := range []float64{0.5, 1.9} {
			require.NoError(t, way.At(poured))
			st, err := record()
			require.NoError(t, err)
			mixed, part := s.Clone(), v.Clone()
			require.NoError(t, part.Remove(1-poured/float64(v.Volume()/litre)))
			require.NoError(t, mixed.Mix(part))
			want := equilibrate(t, mixed)
			assert.InDelta(t, want.PH, st.PH, 1e-9)
			assert.InDelta(t, want.PH, way.PH(), 1e-9)
			assert.InDelta(t, want.VolumeLitres, st.VolumeLitres, 1e-9)
			assert.Len(t, st.Species, len(want.Species))
			for _, d := range want.Species {
				assert.InEpsilon(t, d.MolPerLitre, concentration(t, st, d.Species), 1e-7, d.Species)
			}
		}
	}
	_, _, err := new(Solution).Path(tub(t))
	assert.ErrorIs(t, err, chem.ErrInput)
	_, _, err = tub(t).Path(new(Solution))
	assert.ErrorIs(t, err, chem.ErrInput)
}

// What constants move a dose by is what they move the pH by over what a gram does, against it:
// where a constant makes the bath more alkaline, less lye is needed and more acid.
func TestDoseUncertaintyByTheCurve(t *testing.T) {
	for _, name := range []string{"citric acid", "lye"} {
		s := tub(t)
		x := reagent(t, name)
		require.NoError(t, s.Add(x, 0.04))
		u, err := s.DoseUncertainty(x)
		require.NoError(t, err)
		of, err := s.Uncertainty(PH(7))
		require.NoError(t, err)
		const h = 1e-5 // kg, one way and the other
		more, less := s.Clone(), tub(t)
		require.NoError(t, more.Add(x, h))
		require.NoError(t, less.Add(x, 0.04-h))
		perGram := (equilibrate(t, more).PH - equilibrate(t, less).PH) / (2000 * h)
		assert.InEpsilon(t, of.Sigma/math.Abs(perGram), u.Sigma, 1e-3)
		require.Len(t, u.Parts, len(of.Parts))
		for k, p := range of.Parts {
			assert.Equal(t, p.Reaction, u.Parts[k].Reaction)
			assert.InEpsilon(t, -p.Slope/perGram, u.Parts[k].Slope, 1e-3)
			assert.InEpsilon(t, p.Sigma/math.Abs(perGram), u.Parts[k].Sigma, 1e-3)
		}
	}
}

// Carbon dioxide over a bath by Henry's law as the tables have it, with activities and
// without; a vessel without carbonate has none.
func TestPressureByHenry(t *testing.T) {
	tb := standard(t)
	gas, err := tb.Formation("CO2(g)")
	require.NoError(t, err)
	acid, err := tb.Formation("H2CO3")
	require.NoError(t, err)
	for _, ideal := range []bool{false, true} {
		s := tub(t)
		require.NoError(t, s.Add(reagent(t, "citric acid"), 0.09))
		s.SetIdeal(ideal)
		st := equilibrate(t, s)
		ionic := st.IonicStrengthMolPerLitre
		if ideal {
			ionic = 0
		}
		warmth := chem.Celsius(st.TemperatureC)
		henry := acid.Constant.Log10K(warmth, ionic) - gas.Constant.Log10K(warmth, ionic)
		pressure, err := s.PressureCO2()
		require.NoError(t, err)
		assert.InEpsilon(t, concentration(t, st, "H2CO3")/math.Pow(10, henry), pressure, 1e-9)
	}
	bare, err := New(tb, chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, bare.AddPureWater(litre))
	pressure, err := bare.PressureCO2()
	require.NoError(t, err)
	assert.Zero(t, pressure)
}

// Citric acid shows no alkaline pH today or ever, and lye in a bath that stands open shows
// one today that it does not keep: told apart by which figure is there. What is now in for
// today does show it.
func TestDoseOfToday(t *testing.T) {
	for _, x := range []struct {
		reagent string
		pH      float64
	}{{"citric acid", 7}, {"vinegar", 6}, {"muriatic acid", 5}} {
		s := tub(t)
		d, err := s.OpenDose(reagent(t, x.reagent), x.pH)
		require.NoError(t, err)
		require.NoError(t, s.Add(reagent(t, x.reagent), unit.Mass(d.NowGrams/1000)))
		litres, err := s.Fizz()
		require.NoError(t, err)
		assert.InDelta(t, x.pH, equilibrate(t, s).PH, 1e-6)
		assert.InDelta(t, litres, d.NowFizzLitres, 1e-9)
		later, err := s.Degas()
		require.NoError(t, err)
		assert.InDelta(t, d.NowEndPH, equilibrate(t, s).PH, 1e-6)
		assert.GreaterOrEqual(t, later, 0.0)
		assert.Equal(t, math.Abs(d.StartPH-x.pH) >= 0.2, d.Waits())
	}
}
