package care_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

func verdicts(t *testing.T, b *bath.Bath) map[string]care.MetalVerdict {
	t.Helper()
	all, err := care.Metals(b)
	require.NoError(t, err)
	out := map[string]care.MetalVerdict{}
	for i, m := range all {
		out[m.Metal] = m
		if i > 0 {
			require.LessOrEqual(t, all[i-1].PotentialVolts, m.PotentialVolts)
		}
		require.False(t, math.IsNaN(m.PotentialVolts) || math.IsInf(m.PotentialVolts, 0), m.Metal)
	}
	return out
}

// Zinc, cadmium and aluminium go by themselves in a neutral bath. Copper does
// not, yet iron(III) of the chelate takes it: that is how the copper stage of
// boiler cleaning works (corrosion handbook; oxidant and pH 9.5).
func TestWhichMetalsDissolve(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	require.NoError(t, b.Dissolve(demo.Oxide(t, "lepidocrocite"), 30*measure.Gram))
	m := verdicts(t, b)
	for _, metal := range []string{"zinc", "cadmium", "aluminium", "lead"} {
		require.Contains(t, m[metal].Text, "can take it", metal)
	}
	require.True(t, m["zinc"].Hydrogen)
	require.False(t, m["copper"].Hydrogen)
	require.Positive(t, m["copper"].IronForceVolts)
	require.False(t, m["silver"].Hydrogen)
	// It is the chelant that does it: neutral water without air leaves lead and
	// copper whole (their standard potentials, a trace of 1e-6 mol/L, pH 7).
	v, err := solution.New(demo.Tables(t), chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(1e-3))
	require.NoError(t, v.Add(demo.Reagent(t, "table salt"), 1e-3))
	plain, err := bath.New(demo.Tables(t), v)
	require.NoError(t, err)
	plain, err = plain.At(7)
	require.NoError(t, err)
	w := verdicts(t, plain)
	require.False(t, w["lead"].Hydrogen)
	require.False(t, w["copper"].Hydrogen)
	require.True(t, w["zinc"].Hydrogen)
	require.InDelta(t, -0.7618-0.02958*6, w["zinc"].PotentialVolts, 0.01) // Nernst by hand
}

// The potential of Fe(III)/Fe(II) in EDTA is about +0.12 V (from memory); from
// E° and the constants of both chelates at I = 0.1 it is
// 0.771 − 0.0592 (25.1 − 14.3) = 0.13 V.
func TestPotentialOfIronChelates(t *testing.T) {
	std := demo.Tables(t)
	c, err := tables.Find[tables.Couple](std, "ferric-ferrous")
	require.NoError(t, err)
	k := func(species string) float64 {
		f, err := std.Formation(species)
		require.NoError(t, err)
		return f.Constant.Log10K(chem.Celsius(25), 0.1)
	}
	gamma := chem.DebyeHuckel(0.1, chem.Celsius(25)) // activities of Fe³⁺ and Fe²⁺
	e := c.PotentialVolts - 0.05916*(k("Fe(edta)-")-k("Fe(edta)^2-")+(9-4)*gamma)
	require.InDelta(t, 0.12, e, 0.05)
	// E° again from the Gibbs energies of formation of Parker & Khodakovskii
	// (J. Phys. Chem. Ref. Data 24 (1995) 1699), −16.28 and −90.53 kJ/mol, and of
	// iron itself, whose older and newer values lie 0.03 V apart.
	require.InDelta(t, (90.53-16.28)/96.485, c.PotentialVolts, 0.015)
	metal, err := tables.Find[tables.Couple](std, "iron")
	require.NoError(t, err)
	require.InDelta(t, -90.53/(2*96.485), metal.PotentialVolts, metal.UncertaintyVolts)
}

// Acid brings the acid form down and leaves most iron dissolved; lye brings
// hydroxide down and leaves the chelant; neither leaves clean water. H4edta is
// least soluble near pH 1.7 (Welcher 1958, from memory) and dissolves to some
// 0.5 g/L in water.
func TestRecoveries(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	require.NoError(t, b.Dissolve(demo.Oxide(t, "lepidocrocite"), 30*measure.Gram))
	r, err := care.Recoveries(b, demo.Reagent(t, "muriatic acid"), demo.Reagent(t, "lye"))
	require.NoError(t, err)
	require.Len(t, r, 3)
	sour, alkaline, air := r[0], r[1], r[2]
	holdings, err := b.Holdings()
	require.NoError(t, err)
	iron := 30 * bath.IronMolarMass / demo.Oxide(t, "lepidocrocite").Grams(1)

	require.InDelta(t, 1.8, sour.PH, 1e-6)
	require.InDelta(t, holdings[0].FreeMoles/holdings[0].TotalMoles, sour.AcidSettledFraction, 0.1)
	require.InDelta(t, sour.AcidSettledFraction*holdings[0].TotalMoles*292.24, sour.AcidSettledGrams, 0.1)
	require.Zero(t, sour.HydroxideSettledGrams)
	require.Equal(t, "Fe", sour.MetalsLeftMgPerLitre[0].Name)
	require.Greater(t, sour.MetalsLeftMgPerLitre[0].Value*b.Litres()/1000, 0.9*iron)

	// A part of the iron stays with EDTA as Fe(OH)2(edta)3-; calcium drives it out.
	require.Less(t, alkaline.HydroxideSettledGrams, 0.5*iron/0.52)
	lime, err := care.Recoveries(b, demo.Reagent(t, "muriatic acid"), demo.Reagent(t, "hydrated lime"))
	require.NoError(t, err)
	require.Less(t, lime[1].MetalsLeftMgPerLitre[0].Value, 0.5*alkaline.MetalsLeftMgPerLitre[0].Value)
	require.Greater(t, alkaline.ChelantLeftMgPerLitre, 10000.0)
	require.Zero(t, alkaline.AcidSettledGrams)
	require.InDelta(t, iron, air.MetalsLeftMgPerLitre[0].Value*b.Litres()/1000, 0.01*iron)
	for _, x := range r {
		require.Contains(t, x.Text, "Not fit for a drain", x.Name)
	}
}
