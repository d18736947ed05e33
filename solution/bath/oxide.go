package bath

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Oxide is an iron oxide or hydroxide as a bath meets it: a solid of the tables.
type Oxide struct {
	Name                  string  `json:"name"`                 // goethite, lepidocrocite, ferrihydrite ...
	Species               string  `json:"species"`              // formula and phase as in the tables
	IronPerFormula        float64 `json:"iron_per_formula"`     // atoms of iron in a formula
	MolarMassGramsPerMole float64 `json:"molar_mass_g_per_mol"` // of a formula
}

// Grams returns the mass of oxide in g that holds an amount of iron; 0 of what is none.
func (o Oxide) Grams(iron unit.Mole) float64 {
	if o.check() != nil {
		return 0
	}
	return float64(iron) / o.IronPerFormula * o.MolarMassGramsPerMole
}

func (o Oxide) check() error {
	if !(o.IronPerFormula > 0 && o.MolarMassGramsPerMole > 0) || math.IsInf(o.MolarMassGramsPerMole, 0) {
		return &chem.InputError{Field: "oxide", Value: "missing", Want: "an oxide, see FindOxide"}
	}
	return nil
}

// FindOxide returns the oxide of that name, synonym or formula. A name that the tables do not
// know is an error under [tables.ErrNotFound].
func FindOxide(t *tables.Tables, name string) (Oxide, error) {
	solid, err := t.Solid(name)
	if o := oxideOf(solid); o.check() == nil {
		return o, nil
	}
	var known []string
	for s := range tables.All[tables.Solid](t) {
		if oxideOf(s).check() == nil {
			known = append(known, s.Name)
		}
	}
	return Oxide{}, &chem.InputError{Field: "oxide", Value: chem.Echo(name), Want: "an oxide or hydroxide of iron: " + strings.Join(known, ", "), Kind: err}
}

// oxideOf returns a solid as an oxide; one that holds more than iron, oxygen and hydrogen has no
// iron to give.
func oxideOf(s tables.Solid) Oxide {
	f := s.Species.Formula
	o := Oxide{Name: s.Name, Species: s.Species.String(), IronPerFormula: f.Count("Fe"), MolarMassGramsPerMole: f.MolarMass()}
	for symbol := range f.Composition() {
		if !slices.Contains([]string{"Fe", "O", "H", "Cl"}, symbol) { // Cl: akaganeite
			o.IronPerFormula = 0
		}
	}
	return o
}

// CommonOxides returns the oxides of fresh, of ordinary and of old rust, the most soluble first.
func CommonOxides(t *tables.Tables) (out []Oxide, err error) {
	for _, name := range []string{"ferrihydrite", "lepidocrocite", "goethite"} {
		o, missing := FindOxide(t, name)
		out, err = append(out, o), cmp.Or(err, missing)
	}
	return out, err
}

// Molar masses in g/mol of iron, and of rust where no oxide was asked about.
var (
	IronMolarMass = must(chem.ParseFormula("Fe")).MolarMass()
	RustMolarMass = must(chem.ParseFormula("FeO(OH)")).MolarMass()
)
