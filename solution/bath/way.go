package bath

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/internal/stiff"
	"example.com/chelation/tables"
)

// way is one possible bath on its way.
type way struct {
	bath     *Bath
	parts    Parts
	deviates []float64 // of the figures; none for the typical ones

	time  float64            // s since the start
	size  float64            // of the grains, 1 at the start
	sum   [processes]float64 // extents up to the last event
	moved [processes]float64 // pH

	flow *flow // since the last event; nil right after one
}

// Tolerances of the integration, judgement: relative, of extents in the bath's chelant, of grains.
const accuracy, leastExtent, leastGrain = 1e-4, 1e-6, 1e-5

// until carries the way on to a time in s.
func (w *way) until(to float64) (h Hour, err error) {
	if w.flow == nil {
		if w.flow, err = w.begin(); err != nil {
			return Hour{}, err
		}
	}
	f, from := w.flow, w.time
	if w.time = to; to > from && len(f.y) > 0 {
		small := slices.Repeat([]float64{leastExtent * f.scale}, len(f.y))
		if f.rust.IronMoles > 0 {
			small[len(small)-1] = leastGrain
		}
		problem := stiff.Problem{Rates: f.rates, Relative: accuracy, Absolute: small}
		seen := func(y0, y1 []float64) error {
			if f.repair(y0, y1); w.deviates != nil { // what moved the pH is told of the typical way
				return nil
			}
			return f.attribute(y0, y1, &w.moved)
		}
		if err := problem.Integrate(to-from, f.y, seen); err != nil {
			return Hour{}, fmt.Errorf("the bath after %.4g h: %w", from/3600, err)
		}
	}
	if err := f.at(f.y); err != nil {
		return Hour{}, err
	}
	w.bath.Arrive(f.Flow)
	return w.hour(to / 3600), nil
}

// do ends the stretch with something done.
func (w *way) do(what func(*Bath, *Parts) error) error {
	if f := w.flow; f != nil {
		w.sum, w.size, w.flow = w.extents(), f.grainSize(), nil
		f.Return()
	}
	p := w.parts
	left := p.Rust.IronMoles * cube(w.size)
	p.Rust.IronMoles = left
	if err := what(w.bath, &p); err != nil {
		return err
	}
	if p.Rust.IronMoles == left { // the grains stay what they are
		p.Rust.IronMoles = w.parts.Rust.IronMoles
	} else {
		w.size = 1
	}
	w.parts = p
	return p.check()
}

func cube(x float64) float64 { return x * x * x }

// extents are those of all processes since the start.
func (w *way) extents() [processes]float64 {
	all := w.sum
	for i, n := range w.flow.extents {
		all[w.flow.active[i]] += n
	}
	return all
}

// hour records the bath.
func (w *way) hour(hours float64) Hour {
	f, extent, rust := w.flow, w.extents(), w.parts.Rust
	only := func(x float64) tables.Range { return tables.Range{Low: x, Typical: x, High: x} }
	free, whole := f.freeChelant()*f.Litres, 0.0
	for _, c := range f.main {
		whole += f.Moles[c]
	}
	h := Hour{
		Hours: hours, PH: only(f.PH()), IronIIIMoles: only(f.Moles[f.ferric]), IronIIMoles: only(f.Moles[f.ferrous]),
		SteelLostGrams: only(extent[corroding] * IronMolarMass), FreeMoles: only(free), BoundMoles: only(max(0, whole-free)),
		LightSpoiltMoles: only(extent[lighting]), AirSpoiltMoles: only(extent[wasting]), CO2OutMoles: only(extent[gassing]), O2InMoles: only(extent[airing]),
		PHByGas: w.moved[gassing], PHByRust: w.moved[rusting], PHBySteel: w.moved[corroding], PHByAir: w.moved[airing] + w.moved[wasting], PHByLight: w.moved[lighting],
	}
	if rust.IronMoles > 0 {
		h.RustLeftGrams = only(rust.Oxide.Grams(unit.Mole(rust.IronMoles * cube(f.grainSize()))))
	}
	return h
}
