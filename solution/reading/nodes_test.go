package reading

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Where curves are computed, by hand: the chelant at three Chebyshev nodes of the logarithm
// between the least and the most that is reckoned with, whose outer ones stand at cos 30° =
// 0.866 (0.87 here); the setter at none, at so much that the bag's most base is at the target
// between the middle and the last, as far as powders dissolve.
func TestNodesAreChebyshevs(t *testing.T) {
	m := model(t, labelled(t))
	f := m.surface
	fresh := *m
	fresh.salts = nil
	lowest, highest, err := fresh.fill(standard(t))
	require.NoError(t, err)
	middle := math.Sqrt(lowest * highest)
	assert.InEpsilon(t, middle, f.chelant[1], 1e-9)
	for i, side := range map[int]float64{0: -1, 2: 1} {
		assert.InDelta(t, math.Cos(math.Pi/6), side*math.Log(f.chelant[i]/middle)/math.Log(highest/middle), 0.01)
	}
	// The label's salt at the least and the most of its assay, a fifth less and half more; and
	// whichever other salt of the same powder holds less or more in 500 g.
	s := m.setup.Bag[0].Salt
	perGram := 1 / s.Formula.MolarMass()
	assert.LessOrEqual(t, lowest, 0.8*500*s.Assay.Low*perGram*(1+1e-9))
	assert.GreaterOrEqual(t, highest, 1.5*500*s.Assay.High*perGram*(1-1e-9))
	acid := reagent(t, "EDTA acid")
	assert.InEpsilon(t, 1.5*500*acid.Assay.High/acid.Formula.MolarMass(), highest, 1e-6, "the acid has the most chelant in it")
	assert.Zero(t, f.ratio[0])
	assert.InEpsilon(t, 1.2/2.8, f.ratio[1]/f.ratio[2], 1e-9)
}

// A surface goes through its nodes: there it is what the solver says.
func TestSurfaceGoesThroughItsNodes(t *testing.T) {
	s := labelled(t)
	m := model(t, s)
	f := m.surface
	for k := range columns {
		mix := f.node(k)
		v := f.empty.Clone()
		require.NoError(t, f.fill(v, mix.chelant, weighed{m.setter, mix.setter}))
		for _, protons := range []float64{0.8, -0.2} { // that the chelant is left with, beside those of the acid
			mix.base = (4-protons)*mix.chelant + 0.03
			with := v.Clone()
			require.NoError(t, with.AddSpecies("Na+", unit.Mole(mix.base)))
			require.NoError(t, with.AddSpecies("OH-", unit.Mole(mix.base)))
			st, err := with.Equilibrate()
			require.NoError(t, err)
			if k != ofNothing {
				assert.InDelta(t, st.PH, f.pH(&mix), 0.005, "node %d", k)
			}
		}
	}
}

// Between the nodes, too, a surface is what the solver says: with the acid of the chelant as
// what sets the pH, which brings chelant and does not all dissolve in a sour bath; and of
// other reagents up to as much as takes a third of the chelant's protons.
func TestSurfaceBetweenItsNodes(t *testing.T) {
	t.Run("acid of the chelant", func(t *testing.T) {
		s := labelled(t)
		s.Acid, s.PH = reagent(t, "EDTA acid"), 5
		m := model(t, s)
		require.Positive(t, m.surface.brings)
		k := &m.salts[0]
		p, err := m.template(s.Acid)
		require.NoError(t, err)
		for _, grams := range []float64{100, 300, 380, 450} {
			v := vessel(t, s, Added{s.Acid, measure.Amount{MassGrams: grams}})
			st, err := v.Equilibrate()
			require.NoError(t, err)
			var mix mixture
			k.pour(&mix, 500*k.reagent.Assay.Typical, k.free.Typical)
			p.stir(&mix, grams)
			require.Equal(t, grams > 350, st.Solids[slices.IndexFunc(st.Solids, func(x solution.Solid) bool { return x.Species == "H4edta(s)" })].Moles > 0)
			assert.InDelta(t, st.PH, m.surface.pH(&mix), 0.05, "%g g", grams)
		}
	})
	s := labelled(t)
	m := model(t, s)
	for _, name := range []string{"borax", "ammonia", "baking soda", "oxalic acid"} {
		r := reagent(t, name)
		p, err := m.template(r)
		require.NoError(t, err)
		made := m.basis.makeup(r)
		k := &m.salts[0]
		for _, acid := range []float64{0, 60, 90} {
			for _, part := range []float64{0.1, 0.3} {
				var mix mixture
				k.pour(&mix, 500*k.reagent.Assay.Typical, k.free.Typical)
				mix.setter = acid
				grams := part * mix.chelant / made.equivalents()
				added := []Added{{r, measure.Amount{MassGrams: grams}}}
				if acid > 0 {
					added = append(added, Added{s.Acid, measure.Amount{MassGrams: acid}})
				}
				st, err := vessel(t, s, added...).Equilibrate()
				require.NoError(t, err)
				p.stir(&mix, grams)
				assert.InDelta(t, st.PH, m.surface.pH(&mix), 0.03, "%s, %g g of acid, %g", name, acid, part)
			}
		}
	}
}

// The last node of the setter is beyond the target even for the salt and the water that ask
// for most, also where a bag holds next to nothing and the water is what takes the acid; or it
// is as much as dissolves.
func TestLastNodeReachesTheTarget(t *testing.T) {
	for _, grams := range []string{"2 g", "500 g"} {
		for setter, targets := range map[string][]float64{"citric acid": {4}, "vinegar": {4}, "lye": {11}} {
			for _, pH := range targets {
				s := tub(t)
				s.Bag, s.Amount, s.PH, s.Water = []Candidate{{reagent(t, "tetrasodium EDTA"), 1}}, amount(t, grams), pH, water(t, "very hard tap water")
				s.Acid, s.Base = reagent(t, setter), tables.Reagent{}
				if setter == "lye" {
					s.Bag[0].Salt = reagent(t, "disodium EDTA")
					s.Acid, s.Base = s.Base, s.Acid
				}
				f := model(t, s).surface
				last, made := f.node(most), f.model.basis.makeup(f.model.setter)
				for _, k := range f.model.salts[:len(f.model.salts)-1] {
					mix := last
					mix.base = mix.chelant * (k.base + k.free.Typical)
					at := f.pH(&mix)
					assert.True(t, f.model.sign*(at-pH) > -0.01 || last.setter >= s.most(f.model.setter), "%s of %s with %s to %g: %g", grams, k.reagent.Name, setter, pH, at)
				}
				assert.LessOrEqual(t, last.setter, max(2*s.most(f.model.setter), 2.801*f.chelant[1]/made.equivalents()))
			}
		}
	}
}
