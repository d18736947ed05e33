package titration

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// KitTest measures a bath with a hardness kit for pools, aquaria or water, which
// can only count hardness: a little bath goes into much hard water, binds its
// share, and the kit counts what is left. The kit is drops of EDTA, each for so
// much hardness in the sample that its maker prescribes, whatever its volume.
type KitTest struct {
	Bath       unit.Volume     // taken
	BathWith   Dispenser       // how it was measured out
	Water      unit.Volume     // hard water that it goes into
	WaterWith  Dispenser       // how it was measured out
	WaterDrops int             // of the kit on its own sample of that water, before
	Drops      int             // of the kit on its own sample of the mixture
	PerDrop    tables.Hardness // that a drop of the kit counts
	// Relative is the limit of error of a drop as a fraction; the maker's bottle
	// held upright keeps to a tenth or so: common practice, no source.
	Relative float64
}

func (x KitTest) check() error {
	if x.Drops < 1 {
		return &chem.InputError{Field: "drops on the mixture", Value: fmt.Sprint(x.Drops), Want: "one or more; take less bath or more water"}
	}
	for _, c := range []struct {
		field            string
		value, low, high float64
		unit             string
	}{
		{"drops on the water", float64(x.WaterDrops), 1, mostDrops, ""},
		{"drops on the mixture", float64(x.Drops), 1, mostDrops, ""},
		{"volume of bath taken", inML(x.Bath), leastML, mostML, "mL"},
		{"volume of hard water", inML(x.Water), leastML, mostML, "mL"},
		{"hardness that a drop counts", float64(x.PerDrop), leastStrength, mostStrength, "mol/L"},
		{"limit of error of a drop", x.Relative, 0, 1, ""},
	} {
		if err := chem.Within(c.field, c.value, c.low, c.high, c.unit); err != nil {
			return err
		}
	}
	if err := x.BathWith.check("the bath's measure"); err != nil {
		return err
	}
	return x.WaterWith.check("the water's measure")
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
	b, w, drop := inML(x.Bath), inML(x.Water), float64(x.PerDrop)
	h, left := drop*(float64(x.WaterDrops)-meanOfDrop), drop*(float64(x.Drops)-meanOfDrop)
	c := (h*w - left*(w+b)) / b
	if !(c > 0) {
		counts := fmt.Sprintf("%d on the water and %d on the mixture", x.WaterDrops, x.Drops)
		return FreeChelant{}, &chem.InputError{Field: "count of drops", Value: counts, Want: "fewer on the mixture; these show no free chelant", Kind: ErrNone}
	}
	count := drop * standardOfReading
	return newFreeChelant(newResult(c,
		Part{"size of the drop", c * x.Relative / math.Sqrt(3)},
		Part{"last drop on the water", count * w / b},
		Part{"last drop on the mixture", count * (w + b) / b},
		Part{"volume of bath taken", x.BathWith.calibration(b) * (c + left)},
		Part{"volume of hard water", x.WaterWith.calibration(w) * (h - left) * w / b},
	), bath)
}
