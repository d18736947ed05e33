package tables

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/chelation/chem"
)

var calciumCarbonate = must(chem.ParseFormula("CaCO3"))

// must unwraps what is read of a text in this package's own code.
func must[T any](x T, err error) T {
	if err != nil {
		panic(err)
	}
	return x
}

// Hardness is the total hardness of water, or a share of it: dissolved calcium and magnesium in
// mol/L.
type Hardness float64

// Alkalinity is the acid that brings water to the carbonic acid endpoint, near pH 4.5, in
// equivalents per litre: bicarbonate, twice carbonate, hydroxide, less free acid.
type Alkalinity float64

// CaCO3 returns the hardness in mg/L as calcium carbonate, the trade's ppm.
func (h Hardness) CaCO3() float64 { return float64(h) * 1000 * calciumCarbonate.MolarMass() }

// CaCO3 returns the alkalinity in mg/L as calcium carbonate, which neutralises two equivalents per
// mole.
func (a Alkalinity) CaCO3() float64 { return float64(a) * 500 * calciumCarbonate.MolarMass() }

// String writes the hardness in mg/L as CaCO3.
func (h Hardness) String() string { return fmt.Sprintf("%.3g mg/L as CaCO3", h.CaCO3()) }

// String writes the alkalinity in mg/L as CaCO3.
func (a Alkalinity) String() string { return fmt.Sprintf("%.3g mg/L as CaCO3", a.CaCO3()) }

// Class returns the class of the US Geological Survey for the hardness: soft up to 60 mg/L as
// CaCO3, moderately hard up to 120, hard up to 180, very hard above (Durfor & Becker 1964, USGS
// Water-Supply Paper 1812).
func (h Hardness) Class() string {
	const soft, moderate, hard = 60, 120, 180
	switch ppm := math.Round(h.CaCO3()); {
	case ppm <= soft:
		return "soft"
	case ppm <= moderate:
		return "moderately hard"
	case ppm <= hard:
		return "hard"
	}
	return "very hard"
}

// HardnessUnit is a unit in which hardness and alkalinity are told. Its factors follow from its
// definition and the formula masses. They differ by 2 for units of mass, where one mole of CaCO3
// neutralises two equivalents, and by 1 for mmol/L, which counts ions of hardness but acid of
// alkalinity.
type HardnessUnit struct {
	Entry                       // the first synonym is the usual symbol
	MolPerLitre         float64 `json:"mol_per_l"` // hardness of one unit
	EquivalentsPerLitre float64 `json:"eq_per_l"`  // its alkalinity
}

// Hardness returns the hardness of x units.
func (u HardnessUnit) Hardness(x float64) Hardness { return Hardness(x * u.MolPerLitre) }

// Alkalinity returns the alkalinity of x units.
func (u HardnessUnit) Alkalinity(x float64) Alkalinity { return Alkalinity(x * u.EquivalentsPerLitre) }

// ParseHardness reads a hardness such as "120 ppm", "7 gpg", "6.7 °dH", "1.2 mmol/L" or "150 mg/L
// as CaCO3". A number needs its unit; one that is not known gives an error that wraps
// [ErrNotFound].
func (t *Tables) ParseHardness(s string) (Hardness, error) {
	x, u, err := t.parseHardness(s)
	return u.Hardness(x), err
}

// ParseAlkalinity reads an alkalinity likewise. "1 mmol/L" is here a millimole of acid, the same as
// "1 meq/L".
func (t *Tables) ParseAlkalinity(s string) (Alkalinity, error) {
	x, u, err := t.parseHardness(s)
	return u.Alkalinity(x), err
}

const (
	maxHardness = 1    // mol/L, a brine; beyond it the reading is a slip
	mostPrinted = 5000 // mg/L of an ion, or of hardness, that a water or a strip of the tables has: judgement
)

func (t *Tables) parseHardness(s string) (float64, HardnessUnit, error) {
	bad := func(want string, err error) (float64, HardnessUnit, error) {
		return 0, HardnessUnit{}, &chem.InputError{Field: "hardness or alkalinity", Value: chem.Echo(s), Want: want, Kind: err}
	}
	text := strings.TrimSpace(s)
	n := max(0, strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.,+-", r) }))
	x, err := strconv.ParseFloat(strings.TrimSpace(text[:n]), 64)
	if err != nil {
		return bad(`a number and its unit, as "120 ppm", "7 gpg", "6.7 °dH" or "1.2 mmol/L"`, nil)
	}
	unit := strings.TrimSpace(text[n:])
	u, err := Find[HardnessUnit](t, unit)
	if near := listed[HardnessUnit](t).near(unit); err != nil && len(near) > 0 {
		return bad("a unit such as "+choice(near), err)
	} else if err != nil {
		return bad("a unit such as ppm, gpg, °dH or mmol/L", err)
	}
	if !(x >= 0 && x*u.MolPerLitre <= maxHardness) {
		return bad(fmt.Sprintf("from 0 to %.4g %s", maxHardness/u.MolPerLitre, u.Synonyms[0]), nil)
	}
	return x, u, nil
}

// hardnessUnit reads one defined by an amount, or by a mass of a formula with one atom of alkaline
// earth, in a volume.
func (r row) hardnessUnit() HardnessUnit {
	u := HardnessUnit{Entry: r.entry()}
	if len(u.Synonyms) == 0 {
		r.fail("synonyms", "at least one symbol")
	}
	var mol float64
	if r.optionalText("formula") != "" {
		f := r.formula("formula")
		if f.Count("Ca")+f.Count("Mg") != 1 {
			r.fail("formula", "one atom of Ca or Mg")
		}
		r.mustBeEmpty("amount_mmol")
		mol = r.number("mass_mg", 0.01, 1000) / f.MolarMass() / 1000
	} else {
		r.mustBeEmpty("mass_mg")
		mol = r.number("amount_mmol", 0.01, 1000) / 1000
	}
	u.MolPerLitre = mol / r.number("volume_l", 0.1, 10)
	u.EquivalentsPerLitre = u.MolPerLitre * r.number("equivalents", 1, 2)
	return u
}
