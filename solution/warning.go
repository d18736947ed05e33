package solution

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Warning says that a result leans on a constant outside its data.
type Warning struct {
	Species                  chem.Species     `json:"species"`                  // whose formation constant it is
	Span                     chem.Span        `json:"span"`                     // where that constant rests on data
	Temperature              unit.Temperature `json:"temperature_k"`            // of the vessel
	IonicStrengthMolPerLitre float64          `json:"ionic_strength_mol_per_l"` // of the vessel
	Share                    float64          `json:"share"`                    // the largest part of a component that the species holds, 0 to 1
}

func (w Warning) String() string {
	return fmt.Sprintf("%s holds %.0f %% of a component; its constant is measured at %s, the bath is at %.0f °C and I = %.2g mol/L",
		w.Species, 100*w.Share, w.Span, float64(w.Temperature)-273.15, w.IonicStrengthMolPerLitre)
}

// minorShare is the part of a component below which the constant of a species
// does not matter to the result.
const minorShare = 0.02

// warn records the species that matter and lie outside their data.
func (st *State) warn(m *model) {
	outside := func(f tables.Formation, share float64) {
		if span := f.Constant.Span; !span.Contains(st.Temperature, st.IonicStrengthMolPerLitre) {
			st.Warnings = append(st.Warnings, Warning{f.Species, span, st.Temperature, st.IonicStrengthMolPerLitre, share})
		}
	}
	// H⁺ may be fewer than none: its total here is that of H⁺ given and taken.
	protons := 0.0
	for j, f := range m.species {
		protons += math.Abs(f.Of(m.components[0])) * m.result.C[j]
	}
	for j, f := range m.species {
		share := 0.0
		for _, c := range f.Coefficients {
			total := protons
			if c.Component != m.components[0] {
				total = m.total(c.Component)
			}
			if total > 0 {
				share = max(share, math.Abs(c.N)*m.result.C[j]/total)
			}
		}
		if share > minorShare {
			outside(f, share)
		}
	}
	for k, f := range m.solids {
		if m.result.Solid[k] > 0 {
			outside(f, 1)
		}
	}
	slices.SortStableFunc(st.Warnings, func(a, b Warning) int { return cmp.Compare(b.Share, a.Share) })
}
