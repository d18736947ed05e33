package solution

import (
	"fmt"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// Warning says that a result leans on a constant outside its data.
type Warning struct {
	Species       chem.Species     // whose formation constant it is
	Span          chem.Span        // where that constant rests on data
	Temperature   unit.Temperature // of the vessel
	IonicStrength float64          // of the vessel, mol/L
	Share         float64          // the largest part of a component that the species holds, 0 to 1
}

func (w Warning) String() string {
	return fmt.Sprintf("%s holds %.0f %% of a component; its constant is measured at %s, the bath is at %.0f °C and I = %.2g mol/L",
		w.Species, 100*w.Share, w.Span, float64(w.Temperature)-273.15, w.IonicStrength)
}

// minorShare is the part of a component below which the constant of a species
// does not matter to the result.
const minorShare = 0.02

// warn records the species that matter and lie outside their data.
func (st *State) warn() {
	for _, d := range st.Species {
		share := 0.0
		for _, c := range st.Components {
			if n := d.formation.Of(c.position); n > 0 && c.Total > 0 && !c.proton {
				share = max(share, n*d.Concentration/c.Total)
			}
		}
		span := d.formation.Constant.Span
		if share > minorShare && !span.Contains(st.Temperature, st.IonicStrength) {
			st.Warnings = append(st.Warnings, Warning{d.Species, span, st.Temperature, st.IonicStrength, share})
		}
	}
	for k, f := range st.model.solids {
		if st.model.result.Solid[k] > 0 && !f.Constant.Span.Contains(st.Temperature, st.IonicStrength) {
			st.Warnings = append(st.Warnings, Warning{f.Species, f.Constant.Span, st.Temperature, st.IonicStrength, 1})
		}
	}
}
