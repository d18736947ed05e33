// Command course tells what becomes of a bath while it stands: pH, rust, bare steel and
// chelant over hours, with gas, air and light at an open tub.
//
// Without flags a used bath of the neighbourhood tool library, 30 g of rust in it already,
// stands open and still for eight days with 0.2 m² of clean tools forgotten in it. The
// second table asks the same of the tub lidded, boarded, still, stirred and bubbled. Try
// -bare "0 m²" -area "0.5 m²" for a bath at work, or -chelant "disodium EDTA" -acid "washing
// soda" -had "0 g" -bare "0 m²" for soda whose gas leaves.
package main

import (
	"cmp"
	"flag"
	"fmt"
	"io"
	"math"
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

func main() { cli.Main("course", run) }

// result is all that the program knows, for -json.
type result struct {
	Place   bath.Place    `json:"place"`
	Air     bath.Exchange `json:"exchange"`
	Parts   bath.Parts    `json:"in_the_tub"`
	Start   float64       `json:"start_ph"`
	Chelant float64       `json:"chelant_mol"`
	Hours   []bath.Hour   `json:"hourly"`
	Covers  []covered     `json:"covers,omitempty"`
	PastPH  tables.Range  `json:"past_ph_8_hours"`
	Spent   tables.Range  `json:"spent_hours"` // until so much of the chelant is gone that the bath is given up
	then    []event
}

// covered is the last hour under a cover, and when the bath is spent there.
type covered struct {
	Cover bath.Cover   `json:"cover"`
	Spent tables.Range `json:"spent_hours"`
	bath.Hour
}

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("course", "tells what becomes of a bath while it stands.", out,
		`course -cover lidded`,
		`course -bare "0 m²" -area "0.5 m²" -hours 5,12,24,48`,
		`course -light sun -show covers -csv`,
		`course -hours 12,24,48 -then "lidded after 12 h" -then "20 g of citric acid after 1 d"`,
		`course -tap "7.5 after 0 h" -tap "7.9 after 24 h"`)
	asked := flags(f)
	show := f.String("show", "", "print one table only: course or covers; needed with -csv")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	shown, err := format.Choose(*show, "course", "covers")
	if err != nil {
		return err
	}
	q := asked(t, in)
	if in.Err != nil {
		return in.Err
	}
	if p := q.recipe.Place; q.dark() && p.Light != "" && p.Light != bath.Dark {
		return cli.Usagef("-light %s under %q: it is dark there; want -cover still, stirred or bubbled", p.Light, p.Cover)
	}
	x, b, err := q.bath(t)
	if err != nil {
		return err
	}
	if err := x.ask(b, q.times, slices.Contains(shown, "covers")); err != nil {
		return err
	}
	if format.JSON {
		return cli.JSON(out, x)
	}
	return x.print(out, shown, format)
}

// question is a bath with what is in it, and what is done to it when.
type question struct {
	recipe    recipe.Recipe
	had       cli.Take
	steel     unit.Area
	dip       rust.Dip
	thick     unit.Length
	times     []unit.Time
	then      []event
	tap, read []bath.GasReading
}

// dark reports whether a lid or a board keeps light off all the time.
func (q *question) dark() bool {
	covers := []bath.Cover{q.recipe.Place.Cover}
	for _, e := range q.then {
		covers = append(covers, e.cover)
	}
	return !slices.ContainsFunc(covers, func(c bath.Cover) bool { return c == bath.Still || c == bath.Stirred || c == bath.Bubbled })
}

// flags adds those of a question; the function that it returns reads them.
func flags(f *flag.FlagSet) func(*tables.Tables, *cli.Input) question {
	asked, oxide := cli.Recipe(f), cli.Oxide(f)
	had := cli.Taken(f, "had", "30 g", "rust that the bath has dissolved before")
	bare := f.String("bare", "0.2 m²", "clean steel in the bath")
	area := f.String("area", "0 m²", "rusty steel in the bath")
	kind := f.String("rust", "fresh orange rust", "kind of rust on it")
	thickness := f.String("thickness", "25 µm", "of that rust; a sheet of paper is 100 µm")
	hours := f.String("hours", "6,12,24,48,96,192", "to tell of")
	several := func(name, usage string) *[]string {
		var texts []string
		f.Func(name, usage, func(s string) error {
			texts = append(texts, s)
			return nil
		})
		return &texts
	}
	thens := several("then", `what is done on the way, to each of the baths: "lidded after 12 h" or another cover, "parts out after 8 h", "20 g of citric acid after 1 d"; may be given again`)
	taps := several("tap", `pH of plain tap water left in the tub, by a meter: "7.9 after 24 h", best with one "after 0 h" before it; learns how fast this tub lets gas through`)
	reads := several("read", "the same of the bath itself, made with soda and left open before any rust went in")
	return func(t *tables.Tables, in *cli.Input) question {
		if len(*taps) > 0 && in.Err == nil {
			in.Err = cli.Apart(f, "tap", "read")
		}
		q := question{
			recipe: asked(t, in), had: had(in), steel: cli.Flag(in, "bare", *bare, measure.ParseArea),
			dip:   rust.Dip{Rust: cli.Flag(in, "rust", *kind, t.Rust), Oxide: oxide(t, in), Area: cli.Flag(in, "area", *area, measure.ParseArea)},
			thick: cli.Flag(in, "thickness", *thickness, measure.ParseLength),
		}
		for _, h := range cli.Flag(in, "hours", *hours, cli.Numbers) {
			q.times = append(q.times, unit.Time(h)*measure.Hour)
		}
		for _, text := range *thens {
			q.then = append(q.then, cli.Flag(in, "then", text, func(s string) (event, error) { return parseThen(t, s) }))
		}
		slices.SortStableFunc(q.then, func(a, b event) int { return cmp.Compare(a.at, b.at) })
		for _, text := range *taps {
			q.tap = append(q.tap, cli.Flag(in, "tap", text, parseTap))
		}
		for _, text := range *reads {
			q.read = append(q.read, cli.Flag(in, "read", text, parseTap))
		}
		return q
	}
}

// bath mixes what is asked about, in a tub of which all has been learned.
func (q *question) bath(t *tables.Tables) (*result, *bath.Bath, error) {
	r := &q.recipe
	if len(q.tap) > 0 {
		water, err := plain(t, *r)
		if err != nil {
			return nil, nil, err
		}
		if r.Place, err = learn(water, "tap", q.tap); err != nil {
			return nil, nil, err
		}
	}
	b, err := r.Mix(t)
	if err != nil {
		return nil, nil, err
	}
	if len(q.read) > 0 {
		if r.Place, err = learn(b, "read", q.read); err != nil {
			return nil, nil, err
		}
		if err := b.Stand(r.Place); err != nil {
			return nil, nil, err
		}
	}
	if err := q.had.Into(b, q.dip.Oxide, r.PH); err != nil {
		return nil, nil, err
	}
	x := &result{Place: r.Place, Parts: bath.Parts{BareSteelCm2: 1e4 * float64(q.steel)}, then: q.then}
	if q.dip.Area > 0 {
		if q.dip.Layer, err = rust.LayerOfThickness(q.dip.Rust, q.thick); err != nil {
			return nil, nil, err
		}
		pace, err := rust.NewPace(t)
		if err != nil {
			return nil, nil, err
		}
		if x.Parts.Rust, err = pace.Rust(b, q.dip); err != nil {
			return nil, nil, err
		}
	}
	return x, b, nil
}

// ask asks the library, about all covers if they are to be told.
func (x *result) ask(b *bath.Bath, times []unit.Time, covers bool) error {
	st, err := b.State()
	if err != nil {
		return err
	}
	x.Start, x.Chelant = st.PH, bath.HoldingsOf(st).Counted().Total()
	if x.Air, err = b.Exchange(); err != nil || len(times) == 0 {
		return err
	}
	told, all, err := x.follow(b, times)
	if err != nil {
		return err
	}
	x.Hours, x.Spent = told, x.spent(all)
	x.PastPH = bath.Past(all, 8, func(h bath.Hour) tables.Range { return h.PH })
	if !covers {
		return nil
	}
	for _, cover := range []bath.Cover{bath.Lidded, bath.Boarded, bath.Still, bath.Stirred, bath.Bubbled} {
		end, spent := x.Hours[len(x.Hours)-1], x.Spent
		if place := x.Place; place.Cover != cover {
			place.Cover, place.GasCmPerHour = cover, tables.Range{} // what was learned is of the one cover
			other := b.Clone()
			if err := other.Stand(place); err != nil {
				return err
			}
			told, all, err := x.follow(other, times)
			if err != nil {
				return err
			}
			end, spent = told[len(told)-1], x.spent(all)
		}
		x.Covers = append(x.Covers, covered{cover, spent, end})
	}
	return nil
}

// spent is when so much of the chelant is bound or destroyed that a bath is given up.
func (x *result) spent(told []bath.Hour) tables.Range {
	return bath.Past(told, (1-bath.PracticalShare)*x.Chelant, func(h bath.Hour) tables.Range { return h.FreeMoles })
}

func (x *result) print(out io.Writer, shown []string, format *cli.Format) error {
	both := func() error {
		return format.Tables(out, shown, map[string]*cli.Table{"course": x.course(), "covers": x.covers()}, nil)
	}
	if len(shown) == 1 || len(x.Hours) == 0 {
		return both()
	}
	w := &cli.Pen{Out: format.Text(out)}
	h := x.Hours[len(x.Hours)-1]
	share := func(r tables.Range) float64 { return 100 * r.Typical / x.Chelant }
	w.Line("After %s the bath stands at pH %s, %.1f at first, with %.0f %% of its chelant free.", rust.RoughTime(h.Hours), cli.Typical(h.PH, "%.1f"), x.Start, share(h.FreeMoles))
	if x.Parts.BareSteelCm2 > 0 {
		w.Line("Bare steel has lost %s; under a lid %s.", cli.Typical(h.SteelLostGrams, "%s", measure.FormatGrams), measure.FormatGrams(x.Covers[0].SteelLostGrams.Typical))
	}
	if x.PastPH.Typical > 0 {
		w.Line("It passes pH 8 after %s.", rust.RoughTime(x.PastPH.Typical))
	}
	if x.Spent.Typical > 0 {
		keeps := "not within these hours"
		if lid := x.Covers[0].Spent.Typical; lid > 0 {
			keeps = "after " + rust.RoughTime(lid)
		}
		w.Line("It is spent, %.0f %% of its chelant taken, after %s; under a lid %s.", 100*bath.PracticalShare, rust.RoughTime(x.Spent.Typical), keeps)
	}
	w.Line("Next: lay the lid on loosely, never tight: gas has to get out. Do not bubble air; stir only while there is rust; take parts out when they are clean.\n")
	if w.Err == nil {
		w.Err = both()
	}
	var moved []string
	for i, by := range []float64{h.PHByGas, h.PHByRust, h.PHBySteel, h.PHByAir, h.PHByLight} {
		if by = math.Round(10*by) / 10; by != 0 {
			moved = append(moved, fmt.Sprintf("%+.1f with %s", by, [...]string{"gas", "rust", "steel", "air", "light"}[i]))
		}
	}
	w.Line("\nThe pH has moved by %s. Air has destroyed %.1f %% of the chelant and light %.1f %%.",
		cmp.Or(strings.Join(moved, ", "), "less than a tenth"), share(h.AirSpoiltMoles), share(h.LightSpoiltMoles))
	w.Line("How fast a bath takes bare steel, what a board keeps out and what light destroys nobody has measured: the ranges are judgement.")
	return w.Err
}

func (x *result) course() *cli.Table {
	how := string(x.Place.Cover)
	if x.Air.GasCmPerHour.Typical > 0 {
		how += fmt.Sprintf(", gas transfer velocity %.2g cm/h (%.2g to %.2g)", x.Air.GasCmPerHour.Typical, x.Air.GasCmPerHour.Low, x.Air.GasCmPerHour.High)
	}
	t := &cli.Table{Title: "The bath as it stands: " + how, Columns: append([]string{"hours"}, x.columns()...)}
	for _, h := range x.Hours {
		t.Add(append([]any{h.Hours}, x.row(h)...)...)
	}
	return t
}

func (x *result) covers() *cli.Table {
	t := &cli.Table{Title: "The same under other covers, in the end", Columns: append(append([]string{"cover"}, x.columns()...), "spent_hours")}
	for _, c := range x.Covers {
		spent := any("-")
		if c.Spent.Typical > 0 {
			spent = c.Spent.Typical
		}
		t.Add(append(append([]any{string(c.Cover)}, x.row(c.Hour)...), spent)...)
	}
	return t
}

// columns are what both tables tell of an hour; -json has the rest.
func (x *result) columns() []string {
	columns := []string{"ph", "ph_low", "ph_high"}
	if x.Parts.Rust.IronMoles > 0 {
		columns = append(columns, "rust_left_g")
	}
	if x.Parts.BareSteelCm2 > 0 {
		columns = append(columns, "steel_lost_g", "steel_lost_high_g")
	}
	return append(columns, "free_chelant_fraction")
}

func (x *result) row(h bath.Hour) []any {
	cells := []any{h.PH.Typical, h.PH.Low, h.PH.High}
	if x.Parts.Rust.IronMoles > 0 {
		cells = append(cells, clean(h.RustLeftGrams.Typical))
	}
	if x.Parts.BareSteelCm2 > 0 {
		cells = append(cells, clean(h.SteelLostGrams.Typical), clean(h.SteelLostGrams.High))
	}
	return append(cells, clean(h.FreeMoles.Typical/x.Chelant))
}

// clean is a figure without the dust below it.
func clean(x float64) float64 {
	if math.Abs(x) < 1e-6 {
		return 0
	}
	return x
}
