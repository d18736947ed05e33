package titration

import (
	"cmp"
	"fmt"

	"example.com/chelation/chem"
)

// KitTest measures a bath with a hardness kit: a little bath goes into much hard
// water, binds its share, and the kit counts what is left. The kit is drops of EDTA,
// each for so much hardness in the sample that its maker prescribes.
type KitTest struct {
	Bath       Aliquot // taken
	Water      Aliquot // hard water that it goes into
	WaterDrops int     // of the kit on its own sample of that water, before
	Drops      int     // of the kit on its own sample of the mixture
	// PerDrop is the hardness that a drop counts, mol/L. A bottle held upright keeps to
	// a tenth or so, a standard uncertainty of 0.1/√3: common practice, no source.
	PerDrop Result
}

// Concentration returns that of the free chelant in the bath, mol/L,
//
//	c = (h W − h′ (W + B))/B
//
// with the hardness h of the water and h′ of the mixture, half a drop taken off
// each count. An error of the drops' size acts on both counts alike. Where the
// mixture needs no drop all the hardness was bound, and the error says to take less
// bath; it wraps [ErrNone] where the counts show no chelant.
func (x KitTest) Concentration() (Result, error) {
	if x.Drops < 1 {
		return Result{}, &chem.InputError{Field: "Drops", Value: fmt.Sprint(x.Drops), Want: "one or more; take less bath or more water"}
	}
	b, w, drop := x.Bath.ml(), x.Water.ml(), x.PerDrop.Value
	if err := cmp.Or(
		x.Bath.check("bath taken", leastML), x.Water.check("hard water", leastML),
		chem.Within("WaterDrops", float64(x.WaterDrops), 1, mostDrops, ""),
		chem.Within("Drops", float64(x.Drops), 1, mostDrops, ""),
		chem.Within("hardness that a drop counts", drop, leastStrength, mostStrength, "mol/L"),
		chem.Within("uncertainty of that", x.PerDrop.Standard, 0, mostStrength, "mol/L"),
	); err != nil {
		return Result{}, err
	}
	h, left := drop*(float64(x.WaterDrops)-meanOfDrop), drop*(float64(x.Drops)-meanOfDrop)
	c := (h*w - left*(w+b)) / b
	if !(c > 0) {
		return Result{}, &chem.InputError{
			Field: "Drops", Value: fmt.Sprintf("%d, after WaterDrops of %d", x.Drops, x.WaterDrops),
			Want: "fewer; these show no free chelant", Kind: ErrNone,
		}
	}
	count := drop * standardOfReading
	return newResult(c,
		Part{"size of the drop", c * x.PerDrop.Relative()},
		Part{"last drop on the water", count * w / b},
		Part{"last drop on the mixture", count * (w + b) / b},
		Part{"volume of bath taken", x.Bath.calibration(b) * (c + left)},
		Part{"volume of hard water", x.Water.calibration(w) * (h - left) * w / b},
	), nil
}
