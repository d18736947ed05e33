package bridge

import (
	"flag"
	"strconv"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/recipe"
)

// Recipe is a bath to be mixed, in the words of the flags of the programs. What is
// empty is as in the tool library's tub.
type Recipe struct {
	Volume       string   `json:"volume,omitempty"`      // of water: "20 L", "5 gal"
	Temperature  string   `json:"temperature,omitempty"` // "20 °C", "68 F"
	Water        string   `json:"water,omitempty"`       // a water of the tables, or:
	Hardness     string   `json:"hardness,omitempty"`    // "120 mg/L", "7 gpg"
	Alkalinity   string   `json:"alkalinity,omitempty"`
	Chelant      string   `json:"chelant,omitempty"`
	Amount       string   `json:"amount,omitempty"` // "500 g", "3 cups"
	Acid         string   `json:"acid,omitempty"`   // or the base that sets the pH
	PH           string   `json:"ph,omitempty"`
	Cover        string   `json:"cover,omitempty"`         // how the tub stands: "lidded", "still"
	ChelantPrice string   `json:"chelant_price,omitempty"` // "4.50/lb"
	AcidPrice    string   `json:"acid_price,omitempty"`
	Parts        []string `json:"parts,omitempty"` // what is on them besides steel: see Names
}

// recipe reads a recipe as the programs read their flags.
func (b *Bridge) recipe(q Recipe) (recipe.Recipe, error) {
	f := flag.NewFlagSet("recipe", flag.ContinueOnError)
	read := cli.Recipe(f)
	for _, x := range []struct{ flag, text string }{
		{"volume", q.Volume}, {"temperature", q.Temperature}, {"water", q.Water}, {"hardness", q.Hardness}, {"alkalinity", q.Alkalinity},
		{"chelant", q.Chelant}, {"amount", q.Amount}, {"acid", q.Acid}, {"ph", q.PH}, {"cover", q.Cover},
	} {
		if text := strings.TrimSpace(x.text); text != "" {
			if f.Set(x.flag, text) != nil { // of text flags none is refused here
				return recipe.Recipe{}, &chem.InputError{Field: x.flag, Value: strconv.Quote(text), Want: "a number"}
			}
		}
	}
	var in cli.Input
	if q.Alkalinity != "" { // which stands for a hardness that was not tested, too
		cli.Flag(&in, "alkalinity", q.Alkalinity, b.tables.ParseAlkalinity)
	}
	r := read(b.tables, &in)
	r.Prices = map[string]recipe.Price{}
	for _, x := range []struct{ field, text, id string }{{"chelant_price", q.ChelantPrice, r.Chelant.ID}, {"acid_price", q.AcidPrice, r.Acid.ID}} {
		if x.text != "" {
			r.Prices[x.id] = cli.Flag(&in, x.field, x.text, recipe.ParsePrice)
		}
	}
	r.Materials = cli.Materials(b.tables, &in, "parts", strings.Join(q.Parts, ","))
	return r, in.Err
}
