package bath

import (
	"errors"

	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Start is what a bath does when its recipe is brought to a certain pH and then
// left alone.
type Start struct {
	PH   float64 `json:"ph"`
	Acid float64 `json:"acid_g"`
	Cost float64 `json:"acid_cost,omitempty"` // in the currency of the prices; 0 without one

	Proton Capacity `json:"proton"` // taken up unattended
	EndPH  float64  `json:"end_ph"`
	Share  float64  `json:"iron_per_chelant"` // of the strong chelant, used that way
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
func (r Recipe) Starts(t *tables.Tables, o Oxide, pHs ...float64) ([]Start, error) {
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
		b, err := New(t, v)
		if err != nil {
			return nil, err
		}
		s := Start{PH: pH, Acid: dose.Grams, Buffer: dose.After.BufferCapacity}
		if price, ok := r.Prices[r.Acid.ID]; ok {
			if s.Cost, err = price.of(r.Acid, dose.Mass()); err != nil {
				return nil, err
			}
		}
		if s.Proton, s.EndPH, err = b.alone(o, dose.After); err != nil {
			return nil, err
		}
		if chelant := sum(holdings(dose.After), true, total); chelant > 0 {
			s.Share = s.Proton.Moles / chelant
		}
		if s.Acid > 0 {
			s.PerAcid = s.Proton.Rust / s.Acid
		}
		if s.Steel, err = b.steelAtRisk(); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// alone returns what the bath takes up of an oxide unattended, and the pH at
// which that ends.
func (b *Bath) alone(o Oxide, now *solution.State) (Capacity, float64, error) {
	end, err := b.exhaust(o)
	if err != nil {
		return Capacity{}, 0, err
	}
	return o.capacity(ironDissolved(end) - ironDissolved(now)), end.PH, nil
}

// steelAtRisk returns the steel in g that the acid of the bath below pH 7 could
// dissolve: half a mole for each mole of base that would neutralise it.
func (b *Bath) steelAtRisk() (float64, error) {
	lye, err := b.pure("sodium hydroxide")
	if err != nil {
		return 0, err
	}
	d, err := b.vessel.Dose(lye, solution.PH(7))
	switch {
	case errors.Is(err, solution.ErrUnreachable): // at or above 7 already
		return 0, nil
	case err != nil:
		return 0, err
	}
	return d.Grams * lye.MolPerGram().Typical / 2 * iron.MolarMass(), nil
}
