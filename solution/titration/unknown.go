package titration

import "strings"

// Unknown is a number that a fit shall find, in words: "pKa of Hac". The functions
// and constants below write it.
type Unknown string

const (
	// Strength is a factor on all that the titrant holds, 1 at the start.
	Strength Unknown = "strength of the titrant"
	// Offset is what the electrode reads too much, in units of the probe, 0 at the
	// start.
	Offset Unknown = "offset of the electrode"

	concentrationOf = "concentration of "
	acidConstantOf  = "pKa of "
	formationOf     = "log K of "
)

// Concentration is that of a species in the sample, mol/L: as much as the
// components in it would make, however they are spread. The search starts at what
// the sample was made with, which must be above 0, and moves all components of
// the species: "Hac" brings as much H⁺ as acetate, "ac-" brings none.
func Concentration(species string) Unknown { return Unknown(concentrationOf + species) }

// AcidConstant is −log10 K° of an acid, by formula or name, at zero ionic strength
// and the temperature of the sample; the search starts at the constant in use.
// What holds more protons moves along.
func AcidConstant(acid string) Unknown { return Unknown(acidConstantOf + acid) }

// FormationConstant is log10 K° of a dissolved species or a solid from its
// components, by formula or name, at zero ionic strength and the temperature of
// the sample: of a salt it is −log10 of the solubility product. The search starts
// at the constant in use, the tables' or one set by the caller; by as much as it
// moves at zero ionic strength, it moves at every other. Other species keep theirs.
func FormationConstant(species string) Unknown { return Unknown(formationOf + species) }

// split tells what is unknown, and of which species.
func (u Unknown) split() (kind, species string) {
	for _, kind := range []string{concentrationOf, acidConstantOf, formationOf} {
		if species, ok := strings.CutPrefix(string(u), kind); ok {
			return kind, species
		}
	}
	return string(u), ""
}
