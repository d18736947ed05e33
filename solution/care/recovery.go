package care

import (
	"fmt"
	"strconv"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Recovery is what a treatment of a used bath would do.
type Recovery struct {
	Name         string  `json:"treatment"`
	Reagent      string  `json:"reagent,omitempty"`
	ReagentGrams float64 `json:"reagent_g"`
	PH           float64 `json:"ph"`

	AcidSettledGrams      float64 `json:"edta_acid_settled_g"`
	AcidSettledFraction   float64 `json:"edta_acid_settled_fraction"` // of the EDTA in the bath
	HydroxideSettledGrams float64 `json:"metal_hydroxides_settled_g"`

	// Chelant and Metals are what stays dissolved, in mg/L.
	ChelantLeftMgPerLitre float64       `json:"edta_left_mg_per_l"`
	MetalsLeftMgPerLitre  []bath.Amount `json:"metals_left_mg_per_l"`
	Text                  string        `json:"text"`
}

// Recoveries computes three treatments of the bath: acid to pH 1.8, at which
// free EDTA settles as its acid; lye to pH 12.5, at which the chelate gives
// iron up as hydroxide; and standing open to the air. All assume that the
// solids settle fully, which takes days and for fine hydroxide a filter.
//
// None makes the water fit to be poured away: each leaves chelant dissolved,
// and with it metals that the treatment of sewage cannot catch.
func Recoveries(b *bath.Bath, acid, base tables.Reagent) ([]Recovery, error) {
	sour, err := treated(b, "acidify", acid, 1.8)
	if err != nil {
		return nil, err
	}
	alkaline, err := treated(b, "make alkaline", base, 12.5)
	if err != nil {
		return nil, err
	}
	aired := b.Clone()
	if err := aired.Air(); err != nil {
		return nil, err
	}
	if err := aired.Open(solution.AirCO2); err != nil {
		return nil, err
	}
	st, err := aired.State()
	if err != nil {
		return nil, err
	}
	air := recovery("leave open to the air", st)
	out := []Recovery{sour, alkaline, air}
	for i := range out {
		out[i].Text = out[i].words()
	}
	return out, nil
}

// treated doses a reagent to a pH.
func treated(b *bath.Bath, name string, r tables.Reagent, pH float64) (Recovery, error) {
	d, err := b.Vessel().Dose(r, solution.PH(pH))
	if err != nil {
		return Recovery{}, &chem.InputError{Field: "reagent to " + name, Value: r.String(), Want: fmt.Sprintf("one that takes the bath to pH %.1f", pH), Err: err}
	}
	x := recovery(name, d.After)
	x.Reagent, x.ReagentGrams = r.Name, d.MassGrams
	return x, nil
}

func recovery(name string, st *solution.State) Recovery {
	x := Recovery{Name: name, PH: st.PH}
	settled := map[string]float64{}
	for _, s := range st.Solids {
		if s.Moles <= 0 {
			continue
		}
		f := s.Species.Formula
		grams := s.Moles * f.MolarMass()
		if s.Species.String() == "H4edta(s)" {
			x.AcidSettledGrams += grams
			settled["edta4-"] += s.Moles
			continue
		}
		x.HydroxideSettledGrams += grams
		for symbol, n := range f.Composition() {
			settled[symbol] += n * s.Moles
		}
	}
	left := map[string]float64{}
	var order []string
	for _, c := range st.Components {
		symbol, metal := heavy(c)
		if !metal || c.TotalMolPerLitre <= 0 {
			continue
		}
		if _, seen := left[symbol]; !seen {
			order = append(order, symbol)
		}
		left[symbol] += c.TotalMolPerLitre * st.VolumeLitres
	}
	for _, symbol := range order {
		x.MetalsLeftMgPerLitre = append(x.MetalsLeftMgPerLitre, bath.Amount{Name: symbol, Value: 1000 * weight(symbol) * max(0, left[symbol]-settled[symbol]) / st.VolumeLitres})
	}
	if n := bath.HoldingsOf(st).Of("edta4-").TotalMoles; n > 0 {
		x.AcidSettledFraction = settled["edta4-"] / n
		x.ChelantLeftMgPerLitre = 1000 * edta.MolarMass() * (n - settled["edta4-"]) / st.VolumeLitres
	}
	return x
}

// weight returns the mass of an element in g/mol.
func weight(symbol string) float64 {
	e, _ := chem.LookupElement(symbol)
	return e.Weight
}

// edta is the acid, as which what is left of EDTA is told.
var edta, _ = chem.ParseFormula("C10H16N2O8")

// heavy returns the symbol of a metal that is not an alkali metal, calcium or
// magnesium.
func heavy(c solution.Share) (string, bool) {
	f := c.Species.Formula
	if f.Charge() <= 0 {
		return "", false
	}
	for symbol := range f.Composition() {
		switch symbol {
		case "H", "Na", "K", "Ca", "Mg", "Sr", "Ba":
			return "", false
		default:
			return symbol, true
		}
	}
	return "", false
}

func (x Recovery) words() string {
	text := ""
	switch {
	case x.AcidSettledGrams > 0:
		text = fmt.Sprintf("%s of EDTA acid settles, %.0f %% of what is in the bath", measure.FormatMass(unit.Mass(x.AcidSettledGrams/1000)), 100*x.AcidSettledFraction)
	case x.HydroxideSettledGrams > 0:
		text = fmt.Sprintf("%s of metal hydroxides settle", measure.FormatMass(unit.Mass(x.HydroxideSettledGrams/1000)))
	default:
		text = "nothing settles"
	}
	for _, m := range x.MetalsLeftMgPerLitre {
		text += fmt.Sprintf("; %s mg/L of %s stay dissolved", round(m.Value), m.Name)
	}
	return text + fmt.Sprintf(", with %s mg/L of EDTA. Not fit for a drain: collect it.", round(x.ChelantLeftMgPerLitre))
}

// round writes a number with two digits.
func round(x float64) string {
	if x < 0.005 {
		return "less than 0.01"
	}
	return strconv.FormatFloat(roundTo(x, 2), 'f', -1, 64)
}

// roundTo rounds x to so many significant digits.
func roundTo(x float64, digits int) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', digits-1, 64), 64)
	if err != nil {
		return x
	}
	return y
}
