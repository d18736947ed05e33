package bath

import (
	"cmp"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// DriftPoint is a bath after some rust. Chelants are the main ones.
type DriftPoint struct {
	RustGrams                float64 `json:"rust_g"`           // put in since the start
	IronDissolvedGrams       float64 `json:"iron_dissolved_g"` // of it, gone into solution
	IronPerChelant           float64 `json:"iron_per_chelant"` // all the iron in solution
	PH                       float64 `json:"ph"`
	FreeChelantMolPerLitre   float64 `json:"free_chelant_mol_per_l"` // that holds no metal
	FreeChelantFraction      float64 `json:"free_chelant_fraction"`
	IonicStrengthMolPerLitre float64 `json:"ionic_strength_mol_per_l"`

	IronSpeciesMolPerLitre []Amount `json:"iron_species_mol_per_l,omitempty"` // that hold the iron, the main ones first
	SettledGrams           []Amount `json:"solids_g,omitempty"`
}

// Amount is how much there is of a species or a solid.
type Amount struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
}

// Drift follows a bath that is left alone while rust goes in, in so many equal portions (2 to
// 1000), from the bath as it is to where the oxide stops dissolving: the climb of the pH ends
// that long before the chelant is used up.
func (b *Bath) Drift(o Oxide, portions int) ([]DriftPoint, error) {
	c := b.contact(o)
	portion := c.taken(c.end(alone)).IronMoles / float64(portions)
	if err := cmp.Or(chem.Within("portions", float64(portions), 2, 1000, ""), c.err, c.vessel.Allow(o.Species)); err != nil {
		return nil, err
	}
	points := []DriftPoint{c.point(c.start, 0)}
	for i := 1; i <= portions; i++ {
		err := c.vessel.AddSpecies(o.Species, unit.Mole(portion/o.IronPerFormula))
		st, err2 := c.vessel.Equilibrate()
		if err = cmp.Or(err, err2); err != nil {
			return nil, err
		}
		points = append(points, c.point(st, o.Grams(unit.Mole(portion*float64(i)))))
	}
	return points, c.err
}

// Of what a point lists: judgement.
const (
	mostSpecies   = 5
	traceOfIron   = 0.01 // of the dissolved iron
	traceOfSolids = 1e-9 // mol per litre of bath, above rounding
)

func (c *contact) point(st *solution.State, rust float64) DriftPoint {
	iron := ironDissolved(st)
	p := DriftPoint{
		RustGrams: rust, IronDissolvedGrams: (iron - c.iron) * IronMolarMass,
		PH: st.PH, IonicStrengthMolPerLitre: st.IonicStrengthMolPerLitre,
	}
	counted := HoldingsOf(st).Counted()
	if whole := counted.Total(); whole > 0 {
		p.IronPerChelant = iron / whole
		p.FreeChelantMolPerLitre = counted.Free() / st.VolumeLitres
		p.FreeChelantFraction = counted.Free() / whole
	}
	for _, d := range st.Species {
		if classIn(st, d.Made, tables.IronMetal)*d.MolPerLitre*st.VolumeLitres > traceOfIron*iron && len(p.IronSpeciesMolPerLitre) < mostSpecies {
			p.IronSpeciesMolPerLitre = append(p.IronSpeciesMolPerLitre, Amount{d.Species, d.MolPerLitre})
		}
	}
	for _, s := range st.Solids {
		if s.Moles > traceOfSolids*st.VolumeLitres {
			f, err := c.tables.Formation(s.Species)
			c.err = cmp.Or(c.err, err)
			p.SettledGrams = append(p.SettledGrams, Amount{s.Name, s.Moles * f.Species.Formula.MolarMass()})
		}
	}
	return p
}
