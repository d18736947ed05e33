package recipe

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

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
	Acid    solution.Portion `json:"acid"` // or the base that sets the pH

	WaterLitres         float64 `json:"water_l"`
	BathLitres          float64 `json:"bath_l"`
	TemperatureC        float64 `json:"temperature_c"`
	StrengthMolPerLitre float64 `json:"strength_mol_per_l"` // of the chelating anion

	// Of the chelating salt, on the bottom of the water alone and at the end.
	UndissolvedGrams      float64 `json:"undissolved_g,omitempty"`
	UndissolvedAfterGrams float64 `json:"undissolved_after_g,omitempty"`

	PHBefore                       tables.Range `json:"ph_before"` // before the acid
	PHAfter                        float64      `json:"ph_after"`
	IonicStrengthBeforeMolPerLitre float64      `json:"ionic_strength_before_mol_per_l"`
	IonicStrengthAfterMolPerLitre  float64      `json:"ionic_strength_after_mol_per_l"`

	Steps []Step  `json:"steps"` // how to add the acid
	Curve []Point `json:"curve"` // pH against acid

	HardnessFraction float64       `json:"hardness_fraction"` // of the chelant, that the hardness of the water holds
	Iron             bath.Capacity `json:"iron_it_can_bind"`
	Cost             *Cost         `json:"cost,omitempty"` // against the rust that the chelant binds at most

	// InTheOpen tells what becomes of the dose as gas leaves; nil where a lid keeps nothing worth
	// telling. In the open, Acid is the dose for good, and PHAfter the pH with that just in, at
	// which the steps stop where the gas is worth waiting for, and at the target else.
	InTheOpen *bath.Dosing      `json:"in_the_open,omitempty"`
	Forecast  *reading.Forecast `json:"forecast"` // what the ranges come from

	Cautions []care.Caution `json:"cautions"`
	Practice []care.Advice  `json:"practice"`        // how to work with the bath, and why
	Notes    []string       `json:"notes,omitempty"` // where the figures rest on less than they should
}

// Point is one point of the curve of pH against acid.
type Point struct {
	PH             float64 `json:"ph"`
	AcidGrams      float64 `json:"acid_g"` // in all, from the start
	GramsPerHalfPH float64 `json:"acid_g_per_half_ph"`
}

// Plan works the recipe out. An acid that cannot bring the bath to the pH is an error that wraps
// [solution.ErrUnreachable]. Ranges, steps and forecast come from one belief, that of
// [reading.Model.Forecast].
func (r Recipe) Plan(t *tables.Tables) (*Plan, error) {
	m, err := r.mix(t)
	if err != nil {
		return nil, err
	}
	r.Acid = m.setter
	after, before := m.dose.After, m.dose.Before
	chelant := chem.Species{Formula: r.Chelant.Chelant}.String()
	h, first := bath.HoldingsOf(after).Of(chelant), bath.HoldingsOf(before).Of(chelant)
	settled := m.chelant.TypicalGrams * first.SettledMoles / first.TotalMoles
	p := &Plan{
		Chelant: solution.NewPortion(r.Chelant, m.chelant.Typical()), Acid: solution.NewPortion(r.Acid, m.dose.Mass()),
		WaterLitres: float64(r.Volume / measure.Litre), BathLitres: after.VolumeLitres, TemperatureC: float64(r.Temperature) - 273.15,
		StrengthMolPerLitre: h.TotalMoles / after.VolumeLitres, HardnessFraction: h.HardnessMoles / h.TotalMoles,
		// A vessel's volume counts what lies there as dissolved: so much less water holds so much
		// less.
		UndissolvedGrams:      settled / (1 - (m.chelant.TypicalGrams-settled)*r.Chelant.ApparentCm3PerGram/1000/before.VolumeLitres),
		UndissolvedAfterGrams: m.chelant.TypicalGrams * h.SettledMoles / h.TotalMoles,
		PHBefore:              tables.Range{Typical: before.PH}, PHAfter: after.PH,
		IonicStrengthBeforeMolPerLitre: before.IonicStrengthMolPerLitre, IonicStrengthAfterMolPerLitre: after.IonicStrengthMolPerLitre,
	}
	if m.open {
		r.PH, p.PHAfter = min(max(after.PH, lowestPH), highestPH), m.dosing.StartPH // not where it is for good
	}
	if m.open || m.dosing.Waits() {
		p.InTheOpen = &m.dosing
	}
	if m.dosing.Waits() && m.dosing.Text != "" {
		p.Notes = []string{m.dosing.Text}
	}
	for _, w := range slices.Concat(before.Warnings, after.Warnings) {
		if text := w.String(); !slices.Contains(p.Notes, text) {
			p.Notes = append(p.Notes, text)
		}
	}
	if m.chelant.LowGrams != m.chelant.HighGrams {
		p.Chelant.MassLowGrams, p.Chelant.MassHighGrams = m.chelant.LowGrams, m.chelant.HighGrams
	}
	if m.noIron != "" {
		p.Notes = append(p.Notes, m.noIron)
	} else {
		p.Iron = bath.IronCapacity(unit.Mole(h.FreeMoles + h.SettledMoles))
	}
	if p.Cost, err = r.cost(m, Extra{}, p.Iron.RustGrams); err != nil {
		return nil, err
	}
	p.Curve, err = r.curve(m)
	if err = cmp.Or(err, p.spread(t, r)); err != nil {
		return nil, err
	}
	var err1, err2 error
	p.Steps, err = r.stage(m.fresh, p)
	p.Cautions, err1 = care.Cautions(t, r.with(r.Chelant, r.Acid), r.Materials)
	p.Practice, err2 = care.Work{Materials: r.Materials, PH: p.PHAfter, TemperatureC: p.TemperatureC, HardnessFraction: p.HardnessFraction}.Practice(t)
	return p, cmp.Or(err, err1, err2)
}

// spread sets the ranges about the plan's own figures.
func (p *Plan) spread(t *tables.Tables, r Recipe) error {
	m, err := reading.New(t, r.setup(p.PHBefore.Typical))
	if err != nil {
		return err
	}
	const nothing = 1e-12 // g: of what costs nothing, for it is not there
	var pricing func(salt, acid float64) float64
	if c := p.Cost; c != nil && len(c.Missing) == 0 {
		pricing = func(salt, acid float64) float64 {
			return c.Extras + c.Chelant/p.Chelant.MassGrams*salt + c.Acid/max(p.Acid.MassGrams, nothing)*acid
		}
	}
	if p.Forecast, err = m.Forecast(pricing); err != nil {
		return err
	}
	ph, dose := p.Forecast.PH.Range, p.Forecast.DoseGrams.Range
	if p.InTheOpen != nil && p.InTheOpen.FizzLitres > 0 { // how much, the vessel alone knows
		dose = dose.Times(p.Acid.MassGrams / dose.Typical)
	}
	p.PHBefore.Low, p.PHBefore.High = min(ph.Low, p.PHBefore.Typical), max(ph.High, p.PHBefore.Typical)
	if p.Forecast.NeverFraction < 0.5 { // or else there is no range, as of lime, whose calcium the belief knows as hardness alone
		p.Acid.MassLowGrams, p.Acid.MassHighGrams = min(dose.Low, p.Acid.MassGrams), max(dose.High, p.Acid.MassGrams)
	}
	return nil
}

// setup is what is believed of the recipe before it is mixed, given the pH at which it starts.
func (r Recipe) setup(start float64) reading.Setup {
	s := reading.Setup{
		Water: r.Water, Volume: r.Volume, Temperature: r.Temperature,
		Bag: []reading.Candidate{{Salt: r.Chelant, Weight: 1}}, Amount: r.Amount, PH: r.PH,
	}
	for _, e := range r.Extras {
		s.Extras = append(s.Extras, reading.Added{Reagent: e.Reagent, Amount: measure.AmountOfMass(e.Mass)})
	}
	if start > r.PH || start == r.PH && !slices.Contains(r.Acid.Groups, "base") {
		s.Acid = r.Acid
	} else {
		s.Base = r.Acid
	}
	return s
}

// curveStep is the step in pH of the curve, and the change that a portion near the end
// may make: half a step of a pH strip that reads whole units.
const curveStep = 0.5

// curve tabulates the acid at every half unit of pH to half a unit beyond the target.
func (r Recipe) curve(m mixture) ([]Point, error) {
	const rounding = 1e-9 // of a pH
	start := m.dose.Before.PH
	down := math.Copysign(1, start-r.PH)
	points, v := []Point{{PH: start}}, m.fresh.Clone()
	for n := math.Ceil(down*start/curveStep) - 1; n*curveStep > down*r.PH-curveStep-rounding; n-- {
		pH, last := down*n*curveStep, points[len(points)-1]
		grams, err := v.Bring(r.Acid, solution.PH(pH))
		if errors.Is(err, solution.ErrUnreachable) {
			break
		}
		if err != nil {
			return nil, err
		}
		points = append(points, Point{pH, last.AcidGrams + grams, curveStep * grams / math.Abs(last.PH-pH)})
	}
	return points, nil
}
