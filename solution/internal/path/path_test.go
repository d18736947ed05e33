package path_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/path"
)

const litre = unit.Volume(1e-3)

func water(t *testing.T, v unit.Volume) *solution.Solution {
	s, err := solution.New(demo.Tables(t), 298.15)
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(v))
	return s
}

func equilibrate(t *testing.T, s *solution.Solution) *solution.State {
	st, err := s.Equilibrate()
	require.NoError(t, err)
	return st
}

// paths are titrations of the kinds that a path must carry: pH alone, a
// chelant, a solid on the way, a vessel open to the air, a held pH.
func paths(t *testing.T) map[string]*path.Path {
	t.Helper()
	vessel := func(ions map[string]float64) *solution.Solution {
		s := water(t, 0.1*litre)
		for ion, n := range ions {
			require.NoError(t, s.AddSpecies(ion, unit.Mole(0.1*n)))
		}
		return s
	}
	join := func(a, b *solution.Solution) *path.Path {
		p, _, err := a.Path(b)
		require.NoError(t, err)
		return p
	}
	lye := map[string]float64{"Na+": 0.2, "OH-": 0.2}
	citric := vessel(map[string]float64{"H3cit": 0.05})
	held := vessel(map[string]float64{"Ca2+": 0.01, "Cl-": 0.02})
	require.NoError(t, held.HoldPH(10))
	open := vessel(map[string]float64{"Na+": 0.01, "HCO3-": 0.01})
	require.NoError(t, open.Open(solution.AirCO2))
	return map[string]*path.Path{
		"citric acid":  join(citric, vessel(lye)),
		"held at 10":   join(held, vessel(map[string]float64{"Na+": 0.02, "H2edta2-": 0.01})),
		"with a solid": join(vessel(map[string]float64{"Fe3+": 0.02, "Cl-": 0.06}), vessel(lye)),
		"open":         join(open, vessel(lye)),
	}
}

func TestPathAgreesWithMixing(t *testing.T) {
	a, b := water(t, litre), water(t, 2*litre)
	require.NoError(t, a.AddSpecies("H3cit", 0.05))
	for _, ion := range []string{"Na+", "OH-"} {
		require.NoError(t, b.AddSpecies(ion, 1))
	}
	p, record, err := a.Path(b)
	require.NoError(t, err)
	for _, v := range []float64{0, 0.05, 0.2, 0.31, 1} {
		require.NoError(t, p.At(v))
		st, err := record()
		require.NoError(t, err)
		mixed := a.Clone()
		if v > 0 {
			part := b.Clone()
			require.NoError(t, part.Remove(1-v/(1000*float64(b.Volume()))))
			require.NoError(t, mixed.Mix(part))
		}
		want := equilibrate(t, mixed)
		assert.InDelta(t, want.PH, p.PH(), 1e-7, "pH at %g L", v)
		assert.InDelta(t, want.PH, st.PH, 1e-7, "pH of the record at %g L", v)
		for j, sp := range p.Text[:len(p.Species)] {
			c, err := want.Concentration(sp)
			require.NoError(t, err)
			assert.InDelta(t, c, p.Result.C[j], 1e-7, "%s at %g L", sp, v)
		}
	}
}

// Exact first and second derivatives against differences of the sixth order.
func TestMotionAgainstDifferences(t *testing.T) {
	for name, p := range paths(t) {
		for _, v := range []float64{0.004, 0.0171, 0.05, 0.083} {
			h := 2e-4 * v
			var ph, last [7]float64
			for k := range ph {
				require.NoError(t, p.At(v+float64(k-3)*h))
				ph[k], last[k] = p.PH(), p.PFree(len(p.Members)-1)
			}
			require.NoError(t, p.At(v))
			for _, c := range []struct {
				what      string
				y         [7]float64
				component int
			}{{"pH", ph, 0}, {"p of the last component", last, len(p.Members) - 1}} {
				one, two, err := p.Motion(c.component)
				require.NoError(t, err)
				y := c.y
				d1 := (-y[0] + 9*y[1] - 45*y[2] + 45*y[4] - 9*y[5] + y[6]) / (60 * h)
				d2 := (2*y[0] - 27*y[1] + 270*y[2] - 490*y[3] + 270*y[4] - 27*y[5] + 2*y[6]) / (180 * h * h)
				noise := 1e-14 * math.Max(math.Abs(y[3]), 1) // of one value
				assert.InDelta(t, d1, one, 1e-6*math.Abs(d1)+10*noise/h, "%s at %g L: first, %s", name, v, c.what)
				assert.InDelta(t, d2, two, 1e-5*math.Abs(d2)+20*noise/(h*h), "%s at %g L: second, %s", name, v, c.what)
			}
		}
	}
}

func TestGradientAgainstDifferences(t *testing.T) {
	all := paths(t)
	for _, c := range []struct {
		path      string
		component string // pH for H+, else pM
		litres    float64
	}{{"citric acid", "H+", 0.02}, {"held at 10", "Ca2+", 0.03}, {"with a solid", "H+", 0.025}, {"with a solid", "Fe3+", 0.025}} {
		p := all[c.path]
		i, err := p.Component(c.component)
		require.NoError(t, err)
		at := func() float64 {
			require.NoError(t, p.At(c.litres))
			if i == 0 {
				return p.PH()
			}
			return p.PFree(i)
		}
		at()
		var g path.Inputs
		require.NoError(t, p.Gradient(i, &g))
		one := p.NewInputs()
		central := func(h float64, input *float64) float64 {
			*input = 1
			p.Shift(h, one)
			up := at()
			p.Shift(-2*h, one)
			down := at()
			p.Shift(h, one)
			*input = 0
			return (up - down) / (2 * h)
		}
		for k := range p.Members {
			d := central(1e-7, &one.Start[k])
			assert.InDelta(t, d, g.Start[k], 1e-5*math.Abs(d)+1e-4, "%s: start %d", c, k)
			d = central(1e-6, &one.Rate[k])
			assert.InDelta(t, d, g.Rate[k], 1e-5*math.Abs(d)+1e-4, "%s: rate %d", c, k)
		}
		names := p.Text
		require.Len(t, g.LogK, len(names))
		for j, name := range names {
			before := p.StandardLog10K(j)
			d := central(1e-5, &one.LogK[j])
			assert.InDelta(t, d, g.LogK[j], 1e-5*math.Abs(d)+1e-7, "%s: log K of %s", c, name)
			assert.InDelta(t, before, p.StandardLog10K(j), 1e-9)
			k, err := p.FindSpecies(name)
			require.NoError(t, err)
			assert.Equal(t, j, k)
		}
	}
}

func TestPathAllocatesNothing(t *testing.T) {
	p := paths(t)["citric acid"]
	require.NoError(t, p.At(0.01))
	v := 0.01
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		v += 1e-5
		if err := p.At(v); err != nil {
			t.Fatal(err)
		}
	}))
}

func TestPathRefuses(t *testing.T) {
	p := paths(t)["citric acid"]
	for _, v := range []float64{-1, math.NaN(), math.Inf(1)} {
		assert.ErrorIs(t, p.At(v), chem.ErrInput)
	}
	fresh := paths(t)["citric acid"]
	_, _, err := fresh.Motion(0)
	assert.ErrorIs(t, err, chem.ErrInput, "no point yet")
	assert.ErrorIs(t, fresh.Gradient(0, new(path.Inputs)), chem.ErrInput)
	_, record, err := water(t, litre).Path(water(t, litre))
	require.NoError(t, err)
	_, err = record()
	assert.ErrorIs(t, err, chem.ErrInput, "no point yet")
	_, _, err = water(t, litre).Path(water(t, 0))
	assert.ErrorIs(t, err, chem.ErrInput)
}
