package solution

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
)

// Warning says that a result leans on a constant outside its data.
type Warning struct {
	Species                  string    `json:"species"`                  // whose formation constant it is
	Span                     chem.Span `json:"span"`                     // where that constant rests on data
	TemperatureC             float64   `json:"temperature_c"`            // of the vessel
	IonicStrengthMolPerLitre float64   `json:"ionic_strength_mol_per_l"` // of the vessel
	Share                    float64   `json:"share"`                    // the largest part of a component that the species holds, 0 to 1
}

func (w Warning) String() string {
	return fmt.Sprintf("%s holds %.0f %% of a component; its constant is measured at %s, the bath is at %.0f °C and I = %.2g mol/L",
		w.Species, 100*w.Share, w.Span, w.TemperatureC, w.IonicStrengthMolPerLitre)
}

// minorShare is the part of a component below which the constant of a species does not matter
// (judgement).
const minorShare = 0.02

// warn appends a warning where a species matters and its constant lies outside its data.
func warn(out []Warning, species string, span chem.Span, t unit.Temperature, ionic, share float64) []Warning {
	if share > minorShare && !span.Contains(t, ionic) {
		out = append(out, Warning{species, span, celsius(t), ionic, share})
	}
	return out
}

// warnings tells of the species that matter to the answer of a run and lie outside their data.
func warnings(r *compiled.Run) []Warning {
	var out []Warning
	protons := 0.0 // given and taken, since H⁺ may be fewer than none
	for j, f := range r.Species {
		protons += math.Abs(f.Of(r.Proton)) * r.Result.C[j]
	}
	for j, f := range r.Species {
		share := 0.0
		for _, c := range f.Coefficients {
			total := protons
			if c.Component != r.Proton {
				total = r.Total(r.Place(c.Component))
			}
			if total > 0 {
				share = max(share, math.Abs(c.N)*r.Result.C[j]/total)
			}
		}
		out = warn(out, r.Text[j], f.Constant.Span, r.Temperature, r.Result.Ionic, share)
	}
	for k, f := range r.Solids {
		if r.Result.Solid[k] > 0 {
			out = warn(out, r.Text[len(r.Species)+k], f.Constant.Span, r.Temperature, r.Result.Ionic, 1)
		}
	}
	slices.SortStableFunc(out, func(a, b Warning) int { return cmp.Compare(b.Share, a.Share) })
	return out
}
