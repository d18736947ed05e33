// Command bath plans a rust bath: what to weigh, what pH to expect, how much
// acid to add and how, what hard water costs, how much rust the bath can take and
// how long that lasts, and what to be careful about.
//
// Without flags it plans the demo: the neighbourhood tool library fills its
// 20-litre tub with tap water and tetrasodium EDTA for a bench vise and some
// hand tools, and brings it to pH 7 with citric acid. All measures are those of
// the shop: "20 L", "5 gal", "500 g", "2 tbsp", "70 F", "4.50/lb".
package main

import (
	"errors"
	"flag"
	"io"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

func main() { cli.Main("bath", run) }

func run(args []string, out, diagnostics io.Writer) error {
	t, err := tables.Standard()
	if err != nil {
		return err
	}
	f, format := cli.Flags("bath", "plans a rust bath.", out,
		`bath -volume "5 gal" -amount "1 lb" -hardness "7 gpg"`,
		`bath -acid vinegar -parts "chrome, spring" -more`,
		`bath -chelant "disodium EDTA" -acid "washing soda" -json`)
	read, o := cli.Recipe(f), options{}
	more := f.Bool("more", false, "tell all: the curve, what the figures rest on, how to work and what to do afterwards")
	o.flags(f)
	if err := cli.Parse(f, args); err != nil {
		return err
	}
	var in cli.Input
	asked := read(t, &in)
	o.complete(&asked, t, &in)
	if in.Err != nil {
		return in.Err
	}
	plan, err := asked.Plan(t)
	if err != nil {
		return err
	}
	if format.CSV {
		return curve(plan).CSV(out)
	}
	outlook, err := asked.Outlook(t)
	if err != nil && !errors.Is(err, bath.ErrNoIron) {
		return err
	}
	parts, err := care.Work{Materials: asked.Materials, PH: plan.PHAfter}.Parts(t)
	if err != nil {
		return err
	}
	if format.JSON {
		return cli.JSON(out, struct {
			*recipe.Plan
			Outlook *recipe.Outlook `json:"outlook,omitempty"`
			Parts   []care.Part     `json:"parts,omitempty"`
		}{plan, outlook, parts})
	}
	return report(format.Text(out), asked, plan, outlook, parts, *more)
}

// curve is the table of pH against acid, for -csv.
func curve(p *recipe.Plan) *cli.Table {
	t := &cli.Table{Columns: []string{"ph", "acid_g", "acid_g_per_half_ph"}}
	for _, c := range p.Curve {
		t.Add(c.PH, c.AcidGrams, c.GramsPerHalfPH)
	}
	return t
}

// options holds the flags besides those of the recipe, as they were written.
type options struct{ chelantPrice, acidPrice, parts string }

func (o *options) flags(f *flag.FlagSet) {
	f.StringVar(&o.chelantPrice, "chelant-price", "", `such as "4.50/lb"`)
	f.StringVar(&o.acidPrice, "acid-price", "", `such as "18 per 5 lb"`)
	f.StringVar(&o.parts, "parts", "", "what is on the parts, by the names people use: chrome, galvanised, brass, spring, file, paint, wood ...; separated by commas")
}

// complete adds prices and parts to the recipe.
func (o *options) complete(r *recipe.Recipe, t *tables.Tables, in *cli.Input) {
	r.Prices = map[string]recipe.Price{}
	for _, p := range []struct{ flag, text, id string }{
		{"chelant-price", o.chelantPrice, r.Chelant.ID}, {"acid-price", o.acidPrice, r.Acid.ID},
	} {
		if p.text != "" {
			r.Prices[p.id] = cli.Flag(in, p.flag, p.text, recipe.ParsePrice)
		}
	}
	r.Materials = append(r.Materials, cli.Materials(t, in, "parts", o.parts)...)
}
