package recipe

import (
	"errors"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// forecast spreads the headline figures over what bags, spoons, water and
// constants vary by, with the causes of the spread: the belief that package
// reading starts from. It is nil where that does not apply: a chelant other
// than EDTA, further reagents, a base that sets the pH, or a target beyond
// pH 4 to 11.
func (r Recipe) forecast(t *tables.Tables, p *Plan) (*reading.Forecast, error) {
	if len(r.Extras) > 0 {
		return nil, nil
	}
	base, err := t.Reagent("washing soda")
	if err != nil {
		return nil, err
	}
	m, err := reading.New(t, reading.Setup{
		Water: r.Water, Volume: r.Volume, Temperature: r.Temperature,
		Bag: []reading.Candidate{{Salt: r.Chelant, Weight: 1}}, Amount: r.Amount,
		Acid: r.Acid, Base: base, WaterTolerance: r.AlkalinityTolerance, Target: r.PH,
	})
	if errors.Is(err, chem.ErrInput) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return m.Forecast(r.pricing(p))
}

// pricing returns the cost of masses of salt and acid in g, or nil if one of
// them has no price.
func (r Recipe) pricing(p *Plan) func(salt, acid float64) float64 {
	if p.Cost == nil || len(p.Cost.Missing) > 0 {
		return nil
	}
	return func(salt, acid float64) float64 {
		x, errX := r.Prices[r.Chelant.ID].of(r.Chelant, unit.Mass(salt/1000))
		y, errY := r.Prices[r.Acid.ID].of(r.Acid, unit.Mass(acid/1000))
		if errX != nil || errY != nil {
			return 0 // cannot be: the plan has priced both
		}
		return x + y
	}
}

// spreadBy puts the ranges of a forecast about the plan's own figures.
func (p *Plan) spreadBy(f *reading.Forecast) {
	p.Forecast = f
	p.PHBefore.Low, p.PHBefore.High = min(f.PH.Low, p.PHBefore.Typical), max(f.PH.High, p.PHBefore.Typical)
	p.Acid.MassLowGrams, p.Acid.MassHighGrams = min(f.DoseGrams.Low, p.Acid.MassGrams), max(f.DoseGrams.High, p.Acid.MassGrams)
}
