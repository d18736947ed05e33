package recipe

import (
	"errors"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// Plan is a bath worked out. Figures with a Range hold about nine cases in ten.
type Plan struct {
	Chelant solution.Portion `json:"chelant"`
	Acid    solution.Portion `json:"acid"`

	WaterLitres         float64 `json:"water_l"`
	BathLitres          float64 `json:"bath_l"`
	TemperatureC        float64 `json:"temperature_c"`
	StrengthMolPerLitre float64 `json:"strength_mol_per_l"` // of the chelating anion

	PHBefore                       tables.Range `json:"ph_before"` // before the acid
	PHAfter                        float64      `json:"ph_after"`
	IonicStrengthBeforeMolPerLitre float64      `json:"ionic_strength_before_mol_per_l"`
	IonicStrengthAfterMolPerLitre  float64      `json:"ionic_strength_after_mol_per_l"`

	Steps []Step  `json:"steps"` // how to add the acid
	Curve []Point `json:"curve"` // pH against acid

	Hardness Loss          `json:"lost_to_hardness"`
	Iron     bath.Capacity `json:"iron_it_can_bind"`
	Cost     *Cost         `json:"cost,omitempty"`

	// Forecast holds the ranges of the headline figures with what makes them
	// wide; nil where it does not apply (see [reading.Model.Forecast]).
	Forecast *reading.Forecast `json:"forecast,omitempty"`

	Cautions []care.Caution `json:"cautions"`
	Practice []care.Advice  `json:"practice"`        // how to work with the bath, and why
	Notes    []string       `json:"notes,omitempty"` // where the figures rest on less than they should
}

// Loss is the chelant that the hardness of the water holds.
type Loss struct {
	ChelantMoles float64 `json:"chelant_mol"`
	Fraction     float64 `json:"fraction"` // of all the chelant
}

// Point is one point of the curve of pH against acid.
type Point struct {
	PH             float64 `json:"ph"`
	AcidGrams      float64 `json:"acid_g"` // in all, from the start
	GramsPerHalfPH float64 `json:"acid_g_per_half_ph"`
}

// Plan works the recipe out. Errors wrap [chem.ErrInput] for what the recipe says,
// and [solution.ErrUnreachable] when the acid cannot bring the bath to the pH.
func (r Recipe) Plan(t *tables.Tables) (*Plan, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	mass, err := r.chelantMass()
	if err != nil {
		return nil, err
	}
	s, err := r.vessel(t)
	if err != nil {
		return nil, err
	}
	dose, err := s.Dose(r.Acid, solution.PH(r.PH))
	if err != nil {
		return nil, r.reword(err)
	}
	p := &Plan{
		WaterLitres: 1000 * float64(r.Volume), BathLitres: dose.After.VolumeLitres,
		TemperatureC:                   float64(r.Temperature) - 273.15,
		PHAfter:                        dose.After.PH,
		IonicStrengthBeforeMolPerLitre: dose.Before.IonicStrengthMolPerLitre, IonicStrengthAfterMolPerLitre: dose.After.IonicStrengthMolPerLitre,
	}
	p.Chelant = solution.NewPortion(r.Chelant, mass.Typical)
	if mass.Low != mass.High {
		p.Chelant.MassLowGrams, p.Chelant.MassHighGrams = 1000*float64(mass.Low), 1000*float64(mass.High)
	}
	p.Acid = solution.NewPortion(r.Acid, dose.Mass())
	acid, before, err := r.ranges(t, dose)
	if err != nil {
		return nil, err
	}
	p.Acid.MassLowGrams, p.Acid.MassHighGrams = acid.Low, acid.High
	p.PHBefore = before
	if p.Curve, err = r.curve(s, dose); err != nil {
		return nil, err
	}
	if p.Steps, err = r.stage(s, acid, p.Curve); err != nil {
		return nil, err
	}
	anion := chem.Species{Formula: r.Chelant.Chelant}.String()
	h := bath.HoldingsOf(dose.After).Of(anion)
	p.Hardness = Loss{h.HardnessMoles, h.HardnessMoles / h.TotalMoles}
	p.Iron, p.StrengthMolPerLitre = bath.IronCapacity(h.FreeMoles+h.SettledMoles), h.TotalMoles/dose.After.VolumeLitres
	if p.Cost, err = r.cost(p); err != nil {
		return nil, err
	}
	f, err := r.forecast(t, p)
	if err != nil {
		return nil, err
	}
	if f != nil {
		p.spreadBy(f)
	}
	if p.Cautions, err = care.Cautions(t, r.reagents(), r.Materials); err != nil {
		return nil, err
	}
	p.Practice = care.Practice(p.Hardness.Fraction, r.Materials)
	p.Notes = notes(dose.Before, dose.After)
	return p, nil
}

// reword puts the recipe's words on a target out of reach.
func (r Recipe) reword(err error) error {
	var u *solution.UnreachableError
	if errors.As(err, &u) && u.Start < r.PH && u.Limit < u.Start {
		return &chem.InputError{Field: "Acid", Value: r.Acid.Name, Want: "a base, because the bath starts below the pH wanted", Err: err}
	}
	if errors.As(err, &u) {
		return &chem.InputError{Field: "Acid", Value: r.Acid.Name, Want: "a reagent that reaches the pH wanted", Err: err}
	}
	return err
}

// ranges repeats the computation with each uncertain input at both its ends.
func (r Recipe) ranges(t *tables.Tables, typical solution.Dose) (acid, before tables.Range, err error) {
	mass, err := r.chelantMass()
	if err != nil {
		return acid, before, err
	}
	alkalinity := r.AlkalinityTolerance
	if alkalinity == 0 {
		alkalinity = 0.15
	}
	var doses, starts [][2]float64
	for _, ends := range [][2]func(*Recipe){
		{func(r *Recipe) { r.Chelant.Assay.Typical = r.Chelant.Assay.Low }, func(r *Recipe) { r.Chelant.Assay.Typical = r.Chelant.Assay.High }},
		{func(r *Recipe) { r.Chelant.ExcessBase.Typical = r.Chelant.ExcessBase.Low }, func(r *Recipe) { r.Chelant.ExcessBase.Typical = r.Chelant.ExcessBase.High }},
		{func(r *Recipe) { r.Acid.Assay.Typical = r.Acid.Assay.Low }, func(r *Recipe) { r.Acid.Assay.Typical = r.Acid.Assay.High }},
		{func(r *Recipe) { r.Amount = measure.AmountOfMass(mass.Low) }, func(r *Recipe) { r.Amount = measure.AmountOfMass(mass.High) }},
		{func(r *Recipe) { r.Water = scaled(r.Water, 1-alkalinity) }, func(r *Recipe) { r.Water = scaled(r.Water, 1+alkalinity) }},
	} {
		var dose, start [2]float64
		for i, change := range ends {
			other := r
			change(&other)
			s, err := other.vessel(t)
			if err != nil {
				return acid, before, err
			}
			st, err := s.Equilibrate()
			if err != nil {
				return acid, before, err
			}
			start[i] = st.PH
			d, err := s.Dose(other.Acid, solution.PH(r.PH))
			switch {
			case err == nil:
				dose[i] = d.MassGrams
			case !errors.Is(err, solution.ErrUnreachable):
				return acid, before, err
			} // a bath that starts beyond the target needs no acid: 0
		}
		doses, starts = append(doses, dose), append(starts, start)
	}
	acid = nineCases(typical.MassGrams, doses)
	acid.Low = max(0, acid.Low)
	return acid, nineCases(typical.Before.PH, starts), nil
}

// scaled returns a water of f times the alkalinity, and of f times all its ions
// so that its charge still closes.
func scaled(w tables.Water, f float64) tables.Water {
	w.Alkalinity *= tables.Alkalinity(f)
	w.Ions = slices.Clone(w.Ions)
	for i := range w.Ions {
		w.Ions[i].MolPerLitre *= f
	}
	return w
}

// curve tabulates the acid from the starting pH to half a unit beyond the
// target, at every half unit and at the target.
func (r Recipe) curve(s *solution.Solution, dose solution.Dose) ([]Point, error) {
	start, end := dose.Before.PH, r.PH
	down := 1.0
	if end > start {
		down = -1
	}
	points := []Point{{PH: start}}
	first := float64(int(2*start)) / 2
	if down < 0 {
		first += 0.5
	}
	for ph := first; down*(ph-(end-0.5*down)) >= -1e-9; ph -= 0.5 * down {
		if down*(start-ph) < 1e-6 {
			continue
		}
		d, err := s.Dose(r.Acid, solution.PH(ph))
		if errors.Is(err, solution.ErrUnreachable) {
			break
		}
		if err != nil {
			return nil, err
		}
		last := points[len(points)-1]
		slope := 0.5 * (d.MassGrams - last.AcidGrams) / (down * (last.PH - ph))
		points = append(points, Point{ph, d.MassGrams, slope})
	}
	return points, nil
}

// notes turns warnings into sentences, one for all that lie outside their data.
func notes(states ...*solution.State) []string {
	var out []string
	for _, st := range states {
		for _, w := range st.Warnings {
			if text := w.String(); !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
	}
	return out
}
