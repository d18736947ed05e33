package cli

import (
	"cmp"
	"flag"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

// Recipe adds the flags that describe a bath, set to the tub of the
// neighbourhood tool library: 500 g of tetrasodium EDTA in 20 litres of tap
// water, brought to pH 7 with citric acid. The function that it returns reads
// them once they are parsed.
func Recipe(f *flag.FlagSet) func(*tables.Tables, *Input) recipe.Recipe {
	mixture, setters := Mixture(f), Acid(f)
	return func(t *tables.Tables, in *Input) recipe.Recipe {
		r := mixture(t, in)
		r.Acid, r.Base = setters(t, in)
		return r
	}
}

// Mixture adds those flags but the one for what sets the pH.
func Mixture(f *flag.FlagSet) func(*tables.Tables, *Input) recipe.Recipe {
	volume := f.String("volume", "20 L", "water in the tub")
	temperature := f.String("temperature", "20 °C", "of the bath")
	water := Tap(f)
	chelant := f.String("chelant", "tetrasodium EDTA tetrahydrate", "the chelating salt in the bag")
	amount := f.String("amount", "", `of the chelating salt, weighed or in level spoons ("2 tbsp"); 25 g for each litre where none is said`)
	pH := f.Float64("ph", 7, "pH to reach")
	place := Place(f)
	return func(t *tables.Tables, in *Input) recipe.Recipe {
		r := recipe.Recipe{
			Place: place(in),
			Water: water(t, in), Volume: Flag(in, "volume", *volume, measure.ParseVolume),
			Temperature: Flag(in, "temperature", *temperature, measure.ParseTemperature),
			Chelant:     Flag(in, "chelant", *chelant, t.Reagent), PH: *pH,
		}
		const usual = 25 * measure.Gram // for each litre: common practice, no source
		if r.Amount = measure.AmountOfMass(usual * unit.Mass(r.Volume/measure.Litre)); *amount != "" {
			r.Amount = Flag(in, "amount", *amount, measure.ParseAmount)
		}
		return r
	}
}

// Acid adds the flag for what sets the pH. No base comes with an acid that was asked for.
func Acid(f *flag.FlagSet) func(*tables.Tables, *Input) (acid, base tables.Reagent) {
	const usual = "citric acid, anhydrous"
	name := f.String("acid", usual, "the reagent that sets the pH; where none is said and the bath starts below, lye does")
	return func(t *tables.Tables, in *Input) (acid, base tables.Reagent) {
		if acid = Flag(in, "acid", *name, t.Reagent); *name == usual {
			base = Flag(in, "acid", "lye", t.Reagent)
		}
		return acid, base
	}
}

// Place adds the flags that tell how the tub stands, set to one that is open and still.
func Place(f *flag.FlagSet) func(*Input) bath.Place {
	cover := f.String("cover", string(bath.Still), "how the tub stands: lidded, board on top, still, stirred or bubbled")
	light := f.String("light", string(bath.Dark), "on an open tub: dark, room light or sun")
	surface := f.String("surface", "", "of the liquid; as of 1000 cm² on 20 L unless told")
	return func(in *Input) bath.Place {
		p := bath.Place{Cover: Flag(in, "cover", *cover, bath.ParseCover), Light: Flag(in, "light", *light, bath.ParseLight)}
		if *surface != "" {
			p.SurfaceCm2 = 1e4 * float64(Flag(in, "surface", *surface, measure.ParseArea))
		}
		return p
	}
}

// Tap adds the flags for the water that a bath is made with: one of the tables,
// or what a test of hardness and alkalinity says. Where only one of the two is
// given they are taken to be equal.
func Tap(f *flag.FlagSet) func(*tables.Tables, *Input) tables.Water {
	const demo = "moderately hard tap water"
	name := f.String("water", demo, "a water of the tables; -hardness and -alkalinity describe another")
	hardness := f.String("hardness", "", `total hardness of the water, such as "120 mg/L" as CaCO3, "7 gpg" or "6.7 dH"`)
	alkalinity := f.String("alkalinity", "", "alkalinity of the water, in the same units")
	pH := f.Float64("water-ph", 7.5, "pH of a water given by -hardness and -alkalinity")
	return func(t *tables.Tables, in *Input) tables.Water {
		tested := *hardness != "" || *alkalinity != ""
		switch err := Idle(f, []string{"hardness", "alkalinity"}, "water-ph"); {
		case err != nil && in.Err == nil:
			in.Err = err
		case !tested:
			return Flag(in, "water", *name, t.Water)
		case *name != demo && in.Err == nil:
			in.Err = Usagef("-water %q besides -hardness or -alkalinity: want one or the other", *name)
		}
		h, a := *hardness, *alkalinity
		if h == "" {
			h = a
		}
		if a == "" {
			a = h
		}
		hard, alkaline := Flag(in, "hardness", h, t.ParseHardness), Flag(in, "alkalinity", a, t.ParseAlkalinity)
		at := *pH
		if !Told(f)["water-ph"] && !(alkaline > 0) {
			at = 5.6 // of pure water that stands in the air, at 25 °C
		}
		w, err := tables.NewWater("your water", hard, tables.UsualCalciumShare, alkaline, at)
		if err != nil && in.Err == nil {
			in.Err = err
		}
		return w
	}
}

// Oxide adds the flag for what the rust is made of.
func Oxide(f *flag.FlagSet) func(*tables.Tables, *Input) bath.Oxide {
	name := f.String("oxide", "lepidocrocite", "what the rust is made of: ferrihydrite, lepidocrocite, goethite, magnetite ...")
	return func(t *tables.Tables, in *Input) bath.Oxide {
		return Flag(in, "oxide", *name, func(s string) (bath.Oxide, error) { return bath.FindOxide(t, s) })
	}
}

// Materials reads what is on parts, by the names that people use; a flag that was
// given has to name some.
func Materials(t *tables.Tables, in *Input, name, text string) []string {
	var out []string
	for _, part := range List(text) {
		out = append(out, Flag(in, name, part, func(s string) (string, error) {
			_, err := t.Material(s)
			return s, err
		}))
	}
	if text != "" && len(out) == 0 && in.Err == nil {
		in.Err = Usagef("-%s %q names nothing", name, text)
	}
	return out
}

// Taken adds the flag for the rust that a bath has dissolved before.
func Taken(f *flag.FlagSet, name, rust, usage string) func(*Input) Take {
	text := f.String(name, rust, usage+"; where none is said, at most half of what it takes")
	return func(in *Input) Take {
		return Take{rust: Flag(in, name, *text, measure.ParseMass), flag: name, told: Told(f)[name]}
	}
}

// Take is rust for a bath, as a flag tells it.
type Take struct {
	rust unit.Mass
	flag string
	told bool
}

// Into lets a bath that was brought to a pH take the rust up: as left alone, its pH climbing,
// or, of more than it takes so, with strong acid that has held the pH. More than dissolves
// then is refused where it was told.
func (x Take) Into(b *bath.Bath, o bath.Oxide, pH float64) error {
	alone, _, err := b.LeftAlone(o)
	held, err2 := b.Held(o, pH)
	if err = cmp.Or(err, err2); err != nil {
		return err
	}
	grams, most := float64(x.rust/measure.Gram), max(alone.RustGrams, held.RustGrams)
	switch {
	case !x.told:
		grams = min(grams, most/2)
	case grams > most:
		return Usagef("-%s %s: want at most %s, all that dissolves in this bath while acid holds pH %.1f", x.flag, measure.FormatMass(x.rust), measure.FormatGrams(most), pH)
	}
	if err := b.Dissolve(o, unit.Mass(grams)*measure.Gram); err != nil || grams <= alone.RustGrams {
		return err
	}
	at, err := b.At(pH)
	if err == nil {
		*b = *at
	}
	return err
}

// Prices reads prices such as "citric acid=4/lb; vinegar=4/gal" by the ID of
// the reagent. The last price of a reagent holds.
func Prices(t *tables.Tables, text string) (map[string]recipe.Price, error) {
	out := map[string]recipe.Price{}
	for entry := range strings.SplitSeq(text, ";") {
		name, price, ok := strings.Cut(entry, "=")
		if !ok {
			return nil, Usagef("%q: want reagent=price", entry)
		}
		r, err := t.Reagent(name)
		if err != nil {
			return nil, err
		}
		if out[r.ID], err = recipe.ParsePrice(price); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Strengths reads masses of chelating salt in g per litre of water.
func Strengths(text string) ([]float64, error) {
	all, err := Numbers(text)
	for _, g := range all {
		if g <= 0 {
			return nil, Usagef("%g g/L: want strengths above 0", g)
		}
	}
	return all, err
}

// ByStrength varies a recipe by the mass of chelating salt in g per litre of water.
func ByStrength(r recipe.Recipe, gramsPerLitre []float64) []recipe.Recipe {
	var out []recipe.Recipe
	for _, g := range gramsPerLitre {
		r.Amount = measure.Amount{MassGrams: g * float64(r.Volume/measure.Litre)}
		out = append(out, r)
	}
	return out
}

// Reagents reads a list of names of reagents.
func Reagents(t *tables.Tables, text string) ([]tables.Reagent, error) {
	var out []tables.Reagent
	for _, name := range List(text) {
		r, err := t.Reagent(name)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	if len(out) == 0 {
		return nil, Usagef("no reagent in %q", text)
	}
	return out, nil
}

// Positive checks that a number is above zero.
func Positive(in *Input, name string, x float64) {
	if !(x > 0) && in.Err == nil {
		in.Err = Usagef("-%s %g: want a number above 0", name, x)
	}
}

// Doses tells what the gas of an open tub makes of the dose of a plan, for who has read
// the dose itself; empty where it makes nothing of it.
func Doses(p *recipe.Plan) string {
	if p.InTheOpen == nil {
		return ""
	}
	return p.InTheOpen.Beside()
}

// Said reports whether what is told of one of the parts holds a caution already.
func Said(parts []care.Part, c care.Caution) bool {
	return slices.ContainsFunc(parts, func(p care.Part) bool { return p.Do == c.Text })
}

// Margin tells where a pH is the least that a part bears, or a little less, which a strip
// of whole units cannot tell apart; empty elsewhere.
func Margin(p care.Part, pH float64) string {
	const unread = 0.5 // pH, half a step of the strip
	if p.LowPH == 0 || math.Abs(pH-p.LowPH) >= unread {
		return ""
	}
	return fmt.Sprintf("%s bears no pH below %g, and a strip of whole units may read %g there: bring a bath for it to pH %g, or read with a meter.",
		strings.ToUpper(p.Material[:1])+p.Material[1:], p.LowPH, p.LowPH, p.LowPH+1)
}

// NotFaster tells why a stronger bath costs more and takes more rust, but does not clean
// sooner, in the words of the tables' practice.
func NotFaster(t *tables.Tables) string {
	x, _ := tables.Find[tables.Practice](t, "stronger") // of the tables that come with the library
	return fmt.Sprintf("Half as strong again is %s%s (%s).", strings.ToLower(x.Why[:1]), strings.TrimSuffix(x.Why[1:], "."), t.Cited(x.Sources...))
}
