package care

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Recovery is what a treatment of a used bath would do. Chelants are the main ones of the bath,
// weighed as their acids.
type Recovery struct {
	Name string            `json:"treatment"`
	Dose *solution.Portion `json:"dose,omitempty"` // of acid or base
	PH   float64           `json:"ph"`

	AcidSettledGrams      float64 `json:"chelant_acid_settled_g"`
	AcidSettledFraction   float64 `json:"chelant_acid_settled_fraction"` // of the chelant in the bath
	HydroxideSettledGrams float64 `json:"metal_hydroxides_settled_g"`

	// What stays dissolved; of metals those that are neither alkali metals nor hardness.
	ChelantLeftMgPerLitre float64       `json:"chelant_left_mg_per_l"`
	MetalsLeftMgPerLitre  []bath.Amount `json:"metals_left_mg_per_l"`
	Text                  string        `json:"text"`
}

// Where the treatments end: EDTA acid is least soluble near pH 1.7 (Welcher 1958, from
// memory); above pH 12 hydroxide takes iron from EDTA, but Fe(OH)2(edta)³⁻ keeps some up to pH 14.
const sourPH, alkalinePH = 1.8, 12.5

// Recoveries computes three treatments of the bath: acid to pH 1.8, at which a free chelant such
// as EDTA settles as its acid; lye to pH 12.5, at which the chelate gives a part of the iron up
// as hydroxide (more with lime, whose calcium takes the place); and standing open to the air. All
// assume that the solids settle fully, which takes days and for fine hydroxide a filter. None
// makes the water fit to be poured away: each leaves chelant dissolved, and with it metals.
func Recoveries(b *bath.Bath, acid, base tables.Reagent) ([]Recovery, error) {
	if _, err := b.State(); err != nil {
		return nil, err
	}
	var out []Recovery
	for _, x := range []struct {
		name    string
		reagent tables.Reagent
		pH      float64
	}{{"acidify", acid, sourPH}, {"make alkaline", base, alkalinePH}} {
		d, err := b.Dose(x.reagent, solution.PH(x.pH))
		if err != nil {
			return nil, &chem.InputError{Field: "reagent to " + x.name, Value: x.reagent.String(), Want: fmt.Sprintf("one that takes the bath to pH %.1f", x.pH), Err: err}
		}
		r := recovery(b.Tables(), x.name, d.After)
		r.Dose = new(solution.NewPortion(x.reagent, d.Mass()))
		out = append(out, r)
	}
	aired := b.Clone()
	err := cmp.Or(aired.Air(), aired.Open(solution.AirCO2))
	st, err2 := aired.State()
	if err = cmp.Or(err, err2); err != nil {
		return nil, err
	}
	return append(out, recovery(b.Tables(), "leave open to the air", st)), nil
}

// Fates tells what becomes of the main chelants of a bath in a drain, as far as it is known.
func Fates(b *bath.Bath) (out []string, err error) {
	all, err := b.Holdings()
	for _, h := range all.Counted() {
		if fate, none := tables.Find[tables.Fate](b.Tables(), h.Chelant); none == nil {
			c, _ := b.Tables().Component(h.Chelant) // the fate is of one
			out = append(out, called(c)+" "+fate.Text+".")
		}
	}
	return out, err
}

// recovery tells what has settled of a state and what stays dissolved.
func recovery(t *tables.Tables, name string, st *solution.State) Recovery {
	x := Recovery{Name: name, PH: st.PH}
	settled := map[string]float64{} // mol by component
	var acids, chelants []string
	for _, s := range st.Solids {
		if s.Moles <= 0 {
			continue
		}
		f, _ := t.Formation(s.Species)
		acid, grams := true, s.Moles*f.Species.Formula.MolarMass()
		for _, part := range s.Made {
			settled[part.Component] += part.N * s.Moles
			class := st.Class(part.Component)
			acid = acid && (class == "" || class.Chelant())
		}
		if acid {
			x.AcidSettledGrams += grams
			acids = append(acids, s.Name)
		} else {
			x.HydroxideSettledGrams += grams
		}
	}
	whole, sour := 0.0, 0.0
	for _, h := range bath.HoldingsOf(st).Counted() {
		c, _ := t.Component(h.Chelant)
		acid := c.Species.Formula.MolarMass() - float64(c.Species.Formula.Charge())*hydrogen.MolarMass()
		x.ChelantLeftMgPerLitre += 1000 * acid * (h.TotalMoles - settled[h.Chelant]) / st.VolumeLitres
		chelants, whole, sour = append(chelants, called(c)), whole+h.TotalMoles, sour+h.SettledMoles
	}
	if whole > 0 {
		x.AcidSettledFraction = sour / whole
	}
	for _, share := range st.Components {
		if share.Class != tables.IronMetal && share.Class != tables.OtherMetal {
			continue
		}
		c, _ := t.Component(share.Species)
		symbol := c.Species.Formula.Hill()
		i := slices.IndexFunc(x.MetalsLeftMgPerLitre, func(m bath.Amount) bool { return m.Name == symbol })
		if i < 0 { // both states of a metal count as one
			i = len(x.MetalsLeftMgPerLitre)
			x.MetalsLeftMgPerLitre = append(x.MetalsLeftMgPerLitre, bath.Amount{Name: symbol})
		}
		x.MetalsLeftMgPerLitre[i].Value += 1000 * c.Species.Formula.MolarMass() * max(0, share.TotalMolPerLitre-settled[c.Species.String()]/st.VolumeLitres)
	}
	x.Text = x.words(strings.Join(acids, " and "), strings.Join(chelants, " and "))
	return x
}

// called returns what the shop calls a chelant: a strong one by its first synonym, in capitals.
func called(c tables.Component) string {
	if c.Class == tables.StrongChelant && len(c.Synonyms) > 0 {
		return strings.ToUpper(c.Synonyms[0])
	}
	return c.Name
}

var hydrogen, _ = chem.ParseFormula("H")

func (x Recovery) words(acid, chelant string) string {
	text := "nothing settles"
	switch {
	case x.AcidSettledGrams > 0:
		text = fmt.Sprintf("%s of %s settles, %.0f %% of what is in the bath", measure.FormatGrams(x.AcidSettledGrams), acid, 100*x.AcidSettledFraction)
	case x.HydroxideSettledGrams > 0:
		text = measure.FormatGrams(x.HydroxideSettledGrams) + " of metal hydroxides settle"
	}
	for _, m := range x.MetalsLeftMgPerLitre {
		text += fmt.Sprintf("; %s mg/L of %s stay dissolved", round(m.Value), m.Name)
	}
	if chelant != "" {
		text += fmt.Sprintf(", with %s mg/L of %s", round(x.ChelantLeftMgPerLitre), chelant)
	}
	return text + ". Not fit for a drain: collect it."
}

// round writes a number with two digits, down to a hundredth, less than a shop can have measured:
// judgement.
func round(x float64) string {
	const least = 0.01
	if x < least/2 {
		return "less than 0.01"
	}
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 1, 64), 64) // its own output
	return strconv.FormatFloat(y, 'f', -1, 64)
}
