package titration

import (
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// FreeChelant is what a used bath can still bind, by a test with calcium.
//
// Calcium at pH 10 finds the chelant that holds no metal. What holds iron keeps
// it, if one is quick; what holds calcium and magnesium from hard water is not
// counted, although iron can take their place in part: the figure is on the safe
// side. See [PredictInterference] for what iron does to the endpoint.
type FreeChelant struct {
	ConcentrationMolPerLitre Result `json:"concentration_mol_per_l"` // of the bath
	AmountMoles              Result `json:"amount_mol"`              // in the whole bath
	IronGrams                Result `json:"iron_g"`                  // g of iron that they bind, one to one
	RustGrams                Result `json:"rust_g"`                  // g of rust, as FeO(OH)
}

func newFreeChelant(c Result, bath unit.Volume) (FreeChelant, error) {
	ml, err := volumeML("volume of the bath", bath, leastML)
	if err != nil {
		return FreeChelant{}, err
	}
	iron, err := chem.ParseFormula("Fe")
	if err != nil {
		return FreeChelant{}, err
	}
	rust, err := chem.ParseFormula("FeO(OH)")
	if err != nil {
		return FreeChelant{}, err
	}
	moles := c.times(ml / mLPerLitre)
	return FreeChelant{c, moles, moles.times(iron.MolarMass()), moles.times(rust.MolarMass())}, nil
}
