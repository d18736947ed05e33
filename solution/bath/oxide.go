package bath

import (
	"slices"
	"strconv"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Oxide is an iron oxide or hydroxide as a bath meets it: a solid of the tables.
type Oxide struct {
	Name           string  // goethite, lepidocrocite, ferrihydrite ...
	Species        string  // formula and phase as in the tables
	IronPerFormula float64 // atoms of iron in a formula
	MolarMass      float64 // mass of a formula, g/mol

	// rust is the oxide in the shape of a reagent, so that a vessel can be asked
	// how much of it takes the pH somewhere.
	rust tables.Reagent
}

// IronFraction returns the mass fraction of iron: 0.629 for goethite.
func (o Oxide) IronFraction() float64 { return o.IronPerFormula * IronMolarMass / o.MolarMass }

// Grams returns the mass of oxide that holds some moles of iron.
func (o Oxide) Grams(moles float64) float64 { return moles / o.IronPerFormula * o.MolarMass }

// moles returns the iron in a mass of oxide in g.
func (o Oxide) moles(grams float64) float64 { return grams / o.MolarMass * o.IronPerFormula }

// FindOxide returns the oxide of that name, synonym or formula. A name that the
// tables do not know gives a tables.ErrNotFound; a solid that is no iron
// oxide an [*chem.InputError].
func FindOxide(t *tables.Tables, name string) (Oxide, error) {
	solid, err := t.Solid(name)
	if err != nil {
		return Oxide{}, err
	}
	formula := solid.Species.Formula
	for symbol := range formula.Composition() {
		if !slices.Contains([]string{"Fe", "O", "H", "Cl"}, symbol) {
			return Oxide{}, &chem.InputError{Field: "oxide", Value: strconv.Quote(name), Want: "an oxide or hydroxide of iron"}
		}
	}
	if formula.Count("Fe") == 0 {
		return Oxide{}, &chem.InputError{Field: "oxide", Value: strconv.Quote(name), Want: "an oxide or hydroxide of iron"}
	}
	f, err := t.Formation(solid.Species.String())
	if err != nil {
		return Oxide{}, err
	}
	o := Oxide{Name: solid.Name, Species: solid.Species.String(), IronPerFormula: formula.Count("Fe"), MolarMass: formula.MolarMass()}
	o.rust = tables.Reagent{
		Entry: tables.Entry{ID: solid.Name, Name: solid.Name}, Formula: formula,
		Assay: tables.Range{Low: 1, Typical: 1, High: 1}, Remainder: water,
	}
	components := t.Components()
	for _, c := range f.Coefficients {
		o.rust.Dissolution.Terms = append(o.rust.Dissolution.Terms, chem.Term{Coefficient: c.N, Species: components[c.Component].Species})
	}
	return o, nil
}

// CommonOxides returns the oxides of fresh, of ordinary and of old rust, from
// the one that dissolves most easily to the one that holds out longest.
func CommonOxides(t *tables.Tables) ([]Oxide, error) {
	var out []Oxide
	for _, name := range []string{"ferrihydrite", "lepidocrocite", "goethite"} {
		o, err := FindOxide(t, name)
		if err != nil {
			return nil, err
		}
		out = append(out, o)
	}
	return out, nil
}

// Molar masses in g/mol of iron and of rust as FeO(OH), by which iron is told where
// no oxide was asked about.
var (
	IronMolarMass = mustFormula("Fe").MolarMass()
	RustMolarMass = mustFormula("FeO(OH)").MolarMass()
)

var water = mustFormula("H2O")

// mustFormula reads a formula that is written in this package's own code.
func mustFormula(s string) chem.Formula {
	f, err := chem.ParseFormula(s)
	if err != nil {
		panic(err)
	}
	return f
}
