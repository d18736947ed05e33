package titration

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// under is acetic acid, mol/L, under 0.1 mol/L lye, with pKa so much above that of the tables.
func under(t *testing.T, acid, above float64) *Titration {
	std, err := tables.Standard()
	require.NoError(t, err)
	vessel := func(ions map[string]float64) *solution.Solution {
		s, err := solution.New(std, chem.Celsius(25))
		require.NoError(t, err)
		require.NoError(t, s.AddPureWater(50*measure.Millilitre))
		for ion, c := range ions {
			require.NoError(t, s.AddSpecies(ion, unit.Mole(0.05*c)))
		}
		return s
	}
	sample := vessel(map[string]float64{"Hac": acid, "K+": 0.02, "Cl-": 0.02})
	if above != 0 {
		hac, err := std.Constant("H+ + ac- = Hac")
		require.NoError(t, err)
		require.NoError(t, sample.SetConstant("Hac", hac.LogK+above, 0))
	}
	run, err := New(sample, vessel(map[string]float64{"K+": 0.1, "OH-": 0.1}), "H+")
	require.NoError(t, err)
	return run
}

// asked counts how often a context is asked, which is once for each reading computed.
type asked struct {
	context.Context
	times int
}

func (c *asked) Err() error { c.times++; return c.Context.Err() }

// Each step of a fit goes down, from starts so far off that some have to be halved, and where it
// ends the sum is the least: its slope along each unknown is nothing beside its uncertainty, and a
// hundredth of that to either side it is higher. More than 17 curves each would be another way
// there, which no answer shows.
func TestFitsDescend(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 31))
	const fits = 40
	halved, curves := 0, 0
	for n := range fits {
		truth := under(t, 0.0873, 1.5*r.Float64()-0.75)
		var readings []Reading
		for ml := 3.0; ml < 60; ml += 3 {
			p, err := truth.at(ml, false, nil)
			require.NoError(t, err)
			readings = append(readings, Reading{ml, p.P + 0.02*r.NormFloat64() + 0.1})
		}
		readings[4].P += 0.4
		unknowns := []Unknown{Concentration("Hac"), AcidConstant("Hac"), Offset}
		model := under(t, 0.0873*math.Exp(2.4*r.Float64()-1.2), 0)
		how := Fitting{Robust: n%2 == 0}
		ctx := &asked{Context: context.Background()}
		f, err := model.fitter(readings, how, unknowns)
		require.NoError(t, err)
		require.NoError(t, f.search(ctx))
		curves += ctx.times / len(readings)
		step, sd, err := f.linearise()
		require.NoError(t, err)
		for k := range step {
			require.Less(t, math.Abs(step[k]), 2*finished*sd[k]*f.spread, "it ends where no step is left")
			aside, least := make([]float64, len(step)), f.sum()
			aside[k] = 0.01 * sd[k] * f.spread
			for _, part := range []float64{1, -1} {
				f.walk(aside, part)
				require.NoError(t, f.evaluate(ctx))
				require.Greater(t, f.sum(), least)
				f.walk(aside, -part)
				require.NoError(t, f.evaluate(ctx))
			}
			require.InEpsilon(t, least, f.sum(), 1e-9)
		}

		f, err = model.fitter(readings, Fitting{}, unknowns)
		require.NoError(t, err)
		require.NoError(t, f.evaluate(ctx))
		f.spread = 1
		for i := range readings {
			f.sigma[i], f.weight[i] = 1, 1
		}
		for end := false; !end; {
			before := f.sum()
			ctx.times = 0
			end, err = f.descend(ctx)
			require.NoError(t, err)
			require.LessOrEqual(t, f.sum(), before*(1+1e-12))
			halved += ctx.times/len(readings) - 1
		}
	}
	t.Log(curves, halved)
	require.Positive(t, halved)
	require.Less(t, curves, 17*fits)
}
