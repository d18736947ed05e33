// Command compare puts ways to make one bath side by side: other acids, other
// salts of the chelant, more citrate, weaker and stronger baths, small bags and
// large ones, and on request a bath that is bought ready-made, all on the same terms.
//
// The dose of an acid is not all that it costs: as rust dissolves, acid has to
// follow. So each row counts the acid for the whole life of the bath.
//
// Prices are those of the demo and invented; give your own with -price, once
// for each reagent, as in -price "citric acid=18 per 5 lb".
package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func main() { cli.Main("compare", run) }

// demoPrices are invented.
const demoPrices = "tetrasodium EDTA=6/lb;disodium EDTA=8/lb;trisodium NTA=7/lb;trisodium EDDS=30/kg;trisodium MGDA=9/kg;tetrasodium GLDA=9/kg;citric acid=4/lb;vinegar=4/gal;muriatic acid=12/gal;" +
	"phosphoric acid=40/gal;sodium bisulfate=20 per 8 lb;trisodium citrate=6/lb;sodium hydroxide=5/lb;washing soda=2/lb"

type result struct {
	Ways      []recipe.Outcome  `json:"ways"`
	Strengths []recipe.Outcome  `json:"strengths"`
	Bags      []recipe.BagPrice `json:"bags"`
	Terms     []terms           `json:"terms_by_way"`
	Layer     rust.Layer        `json:"layer"`

	invented string // says which prices are
}

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("compare", "puts ways to make one bath side by side.", out,
		`compare -price "citric acid=18 per 5 lb" -acids "citric, vinegar" -show ways`,
		`compare -bought "30 per gal takes 150 g" -show terms`,
		`compare -strengths 10,25,50 -show strengths -csv`)
	mixture := cli.Mixture(f)
	oxide := f.String("oxide", "lepidocrocite", "what the rust is made of")
	const usualAcids, usualBases = "citric acid, vinegar, muriatic acid, phosphoric acid, sodium bisulfate", "lye, washing soda"
	acids := f.String("acids", usualAcids, "to compare; where none are said and the bath starts below the pH, "+usualBases)
	chelants := f.String("chelants", "disodium EDTA, trisodium NTA, trisodium EDDS, trisodium MGDA, tetrasodium GLDA, trisodium citrate", "other chelating salts to compare, as many moles of each")
	citrate := f.String("citrate", "300 g", "trisodium citrate in the row with more citrate")
	strengths := f.String("strengths", "10,15,25,37.5,50", "grams of chelant per litre of water to compare")
	bags := f.String("bags", "9 per lb; 25 per 5 lb; 90 per 25 kg", "prices of the chelating salt, separated by semicolons")
	jug := f.String("bought", "", `a ready-made bath, by its price and its label: "price per volume takes mass of rust"`)
	rustName := f.String("rust", "fresh orange rust", "kind of rust, for the cost of an area")
	thickness := f.String("thickness", "50 µm", "of the rust")
	show := f.String("show", "", "print one table only: ways, strengths, bags or terms; needed with -csv")
	more := f.Bool("more", false, "tell all: what goes in and what follows, other strengths, bags, and terms that a bought bath can be put in")
	given := ""
	f.Func("price", `"reagent=price", such as "citric acid=$18 per 5 lb" or "lye=£3/kg"; may be given again`, func(s string) error {
		given += ";" + s
		return nil
	})
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	shown, err := format.Choose(*show, "ways", "strengths", "bags", "terms")
	if err != nil {
		return err
	}
	r := mixture(t, in)
	r.Prices = cli.Flag(in, "price", demoPrices+given, func(s string) (map[string]recipe.Price, error) { return cli.Prices(t, s) })
	o := cli.Flag(in, "oxide", *oxide, func(s string) (bath.Oxide, error) { return bath.FindOxide(t, s) })
	list := func(s string) ([]tables.Reagent, error) { return cli.Reagents(t, s) }
	setters, salts := cli.Flag(in, "acids", *acids, list), cli.Flag(in, "chelants", *chelants, list)
	extra := cli.Flag(in, "citrate", *citrate, measure.ParseMass)
	grams := cli.Flag(in, "strengths", *strengths, cli.Strengths)
	sizes := cli.Flag(in, "bags", *bags, parseBags)
	var ready bought
	if *jug != "" {
		ready = cli.Flag(in, "bought", *jug, parseBought)
	}
	kind := cli.Flag(in, "rust", *rustName, t.Rust)
	thick := cli.Flag(in, "thickness", *thickness, measure.ParseLength)
	if in.Err != nil {
		return in.Err
	}
	bases, err := list(usualBases)
	if err != nil {
		return err
	}
	if r.Acid = setters[0]; *acids == usualAcids {
		r.Base = bases[0]
	}
	x := result{invented: "By invented prices (give yours with -price): "}
	if given != "" {
		x.invented = "By your prices, and invented ones for what you gave none: "
	}
	if x.Ways, err = r.Try(t, o); err != nil { // the first of the ways, which tells whether the bath starts below
		return err
	}
	if x.Ways[0].Acid.Reagent == r.Base.ID {
		setters = bases
	}
	others, err := ways(t, r, setters[1:], salts, extra)
	if err != nil {
		return err
	}
	if len(others) > 0 {
		more, err := r.Try(t, o, others...)
		if err != nil {
			return err
		}
		x.Ways = append(x.Ways, more...)
	}
	if x.Strengths, err = r.Try(t, o, cli.ByStrength(r, grams)...); err != nil {
		return err
	}
	if x.Bags, err = recipe.CompareBags(r.Chelant, sizes...); err != nil {
		return err
	}
	if x.Layer, err = rust.LayerOfThickness(kind, thick); err != nil {
		return err
	}
	if x.Terms, err = onTerms(r, ready, x); err != nil {
		return err
	}
	if format.JSON {
		return cli.JSON(out, x)
	}
	if *more || *show != "" {
		return print(t, out, r, o, x, shown, format)
	}
	w := &cli.Pen{Out: format.Text(out)}
	brief(w, r, x)
	return w.Err
}

// terms are those of a way to have a bath: mixed, or bought.
type terms struct {
	Way string `json:"way"`
	recipe.Terms
}

// ways changes the recipe: other acids, or bases, more citrate, other salts.
func ways(t *tables.Tables, r recipe.Recipe, setters, salts []tables.Reagent, citrate unit.Mass) ([]recipe.Recipe, error) {
	var out []recipe.Recipe
	for _, setter := range setters {
		way := r
		way.Acid, way.Base = setter, tables.Reagent{}
		out = append(out, way)
	}
	extra, err := t.Reagent("trisodium citrate")
	if err != nil {
		return nil, err
	}
	if citrate > 0 {
		way := r
		way.Extras = []recipe.Extra{{Reagent: extra, Mass: citrate}}
		out = append(out, way)
	}
	if r.Base, err = t.Reagent("sodium hydroxide"); err != nil {
		return nil, err
	}
	for _, salt := range salts {
		if salt.ID == r.Chelant.ID {
			continue // it is there
		}
		way, err := r.WithChelant(salt)
		if err != nil {
			return nil, err
		}
		out = append(out, way)
	}
	return out, nil
}

// currency tells in what the costs are, where the prices do.
func (x result) currency() string {
	if c := x.Ways[0].Cost; c != nil && c.Currency != "" {
		return "; costs in " + c.Currency
	}
	return ""
}

// brief prints the answer and the ways it was chosen from.
func brief(w *cli.Pen, r recipe.Recipe, x result) {
	ways := &cli.Table{
		Title:   fmt.Sprintf("%s of %s at pH %.1f, or as many moles of another chelant%s", measure.FormatMass(x.Ways[0].Chelant.Mass()), r.Chelant.Name, r.PH, x.currency()),
		Columns: []string{"way", "acid_g", "takes_kept_rust_g", "total_cost", "cost_per_kg_rust", "signal", "breakdown"},
	}
	for _, a := range x.Ways {
		way := a.Acid.Name
		if a.Chelant.Reagent != x.Ways[0].Chelant.Reagent {
			way = a.Chelant.Name + " with " + way
		}
		if a.Extras != nil {
			way += " and " + extra(a)
		}
		takes := kept(a)
		if a.NoIron != "" {
			takes = "?"
		}
		cost, perKg := costs(a)
		ways.Add(way, a.Acid.MassGrams, takes, cost, perKg, or(string(a.Signal)), or(string(a.Breakdown)))
	}
	text := x.remarks()
	if told := x.Ways[0].Told(r.PH, x.Ways[0].Acid.MassGrams); told != "" {
		text += fmt.Sprintf(" %s: %s", x.Ways[0].Acid.Name, told)
	}
	w.Line("%s\n", text)
	w.Table(ways)
	w.Head("Takes kept: rust that the bath takes while acid holds its pH (-: the acid does not bring it back while rust is left), of which citric acid binds some itself; cost with that acid. " +
		"-more tells the rest: what follows, other strengths, bags.")
}

// remarks tell what to buy, and of which chelants nobody knows what they take.
func (x result) remarks() string {
	var unknown []string
	for _, a := range x.Ways {
		if a.NoIron != "" && !slices.Contains(unknown, a.Chelant.Name) {
			unknown = append(unknown, a.Chelant.Name)
		}
	}
	text := x.invented + recipe.BetterBuy(x.Ways)
	if len(unknown) > 0 {
		text += fmt.Sprintf(" No constant for iron(III) is evaluated for %s: what that takes is not computed.", strings.Join(unknown, " nor for "))
	}
	return text
}

// extra is what goes in besides, as text.
func extra(a recipe.Outcome) string {
	return measure.FormatMass(a.Extras[0].Mass()) + " of " + a.Extras[0].Name
}

// or is a text, or the dash for none.
func or(text string) string { return cmp.Or(text, "-") }

const (
	trace  = 1e-3 // g of rust: a bath that takes less has no price by rust
	barred = 0.05 // iron per chelant: a bath left alone that takes less takes nothing
)

// kept is the rust that a way takes while its pH is held, in g, or a dash where that is not
// known or its acid does not bring the bath back while rust is left.
func kept(a recipe.Outcome) any {
	if a.NoIron != "" || a.KeptRustGrams == 0 && a.IronPerChelant > barred {
		return "-"
	}
	return a.KeptRustGrams
}

// costs are the total and that of a kilogram of rust, where all prices are known and
// the bath takes any.
func costs(a recipe.Outcome) (total, perKg any) {
	total, perKg = "-", "-"
	if a.Cost != nil && len(a.Cost.Missing) == 0 {
		total = a.Cost.Total
		if a.KeptRustGrams > 0 {
			perKg = a.Cost.PerKgRust
		}
	}
	return total, perKg
}

func onTerms(r recipe.Recipe, ready bought, x result) (out []terms, err error) {
	way, cost := x.Ways[0], 0.0
	if way.Cost != nil {
		cost = way.Cost.Total
	}
	if way.Cost != nil && way.Cost.Currency != ready.currency && way.Cost.Currency != "" && ready.currency != "" {
		return nil, cli.Usagef("-bought in %s: want a price in %s like the others", ready.currency, way.Cost.Currency)
	}
	add := func(name string, cost float64, volume unit.Volume, taken unit.Mass) {
		if err == nil {
			var on recipe.Terms
			on, err = recipe.TermsOf(cost, volume, taken, x.Layer)
			out = append(out, terms{name, on})
		}
	}
	if way.KeptRustGrams >= trace {
		add("mixed", cost, r.Volume, unit.Mass(way.KeptRustGrams)*measure.Gram)
	}
	if ready.volume != 0 {
		add("bought", ready.price, ready.volume, ready.rust)
	}
	return out, err
}

func print(t *tables.Tables, out io.Writer, r recipe.Recipe, o bath.Oxide, x result, shown []string, format *cli.Format) error {
	ways := &cli.Table{
		Title:   fmt.Sprintf("One bath at pH %.1f made several ways; rust as %s%s", r.PH, o.Name, x.currency()),
		Columns: []string{"chelant", "chelant_g", "acid", "extra", "acid_g", "now_g", "for_good_g", "keeper", "keeper_g", "buffer_capacity_mol_per_l", "left_alone_rust_g", "takes_kept_rust_g", "total_cost", "cost_per_kg_rust", "signal", "breakdown"},
	}
	for _, a := range x.Ways {
		besides := "-"
		if a.Extras != nil {
			besides = extra(a)
		}
		keeper, grams, alone := any("-"), any("-"), any("-")
		if a.NoIron == "" {
			keeper, grams, alone = *a.Keeper, a.Keeper.MassGrams, a.LeftAlone.RustGrams
		}
		cost, perKg := costs(a)
		ways.Add(a.Chelant, a.Chelant.MassGrams, a.Acid, besides, a.Acid.MassGrams, a.NowGrams, a.ForGoodGrams, keeper, grams, a.BufferCapacityMolPerLitre, alone, kept(a), cost, perKg, or(string(a.Signal)), or(string(a.Breakdown)))
	}
	strengths := &cli.Table{Title: "Weaker and stronger" + x.currency(), Columns: []string{"salt_g_per_l", "strength_mol_per_l", "practical_rust_g", "left_alone_rust_g", "total_cost", "cost_per_kg_rust"}}
	litres := float64(r.Volume / measure.Litre)
	for _, s := range x.Strengths {
		cost, perKg := any("-"), any("-")
		if s.Cost != nil {
			first := s.Cost.Total - s.Cost.Keeper
			if cost = first; s.Practical.RustGrams > 0 {
				perKg = 1000 * first / s.Practical.RustGrams
			}
		}
		practical, alone := any("-"), any("-")
		if s.NoIron == "" {
			practical, alone = s.Practical.RustGrams, s.LeftAlone.RustGrams
		}
		strengths.Add(s.Chelant.MassGrams/litres, s.StrengthMolPerLitre, practical, alone, cost, perKg)
	}
	bags := &cli.Table{Title: "Bags of " + r.Chelant.Name, Columns: []string{"price", "cost_per_kg", "cost_per_mol_chelant", "cost_per_kg_rust"}}
	for _, b := range x.Bags {
		bags.Add(b.Price, b.PerKg, b.PerMole, b.PerKgRust)
	}
	same := &cli.Table{Title: "On terms that any bath can be put in (-bought adds one); per m² of " + x.Layer.Name + x.currency(), Columns: []string{"way", "cost_per_l", "rust_g_per_l", "cost_per_kg_rust", "cost_per_m2"}}
	for _, y := range x.Terms {
		same.Add(y.Way, y.PerLitre, y.RustGramsPerLitre, y.PerKgRust, y.PerM2)
	}
	all := map[string]*cli.Table{"ways": ways, "strengths": strengths, "bags": bags, "terms": same}
	return format.Tables(out, shown, all, map[string]string{"ways": x.remarks(), "strengths": cli.NotFaster(t)})
}

func parseBags(text string) ([]recipe.Price, error) {
	var out []recipe.Price
	for _, s := range strings.Split(text, ";") {
		p, err := recipe.ParsePrice(strings.TrimSpace(s))
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// bought is a ready-made bath as its label puts it.
type bought struct {
	price    float64
	currency string
	volume   unit.Volume // in the jug
	rust     unit.Mass   // that the jug is claimed to take
}

// parseBought reads "30 per gal takes 150 g".
func parseBought(text string) (b bought, err error) {
	price, claim, ok := strings.Cut(text, " takes ")
	if !ok {
		return b, cli.Usagef("%q: want \"price per volume takes mass of rust\"", text)
	}
	p, err := recipe.ParsePrice(price)
	if err != nil {
		return b, err
	}
	if b.volume = unit.Volume(p.Per.VolumeLitres) * measure.Litre; b.volume == 0 {
		return b, cli.Usagef("%q: want a price per volume", price)
	}
	b.price, b.currency = p.Money, p.Currency
	b.rust, err = measure.ParseMass(claim)
	return b, err
}
