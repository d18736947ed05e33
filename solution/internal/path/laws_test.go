package path_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/path"
)

// vessel returns moles of ions in so many litres of water.
func vessel(t *testing.T, temperature unit.Temperature, litres float64, moles map[string]float64) *solution.Solution {
	t.Helper()
	s := water(t, 0)
	require.NoError(t, s.SetTemperature(temperature))
	require.NoError(t, s.AddPureWater(unit.Volume(litres)*litre))
	for ion, n := range moles {
		require.NoError(t, s.AddSpecies(ion, unit.Mole(n)))
	}
	return s
}

// pairs are vessels and what is poured into them: by turns open to the air, with a
// solid, at a held pH, without activities, and lye of 80 °C into cold acid.
func pairs(t *testing.T) map[string][2]*solution.Solution {
	t.Helper()
	cold, hot := chem.Celsius(5), chem.Celsius(80)
	lye := vessel(t, hot, 1, map[string]float64{"Na+": 0.2, "OH-": 0.2})
	open := vessel(t, cold, 0.1, map[string]float64{"Na+": 0.001, "HCO3-": 0.001, "H3cit": 0.001})
	require.NoError(t, open.Open(solution.AirCO2))
	held := vessel(t, cold, 0.1, map[string]float64{"Ca2+": 0.001, "Cl-": 0.002})
	require.NoError(t, held.HoldPH(10))
	ideal := vessel(t, cold, 0.1, map[string]float64{"Fe3+": 0.002, "Cl-": 0.006})
	ideal.SetIdeal(true)
	return map[string][2]*solution.Solution{
		"open":  {open, lye},
		"held":  {held, vessel(t, hot, 1, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01})},
		"ideal": {ideal, lye},
		"solid": {vessel(t, cold, 0.1, map[string]float64{"Fe3+": 0.002, "Cl-": 0.006, "H3cit": 0.0005}), lye},
	}
}

func pour(t *testing.T, two [2]*solution.Solution) (*path.Path, func() (*solution.State, error)) {
	t.Helper()
	p, record, err := two[0].Path(two[1])
	require.NoError(t, err)
	return p, record
}

// A point of a path is the vessel with that much of the other mixed in, to the last
// species and solid, whatever its air, held pH and temperature; its components are
// those that were given, its record is the same bath, and so is a clone's point.
func TestPointsAreMixtures(t *testing.T) {
	for name, two := range pairs(t) {
		p, record := pour(t, two)
		clone := p.Clone()
		for _, v := range []float64{0, 0.02, 0.09, 1} {
			mixed, part := two[0].Clone(), two[1].Clone()
			if v > 0 {
				if v < 1 {
					require.NoError(t, part.Remove(1-v/(1000*float64(part.Volume()))))
				}
				require.NoError(t, mixed.Mix(part))
			}
			want := equilibrate(t, mixed)
			require.NoError(t, p.At(v))
			require.NoError(t, clone.At(v))
			got, err := record()
			require.NoError(t, err)
			assert.InDelta(t, want.VolumeLitres, p.Litres, 1e-9, "%s at %g L", name, v)
			for _, ph := range []float64{got.PH, p.PH(), clone.PH()} {
				assert.InDelta(t, want.PH, ph, 1e-7, "%s at %g L", name, v)
			}
			for j, sp := range p.Text[:len(p.Species)] {
				c, err := want.Concentration(sp)
				require.NoError(t, err)
				assert.InDelta(t, c, p.Result.C[j], 1e-6*c+1e-9, "%s at %g L: %s", name, v, sp)
				assert.InDelta(t, p.Result.C[j], clone.Result.C[j], 1e-9*c+1e-15, "%s at %g L: %s of the clone", name, v, sp)
			}
			for k, sp := range p.Text[len(p.Species):] {
				assert.InDelta(t, p.Result.Solid[k], clone.Result.Solid[k], 1e-12, "%s at %g L: %s of the clone", name, v, sp)
			}
			moles, err := p.Contents()
			require.NoError(t, err)
			for i, c := range demo.Tables(t).Components() {
				n, err := mixed.Amount(c.Species.String())
				require.NoError(t, err)
				assert.InDelta(t, float64(n), moles[i], 1e-9, "%s at %g L: mol of %s", name, v, c.Species)
			}
		}
	}
}

// What is left to a shift is the clone's alone, and a shift and its opposite leave
// nothing.
func TestShiftIsOfOnePath(t *testing.T) {
	for name, two := range pairs(t) {
		p, _ := pour(t, two)
		require.NoError(t, p.At(0.03))
		ph, clone := p.PH(), p.Clone()
		last := len(p.Members) - 1
		pfree := p.PFree(last)
		by := clone.NewInputs()
		by.Start[0], by.Rate[last] = 0.001, 0.01
		for j := range by.LogK {
			by.LogK[j] = 0.3
		}
		clone.Shift(1, by)
		require.NoError(t, clone.At(0.03))
		require.NoError(t, p.At(0.03))
		assert.InDelta(t, ph, p.PH(), 1e-9, name)
		assert.Greater(t, math.Abs(ph-clone.PH())+math.Abs(pfree-clone.PFree(last)), 0.01, name)
		clone.Shift(-1, by)
		require.NoError(t, clone.At(0.03))
		assert.InDelta(t, ph, clone.PH(), 1e-9, name)
	}
}

// Without activities the law of mass action holds as the textbook writes it, with the
// constants and compositions that the path tells; a solid that is there is saturated,
// another not.
func TestMassAction(t *testing.T) {
	p, _ := pour(t, pairs(t)["ideal"])
	require.NoError(t, p.At(0.02))
	free := make([]float64, len(p.Members))
	for i := range free {
		free[i] = -p.PFree(i)
	}
	n := len(p.Species)
	for j := range n {
		assert.InDelta(t, math.Log10(p.Result.C[j]), p.StandardLog10K(j)+floats.Dot(p.Composition(j), free), 1e-9, "%s", p.Text[j])
	}
	there := 0
	for k, sp := range p.Text[len(p.Species):] {
		saturation := p.StandardLog10K(n+k) + floats.Dot(p.Composition(n+k), free)
		if p.Result.Solid[k] > 0 {
			there++
			assert.InDelta(t, 0, saturation, 1e-9, "%s", sp)
		} else {
			assert.Negative(t, saturation, "%s", sp)
		}
	}
	assert.Equal(t, 1, there, "ferric hydroxide")
}

// Before anything is poured a component that only the other vessel brings is not there,
// and the rest stand as in the vessel alone, be it a drop of 0.1 mL.
func TestNothingPoured(t *testing.T) {
	acid := vessel(t, chem.Celsius(25), 1e-4, map[string]float64{"H3cit": 1e-6})
	alone := equilibrate(t, acid)
	p, _ := pour(t, [2]*solution.Solution{acid, vessel(t, chem.Celsius(25), 2, map[string]float64{"Na+": 2, "OH-": 2})})
	require.NoError(t, p.At(0))
	assert.InDelta(t, alone.PH, p.PH(), 1e-6)
	for name, there := range map[string]bool{"H+": true, "cit3-": true, "Na+": false} {
		i, err := p.Component(name)
		require.NoError(t, err)
		assert.Equal(t, there, !math.IsInf(p.PFree(i), 1), name)
		require.NoError(t, p.At(1))
		assert.False(t, math.IsInf(p.PFree(i), 0), name)
		require.NoError(t, p.At(0))
	}
	assert.Len(t, p.Members, 3)
}

// Water alone has no hydrogen ions to count, and is neutral before lye comes; a species
// that is left out has no part in what follows, and nothing of it is no number.
func TestFromPureWater(t *testing.T) {
	pure := vessel(t, chem.Celsius(25), 0.1, nil)
	require.NoError(t, pure.SetConstant("Hcit2-", math.Inf(-1), 0))
	acid := vessel(t, chem.Celsius(25), 1, map[string]float64{"cit3-": 0.1, "Na+": 0.3})
	p, _ := pour(t, [2]*solution.Solution{pure, acid})
	require.NoError(t, p.At(0))
	assert.InDelta(t, 7, p.PFree(0), 0.01)
	require.NoError(t, p.At(0.01))
	for i := range p.Members {
		one, two, err := p.Motion(i)
		require.NoError(t, err)
		assert.False(t, math.IsNaN(one) || math.IsNaN(two), "component %d", i)
	}
	left, err := p.FindSpecies("Hcit2-")
	require.NoError(t, err)
	if left >= 0 {
		assert.Zero(t, p.Result.C[left])
	}
}

// Both derivatives of the pH and of every free concentration, against differences of the
// sixth order.
func TestMotionOfEverything(t *testing.T) {
	for name, two := range pairs(t) {
		p, _ := pour(t, two)
		for _, v := range []float64{0.021, 0.047} {
			const h = 2e-5
			var y [7][]float64
			for k := range y {
				require.NoError(t, p.At(v+float64(k-3)*h))
				y[k] = []float64{p.PH()}
				for i := 1; i < len(p.Members); i++ {
					y[k] = append(y[k], p.PFree(i))
				}
			}
			require.NoError(t, p.At(v))
			for i := range p.Members {
				d, bend, err := p.Motion(i)
				require.NoError(t, err)
				x := func(k int) float64 { return y[k][i] }
				d1 := (-x(0) + 9*x(1) - 45*x(2) + 45*x(4) - 9*x(5) + x(6)) / (60 * h)
				d2 := (2*x(0) - 27*x(1) + 270*x(2) - 490*x(3) + 270*x(4) - 27*x(5) + 2*x(6)) / (180 * h * h)
				noise := 3e-14 * math.Abs(x(3)) // of one value
				assert.InDelta(t, d1, d, 1e-6*math.Abs(d1)+10*noise/h, "%s at %g L: first, number %d", name, v, i)
				assert.InDelta(t, d2, bend, 1e-4*math.Abs(d2)+20*noise/(h*h), "%s at %g L: second, number %d", name, v, i)
			}
		}
	}
}
