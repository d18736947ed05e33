package solution

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

func pair(t testing.TB, metal, ligand string, around Surroundings) *Pair {
	p, err := NewPair(standard(t), metal, ligand, around)
	require.NoError(t, err)
	return p
}

// at01 is 25 °C and 0.1 mol/L in a salt that does not pair.
var at01 = Surroundings{Temperature: chem.Celsius(25), IonicStrength: 0.1}

// Fractions of Y4− printed by D. C. Harris, Quantitative Chemical Analysis,
// 8th ed., EDTA chapter, for 25 °C and 0.1 mol/L, with the pK of the same
// evaluation (6.13, 10.37) that the tables rest on. His pH is −log10 [H⁺].
// The fitted constants meet the rows at 0.1 mol/L within 0.05, hence 0.09.
func TestFractionAgainstTextbook(t *testing.T) {
	p := pair(t, "Ca2+", "edta", at01)
	for pcH, fraction := range map[float64]float64{
		3: 2.1e-11, 4: 3.0e-9, 5: 2.9e-7, 6: 1.8e-5, 7: 3.8e-4, 8: 4.2e-3, 9: 0.041, 10: 0.30, 11: 0.81, 12: 0.98,
	} {
		assert.InDelta(t, math.Log10(fraction), math.Log10(p.Fraction(p.PH(pcH))), 0.09, "p[H] = %g", pcH)
	}
	assert.InDelta(t, 0.108, p.PH(7)-7, 0.002)
	assert.InDelta(t, 7, p.PConcH(p.PH(7)), 1e-12)
}

// log K′ of calcium from log K = 10.81 in tetraalkylammonium salts (NIST SRD 46
// row 108345) and the printed fractions; and from 10.65 and pK 10.19 in
// potassium salts (rows 108344, 108225), where a third of Y4− is with K+.
func TestConditionalAgainstTextbook(t *testing.T) {
	p := pair(t, "calcium", "edta", at01)
	assert.InDelta(t, 10.81+math.Log10(1.8e-5), p.LogConditional(p.PH(6)), 0.1)
	assert.InDelta(t, 10.81+math.Log10(0.30), p.LogConditional(p.PH(10)), 0.1)
	around := at01
	around.Free = map[string]float64{"K+": 0.1}
	salt := pair(t, "calcium", "edta", around)
	assert.InDelta(t, 10.65-math.Log10(1+math.Pow(10, 10.19-10)), salt.LogConditional(p.PH(10)), 0.1)
	assert.Less(t, salt.LogConditional(12), p.LogConditional(12), "potassium competes")
	assert.InDelta(t, salt.LogK()+salt.LogAlphaComplex(12)-salt.LogAlphaMetal(12)-salt.LogAlphaLigand(12), salt.LogConditional(12), 1e-12)
}

// α of cadmium in ammonia, 1 + Σ β [NH3]^n, with the stepwise log K of
// textbooks, 2.55, 2.01, 1.34 and 0.84 (from memory; they hold near 2 mol/L of
// ammonium nitrate, which is worth the tolerance).
func TestAlphaOfCadmiumInAmmonia(t *testing.T) {
	for _, nh3 := range []float64{0.01, 0.1, 1} {
		sum, beta := 1.0, 0.0
		for n, k := range []float64{2.55, 2.01, 1.34, 0.84} {
			beta += k
			sum += math.Pow(10, beta+float64(n+1)*math.Log10(nh3))
		}
		around := at01
		around.Free = map[string]float64{"ammonia": nh3}
		p := pair(t, "Cd2+", "edta", around)
		assert.InDelta(t, math.Log10(sum), p.LogAlphaMetal(9), 0.35, "%g mol/L", nh3)
	}
}

// Lowest pH for the titration of 0.01 mol/L, log K′ = 8, as printed in
// textbooks after Ringbom (20 °C, 0.1 mol/L; from memory): Mg 9.7, Ca 7.5,
// Mn 5.2, Fe(II) 5.0, Zn 3.9, Cu 2.9. They leave out the acid complexes.
func TestWindowAgainstTextbook(t *testing.T) {
	around := at01
	around.Temperature = chem.Celsius(20)
	for metal, want := range map[string]float64{"Mg2+": 9.7, "Ca2+": 7.5, "Mn2+": 5.2, "Fe2+": 5.0, "Zn2+": 3.9, "Cu2+": 2.9} {
		p := pair(t, metal, "edta", around)
		got, high, err := p.Window(EndpointLogK)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 0.25, metal)
		assert.InDelta(t, EndpointLogK, p.LogConditional(got), 1e-9)
		if high < 14 {
			assert.InDelta(t, EndpointLogK, p.LogConditional(high), 1e-9)
		}
	}
	_, _, err := pair(t, "Ca2+", "citrate", around).Window(EndpointLogK)
	assert.ErrorIs(t, err, ErrUnreachable)
	assert.ErrorContains(t, err, "at most")
}

// The full equilibrium of a vessel in which both partners are traces has the
// same ratios: two ways of computing one thing.
func TestConditionalAgainstVessel(t *testing.T) {
	tb := standard(t)
	s, err := New(tb, chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(litre))
	for species, n := range map[string]float64{"Na+": 0.3, "Cl-": 0.25, "NH4+": 0.1, "NH3": 0.1, "OH-": 0.15, "Zn2+": 1e-7, "Hedta3-": 1e-7} {
		require.NoError(t, s.AddSpecies(species, unit.Mole(n)))
	}
	require.NoError(t, s.Bar("Zn(OH)2(s, amorphous)"))
	st := equilibrate(t, s)
	p := pair(t, "Zn2+", "edta", Surroundings{chem.Celsius(st.TemperatureC), st.IonicStrengthMolPerLitre, map[string]float64{
		"Na+": concentration(t, st, "Na+"), "Cl-": concentration(t, st, "Cl-"), "NH3": concentration(t, st, "NH3")}})
	var metal, ligand, both float64
	for _, d := range st.Species {
		zn, edta := species(t, d.Species).Formula.Count("Zn") > 0, holds(t, tb, d.Species, "edta4-")
		switch {
		case zn && edta:
			both += d.MolPerLitre
		case zn:
			metal += d.MolPerLitre
		case edta:
			ligand += d.MolPerLitre
		}
	}
	assert.InDelta(t, math.Log10(both/metal/ligand), p.LogConditional(st.PH), 1e-6)
	assert.InDelta(t, math.Log10(metal/concentration(t, st, "Zn2+")), p.LogAlphaMetal(st.PH), 1e-6)
	assert.InDelta(t, math.Log10(ligand/concentration(t, st, "edta4-")), p.LogAlphaLigand(st.PH), 1e-6)
}

// holds reports whether a species is made with a component.
func holds(t *testing.T, tb *tables.Tables, species, component string) bool {
	f, err := tb.Formation(species)
	require.NoError(t, err)
	components := tb.Components()
	for _, c := range f.Coefficients {
		if components[c.Component].Species.String() == component {
			return true
		}
	}
	return false
}

func TestPairRefusesBadInput(t *testing.T) {
	tb := standard(t)
	for _, c := range []struct {
		metal, ligand string
		around        Surroundings
		want          error
	}{
		{"Fe3", "edta", at01, tables.ErrNotFound},
		{"edta", "Fe3+", at01, chem.ErrInput},
		{"Fe3+", "H+", at01, chem.ErrInput},
		{"K+", "borate", at01, tables.ErrNotFound},
		{"Fe3+", "edta", Surroundings{IonicStrength: 0.1}, chem.ErrInput},
		{"Fe3+", "edta", Surroundings{Temperature: chem.Celsius(25), IonicStrength: math.NaN()}, chem.ErrInput},
		{"Fe3+", "edta", Surroundings{Temperature: chem.Celsius(25), Free: map[string]float64{"NH3": -1}}, chem.ErrInput},
		{"Fe3+", "edta", Surroundings{Temperature: chem.Celsius(25), Free: map[string]float64{"edta": 1}}, chem.ErrInput},
		{"Fe3+", "edta", Surroundings{Temperature: chem.Celsius(25), Free: map[string]float64{"amonia": 1}}, tables.ErrNotFound},
	} {
		_, err := NewPair(tb, c.metal, c.ligand, c.around)
		assert.ErrorIs(t, err, c.want, "%v", c)
	}
	_, _, err := pair(t, "Fe3+", "edta", at01).Window(math.NaN())
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = PairOf(math.NaN())
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = PairOf(10, 2, math.Inf(1))
	assert.ErrorContains(t, err, "acid constant 2")
}

func TestPairWarns(t *testing.T) {
	hot := at01
	hot.Temperature = chem.Celsius(95)
	assert.NotEmpty(t, pair(t, "Fe3+", "edta", hot).Warnings(7))
	assert.Empty(t, pair(t, "Ca2+", "edta", at01).Warnings(10))
}
