package tables

import (
	"fmt"
	"io/fs"
	"iter"
)

// PhaseRate is how fast a phase of rust dissolves in acid, per area of its
// grains: frequency · exp(−E/RT). It serves to rank phases; no such study exists
// for chelants near pH 7.
type PhaseRate struct {
	Phase            RustPhase
	ActivationEnergy float64 // kJ/mol
	Frequency        float64 // g of iron per m² of grain surface (BET) and hour
	Note             string
	Sources          []string
}

// PhaseRate returns the rate of the phase of rust of that id, name or synonym.
// The error is a *NotFoundError; no rate is known for wustite, water and dirt.
func (t *Tables) PhaseRate(phase string) (PhaseRate, error) { return t.phaseRates.find(phase) }

// PhaseRates yields the rates of all phases that have one, the fastest group
// first.
func (t *Tables) PhaseRates() iter.Seq[PhaseRate] { return t.phaseRates.all() }

// Kinetic is a figure that the time to dissolve rust depends on, with the range
// that holds nine cases in ten of what is believed before anything was seen.
type Kinetic struct {
	ID      string
	Value   Range
	Unit    string // 1 for a pure number
	Note    string // what it is
	Sources []string
}

// Kinetic returns the figure of that id, such as "half-coverage". The error is
// a *NotFoundError.
func (t *Tables) Kinetic(id string) (Kinetic, error) { return t.kinetics.find(id) }

// Kinetics yields all such figures.
func (t *Tables) Kinetics() iter.Seq[Kinetic] { return t.kinetics.all() }

const (
	phaseRateFile = "dissolution-phases.csv"
	kineticFile   = "dissolution.csv"
)

// loadPhaseRates comes after the phases of rust.
func (t *Tables) loadPhaseRates(fsys fs.FS) error {
	rows, err := readCSV(fsys, phaseRateFile, "phase", "activation_energy_kj_mol", "frequency_g_fe_m2_h", "note", "source")
	if err != nil {
		return err
	}
	t.phaseRates.kind = "rate of a phase of rust"
	for _, r := range rows.rows {
		x := PhaseRate{
			ActivationEnergy: r.number("activation_energy_kj_mol", 10, 200), Frequency: r.number("frequency_g_fe_m2_h", 1, 1e20),
			Note: r.optionalText("note"), Sources: t.sourceKeys(r),
		}
		var err error
		if x.Phase, err = t.RustPhase(r.text("phase")); err != nil || x.Phase.IronFraction() == 0 {
			r.fail("phase", "a phase of rust that holds iron")
			continue
		}
		if taken := t.phaseRates.add(x, x.Phase.ID, x.Phase.Name, x.Phase.Synonyms...); taken != "" {
			r.fail("phase", "a phase that occurs once")
		}
	}
	return rows.err()
}

func (t *Tables) loadKinetics(fsys fs.FS) error {
	rows, err := readCSV(fsys, kineticFile, "id", "low", "typical", "high", "unit", "note", "source")
	if err != nil {
		return err
	}
	t.kinetics.kind = "kinetic figure"
	for _, r := range rows.rows {
		k := Kinetic{
			ID:    r.text("id"),
			Value: Range{r.number("low", 0, 1e6), r.number("typical", 0, 1e6), r.number("high", 0, 1e6)},
			Unit:  r.oneOf("unit", "1", "h", "kJ/mol", "mol/L", "m", "m2/s"),
			Note:  r.text("note"), Sources: t.sourceKeys(r),
		}
		if v := k.Value; !(v.Low < v.Typical && v.Typical < v.High) {
			r.fail("typical", fmt.Sprintf("a value between low = %g and high = %g", v.Low, v.High))
		}
		if taken := t.kinetics.add(k, k.ID, k.ID); taken != "" {
			r.fail("id", "an id that occurs once")
		}
	}
	return rows.err()
}
