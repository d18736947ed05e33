// Command diptime tells how long rusty parts have to lie in a bath, and what would
// shorten it.
//
// Nothing in print says how fast real rust goes near pH 7 and 20 °C. So the answer
// is a range, ten times wide at first. Your own parts make it narrower: say what
// you saw, as -seen "clean after 24 h" or -seen "half after 10 h", as often as you
// like. Sightings are taken to be of the rust and the bath that the other flags
// describe, at the temperature they name: -seen "clean after 2 d at 12 C".
//
// Without flags it asks for half a square metre of lightly rusted hand tools in the
// tool library's 20-litre tub, with its pH held at 7.
package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func main() { cli.Main("diptime", run) }

// result is all that the program knows, for -json.
type result struct {
	Rust   string       `json:"rust"`
	Layer  rust.Layer   `json:"layer"`
	Area   float64      `json:"area_cm2"`
	Before rust.DipTime `json:"before_anything_was_seen"`
	Seen   []sighting   `json:"sightings,omitempty"`
	Odd    int          `json:"odd_sightings"`
	Now    rust.DipTime `json:"now"`
	Levers []rust.Lever `json:"levers"`

	Oxide     string        `json:"oxide"`
	Practical bath.Capacity `json:"practical"` // of one bath, held or left alone as it is
}

// sighting is a part that was looked at.
type sighting struct {
	Gone         float64  `json:"gone_fraction"`
	Hours        float64  `json:"after_hours"`
	TemperatureC *float64 `json:"temperature_c,omitempty"` // of the bath, where it is another
}

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("diptime", "tells how long rusty parts have to lie in a bath.", out,
		`diptime -thickness "2 mil" -area "2 ft²"`,
		`diptime -seen "clean after 24 h" -seen "half after 10 h at 12 C"`,
		`diptime -motion stirred -csv`)
	asked, oxide := cli.Recipe(f), cli.Oxide(f)
	kind := f.String("rust", "fresh orange rust", "kind of rust: fresh orange rust, old brown-black rust, rust from salt, mill scale ...")
	thickness := f.String("thickness", "25 µm", "of the rust; a sheet of paper is 100 µm")
	area := f.String("area", "0.5 m²", "of rusty steel, all parts together")
	drifts := f.Bool("drifts", false, "nobody holds the pH; it climbs as rust dissolves")
	motion := f.String("motion", "still", "still, moved (lifted or turned every hour or so) or stirred")
	var texts []string
	f.Func("seen", `a part like it: "clean after 24 h", "half after 10 h", "30 % after 1 d at 12 C"; may be given again`, func(s string) error {
		texts = append(texts, s)
		return nil
	})
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r := asked(t, in)
	d := rust.Dip{
		Oxide: oxide(t, in), Rust: cli.Flag(in, "rust", *kind, t.Rust), Area: cli.Flag(in, "area", *area, measure.ParseArea),
		Held: !*drifts, Motion: rust.Motion(*motion),
	}
	thick := cli.Flag(in, "thickness", *thickness, measure.ParseLength)
	var seen []sighting
	for _, text := range texts {
		seen = append(seen, cli.Flag(in, "seen", text, parse))
	}
	if in.Err != nil {
		return in.Err
	}
	if d.Layer, err = rust.LayerOfThickness(d.Rust, thick); err != nil {
		return err
	}
	x, err := work(t, r, d, seen)
	if err != nil {
		return err
	}
	levers := &cli.Table{Columns: []string{"id", "do", "times_faster", "times_faster_low", "times_faster_high", "hours", "hours_low", "hours_high"}}
	for _, l := range x.Levers {
		levers.Add(l.ID, l.Do, l.TimesFaster.Typical, l.TimesFaster.Low, l.TimesFaster.High, l.Hours.Typical, l.Hours.Low, l.Hours.High)
	}
	return format.Answer(out, x, levers, func(w *cli.Pen) { tell(w, r, x) })
}

// parse reads "half after 10 h at 20 C".
func parse(text string) (sighting, error) {
	complain := cli.Usagef("%q: want a part, a time and perhaps a temperature: clean after 24 h, half after 10 h, 30 %% after 1 d at 12 C", text)
	part, rest, ok := strings.Cut(text, " after ")
	if !ok {
		return sighting{}, complain
	}
	var s sighting
	switch part = strings.TrimSpace(part); part {
	case "clean":
		s.Gone = 1
	case "half", "half clean":
		s.Gone = 0.5
	case "nothing":
	default:
		number, percent := strings.CutSuffix(part, "%")
		x, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err != nil || !percent {
			return sighting{}, complain
		}
		s.Gone = x / 100
	}
	rest, warmth, warm := strings.Cut(rest, " at ")
	after, err := measure.ParseTime(rest)
	if err != nil {
		return sighting{}, err
	}
	s.Hours = float64(after) / 3600
	if warm {
		temperature, err := measure.ParseTemperature(warmth)
		if err != nil {
			return sighting{}, err
		}
		celsius := float64(temperature) - 273.15
		s.TemperatureC = &celsius
	}
	return s, nil
}

func work(t *tables.Tables, r recipe.Recipe, d rust.Dip, seen []sighting) (*result, error) {
	tub, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	pace, err := rust.NewPace(t)
	if err != nil {
		return nil, err
	}
	x := &result{Rust: d.Rust.Name, Layer: d.Layer, Area: float64(d.Area / measure.SquareCentimetre), Seen: seen}
	if x.Before, err = pace.Time(tub, d); err != nil {
		return nil, err
	}
	for _, s := range seen {
		then := tub.Clone()
		if s.TemperatureC != nil {
			if err := then.SetTemperature(unit.Temperature(*s.TemperatureC + 273.15)); err != nil {
				return nil, err
			}
		}
		if pace, err = pace.Seen(then, d, unit.Time(3600*s.Hours), s.Gone); err != nil {
			return nil, err
		}
	}
	x.Odd = pace.Odd()
	takes, err := tub.Capacities(d.Oxide, r.PH)
	if err != nil {
		return nil, err
	}
	if x.Oxide, x.Practical = takes.Oxide, takes.Practical; !d.Held {
		x.Practical = takes.Proton
	}
	if x.Now, err = pace.Time(tub, d); err != nil {
		return nil, err
	}
	x.Levers, err = pace.Levers(tub, d)
	return x, err
}

func tell(w *cli.Pen, r recipe.Recipe, x *result) {
	mass := func(grams float64) string { return measure.FormatMass(unit.Mass(grams / 1000)) }
	span := func(x tables.Range) string { return cli.Typical(x, "%s", rust.RoughTime) }
	w.Line("%s", x.Now.Text)
	if n := math.Ceil(x.Layer.IronGramsPerM2.Typical * x.Area / 1e4 / x.Practical.IronGrams); n > 1 && n < 1000 {
		w.Line("This is more rust than one bath takes: plan with %s of %s to a bath, so with %.0f baths, or brush first.", mass(x.Practical.RustGrams), x.Oxide, n)
	}
	w.Line("")
	w.Line("That is for %s, %s of it on %s, in %s of %s at %s and pH %.1f.", x.Layer.Name, mass(x.Layer.RustGramsPerM2.Typical*x.Area/1e4),
		measure.FormatArea(unit.Area(x.Area)*measure.SquareCentimetre), measure.FormatVolume(r.Volume), r.Chelant.Name, measure.FormatTemperature(r.Temperature), x.Now.PH)
	if n := len(x.Seen); n > 0 && x.Now.Hours.High > 0 {
		w.Line("  That rests on %s; before, it would have been %s.", count(n, "sighting"), span(x.Before.Hours))
	}
	if x.Odd > 0 {
		w.Line("  %s looked more like a mistake than not and moved little: is it that rust, that thick, at that pH?", count(x.Odd, "sighting"))
	}
	if x.Now.Hours.High > 0 {
		if len(x.Seen) == 0 {
			w.Line("  No study fixes the rate, so this is wide. Write down when parts come clean, and say so with -seen.")
		}
		w.Line("  The liquid that clings to a part alone accounts for %s.", span(x.Now.BoundHours))
		w.Line("  Parts left in to the late end that were clean at the early one can lose %s to %s of steel: an assumption, weigh a coupon.",
			mass(x.Now.SteelIfLeftGrams.Low), mass(x.Now.SteelIfLeftGrams.High))
	}
	switch {
	case len(x.Levers) == 0:
	case x.Now.Hours.High > 0:
		w.Line("\nWhat would shorten it, each by itself")
	default:
		w.Line("\nWhat would make it work, each by itself")
	}
	for _, l := range x.Levers {
		if l.Laboratory {
			w.Line("  %s", l.Do)
			w.Line("    %s (%s)", l.Why, l.Source)
			continue
		}
		if l.TimesFaster.High > 0 {
			w.Line("  %s %s", l.Do, faster(l))
		} else {
			w.Line("  %s Then %s.", l.Do, span(l.Hours))
		}
		w.Line("    %s", l.Why)
	}
}

// faster tells what a lever brings, as loosely as it is known.
func faster(l rust.Lever) string {
	factor := func(x float64) string {
		if x < 1.95 {
			return strconv.FormatFloat(x, 'f', 1, 64)
		}
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	if l.TimesFaster.Typical < 1.05 {
		return fmt.Sprintf("Next to nothing, at most %s times faster.", factor(l.TimesFaster.High))
	}
	return fmt.Sprintf("%s: %s.", cli.Typical(l.TimesFaster, "%s", factor)+" times faster", rust.RoughTime(l.Hours.Typical))
}

func count(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
