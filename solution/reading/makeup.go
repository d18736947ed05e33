package reading

import (
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// makeup is what a mol of a reagent's formula brings. Alkali metal counts as the
// strong base that it came from.
type makeup struct {
	chelant, alkali, protons float64            // mol
	rest                     map[string]float64 // mol of all else but water, by species
}

// basis is what the candidates of a bag have in common: one chelating anion, and
// all else but alkali metal and protons.
type basis struct {
	tables  *tables.Tables
	chelant string
	alkali  map[string]bool
	rest    map[string]float64 // mol of all else per mol of chelant, by species
	protons float64            // that make a mol of chelant and the rest neutral
	litres  float64            // that they take up
	solid   string             // the acid of the chelant as a solid, empty if there is none
}

func newBasis(t *tables.Tables, of tables.Reagent) (*basis, error) {
	b := &basis{tables: t, chelant: chem.Species{Formula: of.Chelant}.String(), alkali: map[string]bool{}, rest: map[string]float64{}}
	components := t.Components()
	for _, c := range components {
		b.alkali[c.Species.String()] = c.Class == tables.AlkaliMetal
	}
	m := b.makeup(of)
	if !(m.chelant > 0) {
		return nil, &chem.InputError{Field: "Bag", Value: of.String(), Want: "salts of a chelating anion"}
	}
	b.litres = of.ApparentCm3PerGram * of.Formula.MolarMass() / m.chelant / 1000
	charge := float64(of.Chelant.Charge())
	for name, n := range m.rest {
		c, err := t.Component(name)
		if err != nil {
			return nil, err
		}
		b.rest[name] = n / m.chelant
		charge += b.rest[name] * float64(c.Species.Formula.Charge())
	}
	b.protons = max(0, -charge)
	for s := range t.Solids() {
		f, err := t.Formation(s.Species.String())
		if err != nil {
			return nil, err
		}
		own := s.Forms == tables.Forms
		for _, c := range f.Coefficients {
			name := components[c.Component].Species.String()
			own = own && (name == proton || name == b.chelant)
		}
		if own {
			b.solid = s.Species.String()
		}
	}
	return b, nil
}

const proton = "H+"

func (b *basis) makeup(r tables.Reagent) makeup {
	m := makeup{rest: map[string]float64{}}
	for species, n := range r.Components() {
		switch name := species.String(); {
		case name == b.chelant && species.Formula.Equal(r.Chelant):
			m.chelant += n
		case b.alkali[name]:
			m.alkali += n
		case name == proton:
			m.protons += n
		case name != "H2O":
			m.rest[name] += n
		}
	}
	return m
}

// shares reports whether a reagent is a salt of the chelant that differs from the
// candidates in alkali metal and protons alone.
func (b *basis) shares(m makeup) bool {
	same := m.chelant > 0 && len(m.rest) == len(b.rest)
	for name, n := range m.rest {
		same = same && math.Abs(n/m.chelant-b.rest[name]) < 1e-9
	}
	return same
}

// lye reports whether a reagent is strong base and nothing else.
func (m makeup) lye() bool {
	return m.chelant == 0 && len(m.rest) == 0 && m.alkali > 0 && m.protons == -m.alkali
}

// equivalents is the mol of acid or base in a mol, or a mol of whatever it is.
func (m makeup) equivalents() float64 {
	if n := max(math.Abs(m.protons), m.alkali); n > 0 {
		return n
	}
	return 1
}

// salt is a salt of the chelant.
type salt struct {
	reagent tables.Reagent
	prior   float64 // probability before anything is seen
	perGram float64 // mol of chelant in a gram of the pure formula
	base    float64 // mol of strong base per mol of chelant, by its formula
	free    tables.Range
	clear   bool // whether it dissolves
	assay   vary
	packing vary // kg/m³
}

// newSalt takes a reagent that shares the basis.
func (b *basis) newSalt(r tables.Reagent) salt {
	m := b.makeup(r)
	k := salt{
		reagent: r, perGram: m.chelant / r.Formula.MolarMass(), base: m.alkali / m.chelant, free: r.ExcessBase.Times(1 / m.chelant),
		assay: share(r.Assay), packing: packingOf(r),
	}
	k.clear = b.solid == "" || k.base >= 1
	return k
}

// pour adds grams of the pure salt, with free base at a deviate, to a mixture.
func (k *salt) pour(mix *mixture, grams, free float64) {
	n := grams * k.perGram
	mix.chelant += n
	mix.base += n * (k.base + spread.At(k.free, free))
}
