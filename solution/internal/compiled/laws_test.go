package compiled_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/solution/internal/demo"
)

// vessel is a problem with moles of some components, and a run of it that is at rest.
func vessel(t *testing.T, co2 float64, moles map[string]float64) (*compiled.Run, []float64) {
	t.Helper()
	setting := compiled.StockOf(demo.Tables(t)).At(chem.Celsius(25))
	if co2 > 0 {
		setting = setting.With(func(s *compiled.Setting) { s.CO2 = co2 })
	}
	all := make([]float64, len(setting.Components))
	for name, n := range moles {
		i, err := setting.Component(name)
		require.NoError(t, err)
		all[i] = n
	}
	var held []int
	for i, n := range all {
		if n != 0 {
			held = append(held, i)
		}
	}
	p, err := setting.Problem(held)
	require.NoError(t, err)
	return p.Borrow(), all
}

// rusty is a chelant with more iron than it holds, soda and the acid that both take,
// so that ferric hydroxide is there.
var rusty = map[string]float64{"edta4-": 0.02, "Fe3+": 0.05, "Na+": 0.18, "Cl-": 0.25, "CO3^2-": 0.01, "H+": -0.06}

// limed is that with zinc and so much lye that zinc settles beside the iron.
var limed = map[string]float64{"edta4-": 0.02, "Fe3+": 0.05, "Zn2+": 0.06, "Na+": 0.5, "Cl-": 0.37, "CO3^2-": 0.001, "H+": -0.24}

func component(t *testing.T, r *compiled.Run, name string) int {
	t.Helper()
	c, err := r.Component(name)
	require.NoError(t, err)
	return c
}

// What was filled in is found again in the species and the solids, counted by their
// formulas: dissolved and solid apart, of each component and of each class. In a
// vessel that is open to the air that holds for all but the gas and the charge that
// it brings.
func TestBooksOfEveryComponent(t *testing.T) {
	for _, x := range []struct {
		co2    float64
		of     map[string]float64
		solids int
	}{{0, rusty, 1}, {4.2e-4, rusty, 1}, {0, limed, 2}} {
		co2 := x.co2
		r, moles := vessel(t, co2, x.of)
		r.Fill(moles, 2)
		require.NoError(t, r.Solve())
		if co2 == 0 {
			assert.Len(t, r.Members, len(x.of), "a closed vessel has what is in it")
		}
		present := slices.DeleteFunc(slices.Clone(r.Result.Solid), func(n float64) bool { return n <= 0 })
		assert.Len(t, present, x.solids)
		solid := 0.0
		for i, c := range r.Members {
			dissolved, all := 0.0, 0.0
			for j, made := range r.Made {
				for _, m := range made {
					if m.Component != c {
						continue
					}
					if j < len(r.Species) {
						dissolved += m.N * r.Result.C[j]
						all += m.N * r.Result.C[j]
					} else {
						all += m.N * r.Result.Solid[j-len(r.Species)]
						solid += r.Result.Solid[j-len(r.Species)]
					}
				}
			}
			name := r.Components[c].Species.String()
			assert.InDelta(t, all, r.Total(i), 1e-9, name)
			if co2 == 0 || name != "H+" && i != r.Carbonate {
				assert.InDelta(t, moles[c]/2, all, 1e-9, name)
			}
			assert.InDelta(t, max(0, dissolved), r.DissolvedOf(c), 1e-9, name)
		}
		assert.Greater(t, solid, 0.001, "there is a solid")
		gone, err := r.Component("Cu2+")
		require.NoError(t, err)
		assert.Zero(t, r.DissolvedOf(gone), "a component that the vessel has not")
		r.Return()
	}
}

// Derivatives that the run gives, each against differences of the fourth order, asked
// for in any order: of a pH along all totals at once, of strong base by pH, and of
// what solids hold of iron by every total.
func TestDerivativesOfARun(t *testing.T) {
	for _, co2 := range []float64{0, 4.2e-4} {
		r, moles := vessel(t, co2, rusty)
		iron := component(t, r, "Fe3+")
		at := func(change func(total []float64)) (pH, solid float64) {
			r.Fill(moles, 1)
			change(r.Conditions.Total)
			require.NoError(t, r.Solve())
			for k, n := range r.Result.Solid {
				solid += n * r.Solids[k].Of(iron)
			}
			return r.PH(), solid
		}
		difference := func(move func(total []float64, h float64)) (pH, solid float64) {
			const h = 1e-5
			for _, x := range []struct{ n, weight float64 }{{-2, 1}, {-1, -8}, {1, 8}, {2, -1}} {
				p, s := at(func(total []float64) { move(total, x.n*h) })
				pH += x.weight * p / (12 * h)
				solid += x.weight * s / (12 * h)
			}
			at(func([]float64) {})
			return pH, solid
		}
		along := []float64{0.3, -0.2, 0.5, 0.1, -0.4, 0.2}[:len(r.Members)]
		want, _ := difference(func(total []float64, h float64) {
			for i := range total {
				total[i] += along[i] * h
			}
		})
		d, err := r.Drift(func(rate []float64) { copy(rate, along) })
		require.NoError(t, err)
		assert.InDelta(t, want, d.PH, 1e-5*math.Abs(want))
		again, err := r.Drift(func([]float64) {})
		require.NoError(t, err)
		assert.Zero(t, again.PH, "nothing moves")

		want, _ = difference(func(total []float64, h float64) { total[0] -= h })
		base, err := r.Drift(func(rate []float64) { rate[0] = -1 })
		require.NoError(t, err)
		assert.InDelta(t, want, base.PH, 1e-5*want)

		weight := make([]float64, len(r.Solids))
		for k, f := range r.Solids {
			weight[k] = f.Of(iron)
		}
		for range 2 { // after a gradient of something else, too
			by, err := r.SolidGradient(weight)
			require.NoError(t, err)
			got := append([]float64{}, by.Total...)
			for i := range r.Members {
				if r.Conditions.Held[i] {
					continue
				}
				_, want := difference(func(total []float64, h float64) { total[i] += h })
				assert.InDelta(t, want, got[i], 1e-5*math.Abs(want)+1e-7, "member %d", i)
			}
			for i := range r.Members { // of each activity or concentration alone, whatever came before
				by, err := r.Gradient(i)
				require.NoError(t, err)
				got := 0.0
				for k, v := range by.Total {
					got += v * along[k]
				}
				d, err := r.Drift(func(rate []float64) { copy(rate, along) })
				require.NoError(t, err)
				want := -d.LnC[i] / math.Ln10
				if i == 0 {
					want = d.PH
				}
				assert.InDelta(t, want, got, 1e-7*(1+math.Abs(want)), "member %d", i)
			}
		}
	}
}

// Three reactions on a litre by hand: the first takes one iron(III) a mole, the second
// three of it and one of EDTA, the third brings chloride.
func TestFlowByHand(t *testing.T) {
	r, moles := vessel(t, 0, rusty)
	iron, edta, chloride := component(t, r, "Fe3+"), component(t, r, "edta4-"), component(t, r, "Cl-")
	changes := make([][]float64, 3)
	for i := range changes {
		changes[i] = make([]float64, len(moles))
	}
	changes[0][iron], changes[0][r.Proton] = -1, 3
	changes[1][iron], changes[1][edta] = -3, -1
	changes[2][chloride] = 2
	f := compiled.NewFlow(r, moles, 1, changes)

	f.Go([]float64{0.03, 0.03, 0.1})
	reaction, much := f.Short()
	assert.Equal(t, 1, reaction, "takes most of the iron, of which 0.12 are taken and 0.05 there")
	assert.InDelta(t, 0.07/3, much, 1e-12)

	f.Go([]float64{0.01, 0.002, 0.1}) // from the start, wherever it stood
	reaction, _ = f.Short()
	assert.Equal(t, -1, reaction)
	for c, want := range map[int]float64{iron: 0.05 - 0.01 - 0.006, edta: 0.018, chloride: 0.25 + 0.2, r.Proton: -0.06 + 0.03} {
		assert.InDelta(t, want, f.Moles[c], 1e-12)
	}
	require.NoError(t, f.Solve())
	slopes := make([]float64, 3)
	require.NoError(t, f.PHPerMole(slopes))
	for i, slope := range slopes {
		difference := 0.0
		for _, h := range []float64{-1e-6, 1e-6} {
			x := []float64{0.01, 0.002, 0.1}
			x[i] += h
			f.Go(x)
			require.NoError(t, f.Solve())
			difference += r.PH() / (2 * h)
		}
		assert.InDelta(t, difference, slope, 1e-4*math.Abs(slope)+1e-6, "reaction %d", i)
	}

	f.Go([]float64{0.05, 0, 0}) // all of the iron
	require.NoError(t, f.Solve())
	assert.InDelta(t, compiled.Trace, r.Total(r.Place(iron)), 1e-3*compiled.Trace)
	assert.InDelta(t, 0.02, r.Total(r.Place(edta)), 1e-9)
}

// An answer does not depend on where it started from, and one to another problem is
// no start; what is held holds until the run is given back, and then another gets it.
func TestRunsAreLent(t *testing.T) {
	r, moles := vessel(t, 0, rusty)
	r.Fill(moles, 1)
	require.NoError(t, r.Solve())
	cold, kept := r.PH(), r.Answer()
	r.Hold(0, -9*math.Ln10)
	require.NoError(t, r.Solve())
	assert.InDelta(t, 9, r.PH(), 1e-9)
	r.Return()

	problem, given, found := r.Problem, map[*compiled.Run]bool{r: true}, false
	for range 100 { // a pool may lose some
		again := problem.Borrow()
		found = found || given[again]
		given[again] = true
		again.Fill(moles, 1)
		again.From(kept)
		require.NoError(t, again.Solve())
		assert.InDelta(t, cold, again.PH(), 1e-10, "from its answer, no longer held")
		again.Return()
	}
	assert.True(t, found, "what was given back is lent again")

	var first *compiled.Run
	for range 4 { // of which all but one are new
		r := problem.Borrow()
		r.From(kept)
		r.Fill(moles, 1.01)
		require.NoError(t, r.Solve())
		if first == nil {
			first = r
		}
		assert.Equal(t, first.Result, r.Result, "a new run answers as one that has answered others")
	}

	other, little := vessel(t, 0, map[string]float64{"cit3-": 0.01, "H+": 0.03})
	assert.Len(t, other.Members, 2, "no carbonate in a vessel that is shut")
	other.From(kept)
	other.Fill(little, 1)
	require.NoError(t, other.Solve())
	assert.InDelta(t, 2.6, other.PH(), 0.1, "0.01 mol/L of citric acid: sqrt(10^-3.13 * 0.01) less what has gone")
	again, err := other.Setting.Problem([]int{other.Proton, component(t, other, "cit3-")})
	require.NoError(t, err)
	assert.True(t, other.Problem == again, "vessels alike share a problem")
}

// Tables have one stock, however often it is asked for, and a vessel alike one problem.
func TestStockIsShared(t *testing.T) {
	std := demo.Tables(t)
	assert.Same(t, compiled.StockOf(std), compiled.StockOf(std))
	assert.Same(t, compiled.StockOf(std).At(chem.Celsius(25)), compiled.StockOf(std).At(chem.Celsius(25)))
	assert.NotSame(t, compiled.StockOf(std).At(chem.Celsius(25)), compiled.StockOf(std).At(chem.Celsius(26)))
}

// Without activities constants are those of zero ionic strength, at any: of species, of
// solids that are there, and of the gas over the vessel, a caller's among them. Carbonic
// acid then is to its gas as their constants are, so that one ten times as large asks for
// ten times as much.
func TestConstantsWithoutActivities(t *testing.T) {
	const co2, log10e = 4.2e-4, math.Log10E
	acid := 0.0
	for _, shift := range []float64{0, 1} {
		first, moles := vessel(t, 0, limed)
		setting := first.Setting.With(func(s *compiled.Setting) { s.Ideal, s.CO2 = true, co2 })
		gas, err := setting.Tables.Formation("CO2(g)")
		require.NoError(t, err)
		f, err := setting.Tables.Formation("H2CO3")
		require.NoError(t, err)
		own := f.Constant.Log10K(chem.Celsius(25), 0) + shift
		setting = setting.With(func(s *compiled.Setting) { s.Constants = map[string]compiled.Constant{"H2CO3": {Log10K: own}} })
		p, err := setting.Problem(first.Members)
		require.NoError(t, err)
		r := p.Borrow()
		r.Fill(moles, 1)
		require.NoError(t, r.Solve())
		free := map[int]float64{} // log10 of what each component of the tables has, carbonate by its acid
		for i, c := range r.Members {
			free[c] = r.Result.LnC[i] * log10e
		}
		carbonate, err := r.Component("CO3^2-")
		require.NoError(t, err)
		henry := own - gas.Constant.Log10K(chem.Celsius(25), 0)
		assert.InDelta(t, henry+math.Log10(co2), free[carbonate], 1e-9)
		free[carbonate] -= own + 2*free[r.Proton]
		for j, made := range r.Made {
			f, err := setting.Tables.Formation(r.Text[j])
			require.NoError(t, err)
			want := f.Constant.Log10K(chem.Celsius(25), 0)
			if r.Text[j] == "H2CO3" {
				want = own
			}
			for _, m := range made {
				want += m.N * free[m.Component]
			}
			switch k := j - len(r.Species); {
			case k < 0:
				assert.InDelta(t, want, math.Log10(r.Result.C[j]), 1e-8, r.Text[j])
			case r.Result.Solid[k] > 0:
				assert.InDelta(t, 0, want, 1e-8, r.Text[j])
			default:
				assert.Less(t, want, 1e-8, r.Text[j])
			}
		}
		if shift > 0 {
			assert.InDelta(t, acid+shift, free[carbonate]+own+2*free[r.Proton], 1e-9)
		}
		acid = free[carbonate] + own + 2*free[r.Proton]
	}
}
