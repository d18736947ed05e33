package titration

import (
	"context"
	"fmt"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Interference is what a calcium titration of a bath would report against what is
// there, all of it mol per litre of bath.
type Interference struct {
	FreeMolPerLitre float64 `json:"free_mol_per_l"` // chelant that holds no metal but sodium and potassium
	// Quick is what the endpoint reports when iron and the other metals stay
	// dissolved, Slow when their hydroxides have time to come down and the
	// chelant that held them is set free. Nil where the indicator does not turn.
	QuickMolPerLitre *float64 `json:"quick_mol_per_l"`
	SlowMolPerLitre  *float64 `json:"slow_mol_per_l"`
}

// PredictInterference works through the test of a bath. The beaker is what stands
// under the burette: a sample of so much bath, with water, held at the pH of the
// buffer, usually 10. The titrant holds calcium, and perhaps some magnesium, a
// tenth of the calcium, which sharpens the change of eriochrome black T. The error
// wraps [ErrNone] where the bath holds no free chelant.
//
// What the tables hold no constant for it cannot tell: a dye that iron(III) binds
// for good is blocked whatever this says.
func PredictInterference(ctx context.Context, beaker *solution.Solution, sample unit.Volume, titrant *solution.Solution, x tables.Indicator) (Interference, error) {
	taken, err := volumeML("volume of the sample", sample, leastML)
	if err != nil {
		return Interference{}, err
	}
	slow, err := New(beaker, titrant, "Ca2+")
	if err != nil {
		return Interference{}, err
	}
	hardness, chelant := 0.0, 0.0 // mol/L of the titrant, mol in the beaker
	for i := range slow.path.Components() {
		if slow.path.Class(i) == tables.HardnessMetal {
			hardness += slow.path.Rate(i)
		}
		if slow.chelant(i) {
			chelant += slow.path.Start(i)
		}
	}
	if !(hardness > 0) {
		return Interference{}, &chem.InputError{Field: "hardness of the titrant", Value: fmt.Sprintf("%g mol/L", hardness), Want: "calcium in it"}
	}
	barred := beaker.Clone()
	if err := barred.Bar(slow.metalSolids()...); err != nil {
		return Interference{}, err
	}
	quick, err := New(barred, titrant, "Ca2+")
	if err != nil {
		return Interference{}, err
	}
	free, err := quick.freeChelant()
	if err != nil {
		return Interference{}, err
	}
	if !(free > 0) {
		return Interference{}, &chem.InputError{Field: "free chelant", Value: "0 mol/L", Want: "some in the beaker", Kind: ErrNone}
	}
	out := Interference{FreeMolPerLitre: free / (taken / mLPerLitre)}
	const enough = 2 // times the titrant that all the chelant takes
	for _, c := range []struct {
		run   *Titration
		found **float64
	}{{quick, &out.QuickMolPerLitre}, {slow, &out.SlowMolPerLitre}} {
		ends, err := c.run.Endpoints(ctx, x, unit.Volume(enough*chelant/hardness)*measure.Litre)
		if err != nil {
			return Interference{}, err
		}
		if len(ends) > 0 {
			reported := ends[0].ML * hardness / taken
			*c.found = &reported
		}
	}
	return out, nil
}

// freeChelant adds up the chelant that holds no metal but the alkalis before the
// burette is opened, mol.
func (t *Titration) freeChelant() (float64, error) {
	if err := t.path.At(0); err != nil {
		return 0, err
	}
	free := 0.0
	for j, c := range t.path.Concentrations() {
		bound, chelant := false, 0.0
		for i, n := range t.path.Composition(j) {
			bound = bound || n > 0 && t.metal(i)
			if t.chelant(i) {
				chelant += n
			}
		}
		if !bound {
			free += c * chelant
		}
	}
	return free * t.path.Litres(), nil
}

// metalSolids lists the solids that take metals away from the chelant.
func (t *Titration) metalSolids() []string {
	var out []string
	for k, s := range t.path.Solids() {
		for i, n := range t.path.SolidComposition(k) {
			if n > 0 && t.metal(i) {
				out = append(out, s.String())
				break
			}
		}
	}
	return out
}
