package reading

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// makeup is what a mol of a reagent's formula brings. Alkali metal counts as the
// strong base that it came from.
type makeup struct {
	chelant, alkali, protons float64            // mol
	rest                     map[string]float64 // mol of all else but water, by species
	perGram                  float64            // mol of the formula in a gram as sold
}

// basis is what the candidates of a bag have in common: one chelating anion, and
// all else but alkali metal and protons.
type basis struct {
	tables     *tables.Tables
	shelf      []tables.Reagent // all of the tables
	chelant    string
	places     map[string]int // of components in the tables
	components map[string]tables.Component
	rest       map[string]float64 // mol of all else per mol of chelant, by species
	protons    float64            // that make a mol of chelant and the rest neutral
	litres     float64            // that they take up
	solid      string             // the acid of a strong chelant as a solid, empty if there is none
	barred     []string           // that acid and what crystallises with alkali metal
}

const proton, carbonate = "H+", "CO3^2-"

func newBasis(t *tables.Tables, of tables.Reagent) (*basis, error) {
	b := &basis{tables: t, shelf: slices.Collect(tables.All[tables.Reagent](t)), chelant: chem.Species{Formula: of.Chelant}.String(), places: map[string]int{}, components: map[string]tables.Component{}, rest: map[string]float64{}}
	own, strong := []int{}, false
	for i, c := range t.Components() {
		name := c.Species.String()
		b.places[name], b.components[name] = i, c
		if name == proton || name == b.chelant || b.alkali(name) {
			own = append(own, i)
		}
		strong = strong || name == b.chelant && c.Class == tables.StrongChelant
	}
	m := b.makeup(of)
	if m.chelant == 0 {
		return nil, &chem.InputError{Field: "Bag", Value: of.String(), Want: "salts of a chelating anion"}
	}
	b.litres = of.ApparentCm3PerGram * of.Formula.MolarMass() / m.chelant / 1000
	b.protons = -float64(of.Chelant.Charge())
	for name, n := range m.rest {
		b.rest[name] = n / m.chelant
		b.protons -= b.rest[name] * float64(b.components[name].Species.Formula.Charge())
	}
	b.protons = max(0, b.protons)
	for _, f := range t.Formations(own, chem.Solid) {
		if s, err := t.Solid(f.Species.String()); err != nil {
			return nil, err
		} else if s.Forms == tables.Forms {
			b.barred = append(b.barred, s.ID)
			if strong && len(f.Coefficients) == 2 { // of the chelant and H⁺
				b.solid = s.ID
			}
		}
	}
	return b, nil
}

func (b *basis) alkali(name string) bool { return b.components[name].Class == tables.AlkaliMetal }

func (b *basis) makeup(r tables.Reagent) makeup {
	m := makeup{rest: map[string]float64{}, perGram: r.MolPerGram().Typical}
	for species, n := range r.Components() {
		switch name := species.String(); {
		case name == b.chelant && species.Formula.Equal(r.Chelant):
			m.chelant += n
		case b.alkali(name):
			m.alkali += n
		case name == proton:
			m.protons += n
		case name != "H2O":
			m.rest[name] += n
		}
	}
	return m
}

// lye reports whether it is strong base and nothing else.
func (m *makeup) lye() bool { return len(m.rest) == 0 && m.chelant == 0 && m.protons == -m.alkali }

// equivalents are the mol of acid or base in a gram, or of whatever it is.
func (m *makeup) equivalents() float64 {
	return cmp.Or(max(math.Abs(m.protons), m.alkali), 1) * m.perGram
}

// aired is the strong base in mol that is left of a gram of carbonate once its gas has
// gone, 0 of all else.
func (m *makeup) aired() float64 {
	if m.rest[carbonate] == 0 {
		return 0
	}
	return m.alkali * m.perGram
}

// salt is a salt of the chelant.
type salt struct {
	reagent tables.Reagent
	prior   float64      // probability before anything is seen
	perGram float64      // mol of chelant in a gram of the pure formula
	base    float64      // mol of strong base per mol of chelant, by its formula
	free    tables.Range // and beyond it
	clear   bool         // whether it dissolves
	packing tables.Range // g/L
	named   bool         // on the label
	place   int          // among the salts of the model
	other   bool         // not a salt of the chelant at all
	powder  *axis        // the base that takes a gram of such to a pH, nil if it is in no list
}

// salt returns a reagent as a salt of the chelant, if it differs from the candidates
// in alkali metal and protons alone.
func (b *basis) salt(r tables.Reagent) (k salt, ok bool) {
	m := b.makeup(r)
	if m.chelant == 0 || !maps.EqualFunc(m.rest, b.rest, func(n, per float64) bool { return math.Abs(n/m.chelant-per) < 1e-9 }) {
		return k, false
	}
	base := m.alkali / m.chelant
	return salt{
		reagent: r, perGram: m.chelant / r.Formula.MolarMass(), base: base, free: r.ExcessBase.Times(1 / m.chelant),
		clear: b.solid == "" || base >= 1, packing: packing(r),
	}, true
}

// pour adds grams of the pure salt to a mixture, with so much free base per mol of chelant.
func (k *salt) pour(mix *mixture, grams, free float64) {
	n := grams * k.perGram
	mix.chelant += n
	mix.base += n * (k.base + free)
}
