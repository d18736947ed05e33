package recipe

import (
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Start is what a bath does when its recipe is brought to a certain pH and then
// left alone.
type Start struct {
	PH   float64 `json:"ph"`
	Acid float64 `json:"acid_g"`
	Cost float64 `json:"acid_cost,omitempty"` // in the currency of the prices; 0 without one

	Proton bath.Capacity `json:"proton"` // taken up unattended
	EndPH  float64       `json:"end_ph"`
	Share  float64       `json:"iron_per_chelant"` // of the strong chelant, used that way
	// PerAcid is the rust that a gram of acid is good for.
	PerAcid float64 `json:"rust_g_per_acid_g"`
	// Steel is the most that the acid beyond pH 7 could eat of bare steel,
	// Fe + 2 H⁺ = Fe²⁺ + H2: what a low start risks.
	Steel float64 `json:"steel_at_risk_g"`
	// Buffer is the strong base in mol per litre that raises the pH by one.
	Buffer float64 `json:"buffer_capacity_mol_per_l"`
}

// Starts works the recipe out for several starting pH in the place of its own,
// to weigh: a low start uses more of the chelant before the bath runs out of
// acid, and costs more acid and more risk to bare steel.
func (r Recipe) Starts(t *tables.Tables, o bath.Oxide, pHs ...float64) ([]Start, error) {
	var out []Start
	for _, pH := range pHs {
		r.PH = pH
		if err := r.check(); err != nil {
			return nil, err
		}
		v, err := r.vessel(t)
		if err != nil {
			return nil, err
		}
		dose, err := v.Dose(r.Acid, solution.PH(pH))
		if err != nil {
			return nil, r.reword(err)
		}
		if err := v.Add(r.Acid, dose.Mass()); err != nil {
			return nil, err
		}
		b, err := bath.New(t, v)
		if err != nil {
			return nil, err
		}
		s := Start{PH: pH, Acid: dose.MassGrams, Buffer: dose.After.BufferCapacityMolPerLitre}
		if price, ok := r.Prices[r.Acid.ID]; ok {
			if s.Cost, err = price.of(r.Acid, dose.Mass()); err != nil {
				return nil, err
			}
		}
		if s.Proton, s.EndPH, err = b.LeftAlone(o); err != nil {
			return nil, err
		}
		if chelant := bath.HoldingsOf(dose.After).Counted().Total(); chelant > 0 {
			s.Share = s.Proton.IronMoles / chelant
		}
		if s.Acid > 0 {
			s.PerAcid = s.Proton.RustGrams / s.Acid
		}
		if s.Steel, err = b.SteelAtRisk(); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}
