package chem

import "iter"

// An Abbreviation is a ligand written as a group symbol in formulas: in
// Na4(edta) the letters stand for the whole anion C10H12N2O8.
//
// The symbols are lower case, as IUPAC writes ligand abbreviations
// (Nomenclature of Inorganic Chemistry, Recommendations 2005, IR-4.4.4), and
// stand for the fully deprotonated anion; protons still on it are written out,
// as in H2(edta) or Hedta3-.
type Abbreviation struct {
	Symbol string  // "edta"
	Name   string  // name of the anion
	Anion  Formula // the fully deprotonated anion with its charge
}

// Abbreviations yields the known ligand abbreviations.
func Abbreviations() iter.Seq[Abbreviation] {
	return func(yield func(Abbreviation) bool) {
		for _, l := range ligands {
			anion := newFormula(l.atoms(), l.charge, l.symbol+chargeText(l.charge))
			if !yield(Abbreviation{Symbol: l.symbol, Name: l.name, Anion: anion}) {
				return
			}
		}
	}
}

// A ligand is a row of the abbreviation table. All of them are made of
// carbon, hydrogen, nitrogen and oxygen.
type ligand struct {
	symbol, name string
	c, h, n, o   float64
	charge       int
}

var ligands = [...]ligand{
	{"edta", "ethylenediaminetetraacetate", 10, 12, 2, 8, -4},
	{"hedta", "N-(2-hydroxyethyl)ethylenediaminetriacetate", 10, 15, 2, 7, -3},
	{"dtpa", "diethylenetriaminepentaacetate", 14, 18, 3, 10, -5},
	{"nta", "nitrilotriacetate", 6, 6, 1, 6, -3},
	{"cit", "citrate", 6, 5, 0, 7, -3},
	{"gluc", "gluconate", 6, 11, 0, 7, -1},
	{"tart", "tartrate", 4, 4, 0, 6, -2},
	{"ox", "oxalate", 2, 0, 0, 4, -2},
	{"pht", "phthalate (benzene-1,2-dicarboxylate)", 8, 4, 0, 4, -2},
	{"ac", "acetate", 2, 3, 0, 2, -1},
}

func lookupLigand(symbol string) (ligand, bool) {
	for _, l := range ligands {
		if l.symbol == symbol {
			return l, true
		}
	}
	return ligand{}, false
}

func (l ligand) atoms() []atom {
	all := [...]atom{{6, l.c}, {1, l.h}, {7, l.n}, {8, l.o}}
	out := make([]atom, 0, len(all))
	for _, a := range all {
		if a.n > 0 {
			out = append(out, a)
		}
	}
	return out
}
