// Command tub fits a bath to a vessel and a part: how much bath covers the part,
// how deep it stands without it, what to weigh for that volume from a recipe
// that was tried in a litre, and how far a bag goes.
//
// A part displaces only its own metal, so the level falls little when it comes
// out; a hollow part fills and needs bath inside as well.
//
// Without flags it fits the tool library's bench vise into its storage box.
package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func main() { cli.Main("tub", run) }

type result struct {
	BrimfulL float64       `json:"tub_holds_l,omitzero"` // what follows is of the tub; left out where a cloth is asked for
	Fill     *recipe.Fill  `json:"fill,omitempty"`
	WaterL   float64       `json:"water_l"`
	Plan     *recipe.Plan  `json:"plan"` // of the tub, or of what the cloth wants at first
	Bag      *recipe.Batch `json:"bag_makes,omitempty"`
	// Practical is what that takes of fresh rust; none where its chelant has no constant for iron(III).
	Practical bath.Capacity `json:"practical,omitzero"`
	TopUp     *recipe.TopUp `json:"top_up,omitempty"`
	Half      *recipe.Fill  `json:"half_under,omitempty"` // turned over when the first half is clean
	Sheet     *recipe.Sheet `json:"wetted_cloth,omitempty"`
}

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("tub", "fits a bath to a vessel and a part.", out,
		`tub -box "20 in x 14 in x 10 in" -part "26 lb" -part-height "5 in"`,
		`tub -bucket "26 cm x 30 cm x 36 cm" -part "4 kg"`,
		`tub -panel "8 ft²" -thickness "1 mil"`)
	box := f.String("box", "50 cm x 35 cm x 25 cm", "inner length, width and height of the tub")
	bucket := f.String("bucket", "", "instead of a box: inner diameters at bottom and rim, and height, such as \"26 cm x 30 cm x 36 cm\"")
	mass := f.String("part", "12 kg", "steel of the part")
	height := f.String("part-height", "12 cm", "as it lies in the tub")
	margin := f.String("cover", "2 cm", "bath above the part")
	temperature := f.String("temperature", "20 °C", "of the bath")
	water := cli.Tap(f)
	chelant := f.String("chelant", "tetrasodium EDTA tetrahydrate", "the chelating salt")
	perLitre := f.String("amount-per-litre", "25 g", "of the salt in a litre of water, as tried")
	setters := cli.Acid(f)
	stands := f.String("stands", string(bath.Still), "how the tub stands: lidded, board on top, still, stirred or bubbled")
	pH := f.Float64("ph", 7, "to reach")
	bag := f.String("bag", "5 lb", "of the salt")
	dragOut := f.String("drag-out", "0.5 L", "that left on parts since the last fill")
	evaporated := f.String("evaporated", "0.5 L", "since the last fill")
	panel := f.String("panel", "", "area of a panel that fits no tub, for a cloth wetted with the bath")
	thickness := f.String("thickness", "25 µm", "of the rust on the panel")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	tub := cli.Flag(in, "box", *box, parseBox)
	if *bucket != "" {
		if err := cli.Apart(f, "bucket", "box"); err != nil {
			return err
		}
		tub = cli.Flag(in, "bucket", *bucket, parseBucket)
	}
	part := recipe.SteelPart(cli.Flag(in, "part", *mass, measure.ParseMass), cli.Flag(in, "part-height", *height, measure.ParseLength))
	cover := cli.Flag(in, "cover", *margin, measure.ParseLength)
	litre := recipe.Recipe{
		Water: water(t, in), Volume: 1e-3, Temperature: cli.Flag(in, "temperature", *temperature, measure.ParseTemperature),
		Chelant: cli.Flag(in, "chelant", *chelant, t.Reagent), Amount: cli.Flag(in, "amount-per-litre", *perLitre, measure.ParseAmount),
		PH: *pH,
	}
	litre.Acid, litre.Base = setters(t, in)
	litre.Place.Cover = cli.Flag(in, "stands", *stands, bath.ParseCover)
	bagMass := cli.Flag(in, "bag", *bag, measure.ParseMass)
	lost := cli.Flag(in, "drag-out", *dragOut, measure.ParseVolume)
	dry := cli.Flag(in, "evaporated", *evaporated, measure.ParseVolume)
	if err := cli.Idle(f, []string{"panel"}, "thickness"); err != nil {
		return err
	}
	if *panel != "" {
		if err := cli.Apart(f, "panel", "box", "bucket", "part", "part-height", "cover", "bag", "drag-out", "evaporated"); err != nil {
			return err
		}
	}
	thick := cli.Flag(in, "thickness", *thickness, measure.ParseLength)
	if in.Err != nil {
		return in.Err
	}
	if *panel != "" {
		return onPanel(t, litre, thick, cli.Flag(in, "panel", *panel, measure.ParseArea), in, out, format)
	}
	x, asked, err := work(t, tub, part, cover, litre, bagMass, lost, dry)
	if err != nil {
		return named(err)
	}
	const overlap = 2 * measure.Centimetre
	if half, err := tub.Half(part, overlap); err == nil && half.BathLitres < x.Fill.BathLitres {
		x.Half = &half
	}
	return format.Answer(out, x, levels(tub, part), func(w *cli.Pen) { tell(w, asked, x) })
}

func work(t *tables.Tables, tub recipe.Tub, part recipe.Part, cover unit.Length, litre recipe.Recipe, bag unit.Mass, lost, dry unit.Volume) (*result, recipe.Recipe, error) {
	fill, err := tub.Cover(part, cover)
	if err != nil {
		return nil, litre, err
	}
	litre.Place.SurfaceCm2 = 1e4 * float64(tub.Surface(unit.Length(fill.LevelWithPartCM)*measure.Centimetre))
	asked, p, err := scaled(t, litre, fill.BathLitres)
	if err != nil {
		return nil, litre, err
	}
	made, err := recipe.Bag(litre.Chelant, bag, p.StrengthMolPerLitre)
	if err != nil {
		return nil, litre, err
	}
	practical, err := takes(t, asked, made.BathLitres)
	if err != nil {
		return nil, litre, err
	}
	u, err := asked.TopUp(t, lost, dry)
	return &result{BrimfulL: 1000 * float64(tub.Volume(tub.Height)), Fill: &fill, WaterL: p.WaterLitres, Plan: p, Bag: &made, Practical: practical, TopUp: &u}, asked, err
}

// takes is what litres of the bath of a recipe take of fresh rust in practice.
func takes(t *tables.Tables, r recipe.Recipe, litres float64) (bath.Capacity, error) {
	o, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		return bath.Capacity{}, err
	}
	b, err := r.Mix(t)
	if errors.Is(err, bath.ErrNoIron) {
		return bath.Capacity{}, nil
	} else if err != nil {
		return bath.Capacity{}, err
	}
	c, err := b.Capacities(o, r.PH)
	return o.Capacity(unit.Mole(litres / b.Litres() * c.Practical.IronMoles)), err
}

// named puts the flag before a complaint about the part.
func named(err error) error {
	var bad *chem.InputError
	if !errors.As(err, &bad) {
		return err
	}
	for _, x := range []struct{ start, flag string }{{"height of the part", "part-height"}, {"metal of the part", "part"}, {"margin", "cover"}} {
		if strings.HasPrefix(bad.Field, x.start) {
			return fmt.Errorf("-%s: %w", x.flag, err)
		}
	}
	return err
}

// scaled is the recipe that makes some litres of bath, with its plan. A litre of water
// with its salts makes a little more than a litre of bath.
func scaled(t *tables.Tables, litre recipe.Recipe, bathLitres float64) (recipe.Recipe, *recipe.Plan, error) {
	small, err := litre.Plan(t)
	if err != nil {
		return litre, nil, err
	}
	asked, err := litre.Scale(unit.Volume(bathLitres*small.WaterLitres/small.BathLitres) * measure.Litre)
	if err != nil {
		return litre, nil, err
	}
	p, err := asked.Plan(t)
	return asked, p, err
}

// onPanel answers for a cloth on a panel, and for that alone: how to mix the bath that it
// takes up, what it does, what to do next.
func onPanel(t *tables.Tables, litre recipe.Recipe, thick unit.Length, area unit.Area, in *cli.Input, out io.Writer, format *cli.Format) error {
	if in.Err != nil {
		return in.Err
	}
	s, err := wet(t, litre, thick, area)
	if err != nil {
		return err
	}
	r, p, err := scaled(t, litre, math.Ceil(2*s.BathLitres.High)/2)
	if err != nil {
		return err
	}
	switch {
	case format.JSON:
		return cli.JSON(out, result{WaterL: p.WaterLitres, Plan: p, Sheet: s})
	case format.CSV:
		return cli.Usagef("-csv prints the levels in a tub: want no -panel with it")
	}
	_, err = fmt.Fprintf(format.Text(out), "Mix %s of bath: %s of %s in %s of water, and %s of %s to pH %.1f.\n\n"+
		"Next: wet the cloth and lay it on the brushed panel without folds, under film. It holds %s and takes about %s of rust (%s): %s such rounds for all of it.\n"+
		"Lift a corner every hour at first. Renew the bath in it when it has turned the colour of tea, or every day; wipe and rinse the panel when it is clean, then dry and oil it at once.\n\n"+
		"Without film it wants water, not bath, every %.0f h or so (%s), when what is left in it is %.1f times as strong.\n"+
		"Do not let it dry on: the edge rusts and the salt stays. Gloves and goggles; off the floor and where no child or animal comes.\n",
		litres(p.BathLitres), p.Chelant.Text(), r.Chelant.Name, litres(p.WaterLitres), p.Acid.Text(), p.Acid.Name, r.PH,
		cli.Span(s.BathLitres, "%s", litres), measure.FormatGrams(s.RustGrams.Typical), cli.Span(s.RustGrams, "%s", measure.FormatGrams), cli.Span(s.Rounds, "%.0f"),
		s.WetHours.Typical, cli.Span(s.WetHours, "%.1f h"), s.Concentration)
	return err
}

// wet asks what a cloth does on a panel with fresh rust.
func wet(t *tables.Tables, r recipe.Recipe, thick unit.Length, area unit.Area) (*recipe.Sheet, error) {
	kind, _, err := rust.Light(t)
	if err != nil {
		return nil, err
	}
	layer, err := rust.LayerOfThickness(kind, thick)
	if err != nil {
		return nil, err
	}
	o, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		return nil, err
	}
	b, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	s, err := recipe.Wet(b, o, r.PH, layer, area)
	return &s, err
}

func tell(w *cli.Pen, r recipe.Recipe, x *result) {
	takes := ""
	if grams := x.Practical.RustGrams; grams > 0 {
		takes = fmt.Sprintf(", which in practice take %s of fresh rust while pH %.1f is held", measure.FormatGrams(grams), r.PH)
	}
	w.Line("%s of bath covers the part; the tub holds %s.", litres(x.Fill.BathLitres), litres(x.BrimfulL))
	w.Line("It stands %s deep with the part in, %s without; %s are left to the rim.\n", length(x.Fill.LevelWithPartCM/100), length(x.Fill.LevelWithoutPartCM/100), length(x.Fill.ToTheRimCM/100))
	w.Line("For that: %s of water, %s of %s, %s of %s to pH %.1f.%s",
		litres(x.WaterL), x.Plan.Chelant.Text(), r.Chelant.Name, x.Plan.Acid.Text(), x.Plan.Acid.Name, r.PH, strings.TrimRight(" "+cli.Doses(x.Plan), " "))
	w.Line("A bag makes %s of this bath%s.\n", litres(x.Bag.BathLitres), takes)
	w.Line("Later: %s", x.TopUp.Text)
	if h := x.Half; h != nil {
		w.Line("\nHalf under and turned over when clean: %s of bath, %s less, with %s less of the salt. It takes twice the time, and a line may show where the halves meet: overlap them and move the part.",
			litres(h.BathLitres), litres(x.Fill.BathLitres-h.BathLitres), measure.FormatGrams((1-h.BathLitres/x.Fill.BathLitres)*x.Plan.Chelant.MassGrams))
	}
}

// levels tabulates depth against volume, without and with the part.
func levels(tub recipe.Tub, part recipe.Part) *cli.Table {
	t := &cli.Table{Columns: []string{"bath_l", "level_without_part_cm", "level_with_part_cm"}}
	const steps = 20
	for i := range steps + 1 {
		v := (tub.Volume(tub.Height) - part.Volume) * unit.Volume(i) / steps
		without, err := tub.Level(v, recipe.Part{})
		if err != nil {
			continue
		}
		with, err := tub.Level(v, part)
		if err != nil {
			continue
		}
		t.Add(1000*float64(v), 100*float64(without), 100*float64(with))
	}
	return t
}

func litres(x float64) string { return measure.FormatVolume(unit.Volume(x / 1000)) }

func length(x float64) string { return measure.FormatLength(unit.Length(x)) }

func parseBox(text string) (recipe.Tub, error) {
	d, err := lengths(text)
	if err != nil {
		return recipe.Tub{}, err
	}
	base := [2]unit.Length{d[0], d[1]}
	return recipe.Tub{Bottom: base, Rim: base, Height: d[2]}, nil
}

func parseBucket(text string) (recipe.Tub, error) {
	d, err := lengths(text)
	if err != nil {
		return recipe.Tub{}, err
	}
	return recipe.Tub{Bottom: [2]unit.Length{d[0], d[0]}, Rim: [2]unit.Length{d[1], d[1]}, Height: d[2], Round: true}, nil
}

// between stands between lengths, and of what is a number alone the unit is the last one's.
var between = regexp.MustCompile(`\s*[xX×*]\s*|\s+by\s+`)

func lengths(text string) (d [3]unit.Length, err error) {
	parts := between.Split(text, -1)
	if len(parts) != 3 {
		return d, cli.Usagef("%q: want three lengths with \" x \" between them", text)
	}
	const number = "0123456789 .,/¼½¾"
	last := strings.TrimLeft(parts[2], number)
	for i, p := range parts {
		if last != "" && strings.Trim(p, number) == "" {
			p += " " + last
		}
		if d[i], err = measure.ParseLength(p); err != nil {
			return d, err
		}
	}
	return d, nil
}
