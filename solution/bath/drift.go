package bath

import (
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
)

// DriftPoint is a bath after some rust.
type DriftPoint struct {
	RustGrams                float64 `json:"rust_g"`           // put in since the start
	IronDissolvedGrams       float64 `json:"iron_dissolved_g"` // of it, gone into solution
	IronPerChelant           float64 `json:"iron_per_chelant"` // all the iron in solution, per strong chelant
	PH                       float64 `json:"ph"`
	FreeChelantMolPerLitre   float64 `json:"free_chelant_mol_per_l"` // strong chelant that holds no metal
	FreeChelantFraction      float64 `json:"free_chelant_fraction"`
	IonicStrengthMolPerLitre float64 `json:"ionic_strength_mol_per_l"`

	// Iron tells which species hold the dissolved iron, in mol/L, the main ones
	// first; Settled which solids are there, in g.
	IronSpeciesMolPerLitre []Amount `json:"iron_species_mol_per_l"`
	SettledGrams           []Amount `json:"solids_g,omitempty"`
}

// Amount is how much there is of a species or a solid.
type Amount struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
}

// Drift follows a bath that is left alone while rust goes in: its pH, its free
// chelant, its species, in the given number of equal portions (2 to 1000) up to
// the point where the oxide stops dissolving. The first point is the bath as it
// is, the last the bath at its proton limit.
//
// Dissolving rust takes up hydrogen ions,
//
//	FeOOH + Hedta³⁻ + 2 H⁺ = Fe(edta)⁻ + 2 H2O
//
// so that the pH climbs, and the climb ends the dissolving long before the
// chelant is used up.
func (b *Bath) Drift(o Oxide, portions int) ([]DriftPoint, error) {
	if err := chem.Within("portions", float64(portions), 2, 1000, ""); err != nil {
		return nil, err
	}
	start, err := b.State()
	if err != nil {
		return nil, err
	}
	end, err := b.exhaust(o)
	if err != nil {
		return nil, err
	}
	room := max(0, ironDissolved(end)-ironDissolved(start))
	v := b.vessel.Clone()
	if err := v.Allow(o.Species); err != nil {
		return nil, err
	}
	var points []DriftPoint
	for i, st := 0, start; ; i++ {
		p, err := b.driftPoint(start, st, o.Grams(room*float64(i)/float64(portions)))
		if err != nil {
			return nil, err
		}
		if points = append(points, p); i == portions {
			break
		}
		if err := v.AddSpecies(o.Species, unit.Mole(room/o.IronPerFormula/float64(portions))); err != nil {
			return nil, err
		}
		if st, err = v.Equilibrate(); err != nil {
			return nil, err
		}
	}
	return points, nil
}

func (b *Bath) driftPoint(start, st *solution.State, rust float64) (DriftPoint, error) {
	p := DriftPoint{
		RustGrams:          rust,
		IronDissolvedGrams: (ironDissolved(st) - ironDissolved(start)) * IronMolarMass,
		PH:                 st.PH, IonicStrengthMolPerLitre: st.IonicStrengthMolPerLitre,
	}
	strong := HoldingsOf(st).Strong()
	if chelant := strong.Total(); chelant > 0 {
		p.IronPerChelant = ironDissolved(st) / chelant
		p.FreeChelantMolPerLitre = strong.Free() / st.VolumeLitres
		p.FreeChelantFraction = strong.Free() / chelant
	}
	const trace, most = 0.01, 5 // of the iron; species
	for _, d := range st.Species {
		n := ironIn(st, d.Made) * d.MolPerLitre * st.VolumeLitres
		if n > trace*ironDissolved(st) && len(p.IronSpeciesMolPerLitre) < most {
			p.IronSpeciesMolPerLitre = append(p.IronSpeciesMolPerLitre, Amount{d.Species, d.MolPerLitre})
		}
	}
	for _, s := range st.Solids {
		if s.Moles > 1e-9*st.VolumeLitres {
			f, err := b.tables.Formation(s.Species)
			if err != nil {
				return DriftPoint{}, err
			}
			p.SettledGrams = append(p.SettledGrams, Amount{s.Name, s.Moles * f.Species.Formula.MolarMass()})
		}
	}
	return p, nil
}
