package tables

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// Molar masses in g/mol. "seen" stood in print where named, the others follow
// from the IUPAC 2021 abridged atomic weights.
func TestReagentMolarMass(t *testing.T) {
	tables := referenceTables(t)
	for name, want := range map[string]float64{
		"H4EDTA":                  292.24, // seen
		"disodium EDTA":           372.24, // 336.21 anhydrous (USP, seen) and two waters
		"Na3HEDTA":                358.19, // seen
		"Na3HEDTA.2H2O":           394.22,
		"Na4EDTA":                 380.17, // seen
		"Na4EDTA.4H2O":            452.23,
		"citric acid":             192.12, // seen
		"citric acid monohydrate": 210.14, // seen
		"Na2Hcitrate.1.5H2O":      263.11,
		"Na3citrate":              294.10, // 258.07 anhydrous (JECFA, seen) and two waters
		"NaHCO3":                  84.01,
		"Na2CO3":                  105.99,
		"KH2PO4":                  136.08,
		"Na2B4O7.10H2O":           381.36,
	} {
		r, err := tables.Reagent(name)
		require.NoError(t, err)
		assert.InDelta(t, want, r.Formula.MolarMass(), 0.03, name)
	}
}

// Chelation values in mg CaCO3 per g of the pure agent: arithmetic at 1:1 from
// formulas; 263 for anhydrous tetrasodium EDTA is the figure in common use.
func TestChelationValue(t *testing.T) {
	tables := referenceTables(t)
	for name, want := range map[string]float64{
		"H4EDTA":       342.5,
		"Na3HEDTA":     279.4,
		"Na4EDTA":      263.3,
		"Na4EDTA.4H2O": 221.3,
		"citric acid":  520.9,
	} {
		r, err := tables.Reagent(name)
		require.NoError(t, err)
		pure := r.ChelationValue().Typical / r.Assay.Typical
		assert.InDelta(t, want, pure, 0.3, name)
	}
	// The 39 % liquid is sold at about 102 mg/g: common practice, no source.
	liquid, err := tables.Reagent("39 % EDTA")
	require.NoError(t, err)
	assert.InDelta(t, 102, liquid.ChelationValue().Typical, 2)
	soda, err := tables.Reagent("washing soda")
	require.NoError(t, err)
	assert.Zero(t, soda.ChelationValue())
}

// Salt needed to bind 1 g of iron 1:1, g of the pure salt: 5.23 for H4edta is
// published practice of boiler cleaning (292/55.85, seen), the others arithmetic.
func TestSaltPerIron(t *testing.T) {
	tables := referenceTables(t)
	iron := must(chem.ParseFormula("Fe")).MolarMass()
	for name, want := range map[string]float64{
		"H4EDTA": 5.23, "Na4EDTA": 6.81, "Na4EDTA.4H2O": 8.10, "disodium EDTA": 6.67,
	} {
		r, err := tables.Reagent(name)
		require.NoError(t, err)
		assert.InDelta(t, want, r.Formula.MolarMass()/iron, 0.02, name)
	}
}

// Mass per cent of water: two waters in sodium citrate are 12.25 % (pharmacopoeia
// limits 11 to 13, seen), in disodium EDTA 9.68 % (USP loss on drying 8.7 to
// 11.4, seen).
func TestHydrateWater(t *testing.T) {
	tables := referenceTables(t)
	for name, want := range map[string]float64{"trisodium citrate": 12.25, "disodium EDTA": 9.68} {
		r, err := tables.Reagent(name)
		require.NoError(t, err)
		waters := 0.0
		for s, n := range r.Components() {
			if s.Equal(water) {
				waters = n
			}
		}
		assert.InDelta(t, want, 100*waters*water.Formula.MolarMass()/r.Formula.MolarMass(), 0.01, name)
	}
}

// Density of a solution from the apparent volume of its solute,
// 100/((100 − p)/ρ(water) + p·v), against the CRC Handbook, concentrative
// properties of aqueous solutions, 20 °C. Citric acid: seen; the others from
// memory.
func TestApparentVolume(t *testing.T) {
	tables := referenceTables(t)
	const waterAt20 = 0.99820 // g/cm³, Kell 1975
	for _, c := range []struct {
		name               string
		percent            float64 // by mass, of the formula in the table
		density, tolerance float64
	}{
		{"citric acid", 1, 1.0022, 0.0006},
		{"citric acid", 10, 1.0402, 0.0006},
		{"citric acid", 30, 1.1346, 0.004}, // a constant volume is good to 10 %, not to 30 %
		{"acetic acid", 5, 1.0052, 0.001},
		{"HCl", 10, 1.0476, 0.004},
		{"NaHCO3", 5, 1.0354, 0.001},
		{"NaCl", 10, 1.0707, 0.004},
		{"NaOH", 2, 1.0207, 0.003},
		{"ammonia", 5, 0.9770, 0.002},
	} {
		r, err := tables.Reagent(c.name)
		require.NoError(t, err)
		volume := (100-c.percent)/waterAt20 + c.percent*r.ApparentCm3PerGram
		assert.InDelta(t, c.density, 100/volume, c.tolerance, "%s %g %%", c.name, c.percent)
	}
	// 39 % tetrasodium EDTA is sold as 1.26 to 1.32 g/cm³: trade data from memory.
	liquid, err := tables.Reagent("39 % EDTA")
	require.NoError(t, err)
	density := 1000 * 100 / (61/waterAt20 + 39*liquid.ApparentCm3PerGram)
	assert.Greater(t, density, liquid.DensityKgPerM3.Low)
	assert.Less(t, density, liquid.DensityKgPerM3.High)
}

func TestReagentsAreWhole(t *testing.T) {
	tables := referenceTables(t)
	n := 0
	for r := range All[Reagent](tables) {
		n++
		assert.NoError(t, r.Dissolution.Check(), r.ID)
		assert.Equal(t, r.Form == Liquid, r.DensityKgPerM3.Typical > 0, r.ID)
		if r.Chelant.Charge() != 0 {
			assert.Contains(t, r.Groups, "chelant", r.ID)
		}
		for _, name := range append([]string{r.ID, r.Name}, r.Synonyms...) {
			same, err := tables.Reagent(strings.ToUpper(name))
			require.NoError(t, err)
			assert.Equal(t, r.ID, same.ID)
		}
	}
	assert.Greater(t, n, 40)
	// Acids give up H⁺ beyond what their anion can hold neutral, bases take it up:
	// the sign of the proton count of the mineral acids and lyes.
	for name, want := range map[string]float64{"muriatic acid": 1, "lye": -1, "Ca(OH)2": -2, "phosphoric acid": 3} {
		r, err := tables.Reagent(name)
		require.NoError(t, err)
		proton, err := chem.ParseSpecies("H+")
		require.NoError(t, err)
		assert.Equal(t, want, r.Dissolution.Coefficient(proton), name)
	}
}

// Every substance in the published buffers, standards and solutions that the
// library is checked against is at hand under the name used there.
func TestReagentsOfPublishedChecks(t *testing.T) {
	tables := referenceTables(t)
	for name, formula := range map[string]string{
		"KH2citrate": "KH2(cit)", "KHphthalate": "KH(pht)", "KH2PO4": "KH2PO4", "Na2HPO4": "Na2HPO4", "NaHCO3": "NaHCO3", "Na2CO3": "Na2CO3",
		"Na2B4O7": "Na2B4O7·10H2O", "Na2B4O7.10H2O": "Na2B4O7·10H2O", "KH3(C2O4)2.2H2O": "KH3(ox)2·2H2O", "Ca(OH)2": "Ca(OH)2",
		"citric_acid": "H3(cit)", "citric_acid.H2O": "H3(cit)·H2O", "Na3citrate": "Na3(cit)·2H2O", "Na3citrate.2H2O": "Na3(cit)·2H2O", "NaH2citrate": "NaH2(cit)",
		"acetic_acid": "H(ac)", "Na_acetate": "Na(ac)", "KCl": "KCl", "HCl": "HCl", "NaOH": "NaOH", "H3PO4": "H3PO4", "Na3PO4": "Na3PO4·12H2O",
		"oxalic_acid": "H2(ox)·2H2O", "boric_acid": "B(OH)3", "NH3": "NH3",
		"H4EDTA": "H4(edta)", "Na2H2EDTA.2H2O": "Na2H2(edta)·2H2O", "Na3HEDTA": "Na3H(edta)", "Na4EDTA": "Na4(edta)", "Na4EDTA.4H2O": "Na4(edta)·4H2O",
	} {
		r, err := tables.Reagent(name)
		require.NoError(t, err)
		f, err := tables.Notation().ParseFormula(formula)
		require.NoError(t, err)
		assert.True(t, r.Formula.Equal(f), "%s is %s", name, r.Formula)
	}
}

func TestBadReagents(t *testing.T) {
	good := content(t, "reagents.csv")
	for _, c := range []struct{ name, old, new, column string }{
		{"unbalanced", "H4(edta) = 4 H+ + edta4-", "H4(edta) = 3 H+ + edta4-", "dissolution"},
		{"of another compound", "H3(cit) = 3 H+ + cit3-", "H(ac) = H+ + ac-", "dissolution"},
		{"not into components", "NaHCO3 = Na+ + H+ + CO3^2-", "NaHCO3 = Na+ + HCO3-", "dissolution"},
		{"bad formula", "H4(edta),H4(edta)", "H4(edto),H4(edta)", "formula"},
		{"assay above one", "0.98,0.995,1,H2O,0,0,0,powder,,,,,600,750,950", "0.98,0.995,1.1,H2O,0,0,0,powder,,,,,600,750,950", "assay_high"},
		{"assay out of order", "0.98,0.995,1,H2O,0,0,0,powder,,,,,600,750,950", "0.999,0.995,1,H2O,0,0,0,powder,,,,,600,750,950", "assay"},
		{"bulk density out of order", "powder,,,,,600,750,950", "powder,,,,,800,750,950", "bulk"},
		{"powder with a density", "powder,,,,,600,750,950", "powder,,1000,,,600,750,950", "density"},
		{"chelant that is not made", "H3(cit) = 3 H+ + cit3-,cit3-", "H3(cit) = 3 H+ + cit3-,edta4-", "chelant"},
		{"unknown source", "trade-edta;formula;estimate", "hearsay;formula;estimate", "source"},
		{"name taken", "edetic acid;", "lye;", "synonyms"},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, bad, c.name)
		_, err := loadReferenceFrom(changed(t, "reagents.csv", bad))
		refusedAt(t, err, "reagents.csv", c.column, c.name)
	}
}

func ExampleTables_Reagent() {
	tables, err := Standard()
	if err != nil {
		fmt.Println(err)
		return
	}
	salt, err := tables.Reagent("tetrasodium EDTA")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(salt.Name, salt.Formula)
	fmt.Println(salt.Dissolution)
	fmt.Printf("%.0f to %.0f mg CaCO3/g\n", salt.ChelationValue().Low, salt.ChelationValue().High)
	_, err = tables.Reagent("tetrasodum EDTA")
	fmt.Println(err)
	// Output:
	// Tetrasodium EDTA tetrahydrate Na4(edta)·4H2O
	// Na4(edta)·4H2O = 4 Na+ + edta4- + 4 H2O
	// 215 to 221 mg CaCO3/g
	// reagent is "tetrasodum EDTA": want a name of the tables, such as "Tetrasodium EDTA tetrahydrate", "Tetrasodium EDTA dihydrate", "Tetrasodium EDTA, 39 % liquid" or "Tetrasodium EDTA, anhydrous"
}
