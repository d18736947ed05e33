package titration

import (
	"cmp"
	"context"
	"fmt"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Interference is what a calcium titration reports as the free chelant of a bath, mol/L.
type Interference struct {
	QuickMolPerLitre *float64 `json:"quick_mol_per_l"` // iron and other metals stay dissolved; nil where no endpoint shows
	SlowMolPerLitre  *float64 `json:"slow_mol_per_l"`  // their hydroxides come down and set free the chelant; or nil
}

// PredictInterference works through the test of a bath. In the beaker is a sample of so much bath,
// with water, held at the pH of the buffer, usually 10. The titrant holds calcium, and perhaps a
// tenth of that in magnesium, which sharpens the change of eriochrome black T. A dye that iron(III)
// binds for good, for which the tables hold no constant, is blocked whatever this says.
func PredictInterference(ctx context.Context, beaker *solution.Solution, sample unit.Volume, titrant *solution.Solution, x tables.Indicator) (Interference, error) {
	taken := inML(sample)
	if err := chem.Within("volume of the sample", taken, leastML, mostML, "mL"); err != nil {
		return Interference{}, err
	}
	slow, err := New(beaker, titrant, "Ca2+")
	if err != nil {
		return Interference{}, err
	}
	hardness, chelant := 0.0, 0.0 // mol/L of the titrant, mol in the beaker
	for i := range slow.path.Members {
		switch slow.path.Member(i).Class {
		case tables.HardnessMetal:
			hardness += slow.path.Rate[i]
		case tables.StrongChelant:
			chelant += slow.path.Start[i]
		}
	}
	if !(hardness > 0) {
		return Interference{}, &chem.InputError{Field: "hardness of the titrant", Value: fmt.Sprintf("%.4g mol/L", hardness), Want: "calcium in it"}
	}
	barred := beaker.Clone() // without the solids that take metals away from the chelant
	for k, solid := range slow.path.Solids {
		for i, n := range slow.path.Composition(len(slow.path.Species) + k) {
			if n != 0 && slow.path.Member(i).Class.Metal() {
				err = cmp.Or(err, barred.Bar(solid.Species.String()))
			}
		}
	}
	quick, err2 := New(barred, titrant, "Ca2+")
	if err = cmp.Or(err, err2); err != nil {
		return Interference{}, err
	}
	const enough = 2 // times the titrant that all the chelant takes
	var reported [2]*float64
	for i, run := range []*Titration{quick, slow} {
		ends, err := run.Endpoints(ctx, x, unit.Volume(enough*chelant/hardness)*measure.Litre)
		if err != nil {
			return Interference{}, err
		}
		if len(ends) > 0 {
			reported[i] = new(ends[0].ML * hardness / taken)
		}
	}
	return Interference{reported[0], reported[1]}, nil
}
