package tables

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"example.com/chelation/chem"
)

// kind is what sort of reaction one is, with the medians of the kind for what the data of one leave
// open, at 25 °C and zero ionic strength: twice the spread holds 19 enthalpies in 20. A test works
// them out from the tables.
type kind struct {
	name     string
	enthalpy float64 // kJ/mol per proton, hydroxide or bond
	spread   float64 // kJ/mol
	capacity float64 // heat capacity of reaction, J/(mol K), each
	epsPerZ2 float64 // L/mol

	// What values of the kind lie between, each: those of SRD 46 and, our judgement, about a log
	// unit or 15 kJ/mol more.
	logK, heat window
}

type window [2]float64 // log units or kJ/mol

// A strong chelant's constants hold for salts that do not pair: see loadConstants.
var (
	protonation       = kind{"protonation of an acid's anion", -2, 23, 165, 0.03, window{-1, 14}, window{-70, 40}}       // per proton taken up
	protonationStrong = kind{"protonation of a strong chelant", 0, 12, 0, 0.07, window{-1, 13}, window{-50, 25}}         // per proton taken up
	protonationBound  = kind{"protonation of a complex", -6, 3, 0, 0.07, window{-0.5, 13}, window{-40, 20}}              // per proton taken up
	hydrolysis        = kind{"hydrolysis", 42, 20, 0, 0.12, window{-16, 2}, window{-35, 90}}                             // per proton given off
	hydrolysisMixed   = kind{"hydrolysis that a ligand shares in", 35, 8, 0, 0.04, window{-10, 12}, window{10, 70}}      // per proton given off
	association       = kind{"complex of an acid's anion", 4, 12, 0, 0.04, window{-1.5, 17}, window{-45, 60}}            // per bond
	associationStrong = kind{"complex of a strong chelant", -12, 30, 0, 0.08, window{0, 30}, window{-115, 70}}           // per bond
	dissolution       = kind{"dissolution of a salt", 5, 23, 0, 0.04, window{-50, 5}, window{-100, 70}}                  // per formula
	dissolutionBasic  = kind{"dissolution of an oxide or hydroxide", -27, 31, 0, 0.04, window{-50, 50}, window{-80, 55}} // per proton taken up
	otherwise         = kind{"neither of these", 0, 30, 0, 0.05, window{-40, 40}, window{-120, 120}}                     // of which little can be said: two protons may go for one bond
)

const (
	// Those of H+ + OH- = H2O at 25 °C and zero ionic strength (SRD 46), in log units and kJ/mol:
	// by them a hydroxide that is taken up counts as a proton given off.
	waterLog10K   = 14.0
	waterEnthalpy = -55.8

	// Values in use agree with one another as well as any of SRD 46 do and, our judgement, a little
	// less.
	farLog10K   = 1.2  // log units
	farEnthalpy = 10e3 // J/mol
	coincidence = 0.6  // log units from which an enthalpy in kJ/mol must lie: one in 60 does not
)

// judge refuses rows whose value lies outside the window of its kind or far from the others of its
// reaction.
func (s *series) judge(k kind, n, hydroxides float64, fitted chem.Fitted) {
	for i, o := range s.observations {
		unit, water, lies, far := 1.0, waterLog10K, k.logK, farLog10K
		if o.Quantity == chem.Enthalpy {
			unit, water, lies, far = 1000, waterEnthalpy, k.heat, farEnthalpy
		}
		each := cmp.Or(n, 1)
		if x := (o.Value/unit - water*hydroxides) / each; x < lies[0] || x > lies[1] {
			ends := window{lies[0]*each + water*hydroxides, lies[1]*each + water*hydroxides}
			s.rows[i].fail("value", fmt.Sprintf("%s for %s, from %.4g to %.4g", o.Quantity, k.name, min(ends[0], ends[1]), max(ends[0], ends[1])))
		} else if left := fitted.Observations; left != nil && o.Used && math.Abs(left[i].Residual) > far {
			s.rows[i].fail("value", fmt.Sprintf("%s that the other rows of the reaction bear out, within %g", o.Quantity, far/unit))
		}
		same := fitted.Log10K(chem.Celsius(o.TemperatureC), o.IonicStrengthMolPerLitre) - o.Shift
		switch noted := strings.Contains(o.Note, "coincides: "); {
		case o.Quantity == chem.Log10K && noted:
			s.rows[i].fail("quantity", "an enthalpy, of which alone a note says \"coincides: \"")
		case o.Quantity == chem.Enthalpy && !noted && fitted.Observations != nil && math.Abs(o.Value/unit-same) < coincidence:
			s.rows[i].fail("quantity", fmt.Sprintf("log K, which the reaction has as %.2f, or \"coincides: \" and why the enthalpy is so in a note", same))
		}
	}
}

// kindOf returns the kind of a reaction, how many times it takes up or gives off what its kind is
// counted by, and how many hydroxide ions it takes up.
func (t *Tables) kindOf(r chem.Reaction, pairing bool) (k kind, n, hydroxides float64) {
	var protons, water, bonds float64 // taken up
	var solid, gas, metal, freeMetal, freeLigand bool
	for _, term := range r.Terms {
		taken := -term.Coefficient
		switch term.Species.String() {
		case "H+":
			protons = taken
		case "OH-":
			hydroxides = taken
		case "H2O":
			water = taken
		default:
			solid, gas = solid || term.Species.Phase == chem.Solid, gas || term.Species.Phase == chem.Gas
			bonds += taken
			for _, c := range listed[Component](t).items {
				free, isMetal := taken > 0 && c.Species.Equal(term.Species), c.Role == "metal"
				metal, freeMetal = metal || isMetal && holds(term.Species, c), freeMetal || isMetal && free
				freeLigand = freeLigand || free && c.Role == "ligand"
			}
		}
	}
	switch {
	case gas:
		return otherwise, 0, 0
	case solid && protons != hydroxides:
		return dissolutionBasic, protons - hydroxides, hydroxides
	case solid:
		return dissolution, 1, 0
	case metal && (hydroxides != 0 || water != 0):
		if freeMetal && freeLigand {
			return hydrolysisMixed, hydroxides - protons, hydroxides
		}
		return hydrolysis, hydroxides - protons, hydroxides
	case metal && protons != 0 && !freeMetal:
		return protonationBound, protons, 0
	case metal && protons == 0 && pairing:
		return associationStrong, bonds, 0
	case metal && protons == 0:
		return association, bonds, 0
	case !metal && protons != 0 && water == 0 && pairing:
		return protonationStrong, protons, 0
	case !metal && protons != 0 && water == 0:
		return protonation, protons, 0
	}
	return otherwise, 0, 0
}

func holds(s chem.Species, metal Component) bool {
	for element := range metal.Species.Formula.Composition() {
		return s.Formula.Count(element) > 0
	}
	return false
}

func (k kind) prior(n, hydroxides float64) chem.Prior {
	return chem.Prior{DeltaH: 1000 * (n*k.enthalpy + hydroxides*waterEnthalpy), DeltaHSpread: 1000 * max(1, math.Abs(n)) * k.spread, DeltaCp: n * k.capacity, EpsPerZ2: k.epsPerZ2}
}
