package tables

// PhaseRate is how fast a phase of rust dissolves in acid, per area of its grains: frequency ·
// exp(−E/RT). It serves to rank phases; no such study exists for chelants near pH 7.
type PhaseRate struct {
	Entry                            // that of the [RustPhase]
	ActivationEnergyKJPerMol float64 `json:"activation_energy_kj_per_mol"`
	FrequencyGramsPerM2Hour  float64 `json:"frequency_g_per_m2_h"` // iron, by the surface of the grains (BET)
}

// Kinetic is a figure that the time to dissolve rust, or the course of an open tub, depends on,
// with the range that holds nine cases in ten of what is believed before anything was seen.
type Kinetic struct {
	Entry        // without a name; the note tells what it is
	Value Range  `json:"value"`
	Unit  string `json:"unit"` // 1 for a pure number
}

func (r row) phaseRate() PhaseRate {
	phase, err := Find[RustPhase](r.Tables, r.text("phase"))
	if err != nil || phase.IronFraction() == 0 {
		r.fail("phase", "a phase of rust that holds iron")
	}
	x := PhaseRate{r.entry(), r.number("activation_energy_kj_mol", 10, 200), r.number("frequency_g_fe_m2_h", 1, 1e20)}
	x.ID, x.Name, x.Synonyms = phase.ID, phase.Name, phase.Synonyms
	return x
}

func (r row) kinetic() Kinetic {
	r.text("note")
	return Kinetic{r.entry(), r.ranged("low", "typical", "high", 0, 1e6),
		oneOf(r, "unit", "1", "h", "kJ/mol", "mol/L", "mol/m3", "mol/(m2 d)", "m", "m/s", "cm/h", "m2/s", "m6/(mol2 s)", "atm")}
}
