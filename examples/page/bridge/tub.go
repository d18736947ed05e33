package bridge

import (
	"cmp"
	"errors"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/journal"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// Tub is the bath that a question is about: that of a journal, or where that is
// empty that of a recipe.
type Tub struct {
	Text
	Recipe Recipe `json:"recipe"`
}

func (b *Bridge) tub(q Tub) (*bath.Bath, error) {
	if q.Journal != "" {
		j, err := b.open(q.Journal)
		if err != nil {
			return nil, err
		}
		if tub := j.Life().Bath(); tub != nil {
			return tub, nil
		}
	}
	r, err := b.recipe(q.Recipe)
	if err != nil {
		return nil, err
	}
	return r.Mix(b.tables)
}

// Standing asks how a bath stands.
type Standing struct {
	Text
	Acid  string   `json:"acid,omitempty"` // at hand
	Base  string   `json:"base,omitempty"`
	Oxide string   `json:"oxide,omitempty"`
	PH    string   `json:"ph,omitempty"`   // at which it is meant to work
	Seen  []string `json:"seen,omitempty"` // what is seen on it: the signs of Names
}

// Stood is how a bath stands, and what is seen weighed with what is computed.
type Stood struct {
	*journal.Report
	Seen *bath.Seen `json:"seen,omitempty"`
}

// Stand tells what a bath can still take, what is wrong with it and what to do next.
func (b *Bridge) Stand(q Standing) (*Stood, error) {
	j, err := b.open(q.Journal)
	if err != nil {
		return nil, err
	}
	var in cli.Input
	acid := cli.Flag(&in, "acid", cmp.Or(q.Acid, usualAcid), b.tables.Reagent)
	base := cli.Flag(&in, "base", cmp.Or(q.Base, usualBase), b.tables.Reagent)
	pH := cli.Flag(&in, "ph", cmp.Or(q.PH, "7"), number)
	if in.Err != nil {
		return nil, in.Err
	}
	o, err := b.oxide(q.Oxide)
	if err != nil {
		return nil, err
	}
	r, err := j.Life().Report(o, pH, acid, base)
	if err != nil || len(q.Seen) == 0 {
		return &Stood{Report: r}, err
	}
	seen := cli.Flag(&in, "seen", strings.Join(q.Seen, ","), func(string) (bath.Seen, error) { return r.Diagnosis.Seen(b.tables, q.Seen...) })
	return &Stood{r, &seen}, in.Err
}

func number(text string) (float64, error) {
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil {
		return 0, &chem.InputError{Field: "number", Value: strconv.Quote(text), Want: "a number such as 8 or 8.4"}
	}
	return x, nil
}

func (b *Bridge) oxide(name string) (bath.Oxide, error) {
	var in cli.Input
	o := cli.Flag(&in, "oxide", cmp.Or(name, usualOxide), func(s string) (bath.Oxide, error) { return bath.FindOxide(b.tables, s) })
	return o, in.Err
}

// Dip is rusty steel that goes into a tub.
type Dip struct {
	Tub
	Rust      string `json:"rust"`
	Thickness string `json:"thickness"`
	Area      string `json:"area"`
	Motion    string `json:"motion,omitempty"` // still, moved, stirred
	Drifts    bool   `json:"drifts,omitempty"` // nobody holds the pH
	Oxide     string `json:"oxide,omitempty"`
}

// Lying is how long a dip takes, how much rust that is, and what would shorten it.
type Lying struct {
	Time      rust.DipTime `json:"time"`
	RustGrams tables.Range `json:"rust_g"`
	Levers    []rust.Lever `json:"levers"`
}

// Time tells how long parts have to lie in the bath.
func (b *Bridge) Time(q Dip) (*Lying, error) {
	tub, err := b.tub(q.Tub)
	if err != nil {
		return nil, err
	}
	layer, area, err := b.layer(q.Rust, q.Thickness, q.Area)
	if err != nil {
		return nil, err
	}
	kind, err := b.tables.Rust(q.Rust)
	if err != nil {
		return nil, err
	}
	o, err := b.oxide(q.Oxide)
	if err != nil {
		return nil, err
	}
	pace, err := rust.NewPace(b.tables)
	if err != nil {
		return nil, err
	}
	d := rust.Dip{Rust: kind, Layer: layer, Area: area, Oxide: o, Held: !q.Drifts, Motion: rust.Motion(q.Motion)}
	l := &Lying{RustGrams: layer.RustGramsPerM2.Times(float64(area))}
	if l.Time, err = pace.Time(tub, d); err != nil {
		return nil, err
	}
	l.Levers, err = pace.Levers(tub, d)
	return l, err
}

// Waiting is a tub that stands for some days, with clean steel in it.
type Waiting struct {
	Tub
	Cover     string `json:"cover,omitempty"` // the words of package bath
	Light     string `json:"light,omitempty"`
	BareSteel string `json:"bare_steel,omitempty"` // "0.2 m²"; none if empty
}

// Days is what becomes of a tub as it stands, and how it would end under a lid.
type Days struct {
	Hours  []bath.Hour `json:"course"`
	Lidded bath.Hour   `json:"lidded"` // at the last of them, without ranges
}

// days are the times at which a standing tub is looked at.
var days = []unit.Time{12 * measure.Hour, measure.Day, 3 * measure.Day}

// Days tells what air, light and steel make of a bath that stands.
func (b *Bridge) Days(q Waiting) (*Days, error) {
	tub, err := b.tub(q.Tub)
	if err != nil {
		return nil, err
	}
	var in cli.Input
	place := bath.Place{Cover: cli.Flag(&in, "cover", q.Cover, bath.ParseCover), Light: cli.Flag(&in, "light", q.Light, bath.ParseLight)}
	var parts bath.Parts
	if q.BareSteel != "" {
		parts.BareSteelCm2 = float64(cli.Flag(&in, "bare_steel", q.BareSteel, measure.ParseArea) / measure.SquareCentimetre)
	}
	if in.Err != nil {
		return nil, in.Err
	}
	lidded := tub.Clone()
	if err := errors.Join(tub.Stand(place), lidded.Stand(bath.Place{Cover: bath.Lidded})); err != nil {
		return nil, err
	}
	d := &Days{}
	if d.Lidded, err = lidded.Pass(parts, days[len(days)-1]); err != nil {
		return nil, err
	}
	course, err := tub.Course(parts)
	if err != nil {
		return nil, err
	}
	d.Hours, err = course.Until(days...)
	return d, err
}

// Parts asks about what goes into a tub, by the names that people use.
type Parts struct {
	Tub
	Materials []string `json:"materials"`
}

// Harm is what a bath does to parts, and how to work with them.
type Harm struct {
	Parts    []Hurt         `json:"parts"` // the strictest first
	Cautions []care.Caution `json:"cautions,omitempty"`
	Practice []care.Advice  `json:"practice"` // before, during and after
}

// Hurt is what a bath does to a material.
type Hurt struct {
	care.Part
	Text    string             `json:"text"`
	Verdict *care.MetalVerdict `json:"verdict,omitempty"` // by equilibrium, of a metal
}

// Parts tells whether a bath hurts what goes in, and what it wants afterwards.
func (b *Bridge) Parts(q Parts) (*Harm, error) {
	tub, err := b.tub(q.Tub)
	if err != nil {
		return nil, err
	}
	st, err := tub.State()
	if err != nil {
		return nil, err
	}
	var in cli.Input
	work := care.Work{Materials: cli.Materials(b.tables, &in, "materials", strings.Join(q.Materials, ",")), PH: st.PH, TemperatureC: float64(tub.Temperature() - chem.Celsius(0))}
	if in.Err != nil {
		return nil, in.Err
	}
	parts, err := work.Parts(b.tables)
	if err != nil {
		return nil, err
	}
	verdicts, err := care.Metals(tub)
	if err != nil {
		return nil, err
	}
	h := &Harm{}
	for _, p := range parts {
		hurt := Hurt{Part: p, Text: p.Text()}
		if i := slices.IndexFunc(verdicts, func(v care.MetalVerdict) bool { return v.Metal == p.Metal }); i >= 0 {
			hurt.Verdict = &verdicts[i]
		}
		h.Parts = append(h.Parts, hurt)
	}
	if h.Cautions, err = care.Cautions(b.tables, nil, work.Materials); err != nil {
		return nil, err
	}
	h.Practice, err = work.Practice(b.tables)
	return h, err
}

// Leaving is a tub to get rid of, and what is at hand for it.
type Leaving struct {
	Tub
	Acid string `json:"acid,omitempty"`
	Base string `json:"base,omitempty"`
}

// Away is what treatments of a used bath would do, and what to be careful about.
type Away struct {
	Treatments []care.Recovery `json:"treatments"`
	Cautions   []string        `json:"cautions"`
}

// Away tells what can be done with a used bath.
func (b *Bridge) Away(q Leaving) (*Away, error) {
	tub, err := b.tub(q.Tub)
	if err != nil {
		return nil, err
	}
	var in cli.Input
	acid := cli.Flag(&in, "acid", cmp.Or(q.Acid, "muriatic acid"), b.tables.Reagent)
	base := cli.Flag(&in, "base", cmp.Or(q.Base, "sodium hydroxide"), b.tables.Reagent)
	if in.Err != nil {
		return nil, in.Err
	}
	a := &Away{}
	if a.Treatments, err = care.Recoveries(tub, acid, base); err != nil {
		return nil, err
	}
	for _, r := range []tables.Reagent{acid, base} {
		some, err := b.cautions(r.ID)
		if err != nil {
			return nil, err
		}
		for _, c := range some {
			if !slices.Contains(a.Cautions, c) {
				a.Cautions = append(a.Cautions, c)
			}
		}
	}
	return a, nil
}
