package bath

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// Cause tells why a bath cleans no further, or that it does.
type Cause string

// The causes. The first three need three different remedies.
const (
	Spent   Cause = "spent"      // the chelant holds metal
	Drifted Cause = "drifted"    // the pH has climbed
	Barred  Cause = "barred"     // this oxide does not dissolve at the pH wanted
	Working Cause = "working"    // nothing is wrong
	Nothing Cause = "no chelant" // there never was anything to hold iron
)

// Diagnosis tells how a bath stands and what to do next.
type Diagnosis struct {
	Cause    Cause   `json:"cause"`
	PH       float64 `json:"ph"`
	WantedPH float64 `json:"wanted_ph"`
	// TargetPH is the pH to aim at: WantedPH, or one low enough for the oxide where
	// that is not; 0 where no pH would do.
	TargetPH float64 `json:"target_ph"`

	FreeChelantFraction float64  `json:"free_chelant_fraction"`
	Now                 Capacity `json:"takes_as_it_is"`  // left alone
	After               Capacity `json:"takes_when_held"` // at the pH wanted
	// Acid is the dose that brings TargetPH about, where that is the remedy or part
	// of it; nil otherwise.
	Acid *solution.Portion `json:"acid,omitempty"`
	Text string            `json:"text"`
}

// Thresholds of a diagnosis: judgement.
const (
	spentBelow   = 1 - PracticalShare // free part of the chelant
	barredBelow  = 0.05               // iron per chelant that an oxide can give
	workableFrom = 0.5                // iron per chelant at the pH to work at instead
	workableRoom = 0.5                // pH below where the oxide just reaches that
	driftedBelow = 0.5                // of what the bath would take at the pH wanted
	climbed      = 0.3                // pH above the target that acid is worth it for
)

// Diagnose tells which of its limits the bath has met for an oxide, given the
// pH at which it is meant to work and the acid that is at hand.
func (b *Bath) Diagnose(acid tables.Reagent, o Oxide, want float64) (Diagnosis, error) {
	if err := chem.Within("pH wanted", want, lowestPH, highestPH, ""); err != nil {
		return Diagnosis{}, err
	}
	c := b.contact(o)
	if c.err != nil {
		return Diagnosis{}, c.err
	}
	counted := c.holdings.Counted()
	whole := counted.Total()
	d := Diagnosis{PH: c.start.PH, WantedPH: want, TargetPH: want}
	if whole == 0 {
		d.Cause, d.Text = Nothing, "There is no chelant in the bath: add some before anything else."
		return d, nil
	}
	d.FreeChelantFraction = counted.Free() / whole
	limit := c.limitOrNone(want)
	d.Now, d.After = c.taken(c.leftAlone()), c.held(limit)
	switch {
	case limit.IronMoles < barredBelow*whole:
		d.Cause, d.TargetPH = Barred, c.workable()
	case d.FreeChelantFraction < spentBelow:
		d.Cause = Spent
	case d.PH > want+climbed && d.Now.IronMoles < driftedBelow*d.After.IronMoles:
		d.Cause = Drifted
	default:
		d.Cause = Working
	}
	if d.TargetPH > 0 && d.PH > d.TargetPH+climbed && d.Cause != Spent && c.err == nil {
		d.Acid, c.err = b.remedy(acid, d.TargetPH)
	}
	if c.err != nil {
		return Diagnosis{}, c.err
	}
	d.Text = d.words(o, acid)
	return d, nil
}

// workable returns the highest half unit of pH at which the oxide can fill half
// of the main chelants with some room, 0 if there is none between pH 2 and 12.
func (c *contact) workable() float64 {
	enough := func(pH float64) (bool, error) { return c.limitOrNone(pH).IronPerChelant >= workableFrom, c.err }
	const low, high, tolerance = 2.0, 12.0, 0.05
	if ok, _ := enough(low); !ok {
		return 0
	}
	pH := high
	if ok, _ := enough(high); !ok {
		pH, _ = root.Last(low, high, tolerance, enough)
	}
	return math.Floor(2*(pH-workableRoom)) / 2
}

// remedy returns the acid that brings a pH about, nil if it cannot.
func (b *Bath) remedy(acid tables.Reagent, pH float64) (*solution.Portion, error) {
	dose, err := b.Dose(acid, solution.PH(pH))
	if errors.Is(err, solution.ErrUnreachable) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	p := solution.NewPortion(acid, dose.Mass())
	return &p, nil
}

// words puts a diagnosis into a sentence or two.
func (d Diagnosis) words(o Oxide, acid tables.Reagent) string {
	rust := func(c Capacity) string { return measure.FormatMass(unit.Mass(c.RustGrams / 1000)) }
	dose := ""
	if d.Acid != nil {
		dose = fmt.Sprintf("Add %s of %s, most of it at once and the rest in portions, to come from pH %.1f to %.1f", d.Acid.Text(), acid.Name, d.PH, d.TargetPH)
	}
	switch {
	case d.Cause == Spent:
		return fmt.Sprintf("The chelant is used up: %.0f %% of it holds metal. Acid does not help; mix a new bath, or add chelant, and collect the old one.", 100*(1-d.FreeChelantFraction))
	case d.Cause == Barred && d.TargetPH == 0:
		return fmt.Sprintf("This bath dissolves next to no %s at any pH.", o.Name)
	case d.Cause == Barred:
		text := fmt.Sprintf("At pH %.1f equilibrium allows next to no %s to dissolve, however long it lies there. Work at pH %.1f or below.", d.WantedPH, o.Name, d.TargetPH)
		if dose != "" {
			text += " " + dose + "."
		}
		return text
	case d.Cause == Drifted && dose == "":
		return fmt.Sprintf("The bath has drifted to pH %.1f and is not spent: %.0f %% of its chelant is free. %s cannot bring it back to %.1f; use a stronger acid.", d.PH, 100*d.FreeChelantFraction, acid.Name, d.TargetPH)
	case d.Cause == Drifted:
		return fmt.Sprintf("The bath has only drifted: %.0f %% of its chelant is still free, yet as it is it takes %s of rust (%s). %s; it then takes about %s while held there.",
			100*d.FreeChelantFraction, rust(d.Now), o.Name, dose, rust(d.After))
	}
	text := fmt.Sprintf("The bath works. Left alone it takes about %s more of rust (%s)", rust(d.Now), o.Name)
	if d.After.IronMoles > 1.05*d.Now.IronMoles {
		text += fmt.Sprintf(", and about %s when its pH is held at %.1f", rust(d.After), d.TargetPH)
	}
	if dose != "" {
		text += ". " + dose
	}
	return text + "."
}
