package titration

import (
	"fmt"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// KitTest measures a bath with a hardness kit for pools, aquaria or water, which
// can only count hardness: a little bath goes into much hard water, binds its
// share, and the kit counts what is left. The kit is drops of EDTA, each for so
// much hardness in the sample that its maker prescribes, whatever its volume.
type KitTest struct {
	Bath       Aliquot // taken
	Water      Aliquot // hard water that it goes into
	WaterDrops int     // of the kit on its own sample of that water, before
	Drops      int     // of the kit on its own sample of the mixture
	// PerDrop is the hardness that a drop counts, mol/L. The maker's bottle held
	// upright keeps to a tenth or so, a standard uncertainty of 0.1/√3: common
	// practice, no source.
	PerDrop Result
}

func (x KitTest) check() error {
	if x.Drops < 1 {
		return &chem.InputError{Field: "drops on the mixture", Value: fmt.Sprint(x.Drops), Want: "one or more; take less bath or more water"}
	}
	return within(append(
		append(x.Bath.bounds("bath taken", leastML), x.Water.bounds("hard water", leastML)...),
		bound{"drops on the water", float64(x.WaterDrops), 1, mostDrops, ""},
		bound{"drops on the mixture", float64(x.Drops), 1, mostDrops, ""},
		bound{"hardness that a drop counts", x.PerDrop.Value, leastStrength, mostStrength, "mol/L"},
		bound{"uncertainty of that", x.PerDrop.Standard, 0, mostStrength, "mol/L"},
	)...)
}

// FreeChelant returns the capacity left in a bath of that volume,
//
//	c = (h W − h′ (W + B))/B
//
// with the hardness h of the water and h′ of the mixture, half a drop taken off
// each count. That of the drops' size acts on both counts alike. Where the
// mixture needs no drop, or one, all the hardness was bound and the error says to
// take less bath; it wraps [ErrNone] where the counts show no chelant.
func (x KitTest) FreeChelant(bath unit.Volume) (FreeChelant, error) {
	if err := x.check(); err != nil {
		return FreeChelant{}, err
	}
	b, w, drop := x.Bath.ml(), x.Water.ml(), x.PerDrop.Value
	h, left := drop*(float64(x.WaterDrops)-meanOfDrop), drop*(float64(x.Drops)-meanOfDrop)
	c := (h*w - left*(w+b)) / b
	if !(c > 0) {
		counts := fmt.Sprintf("%d on the water and %d on the mixture", x.WaterDrops, x.Drops)
		return FreeChelant{}, &chem.InputError{Field: "count of drops", Value: counts, Want: "fewer on the mixture; these show no free chelant", Kind: ErrNone}
	}
	count := drop * standardOfReading
	return newFreeChelant(newResult(c,
		Part{"size of the drop", c * x.PerDrop.Relative()},
		Part{"last drop on the water", count * w / b},
		Part{"last drop on the mixture", count * (w + b) / b},
		Part{"volume of bath taken", x.Bath.With.calibration(b) * (c + left)},
		Part{"volume of hard water", x.Water.With.calibration(w) * (h - left) * w / b},
	), bath)
}
