// Command cost shows what a bath costs, which is not what the first acid costs.
//
// The salt is most of the bill, and the size of its bag decides more than the
// choice of the acid does.
//
// Acid is paid twice: once to bring the salt from pH 11 to the target, and then
// again, bit by bit, for every gram of rust, since rust takes acid up. A cheap
// acid is cheap in both. But the label says danger on the cheapest, some of
// them eat bare steel where they go in, and vinegar comes as water by the
// gallon. What counts is the cost for a kilogram of rust, with the pH kept.
//
// All prices are invented for the demo: give your own with -price, once for each
// reagent, as in -price "citric acid=18 per 5 lb".
package main

import (
	"fmt"
	"io"
	"strings"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

func main() { cli.Main("cost", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("cost", "shows what a bath costs.", out)
	asked, oxide := cli.Recipe(f), cli.Oxide(f)
	acids := f.String("acids", "citric acid, vinegar, muriatic acid, phosphoric acid, sodium bisulfate", "to compare")
	prices := "tetrasodium EDTA=6/lb;citric acid=4/lb;vinegar=4/gal;muriatic acid=12/gal;phosphoric acid=40/gal;sodium bisulfate=20 per 8 lb"
	f.Func("price", `"reagent=price"; may be given again`, func(s string) error {
		prices += ";" + s
		return nil
	})
	bags := f.String("bags", "9 per lb; 25 per 5 lb; 90 per 25 kg", "prices of the chelating salt, separated by semicolons")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r, o := asked(t, in), oxide(t, in)
	priced := cli.Flag(in, "price", prices, func(s string) (map[string]recipe.Price, error) { return cli.Prices(t, s) })
	var ways []recipe.Recipe
	for _, acid := range cli.Flag(in, "acids", *acids, func(s string) ([]tables.Reagent, error) { return cli.Reagents(t, s) }) {
		way := r
		way.Acid, way.Prices = acid, priced
		ways = append(ways, way)
	}
	var sizes []recipe.Price
	for text := range strings.SplitSeq(*bags, ";") {
		sizes = append(sizes, cli.Flag(in, "bags", strings.TrimSpace(text), recipe.ParsePrice))
	}
	if in.Err != nil {
		return in.Err
	}
	made, err := r.Try(t, o, ways...)
	if err != nil {
		return err
	}

	l := &cli.Lesson{Table: cli.Table{
		Title:   fmt.Sprintf("The same bath with different acids; rust as %s, pH kept at %g", o.Name, r.PH),
		Columns: []string{"acid", "acid_g", "keeper_g", "takes_kept_rust_g", "total_cost", "keeper_cost", "cost_per_kg_rust", "signal"},
	}}
	for _, a := range made {
		signal := string(a.Signal)
		if signal == "" {
			signal = "-"
		}
		l.Add(a.Acid, a.Acid.MassGrams, a.Keeper.MassGrams, a.KeptRustGrams, a.Cost.Total, a.Cost.Keeper, a.Cost.PerKgRust, signal)
	}
	l.Remark("%s", recipe.BetterBuy(made))
	sorted, err := recipe.CompareBags(r.Chelant, sizes...)
	if err != nil {
		return err
	}
	for _, b := range sorted {
		l.Remark("Salt at %s is %.0f per kg of rust.", b.Price, b.PerKgRust)
	}
	return l.Write(out, format)
}
