package care

import (
	"fmt"
	"slices"

	"example.com/chelation/tables"
)

// Advice is something to do with its reason.
type Advice struct {
	Do     string `json:"do"`
	Why    string `json:"why"`
	Source string `json:"source"`
}

// worthTelling is the part of the chelant lost to hardness from which softer water is
// worth the trouble: judgement.
const worthTelling = 0.05

// Practice returns how to work with a bath: what holds for every bath, and what its
// water, of whose hardness a fraction of the chelant is lost, and the materials of
// the parts ask for.
func Practice(lostToHardness float64, materials []string) []Advice {
	has := func(m string) bool { return slices.Contains(materials, m) }
	out := []Advice{
		{"Scrape and brush off loose rust first.",
			"A year in a damp shed can leave more iron on a square metre than a 20-litre tub binds; each gram of iron that a brush takes off saves eight grams of tetrasodium EDTA tetrahydrate.",
			"ISO 9223:2012 for the rust; arithmetic"},
		{"Cover the bath and move the part now and then; do not bubble air through it.",
			"Air turns iron(II) back to iron(III), which eats bare steel, and puts an end to the help that iron(II) gives in dissolving rust.",
			"Biswakarma et al. 2019, Environ. Sci. Technol. 53, 88, for the help; from memory for the speed of air"},
		{"Take the part out when it is clean.",
			"What is left of the chelant goes on to take up bare steel.",
			"NACE Corrosion/79 names the attack as unavoidable"},
		{"Rinse at once, wipe, dry warm and oil.",
			"Bare steel wet with chelant rusts within minutes. Dry without a flame where solvents, oil mist or paint stripper are near.",
			tables.CommonPractice},
	}
	if lostToHardness > worthTelling {
		out = append(out, Advice{"Use softer water if there is any.",
			fmt.Sprintf("Hardness holds %.1f %% of the chelant, and what calcium holds dissolves rust far more slowly than free EDTA.", 100*lostToHardness),
			"Nowack & Sigg 1997, Geochim. Cosmochim. Acta 61, 951, for the order of rates"})
	}
	if has("crevices") {
		out = append(out, Advice{"Take apart what comes apart; flush seams, threads and bearings, and dry them with warm air.",
			"Bath that stays in a crevice goes on eating there, out of sight.", tables.CommonPractice})
	}
	if has("hardened-steel") {
		out = append(out, Advice{"Keep springs, files and blades at pH 7 or above, and only as long as it takes.",
			"Hydrogen from acid makes hard steel brittle.", "ASTM F519 tests for it"})
	}
	if has("zinc") || has("aluminium") {
		out = append(out, Advice{"Take plated and light-metal parts off.",
			"The bath can dissolve zinc, cadmium and aluminium with hydrogen gas, and each gram of zinc costs as much chelant as 0.85 g of iron.", "computed: care.Metals"})
	}
	return out
}
