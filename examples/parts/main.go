// Command parts looks at what goes into the bath: how much rust there is, what
// brushing it off first saves, which metals the bath dissolves, and what bare
// steel costs when it is left in.
//
// A year in a damp shed can leave more iron on a square metre than a 20-litre tub
// binds. And a chelant does not know a plated part from a rusty one.
//
// Without flags it looks at half a square metre of hand tools from an unheated
// shed, and at the tool library's bath after it took up some rust.
package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func main() { cli.Main("parts", run) }

type result struct {
	Parts  []care.Part         `json:"parts,omitempty"` // what was asked about, the strictest first
	Load   rust.Load           `json:"load"`
	Brush  rust.Lever          `json:"brushing_first"` // pH held, parts lying still
	Metals []care.MetalVerdict `json:"metals"`
	Redox  bath.Redox          `json:"iron_states"`
	Attack tables.Range        `json:"steel_lost_g"`
	// Cautions on the materials that were asked about.
	Cautions []care.Caution     `json:"cautions,omitempty"`
	Practice []care.Advice      `json:"practice"`
	Rinses   []tables.Inhibitor `json:"rinses"`
	Bake     *tables.Bake       `json:"baking,omitempty"`
	mildest  tables.Bake        // what no steel that has to stay hard may be heated beyond
}

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("parts", "looks at what goes into the bath.", out,
		`parts -parts "chrome, spring"`,
		`parts -area "3 ft²" -thickness "2 mil" -parts unknown`,
		`parts -rockwell 45 -rinse "2 gal" -more`)
	asked, oxide := cli.Recipe(f), cli.Oxide(f)
	area := f.String("area", "0.5 m²", "of rusty steel")
	rustName := f.String("rust", "fresh orange rust", "kind of rust")
	class := f.String("class", "C2", "corrosivity of where the parts lay: C1 heated room, C2 shed, C3 town, C4 coast or industry, C5, CX")
	years := f.Float64("years", 1, "that they lay there")
	thickness := f.String("thickness", "", "of the rust, instead of class and years")
	had := cli.Taken(f, "had", "20 g", "rust that the bath took up before")
	bare := f.String("bare", "0.2 m²", "bare steel left in the bath")
	time := f.String("time", "2 d", "that it is left there")
	names := f.String("parts", "", "what the parts are and what is on them: chrome, galvanised, brass, spring, file, paint, unknown metal ...")
	more := f.Bool("more", false, "tell all: every metal, the rinses, what follows the bath")
	rinse := f.String("rinse", "10 L", "water of the last rinse")
	rockwell := f.Float64("rockwell", 0, "Rockwell C hardness of steel that met acid, 31 to 70, to tell how it is baked")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r, o := asked(t, in), oxide(t, in)
	a := cli.Flag(in, "area", *area, measure.ParseArea)
	kind := cli.Flag(in, "rust", *rustName, t.Rust)
	c := cli.Flag(in, "class", *class, t.Corrosivity)
	took := had(in)
	bareArea := cli.Flag(in, "bare", *bare, measure.ParseArea)
	left := cli.Flag(in, "time", *time, measure.ParseTime)
	r.Materials = cli.Materials(t, in, "parts", *names)
	last := cli.Flag(in, "rinse", *rinse, measure.ParseVolume)
	layer := func() (rust.Layer, error) { return rust.LayerOfYears(c, kind, *years) }
	if *thickness != "" {
		if err := cli.Apart(f, "thickness", "years", "class"); err != nil {
			return err
		}
		thick := cli.Flag(in, "thickness", *thickness, measure.ParseLength)
		layer = func() (rust.Layer, error) { return rust.LayerOfThickness(kind, thick) }
	}
	if in.Err != nil {
		return in.Err
	}
	l, err := layer()
	if err != nil {
		return err
	}
	x, err := work(t, r, o, rust.Dip{Rust: kind, Layer: l, Area: a, Oxide: o, Held: true}, took, bareArea, left)
	if err != nil {
		return err
	}
	if *rockwell != 0 {
		bake, err := care.Bake(t, *rockwell)
		if err != nil {
			return cli.Usagef("-rockwell: %w", err)
		}
		x.Bake = &bake
		for b := range tables.All[tables.Bake](t) {
			if x.mildest.HighC == 0 || b.HighC < x.mildest.HighC {
				x.mildest = b
			}
		}
	}
	x.Rinses = slices.Collect(tables.All[tables.Inhibitor](t))
	return format.Answer(out, x, x.metals(), func(w *cli.Pen) { x.tell(w, r.PH, last, r.Chelant, *more) })
}

// metals is the table for -csv, the most eager first.
func (x *result) metals() *cli.Table {
	all := &cli.Table{Columns: []string{"metal", "potential_v", "driving_force_water_v", "driving_force_iron_iii_v", "driving_force_air_v", "text"}}
	for _, m := range x.Metals {
		all.Add(m.Metal, m.PotentialVolts, m.WaterForceVolts, m.IronForceVolts, m.AirForceVolts, m.Text)
	}
	return all
}

func work(t *tables.Tables, r recipe.Recipe, o bath.Oxide, d rust.Dip, took cli.Take, bare unit.Area, time unit.Time) (*result, error) {
	b, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	holdings, err := b.Holdings()
	if err != nil {
		return nil, err
	}
	x := &result{}
	if x.Load, err = d.Layer.Load(d.Area, d.Rust.Adherence, r.Chelant, holdings[0].TotalMoles/b.Litres()); err != nil {
		return nil, err
	}
	pace, err := rust.NewPace(t)
	if err != nil {
		return nil, err
	}
	if x.Brush, err = pace.Brushing(b, d); err != nil {
		return nil, err
	}
	if err := took.Into(b, o, r.PH); err != nil {
		return nil, err
	}
	if x.Metals, err = care.Metals(b); err != nil {
		return nil, err
	}
	if x.Redox, err = b.Redox(); err != nil {
		return nil, err
	}
	if x.Attack, err = b.Attack(bare, time); err != nil {
		return nil, err
	}
	work := care.Work{Materials: r.Materials, PH: r.PH, TemperatureC: float64(r.Temperature) - 273.15}
	if x.Parts, err = work.Parts(t); err != nil {
		return nil, err
	}
	if x.Practice, err = work.Practice(t); err != nil {
		return nil, err
	}
	if len(r.Materials) > 0 {
		x.Cautions, err = cautions(t, r)
	}
	return x, err
}

// cautions returns those that the materials call for.
func cautions(t *tables.Tables, r recipe.Recipe) ([]care.Caution, error) {
	plain, err := care.Cautions(t, []tables.Reagent{r.Chelant, r.Acid}, nil)
	if err != nil {
		return nil, err
	}
	all, err := care.Cautions(t, []tables.Reagent{r.Chelant, r.Acid}, r.Materials)
	return slices.DeleteFunc(all, func(c care.Caution) bool {
		return slices.ContainsFunc(plain, func(p care.Caution) bool { return p.Key == c.Key })
	}), err
}

// waiting tells what brushing saves of it.
func waiting(l rust.Lever) string {
	span := func(x tables.Range) string { return cli.Typical(x, "%s", rust.RoughTime) }
	switch {
	case l.Hours.High == 0:
		return "even so there is more than this tub takes"
	case l.SavedHours.High == 0:
		return "makes a job of " + span(l.Hours) + " of one that this tub would not finish"
	}
	return fmt.Sprintf("%s of waiting: the rest takes %s", span(l.SavedHours), span(l.Hours))
}

// next is what to do with the parts.
func next(parts []care.Part) string {
	out := 0
	for _, p := range parts {
		if p.Admission == tables.StaysOut {
			out++
		}
	}
	switch {
	case len(parts) == 0:
		return "say what is on the parts before you brush them, -parts chrome (or spring, brass, paint ...), or -parts unknown for a coat that nobody can name: not all may be brushed or go in."
	case out == len(parts):
		return "nothing of this goes in, and nothing is brushed before you have read why."
	case out > 0:
		return "brush and put in what may go in, without the rest; rinse and dry it as below."
	}
	return "brush, put it in, look at it as told above; rinse and dry it as below."
}

func (x *result) tell(w *cli.Pen, pH float64, rinse unit.Volume, salt tables.Reagent, more bool) {
	mass := measure.FormatGrams
	if len(x.Parts) > 0 {
		w.Line("Into this bath?")
		for _, p := range x.Parts {
			w.Line("  %s", p.Text())
			if text := cli.Margin(p, pH); text != "" {
				w.Line("    %s", text)
			}
		}
		for _, c := range x.Cautions {
			if !cli.Said(x.Parts, c) {
				w.Line("  %s: %s", c.Signal, c.Text)
			}
		}
		w.Line("")
	}
	for _, a := range x.Practice {
		if a.Called && a.Stage == tables.During {
			w.Line("%s %s\n", a.Why, a.Do)
		}
	}
	l := x.Load
	left := ""
	if x.Brush.Hours.High > 0 {
		left = " and " + cli.Typical(x.Brush.Hours, "%s", rust.RoughTime)
	}
	w.Line("Scraped and brushed first, the rust wants %s of bath%s; as it is, %s.", measure.FormatLitres(l.BathLitres), left, measure.FormatLitres(l.UnbrushedBathLitres))
	w.Line("Next: %s\n", next(x.Parts))
	w.Line("%s: %s of rust on %s, %s of it iron", l.Layer.Name, cli.Typical(l.RustGrams, "%s", mass),
		measure.FormatArea(unit.Area(l.AreaCM2)*measure.SquareCentimetre), mass(l.IronGrams.Typical))
	w.Line("  brushing saves %s of %s, and %s", mass(l.ChelantSavedGrams), salt.Name, waiting(x.Brush))
	w.Line("  bare steel left in: %s; nobody has measured it: weigh a coupon", cli.Typical(x.Attack, "%s", mass))
	w.Line("  at most %s by the iron(III) in it by now, and %s a day by air", mass(x.Redox.InBath.SteelGrams), cli.Typical(x.Redox.SteelByAirGramsPerDay, "%s", mass))
	if more {
		w.Line("\nMetals, the most eager first: what could go where they are bare of any film; -parts tells what may go in")
	}
	for _, m := range x.Metals {
		if more {
			w.Line("  %s: %s", m.Metal, m.Text)
		}
	}
	w.Line("\nAfter the bath")
	for _, a := range x.Practice {
		if a.Stage == tables.After {
			w.Line("  %s%s", a.Do, why(a, more))
		}
	}
	w.Line("\nIn %s of rinse water, one of these", measure.FormatVolume(rinse))
	for _, i := range x.Rinses {
		g := i.GramsPerLitre.Times(float64(rinse / measure.Litre))
		w.Line("  %s of %s (%s), at pH %g or above. %s %s", mass(g.Typical), strings.ToLower(i.Name), cli.Span(g, "%s", mass), i.LowPH, i.Does, i.Caution)
	}
	if y := x.Bake; y != nil {
		w.Line("\nBaking: %g to %g °C for %g h at least, from %g HRC (%.0f MPa) on; %s", y.LowC, y.HighC, y.MinimumHours, y.LowHRC, 10*math.Round(y.LowMPa/10), y.Note)
		if z := x.mildest; z.HighC < y.HighC {
			w.Line("  whatever its hardness, %g to %g °C at most: %s", z.LowC, z.HighC, z.Note)
		}
	}
	if !more {
		w.Line("\n-more tells all: every metal, why each step.")
	}
}

func why(a care.Advice, more bool) string {
	if more || strings.Contains(a.Why, "poisonous") { // that is told always
		return " " + a.Why
	}
	return ""
}
