package titration

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// FreeChelant is what a used bath can still bind, by a test with calcium.
//
// Calcium at pH 10 finds the chelant that holds no metal. What holds iron keeps
// it, if one is quick; what holds calcium and magnesium from hard water is not
// counted, although iron can take their place in part: the figure is on the safe
// side. See [Procedure.Interference] for what iron does to the endpoint.
type FreeChelant struct {
	ConcentrationMolPerLitre Result `json:"concentration_mol_per_l"` // of the bath
	AmountMoles              Result `json:"amount_mol"`              // in the whole bath
	IronGrams                Result `json:"iron_g"`                  // g of iron that they bind, one to one
	RustGrams                Result `json:"rust_g"`                  // g of rust, as FeO(OH)
}

func newFreeChelant(c Result, bath unit.Volume) (FreeChelant, error) {
	if !(bath > 0) || math.IsInf(float64(bath), 0) {
		return FreeChelant{}, &chem.InputError{Field: "volume of the bath", Value: fmt.Sprintf("%g L", float64(bath)*1000), Want: "a volume above 0"}
	}
	moles := c.Times(float64(bath) * 1000)
	iron, err := chem.ParseFormula("Fe")
	if err != nil {
		return FreeChelant{}, err
	}
	rust, err := chem.ParseFormula("FeO(OH)")
	if err != nil {
		return FreeChelant{}, err
	}
	return FreeChelant{c, moles, moles.Times(iron.MolarMass()), moles.Times(rust.MolarMass())}, nil
}

// FreeChelant reads the titre of a sample of bath with a calcium solution as the
// capacity left in the bath.
func (x Titre) FreeChelant(bath unit.Volume) (FreeChelant, error) {
	c, err := x.Concentration()
	if err != nil {
		return FreeChelant{}, err
	}
	return newFreeChelant(c, bath)
}

// Kit is a hardness kit for pools, aquaria or water: drops of EDTA, each for so
// much hardness in the sample that the kit prescribes, whatever its volume.
type Kit struct {
	PerDrop tables.Hardness // hardness that a drop counts
	// Relative is the limit of error of a drop as a fraction; the maker's bottle
	// held upright keeps to a tenth or so: common practice, no source.
	Relative float64
}

// Titre returns the titration that n drops of the kit amount to on its own sample
// of water.
func (k Kit) Titre(drops int) Titre {
	// any sizes will do: drop times strength over sample is what the kit fixes
	const sample, drop = unit.Volume(1e-6), unit.Volume(0.05e-6)
	return Titre{
		Sample: sample, Strength: float64(k.PerDrop) * float64(sample/drop), Drops: drops,
		With: Dispenser{Name: "drops of the kit", Relative: k.Relative, Step: drop},
	}
}

// KitTest measures a bath with a hardness kit, which can only count hardness: a
// little bath goes into much hard water, binds its share, and the kit counts what
// is left.
type KitTest struct {
	Bath       unit.Volume // taken
	BathWith   Dispenser   // how it was measured out
	Water      unit.Volume // hard water that it goes into
	WaterWith  Dispenser   // how it was measured out
	WaterDrops int         // of the kit on its own sample of that water, before
	Kit        Kit
	Drops      int // of the kit on its own sample of the mixture
}

// FreeChelant returns the capacity left in a bath of that volume,
//
//	c = (h W − h′ (W + B))/B
//
// with the hardness h of the water and h′ of the mixture, half a drop taken off
// each count. That of the drops' size acts on both counts alike. Where the
// mixture needs no drop, or one, all the hardness was bound and the error says to
// take less bath.
func (x KitTest) FreeChelant(bath unit.Volume) (FreeChelant, error) {
	before, after := x.Kit.Titre(x.WaterDrops), x.Kit.Titre(x.Drops)
	for _, c := range []struct {
		field string
		titre Titre
	}{{"drops on the water", before}, {"drops on the mixture", after}} {
		if c.titre.Drops < 1 {
			return FreeChelant{}, &chem.InputError{Field: c.field, Value: fmt.Sprint(c.titre.Drops), Want: "one or more; take less bath or more water"}
		}
		if err := c.titre.check(); err != nil {
			return FreeChelant{}, err
		}
	}
	b, w := float64(x.Bath), float64(x.Water)
	for field, v := range map[string]float64{"volume of bath taken": b, "volume of hard water": w} {
		if !(v > 0) || math.IsInf(v, 0) {
			return FreeChelant{}, &chem.InputError{Field: field, Value: fmt.Sprintf("%g mL", v*1e6), Want: "a volume above 0"}
		}
	}
	for field, d := range map[string]Dispenser{"the bath's measure": x.BathWith, "the water's measure": x.WaterWith} {
		if err := d.check(field); err != nil {
			return FreeChelant{}, err
		}
	}
	drop := float64(x.Kit.PerDrop)
	h, left := drop*(float64(x.WaterDrops)-0.5), drop*(float64(x.Drops)-0.5)
	c := (h*w - left*(w+b)) / b
	if !(c > 0) {
		return FreeChelant{}, fmt.Errorf("%w: %d drops before and %d after show no free chelant", ErrNone, x.WaterDrops, x.Drops)
	}
	count := drop / math.Sqrt(12)
	return newFreeChelant(newResult(c,
		Part{"size of the drop", c * x.Kit.Relative / math.Sqrt(3)},
		Part{"last drop on the water", count * w / b},
		Part{"last drop on the mixture", count * (w + b) / b},
		Part{"volume of bath taken", x.BathWith.calibration(x.Bath) * (c + left) / b},
		Part{"volume of hard water", x.WaterWith.calibration(x.Water) * (h - left) / b},
	), bath)
}

// Procedure is how a bath is titrated with calcium for its free chelant.
type Procedure struct {
	Sample unit.Volume // of bath
	Water  unit.Volume // pure water that it is diluted with
	PH     float64     // held by a buffer, usually 10
	// Titrant holds calcium, and perhaps some magnesium, a tenth of the calcium,
	// which sharpens the change of eriochrome black T.
	Titrant   *solution.Solution
	Indicator tables.Indicator
}

// Interference is what a calcium titration of a bath would report against what is
// there.
type Interference struct {
	FreeMolPerLitre float64 `json:"free_mol_per_l"` // of bath: chelant that holds no metal but sodium and potassium
	// Quick is what the endpoint reports when iron and the other metals stay
	// dissolved, Slow when their hydroxides have time to come down and the
	// chelant that held them is set free. Nil where the indicator does not turn.
	Quick *Found `json:"quick"`
	Slow  *Found `json:"slow"`
	// FreeFerric is the free Fe³⁺ at the quick endpoint, 0 without iron. What the
	// tables hold no constant for it cannot tell: a dye that iron(III) binds for
	// good is blocked whatever this says.
	FreeFerricMolPerLitre float64 `json:"free_ferric_mol_per_l"`
}

// Found is what an endpoint reports.
type Found struct {
	MolPerLitre float64 `json:"mol_per_l"` // chelant, of bath
	// Steep is the change of pCa per per cent of titrant at the endpoint: below
	// about 0.1 the colour creeps.
	SteepPerPercent float64 `json:"steep_per_percent"`
}

// Interference predicts the test of a bath and leaves the bath as it is.
func (x Procedure) Interference(ctx context.Context, bath *solution.Solution) (Interference, error) {
	sample, err := millilitres("volume of the sample", x.Sample)
	if err != nil {
		return Interference{}, err
	}
	if !(x.Water >= 0) || math.IsInf(float64(x.Water), 0) {
		return Interference{}, &chem.InputError{Field: "volume of water", Value: fmt.Sprintf("%g mL", float64(x.Water)*1e6), Want: "a volume from 0"}
	}
	if x.Titrant == nil {
		return Interference{}, &chem.InputError{Field: "titrant", Value: "none", Want: "a vessel that holds calcium"}
	}
	hardness := 0.0 // mol/L
	for _, metal := range []string{"Ca2+", "Mg2+"} {
		n, err := x.Titrant.Amount(metal)
		if err != nil {
			return Interference{}, err
		}
		hardness += float64(n) / (1000 * float64(x.Titrant.Volume()))
	}
	if !(hardness > 0) {
		return Interference{}, &chem.InputError{Field: "hardness of the titrant", Value: fmt.Sprintf("%g mol/L", hardness), Want: "calcium in it"}
	}
	var out Interference
	if out.FreeMolPerLitre, err = freeChelant(bath, x.Titrant); err != nil {
		return Interference{}, err
	}
	if !(out.FreeMolPerLitre > 0) {
		return Interference{}, fmt.Errorf("%w: the bath holds no free chelant", ErrNone)
	}
	beaker := bath.Clone()
	if err := beaker.Remove(1 - float64(x.Sample/bath.Volume())); err != nil {
		return Interference{}, &chem.InputError{Field: "volume of the sample", Value: fmt.Sprintf("%g mL", sample), Want: "no more than there is of the bath"}
	}
	if err := beaker.AddPureWater(x.Water); err != nil {
		return Interference{}, err
	}
	if err := beaker.HoldPH(x.PH); err != nil {
		return Interference{}, err
	}
	slow := beaker.Clone()
	hydroxides, err := metalSolids(beaker, x.Titrant)
	if err != nil {
		return Interference{}, err
	}
	if err := beaker.Bar(hydroxides...); err != nil {
		return Interference{}, err
	}
	perMole := hardness / sample // mol/L of bath for a mL of titrant
	for _, way := range []struct {
		beaker *solution.Solution
		found  **Found
	}{{beaker, &out.Quick}, {slow, &out.Slow}} {
		run, err := New(way.beaker, x.Titrant, "Ca2+")
		if err != nil {
			return Interference{}, err
		}
		all := 0.0 // calcium for every chelant there is
		for i, c := range run.Components() {
			if slices.Contains(chelants, c.String()) {
				all += run.path.Start(i)
			}
		}
		ends, err := run.Endpoints(ctx, x.Indicator, unit.Volume(2*all/hardness/1000))
		if err != nil {
			return Interference{}, err
		}
		if len(ends) == 0 {
			continue
		}
		e := ends[0]
		*way.found = &Found{e.ML * perMole, e.SteepPerML * e.ML / 100}
		if i, err := run.path.Component("Fe3+"); err == nil && i >= 0 && way.found == &out.Quick {
			if _, err := run.at(e.ML, false); err != nil {
				return Interference{}, err
			}
			out.FreeFerricMolPerLitre = math.Pow(10, -run.path.PFree(i))
		}
	}
	return out, nil
}

// freeChelant adds up the chelant in a vessel that holds no metal but sodium and
// potassium, mol/L.
func freeChelant(bath, other *solution.Solution) (float64, error) {
	path, _, err := bath.Path(other)
	if err != nil {
		return 0, err
	}
	if err := path.At(0); err != nil {
		return 0, err
	}
	components := path.Components()
	free := 0.0
	for j, c := range path.Concentrations() {
		metal, chelant := false, 0.0
		for i, n := range path.Composition(j) {
			name := components[i].String()
			switch {
			case n == 0 || i == 0:
			case slices.Contains(chelants, name):
				chelant += n
			case components[i].Formula.Charge() > 0 && !slices.Contains(alkali, name):
				metal = true
			}
		}
		if !metal {
			free += c * chelant
		}
	}
	return free, nil
}

// metalSolids lists the solids that take metals away from the chelant.
func metalSolids(beaker, titrant *solution.Solution) ([]string, error) {
	path, _, err := beaker.Path(titrant)
	if err != nil {
		return nil, err
	}
	components := path.Components()
	var out []string
	for k, s := range path.Solids() {
		for i, n := range path.SolidComposition(k) {
			if n > 0 && i > 0 && components[i].Formula.Charge() > 0 && !slices.Contains(alkali, components[i].String()) {
				out = append(out, s.String())
				break
			}
		}
	}
	return out, nil
}
