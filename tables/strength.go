package tables

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.com/chelation/chem"
)

// labelled is a name with the strength on a label: "phosphoric acid 30 %", "muriatic 20°Bé",
// "vinegar, 6 % acidity".
var labelled = regexp.MustCompile(`^(.*?)[ ,]*\b(\d+\.?\d*) *(%|percent|(?:°|deg|degrees?)? *(?:B[ée]|[Bb]aum[ée]))(?: acidity)?$`)

// atStrength returns a liquid of the tables at the strength on its label, percent by mass or
// degrees Baumé of the American scale, 145 − 145/d (60 °F). Its density is that of water and the
// listed strength mixed without change of volume, within 2 %, and so a strength in degrees within 3
// %; its assay holds as closely as the listed one.
func (t *Tables) atStrength(name string) (Reagent, error) {
	m := labelled.FindStringSubmatch(strings.TrimSpace(name))
	if m == nil {
		return listed[Reagent](t).find("reagent", name)
	}
	r, err := listed[Reagent](t).find("reagent", m[1])
	if err != nil {
		if r, err = listed[Reagent](t).find("reagent", m[1]+" acid"); err != nil {
			return listed[Reagent](t).find("reagent", name)
		}
	}
	if r.Form != Liquid {
		return Reagent{}, &chem.InputError{Field: "reagent", Value: chem.Echo(name), Want: "a strength of a liquid; a powder is what its label says it is", Kind: ErrNotFound}
	}
	const water, weakest = 999.0, 0.1 // kg/m³ at 60 °F; %, no label has less
	x, _ := strconv.ParseFloat(m[2], 64)
	lighter := 1/water - 1/r.DensityKgPerM3.Typical // m³/kg that the listed strength saves
	share, label := x/100/r.Assay.Typical, m[2]+" %"
	if !strings.HasPrefix(m[3], "%") && m[3] != "percent" {
		const heaviest = 145
		share, label = (1/water-(heaviest-x)/heaviest/water)/lighter, m[2]+" °Bé"
	}
	if err := chem.Within("strength of "+r.Name, 100*share*r.Assay.Typical, weakest, 100, "%"); err != nil {
		return Reagent{}, err
	}
	density := 1 / (1/water - lighter*share)
	r.DensityKgPerM3 = r.DensityKgPerM3.Times(density / r.DensityKgPerM3.Typical)
	r.Assay = r.Assay.Times(share)
	r.Assay.High = math.Min(r.Assay.High, 1)
	title, _, _ := strings.Cut(r.Name, ",")
	r.ID, r.Name, r.Synonyms = r.ID+" "+label, title+", "+label, nil
	return r, nil
}
