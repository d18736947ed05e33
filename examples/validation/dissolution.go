package main

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func phaseActivationEnergy(t *tables.Tables, in *input) (float64, error) {
	r, err := tables.Find[tables.PhaseRate](t, in.text("phase"))
	return r.ActivationEnergyKJPerMol, err
}

// phaseDissolutionRate is frequency · exp(−E/RT), g of iron per m² of grains and
// hour.
func phaseDissolutionRate(t *tables.Tables, in *input) (float64, error) {
	return rateOf(t, in.text("phase"), in.temperature())
}

func rateOf(t *tables.Tables, phase string, at unit.Temperature) (float64, error) {
	r, err := tables.Find[tables.PhaseRate](t, phase)
	return r.FrequencyGramsPerM2Hour * math.Exp(-1000*r.ActivationEnergyKJPerMol/(chem.GasConstant*float64(at))), err
}

func phaseRateRatio(t *tables.Tables, in *input) (float64, error) {
	a, err := phaseDissolutionRate(t, in)
	if err != nil {
		return 0, err
	}
	b, err := rateOf(t, in.text("over"), in.temperature())
	return a / b, err
}

func warmthFactor(_ *tables.Tables, in *input) (float64, error) {
	return rust.Arrhenius(in.number("Ea_kJ_mol"), chem.Celsius(in.number("from_C")), in.temperature())
}

// ironIITimesFaster is the typical figure of the tables, if its range is the one
// published.
func ironIITimesFaster(t *tables.Tables, in *input) (float64, error) {
	k, err := tables.Find[tables.Kinetic](t, "iron-ii-catalysis")
	if k.Value.Low != in.number("low") || k.Value.High != in.number("high") {
		return math.NaN(), err
	}
	return k.Value.Typical, err
}

// dip works out how long a little rust takes in a litre of bath: its median. The
// pH is held.
func dip(t *tables.Tables, in *input, saltPerLitre float64, at unit.Temperature) (rust.DipTime, error) {
	var none rust.DipTime
	kind, err := t.Rust(in.text("rust"))
	if err != nil { // a phase by itself
		phase, err := tables.Find[tables.RustPhase](t, in.text("rust"))
		if err != nil {
			return none, err
		}
		kind = tables.Rust{Entry: tables.Entry{Name: phase.Name}, Constituents: []tables.Constituent{{Phase: phase, Share: tables.Range{Low: 1, Typical: 1, High: 1}}}}
	}
	layer, err := rust.LayerOfMass(kind, unit.Mass(in.number("iron_g_m2")/kind.IronFraction().Typical)*measure.Gram, measure.SquareMetre)
	if err != nil {
		return none, err
	}
	salt, err := t.Reagent("tetrasodium EDTA tetrahydrate")
	if err != nil {
		return none, err
	}
	acid, err := t.Reagent("muriatic acid")
	if err != nil {
		return none, err
	}
	water, err := t.Water("deionised water")
	if err != nil {
		return none, err
	}
	tub, err := recipe.Recipe{
		Water: water, Volume: 1e-3, Temperature: at, Chelant: salt, Amount: measure.AmountOfMass(unit.Mass(saltPerLitre / 1000)), Acid: acid, PH: in.number("pH"),
	}.Mix(t)
	if err != nil {
		return none, err
	}
	oxide, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		return none, err
	}
	pace, err := rust.NewPace(t)
	if err != nil {
		return none, err
	}
	x, err := pace.Time(tub, rust.Dip{Rust: kind, Layer: layer, Area: 1e-4, Oxide: oxide, Held: true, Motion: rust.Motion(in.text("motion"))})
	if err == nil && x.RustDissolvedFraction < 1 {
		err = fmt.Errorf("the bath stops early: %s", x.Text)
	}
	return x, err
}

func dipHours(t *tables.Tables, in *input) (float64, error) {
	x, err := dip(t, in, in.number("salt_g_L"), in.temperature())
	return x.Hours.Typical, err
}

// dipTimesFaster compares a dip with one that is warmer or stronger.
func dipTimesFaster(t *tables.Tables, in *input) (float64, error) {
	from := in.temperature()
	if in.has("from_C") {
		from = chem.Celsius(in.number("from_C"))
	}
	before, err := dip(t, in, in.number("salt_g_L"), from)
	if err != nil {
		return 0, err
	}
	after, err := dip(t, in, in.number("salt_g_L")*in.numberOr("stronger", 1), in.temperature())
	return before.Hours.Typical / after.Hours.Typical, err
}

// dipOrderInChelant is d ln rate / d ln strength, as a chord.
func dipOrderInChelant(t *tables.Tables, in *input) (float64, error) {
	x, err := dipTimesFaster(t, in)
	return math.Log(x) / math.Log(in.number("stronger")), err
}

func dipDiffusionBound(t *tables.Tables, in *input) (float64, error) {
	salt, err := t.Reagent("tetrasodium EDTA tetrahydrate")
	if err != nil {
		return 0, err
	}
	x, err := dip(t, in, in.number("EDTA_mol_L")/salt.MolPerGram().Typical, in.temperature())
	return x.BoundHours.Typical, err
}
