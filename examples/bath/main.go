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
	"flag"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

func main() { cli.Main("bath", run) }

func run(args []string, out, diagnostics io.Writer) error {
	t, err := tables.Standard()
	if err != nil {
		return err
	}
	o := options{}
	flags, format := o.flags(diagnostics)
	if err := cli.Parse(flags, args); err != nil {
		return err
	}
	if err := cli.Idle(flags, []string{"hardness", "alkalinity"}, "water-ph"); err != nil {
		return err
	}
	recipe, err := o.recipe(t)
	if err != nil {
		return err
	}
	plan, err := recipe.Plan(t)
	if err != nil {
		return err
	}
	if format.CSV {
		return curve(plan).CSV(out)
	}
	outlook, err := recipe.Outlook(t)
	if err != nil {
		return err
	}
	if format.JSON {
		return cli.JSON(out, struct {
			*bath.Plan
			Outlook *bath.Outlook `json:"outlook"`
		}{plan, outlook})
	}
	return report(out, recipe, plan, outlook)
}

// curve is the table of pH against acid, for -csv.
func curve(p *bath.Plan) *cli.Table {
	t := &cli.Table{Columns: []string{"ph", "acid_g", "acid_g_per_half_ph"}}
	for _, c := range p.Curve {
		t.Add(c.PH, c.Grams, c.Slope)
	}
	return t
}

// options holds the flags as they were written.
type options struct {
	volume, temperature, water, hardness, alkalinity string
	waterPH, ph                                      float64
	chelant, amount, acid                            string
	chelantPrice, acidPrice, materials               string
}

const demoWater = "moderately hard tap water"

func (o *options) flags(diagnostics io.Writer) (*flag.FlagSet, *cli.Format) {
	f, format := cli.Flags("bath", "plans a rust bath.", diagnostics)
	f.StringVar(&o.volume, "volume", "20 L", "water in the tub")
	f.StringVar(&o.temperature, "temperature", "20 °C", "of the bath")
	f.StringVar(&o.water, "water", demoWater, "a water of the tables; -hardness and -alkalinity describe another")
	f.StringVar(&o.hardness, "hardness", "", `total hardness of the water, such as "120 mg/L" as CaCO3, "7 gpg" or "6.7 dH"`)
	f.StringVar(&o.alkalinity, "alkalinity", "", "alkalinity of the water, in the same units")
	f.Float64Var(&o.waterPH, "water-ph", 7.5, "pH of a water given by -hardness and -alkalinity")
	f.StringVar(&o.chelant, "chelant", "tetrasodium EDTA tetrahydrate", "the chelating salt in the bag")
	f.StringVar(&o.amount, "amount", "500 g", `of the chelating salt, weighed or in level spoons ("2 tbsp")`)
	f.StringVar(&o.acid, "acid", "citric acid, anhydrous", "the reagent that sets the pH")
	f.Float64Var(&o.ph, "ph", 7, "pH to reach")
	f.StringVar(&o.chelantPrice, "chelant-price", "", `such as "4.50/lb"`)
	f.StringVar(&o.acidPrice, "acid-price", "", `such as "18 per 5 lb"`)
	f.StringVar(&o.materials, "parts", "", "what else is on the parts: "+strings.Join(bath.Materials(), ", ")+"; or a metal, such as cadmium or brass; separated by commas")
	return f, format
}

func (o *options) recipe(t *tables.Tables) (bath.Recipe, error) {
	r := bath.Recipe{PH: o.ph}
	var err error
	field := func(name string, e error) {
		if e != nil && err == nil {
			err = fmt.Errorf("-%s: %w", name, e)
		}
	}
	var e error
	r.Volume, e = measure.ParseVolume(o.volume)
	field("volume", e)
	r.Temperature, e = measure.ParseTemperature(o.temperature)
	field("temperature", e)
	r.Chelant, e = t.Reagent(o.chelant)
	field("chelant", e)
	r.Amount, e = measure.ParseAmount(o.amount)
	field("amount", e)
	r.Acid, e = t.Reagent(o.acid)
	field("acid", e)
	r.Water, e = o.tap(t)
	field("water", e)
	for _, p := range []struct{ flag, text, id string }{
		{"chelant-price", o.chelantPrice, r.Chelant.ID}, {"acid-price", o.acidPrice, r.Acid.ID},
	} {
		if p.text == "" {
			continue
		}
		price, e := bath.ParsePrice(p.text)
		field(p.flag, e)
		if r.Prices == nil {
			r.Prices = map[string]bath.Price{}
		}
		r.Prices[p.id] = price
	}
	for m := range strings.SplitSeq(o.materials, ",") {
		if m = strings.TrimSpace(m); m == "" {
			continue
		}
		if metal, e := t.Couple(m); e == nil && metal.Group != "" { // cadmium, brass, galvanised coat
			m = metal.Group
		}
		if !slices.Contains(bath.Materials(), m) {
			field("parts", fmt.Errorf("%w: %q: want one of %s", cli.ErrUsage, m, strings.Join(bath.Materials(), ", ")))
		}
		r.Materials = append(r.Materials, m)
	}
	return r, err
}

// tap returns the water of the tables, or the one that hardness and alkalinity
// describe. Where only one of the two is given they are taken to be equal.
func (o *options) tap(t *tables.Tables) (tables.Water, error) {
	if o.hardness == "" && o.alkalinity == "" {
		return t.Water(o.water)
	}
	if o.water != demoWater {
		return tables.Water{}, fmt.Errorf("%w: %q besides -hardness or -alkalinity: want one or the other", cli.ErrUsage, o.water)
	}
	h, a := o.hardness, o.alkalinity
	if h == "" {
		h = a
	}
	if a == "" {
		a = h
	}
	hardness, err := t.ParseHardness(h)
	if err != nil {
		return tables.Water{}, err
	}
	alkalinity, err := t.ParseAlkalinity(a)
	if err != nil {
		return tables.Water{}, err
	}
	const calciumShare = 0.7 // usual in tap water: common practice, no source
	return tables.NewWater("your water", hardness, calciumShare, alkalinity, o.waterPH)
}
