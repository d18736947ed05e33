package tables

import (
	"math"
	"slices"
	"strconv"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// The loss of a class in thickness and in mass is that of iron.
func TestLossOfAClass(t *testing.T) {
	std := standardTables(t)
	header, rows := table(t, "corrosivity.csv")
	number := func(row []string, column string) float64 {
		x, err := strconv.ParseFloat(row[slices.Index(header, column)], 64)
		require.NoError(t, err)
		return x
	}
	for _, row := range rows {
		c, err := std.Corrosivity(row[0])
		require.NoError(t, err)
		require.InDelta(t, number(row, "loss_low_g_m2"), c.LossLowGramsPerM2, 1e-9)
		require.InDelta(t, number(row, "loss_high_g_m2"), c.LossHighGramsPerM2, 1e-9)
		// a loss of so many µm is 7.87 g/cm³ of iron (CRC Handbook) of that thickness, to the rounding of the standard
		if um := number(row, "loss_high_um"); um > 2 {
			require.InEpsilon(t, 7.87*um, c.LossHighGramsPerM2, 0.05, row[0])
		}
	}
}

// A bag's rust fraction lies between those of its constituents, and water holds no iron.
func TestRustIsItsConstituents(t *testing.T) {
	std := standardTables(t)
	for r := range All[Rust](std) {
		iron, density, shares := 0.0, 0.0, 0.0
		for _, c := range r.Constituents {
			require.LessOrEqual(t, c.Share.Low, c.Share.Typical)
			require.LessOrEqual(t, c.Share.Typical, c.Share.High)
			shares += c.Share.Typical
			p, err := Find[RustPhase](std, c.Phase.ID)
			require.NoError(t, err)
			iron += c.Share.Typical * p.Formula.Count("Fe") * 55.845 / p.Formula.MolarMass()
			density += c.Share.Typical / p.DensityKgPerM3
		}
		require.InDelta(t, 1, shares, 1e-9, r.ID)
		require.InDelta(t, iron, r.IronFraction().Typical, 1e-4, r.ID)
		require.InEpsilon(t, (1-r.Porosity.Typical)/density, r.Density().Typical, 1e-3, r.ID)
		require.InEpsilon(t, 1e-4*r.Density().Typical*1000, r.MassPerArea(1e-4).Typical, 1e-9)
		require.InEpsilon(t, iron*r.MassPerArea(1e-4).Typical, r.IronPerArea(1e-4).Typical, 1e-3)
	}
}

// All species are those in water, the solids and the gases; every fitted reaction has its
// place, and there are no others.
func TestNothingIsLeftOut(t *testing.T) {
	std := standardTables(t)
	var every []int
	for i := range std.Components() {
		every = append(every, i)
	}
	n := 0
	for _, phase := range []chem.Phase{chem.Aqueous, chem.Solid, chem.Gas} {
		some := std.Formations(every, phase)
		require.NotEmpty(t, some)
		for _, f := range some {
			require.Equal(t, phase, f.Species.Phase)
		}
		n += len(some)
	}
	require.Len(t, std.Formations(every), n)
	i := 0
	for e := range std.Equilibria() {
		at, ok := std.EquilibriumAt(i)
		require.True(t, ok)
		require.Equal(t, e.Reaction.String(), at.Reaction.String())
		i++
	}
	for _, none := range []int{-1, i} {
		_, ok := std.EquilibriumAt(none)
		require.False(t, ok)
	}
	for _, made := range []string{"Hedta3-", "H2edta2-", "Fe(edta)-", "OH-"} {
		_, err := std.Component(made)
		require.ErrorIs(t, err, ErrNotFound, made)
	}
}

// Every row that lacks a source is told of, not the first alone.
func TestEveryRowWithoutASource(t *testing.T) {
	header, rows := table(t, "strips.csv")
	for _, row := range rows[:3] {
		row[slices.Index(header, "source")] = ""
	}
	c := corruptor{t: t, file: "strips.csv", base: standardTables(t), header: header}
	err, _ := c.load(rows[:3])
	for _, line := range []string{"line 2", "line 3", "line 4"} {
		require.ErrorContains(t, err, "strips.csv "+line+", column source")
	}
}

// A unit of hardness by magnesium: a milligram of MgCO3, 84.31 g/mol, in a litre.
func TestUnitOfMagnesium(t *testing.T) {
	std := standardTables(t)
	more, err := std.With(fstest.MapFS{"hardness-units.csv": {Data: []byte("id,name,synonyms,mass_mg,formula,amount_mmol,volume_l,equivalents,note,source\n" +
		"mg-mgco3,milligram of magnesium carbonate per litre,mg/L as MgCO3,1,MgCO3,,1,2,,common-practice\n")}})
	require.NoError(t, err)
	h, err := more.ParseHardness("84.313 mg/L as MgCO3")
	require.NoError(t, err)
	require.InEpsilon(t, 1e-3, float64(h), 1e-4)
}

// Water told by its figures keeps to their ranges, and holds what it was told.
func TestWaterByItsFigures(t *testing.T) {
	for _, x := range []struct {
		hardness, share, alkalinity, pH float64
		sound                           bool
	}{
		{0, 0, 0, 7, true}, {0.002, 1, 0.002, 8, true}, {0.002, 0.7, 0.003, 10.5, true}, {0.002, 0.7, 0, 4.5, true},
		{-1e-6, 0.5, 0, 7, false}, {0.002, -0.01, 0, 7, false}, {0.002, 1.01, 0, 7, false}, {0.002, 0.5, -1e-6, 7, false},
		{0.002, 0.5, 0.002, 4.49, false}, {0.002, 0.5, 0.002, 10.51, false}, {math.NaN(), 0.5, 0, 7, false}, {0.002, 0.5, 0, math.NaN(), false},
	} {
		w, err := NewWater("of my own", Hardness(x.hardness), x.share, Alkalinity(x.alkalinity), x.pH)
		require.Equal(t, x.sound, err == nil, "%+v: %v", x, err)
		if err != nil {
			require.ErrorIs(t, err, chem.ErrInput)
			continue
		}
		require.InDelta(t, x.hardness, float64(w.Hardness()), 1e-12)
		require.InDelta(t, x.share*x.hardness, w.Concentration(calcium), 1e-12)
		require.InDelta(t, (1-x.share)*x.hardness, w.Concentration(magnesium), 1e-12)
		charge := 0.0
		for _, ion := range w.Ions {
			require.GreaterOrEqual(t, ion.MolPerLitre, 0.0)
			charge += float64(ion.Species.Formula.Charge()) * ion.MolPerLitre
		}
		require.InDelta(t, x.alkalinity, charge, 1e-9, "what the alkalinity, bicarbonate as a rule, leaves to it")
	}
}

// A formation to which another is added n times holds what both do, and its constant is
// their sum: CaHCO3+ by way of bicarbonate, as by hand from the components.
func TestFormationsAddUp(t *testing.T) {
	std := standardTables(t)
	formation := func(species string) Formation {
		f, err := std.Formation(species)
		require.NoError(t, err)
		return f
	}
	a, b := formation("Fe(edta)-"), formation("Hedta3-")
	sum := a.Plus(-2, b)
	for i := range std.Components() {
		require.InDelta(t, a.Of(i)-2*b.Of(i), sum.Of(i), 1e-12)
	}
	at := func(f Formation) float64 { return f.Constant.Log10K(chem.Celsius(20), 0.2) }
	require.InDelta(t, at(a)-2*at(b), at(sum), 1e-9)
	require.Equal(t, a.Species, sum.Species)
	require.Equal(t, formation("Fe(edta)-"), a, "what was added to is as it was")
	// a constant of any reaction is the sum of what makes its species: Kw twice over
	k, err := std.Constant("2 H2O = 2 H+ + 2 OH-")
	require.NoError(t, err)
	require.InDelta(t, 2*at(formation("OH-")), k.Log10K(chem.Celsius(20), 0.2), 1e-9)
	k, err = std.Constant("Fe(edta)- + H+ = Fe3+ + Hedta3-")
	require.NoError(t, err)
	require.InDelta(t, at(b)-at(a), k.Log10K(chem.Celsius(20), 0.2), 1e-9)
}

// The density and iron of a mixture lie between the extremes that its shares allow, by
// brute force over them.
func TestSpreadOfAMixtureByBruteForce(t *testing.T) {
	phase := func(iron, density float64) RustPhase {
		p, err := Find[RustPhase](standardTables(t), "goethite")
		require.NoError(t, err)
		p.DensityKgPerM3 = density
		return p
	}
	r := Rust{Constituents: []Constituent{
		{phase(0, 2000), Range{0.1, 0.3, 0.6}}, {phase(0, 4000), Range{0.2, 0.5, 0.7}}, {phase(0, 5000), Range{0.05, 0.2, 0.4}},
	}, Porosity: Range{0.1, 0.2, 0.4}}
	low, high := math.Inf(1), 0.0
	for a := 0.1; a <= 0.6+1e-9; a += 0.01 {
		for b := 0.2; b <= 0.7+1e-9; b += 0.01 {
			if c := 1 - a - b; c >= 0.05-1e-9 && c <= 0.4+1e-9 {
				d := 1 / (a/2000 + b/4000 + c/5000)
				low, high = min(low, d), max(high, d)
			}
		}
	}
	d := r.Density()
	require.InEpsilon(t, 0.6*low, d.Low, 2e-3)
	require.InEpsilon(t, 0.9*high, d.High, 2e-3)
	require.InEpsilon(t, 0.8/(0.3/2000+0.5/4000+0.2/5000), d.Typical, 1e-9)
}

// A reagent tells its name, or that there is none; how much calcium a gram binds is that
// of its moles of chelant: 263 mg of CaCO3 for pure anhydrous tetrasodium EDTA, 380.17
// g/mol (by the trade's definition of the chelation value).
func TestReagentsTellOfThemselves(t *testing.T) {
	std := standardTables(t)
	require.Equal(t, "missing", Reagent{}.String())
	r, err := std.Reagent("tetrasodium EDTA, anhydrous")
	require.NoError(t, err)
	require.Equal(t, r.Name, r.String())
	require.InEpsilon(t, 100.087/380.17*1000*r.Assay.Typical, r.ChelationValue().Typical, 1e-4)
	lye, err := std.Reagent("lye")
	require.NoError(t, err)
	require.Zero(t, lye.ChelationValue().Typical)
	for name, want := range map[string]bool{"washing soda": true, "baking soda": true, "lye": false, "citric acid": false} {
		x, err := std.Reagent(name)
		require.NoError(t, err)
		require.Equal(t, want, x.Carbonated(), name)
		require.InEpsilon(t, x.Assay.Typical/x.Formula.MolarMass(), x.MolPerGram().Typical, 1e-12)
	}
}
