package solution

import (
	"fmt"
	"math"

	"example.com/chelation/chem"
)

// SetConstant puts a formation constant of the caller's in the place of that of
// the tables: log10K of the species from its components, a quotient of
// concentrations (of solids: with the solid's left out) that holds at the
// vessel's temperature and at any ionic strength. So a textbook's example is
// worked with the constants that the book prints. math.Inf(-1) leaves the species
// out.
func (s *Solution) SetConstant(species string, log10K float64) error {
	if math.IsNaN(log10K) || math.IsInf(log10K, 1) || log10K > 300 || log10K < -300 && !math.IsInf(log10K, -1) {
		return &chem.InputError{Field: "log K of " + species, Value: fmt.Sprint(log10K), Want: "a number from -300 to 300, or -Inf"}
	}
	f, err := s.tables.Formation(species)
	if err != nil {
		return err
	}
	if len(f.Steps) == 0 {
		return &chem.InputError{Field: "species", Value: species, Want: "one that is made from components; this one is a component"}
	}
	constants := map[string]chem.Constant{f.Species.String(): {LogK: log10K}}
	for name, c := range s.constants { // the map may be shared with a clone
		if _, set := constants[name]; !set {
			constants[name] = c
		}
	}
	s.constants = constants
	s.model = nil
	return nil
}

// SetIdeal takes all activity coefficients as one, whatever the ionic strength:
// constants are those of zero ionic strength and pH is −log10 [H⁺], as in an
// introductory textbook.
func (s *Solution) SetIdeal(ideal bool) {
	s.ideal = ideal
	s.model = nil
}

// HoldPH keeps the vessel at a pH from −2 to 16, as a strong buffer does that
// takes part in nothing else. The amount of H⁺ is then whatever it takes.
func (s *Solution) HoldPH(pH float64) error {
	if !(pH >= -2 && pH <= 16) {
		return &chem.InputError{Field: "pH to hold", Value: fmt.Sprint(pH), Want: "a number from -2 to 16"}
	}
	s.heldPH, s.holdPH = pH, true
	s.model = nil
	return nil
}

// ReleasePH ends what [Solution.HoldPH] began. The H⁺ that the vessel holds is
// that which was put in.
func (s *Solution) ReleasePH() {
	s.holdPH = false
	s.model = nil
}
