// Package bridge is the library as a page, or any other tool that speaks JSON, sees
// it: a dozen calls with typed requests and answers.
//
//	b, err := bridge.New()
//	answer := b.Answer([]byte(`{"call": "weigh", "request": {"volume": "5 gal", "amount": "1 lb"}}`))
//
// Requests use the names and the shop measures of the programs' flags: what is left
// out is as the tool library's 20-litre tub has it. Answers are the library's own
// results, whose keys end in their units, and beside each quantity stands what a
// person reads: next to "mass_g" a "mass_text", in the units that the request asks
// for. An error names the field that it is about.
//
// A bath's life is a journal: the request carries its whole text, in the format of
// package journal, and the answer to a note carries the text with one line more. The
// bridge remembers nothing that an answer depends on.
//
// The calls, in the order of a day, and in this file:
//
//	names                what requests can name
//	weigh plan outlook   a Recipe: what to weigh, its ranges, what the bath will do
//	read note            a journal (Text), one more Entry in it
//	next                 a Course: the next pour
//	stand days time      a tub (Standing, Waiting, Dip): how it stands, what time makes of it
//	parts away           what goes in (Parts), and getting rid of it (Leaving)
package bridge

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/journal"
	"example.com/chelation/solution/reading"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// Version is that of the requests and answers. It changes when a key changes its
// meaning or goes.
const Version = 2

// Bridge answers calls. It is not safe for concurrent use.
type Bridge struct {
	tables *tables.Tables
	calls  map[string]call
	model  kept[*reading.Model]
	book   kept[*journal.Journal]
}

// New returns a bridge to the library and its tables.
func New() (*Bridge, error) {
	t, err := tables.Standard()
	if err != nil {
		return nil, err
	}
	b := &Bridge{tables: t}
	b.calls = map[string]call{
		"names":   of(b.Names),
		"weigh":   of(b.Weigh),
		"plan":    of(b.Plan),
		"outlook": of(b.Outlook),
		"next":    of(b.Next),
		"read":    of(b.Read),
		"note":    of(b.Note),
		"stand":   of(b.Stand),
		"time":    of(b.Time),
		"days":    of(b.Days),
		"parts":   of(b.Parts),
		"away":    of(b.Away),
	}
	return b, nil
}

// Named is something that a request can name, with what a person calls it.
type Named struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Note string `json:"note,omitempty"`
}

// Instrument is a strip or meter, with the marks that it shows where they are few.
type Instrument struct {
	Named
	Marks []float64 `json:"marks,omitempty"`
	Step  float64   `json:"step_ph"`
}

// Names is what the tables offer for each field of a request.
type Names struct {
	Version     int          `json:"version"`
	Chelants    []Named      `json:"chelants"`
	Acids       []Named      `json:"acids"`
	Bases       []Named      `json:"bases"`
	Waters      []Named      `json:"waters"`
	Instruments []Instrument `json:"instruments"`
	Rusts       []Named      `json:"rusts"`
	Oxides      []Named      `json:"oxides"`
	Materials   []Named      `json:"materials"` // of parts, and what may stand near
	Signs       []Named      `json:"signs"`     // that can be seen on a bath or a part
}

// mostMarks is how many marks one can choose from by touch.
const mostMarks = 20

// Names lists what requests can name.
func (b *Bridge) Names(struct{}) (Names, error) {
	n := Names{Version: Version}
	named := func(e tables.Entry) Named { return Named{e.ID, e.Name, e.Note} }
	for r := range tables.All[tables.Reagent](b.tables) {
		if r.Packing().Typical == 0 {
			continue // for the laboratory
		}
		switch {
		case slices.Contains(r.Groups, "acid"):
			n.Acids = append(n.Acids, named(r.Entry))
		case slices.Contains(r.Groups, "base"):
			n.Bases = append(n.Bases, named(r.Entry))
		}
		if len(r.Chelant.String()) > 0 {
			n.Chelants = append(n.Chelants, named(r.Entry))
		}
	}
	for w := range tables.All[tables.Water](b.tables) {
		n.Waters = append(n.Waters, named(w.Entry))
	}
	for s := range tables.All[tables.Strip](b.tables) {
		if s.Quantity != "pH" {
			continue
		}
		i := Instrument{Named: named(s.Entry), Step: s.Step}
		if marks := s.Marks(); len(marks) <= mostMarks {
			i.Marks = marks
		}
		n.Instruments = append(n.Instruments, i)
	}
	for r := range tables.All[tables.Rust](b.tables) {
		n.Rusts = append(n.Rusts, named(r.Entry))
	}
	oxides, err := bath.CommonOxides(b.tables)
	for _, o := range oxides {
		n.Oxides = append(n.Oxides, Named{ID: o.Name, Name: o.Name})
	}
	for s := range tables.All[tables.Sign](b.tables) {
		n.Signs = append(n.Signs, Named{s.ID, s.ID, s.Means})
	}
	for m := range tables.All[tables.Material](b.tables) {
		n.Materials = append(n.Materials, Named{m.ID, m.Name, m.Is})
	}
	return n, err
}

// Weighing is what to weigh and spoon, before any range is worked out.
type Weighing struct {
	Water        tables.Water     `json:"water"`
	WaterLitres  float64          `json:"water_l"`
	TemperatureC float64          `json:"temperature_c"`
	Chelant      solution.Portion `json:"chelant"`
	Acid         solution.Portion `json:"acid"` // or the base that sets the pH
	PHBefore     float64          `json:"ph_before"`
	PHAfter      float64          `json:"ph_after"`
	BathLitres   float64          `json:"bath_l"`
}

// Weigh answers at once what goes into a bath; Plan follows with ranges, portions
// and cautions.
func (b *Bridge) Weigh(q Recipe) (*Weighing, error) {
	r, err := b.recipe(q)
	if err != nil {
		return nil, err
	}
	mass, err := r.Amount.Weigh(r.Chelant.Packing())
	if err != nil {
		return nil, err
	}
	v, err := solution.New(b.tables, r.Temperature)
	if err != nil {
		return nil, err
	}
	if err := errors.Join(v.AddWater(r.Water, r.Volume), v.Add(r.Chelant, mass.Typical())); err != nil {
		return nil, err
	}
	dose, err := b.dose(r, v)
	if err != nil {
		return nil, err
	}
	w := &Weighing{
		Water: r.Water, WaterLitres: float64(r.Volume / measure.Litre), TemperatureC: float64(r.Temperature - chem.Celsius(0)),
		Chelant: solution.NewPortion(r.Chelant, mass.Typical()), Acid: solution.NewPortion(r.Acid, dose.Mass()),
		PHBefore: dose.Before.PH, PHAfter: dose.After.PH, BathLitres: dose.After.VolumeLitres,
	}
	if mass.LowGrams < mass.HighGrams {
		w.Chelant.MassLowGrams, w.Chelant.MassHighGrams = mass.LowGrams, mass.HighGrams
	}
	return w, nil
}

// dose returns what brings a vessel to the pH of a recipe: in an open tub the dose that is
// right for good, as in a plan.
func (b *Bridge) dose(r recipe.Recipe, v *solution.Solution) (d solution.Dose, err error) {
	good, err := v.OpenDose(r.Acid, r.PH)
	if !r.Place.Open() || err != nil {
		return v.Dose(r.Acid, solution.PH(r.PH))
	}
	if d.Before, err = v.Equilibrate(); err != nil {
		return d, err
	}
	after := v.Clone()
	if err := after.Add(r.Acid, unit.Mass(good.ForGoodGrams)*measure.Gram); err != nil {
		return d, err
	}
	d.MassGrams = good.ForGoodGrams
	d.After, err = after.Equilibrate()
	return d, err
}

// Plan works the recipe out: ranges, portions, cautions, cost.
func (b *Bridge) Plan(q Recipe) (*recipe.Plan, error) {
	r, err := b.recipe(q)
	if err != nil {
		return nil, err
	}
	return r.Plan(b.tables)
}

// Outlook tells what the bath will take and how long light rust takes in it.
func (b *Bridge) Outlook(q Recipe) (*recipe.Outlook, error) {
	r, err := b.recipe(q)
	if err != nil {
		return nil, err
	}
	return r.Outlook(b.tables)
}

// Recipe is a bath to be mixed, in the words of the flags of the programs. What is
// empty is as in the tool library's tub.
type Recipe struct {
	Volume       string   `json:"volume,omitempty"`      // of water: "20 L", "5 gal"
	Temperature  string   `json:"temperature,omitempty"` // "20 °C", "68 F"
	Water        string   `json:"water,omitempty"`       // a water of the tables, or:
	Hardness     string   `json:"hardness,omitempty"`    // "120 mg/L", "7 gpg"
	Alkalinity   string   `json:"alkalinity,omitempty"`
	Chelant      string   `json:"chelant,omitempty"`
	Amount       string   `json:"amount,omitempty"` // "500 g", "3 cups"
	Acid         string   `json:"acid,omitempty"`   // or the base that sets the pH
	PH           string   `json:"ph,omitempty"`
	Cover        string   `json:"cover,omitempty"`         // how the tub stands: "lidded", "still"
	ChelantPrice string   `json:"chelant_price,omitempty"` // "4.50/lb"
	AcidPrice    string   `json:"acid_price,omitempty"`
	Parts        []string `json:"parts,omitempty"` // what is on them besides steel: see Names
}

// recipe reads a recipe as the programs read their flags.
func (b *Bridge) recipe(q Recipe) (recipe.Recipe, error) {
	f := flag.NewFlagSet("recipe", flag.ContinueOnError)
	read := cli.Recipe(f)
	for _, x := range []struct{ flag, text string }{
		{"volume", q.Volume}, {"temperature", q.Temperature}, {"water", q.Water}, {"hardness", q.Hardness}, {"alkalinity", q.Alkalinity},
		{"chelant", q.Chelant}, {"amount", q.Amount}, {"acid", q.Acid}, {"ph", q.PH}, {"cover", q.Cover},
	} {
		if text := strings.TrimSpace(x.text); text != "" {
			if f.Set(x.flag, text) != nil { // of text flags none is refused here
				return recipe.Recipe{}, &chem.InputError{Field: x.flag, Value: strconv.Quote(text), Want: "a number"}
			}
		}
	}
	var in cli.Input
	if q.Alkalinity != "" { // which stands for a hardness that was not tested, too
		cli.Flag(&in, "alkalinity", q.Alkalinity, b.tables.ParseAlkalinity)
	}
	r := read(b.tables, &in)
	r.Prices = map[string]recipe.Price{}
	for _, x := range []struct{ field, text, id string }{{"chelant_price", q.ChelantPrice, r.Chelant.ID}, {"acid_price", q.AcidPrice, r.Acid.ID}} {
		if x.text != "" {
			r.Prices[x.id] = cli.Flag(&in, x.field, x.text, recipe.ParsePrice)
		}
	}
	r.Materials = cli.Materials(b.tables, &in, "parts", strings.Join(q.Parts, ","))
	return r, in.Err
}

// Course is a bath on its way to its pH: its journal, and what that does not tell.
type Course struct {
	Text
	Recipe     Recipe   `json:"recipe"`               // as it was mixed, in the measures that were used
	Unlabelled bool     `json:"unlabelled,omitempty"` // nobody knows what is in the bag
	Bag        []string `json:"salts,omitempty"`      // what it may hold, where that is not the chelant alone
	Untested   bool     `json:"untested,omitempty"`   // nobody tested the water
	Base       string   `json:"base,omitempty"`       // what raises the pH
	Strip      string   `json:"strip,omitempty"`      // what will be read with next
}

// Next is the next pour, how sure it is, and what the bag seems to be.
type Next struct {
	Advice   *reading.Advice  `json:"advice"`
	Salts    []Belief         `json:"salts"`
	Tests    []reading.Test   `json:"tests,omitempty"`    // what would tell the salts apart
	Remedies []reading.Remedy `json:"remedies,omitempty"` // when the pH is to be raised
	Cautions []string         `json:"cautions,omitempty"` // on what is to be added

	// InTheOpen is what gas makes of the pH in the tub as it stands, where it matters.
	InTheOpen *bath.Dosing `json:"in_the_open,omitempty"`
}

// inTheOpen tells how the reagent of a course brings the tub of its journal to the pH for good,
// under the cover of its recipe, where the gas of carbonate makes that another dose.
func (b *Bridge) inTheOpen(q Course) (*bath.Dosing, error) {
	r, err := b.recipe(q.Recipe)
	if err != nil {
		return nil, err
	}
	j, err := b.open(q.Journal)
	if err != nil {
		return nil, err
	}
	tub := j.Life().Bath()
	if tub == nil || !r.Place.Open() {
		return nil, nil
	}
	if err := tub.Stand(r.Place); err != nil {
		return nil, err
	}
	d, err := tub.OpenDose(r.Acid, r.PH)
	if err != nil || !d.Waits() {
		return nil, nil // it went past, which the advice tells
	}
	return &d, nil
}

// Belief is a salt with the probability that the bag holds it.
type Belief struct {
	Salt        string  `json:"salt"`
	ID          string  `json:"id"`
	Probability float64 `json:"probability"`
}

const (
	usualAcid  = "citric acid"
	usualBase  = "washing soda"
	usualStrip = "wide-range pH strip"
)

// Next tells the next addition that is unlikely to overshoot.
func (b *Bridge) Next(q Course) (*Next, error) {
	m, err := b.believe(q)
	if err != nil {
		return nil, err
	}
	strip, err := b.tables.Strip(cmp.Or(q.Strip, usualStrip))
	if err != nil {
		return nil, err
	}
	events, err := b.events(q.Journal, strip)
	if err != nil {
		return nil, err
	}
	p, err := m.Infer(events)
	if err != nil {
		return nil, err
	}
	n := &Next{}
	if n.InTheOpen, err = b.inTheOpen(q); err != nil {
		return nil, err
	}
	for _, c := range p.Salts() {
		n.Salts = append(n.Salts, Belief{c.Salt.Name, c.Salt.ID, c.Weight})
	}
	if n.Advice, err = p.Advise(); err != nil {
		return nil, err
	}
	if n.Tests, err = p.Tests(strip); err != nil {
		return nil, err
	}
	if n.Advice.Action != reading.Add {
		return n, nil
	}
	if n.Advice.Reagent != m.Setup().Acid.Name {
		if n.Remedies, err = p.Remedies(); err != nil {
			return nil, err
		}
	}
	n.Cautions, err = b.cautions(n.Advice.Reagent)
	return n, err
}

// believe returns what is believed of a course before its first step. It is worked
// out once for all steps.
func (b *Bridge) believe(q Course) (*reading.Model, error) {
	q.Text, q.Strip = Text{}, ""
	key, err := json.Marshal(q)
	if err != nil {
		return nil, err
	}
	return b.model.get(string(key), func() (*reading.Model, error) {
		r, err := b.recipe(q.Recipe)
		if err != nil {
			return nil, err
		}
		base, err := b.tables.Reagent(cmp.Or(q.Base, usualBase))
		if err != nil {
			return nil, &chem.InputError{Field: "base", Value: strconv.Quote(q.Base), Want: "a reagent of the tables", Err: err}
		}
		s := reading.Setup{Water: r.Water, Volume: r.Volume, Temperature: r.Temperature, Amount: r.Amount, Acid: r.Acid, Base: base, PH: r.PH}
		if slices.Contains(r.Acid.Groups, "base") { // of an acid salt; an acid is for when it went too far
			s.Base = r.Acid
			if s.Acid, err = b.tables.Reagent(usualAcid); err != nil {
				return nil, err
			}
		}
		if q.Untested {
			s.WaterTolerance = 1
		}
		var in cli.Input
		for _, name := range q.Bag {
			s.Bag = append(s.Bag, reading.Candidate{Salt: cli.Flag(&in, "bag", name, b.tables.Reagent), Weight: 1})
		}
		if s.Bag == nil && !q.Unlabelled {
			s.Bag = []reading.Candidate{{Salt: r.Chelant, Weight: 1}}
		}
		if in.Err != nil {
			return nil, in.Err
		}
		return reading.New(b.tables, s)
	})
}

// events returns what a journal tells of a bath before the first part went in.
func (b *Bridge) events(text string, strip tables.Strip) ([]reading.Event, error) {
	j, err := b.open(text)
	if err != nil {
		return nil, err
	}
	var out []reading.Event
	var bag string
	for _, e := range j.Standing() {
		switch e.Kind {
		case journal.Mixed:
			r, err := b.tables.Reagent(e.Reagent)
			if err != nil {
				return nil, err
			}
			bag = r.ID
		case journal.Added:
			r, err := b.tables.Reagent(e.Reagent)
			if err != nil {
				return nil, err
			}
			added := reading.Added{Reagent: r, Amount: measure.Amount{MassGrams: e.MassGrams}}
			if measured, ok := strings.CutPrefix(e.Note, measuredAs); ok {
				if a, err := measure.ParseAmount(measured); err == nil {
					added.Amount = a // spoons are less sure than a scale
				}
			}
			if r.ID == bag {
				added.Reagent = tables.Reagent{}
			}
			out = append(out, added)
		case journal.Reading:
			out = append(out, reading.Read{Strip: b.readWith(e.ResolutionPH, strip), Value: *e.PH})
		case journal.Dipped:
			return out, nil
		}
	}
	return out, nil
}

// readWith returns the strip or meter of a reading, of which a journal keeps how finely
// it shows: the one that is in use, or else the first of the tables, if it shows so.
func (b *Bridge) readWith(resolution float64, inUse tables.Strip) tables.Strip {
	best := inUse
	for s := range tables.All[tables.Strip](b.tables) {
		if s.Quantity == inUse.Quantity && math.Abs(s.Step-resolution) < math.Abs(best.Step-resolution) {
			best = s
		}
	}
	return best
}

// cautions returns those of a reagent, and of what must not meet it in any shop.
func (b *Bridge) cautions(name string) ([]string, error) {
	r, err := b.tables.Reagent(name)
	if err != nil {
		return nil, err
	}
	met := append([]string{"chelant", "hypochlorite"}, r.Groups...)
	var out []string
	for h := range tables.All[tables.Hazard](b.tables) {
		if slices.Contains(r.Hazards, h.ID) || slices.Contains(h.Mix, "hypochlorite") && h.Meets(met...) {
			out = append(out, fmt.Sprintf("%s: %s", h.Signal, h.Caution))
		}
	}
	return out, nil
}

// Book is a journal: the whole text, and what it tells.
type Book struct {
	Journal string  `json:"journal"`
	Events  []Told  `json:"events"`
	Torn    string  `json:"torn,omitempty"` // what is left of a last line that was cut off
	PH      float64 `json:"ph_computed"`
	Litres  float64 `json:"bath_l"`
}

// Told is an event as it was written, and what later ones made of it.
type Told struct {
	journal.Event
	StruckOut bool           `json:"struck_out,omitempty"`
	Now       *journal.Event `json:"now,omitempty"` // as amended
}

// Text is a journal as it is kept or as it comes from a file.
type Text struct {
	Journal string `json:"journal"`
}

// Entry is an event in the words of the shop. Kind and what goes with it are those
// of package journal.
type Entry struct {
	Text
	At          time.Time `json:"at"`
	Kind        string    `json:"kind"`
	Note        string    `json:"note,omitempty"`
	Number      int       `json:"number,omitempty"` // of the event that is struck out or amended
	Volume      string    `json:"volume,omitempty"`
	Water       string    `json:"water,omitempty"`
	Hardness    string    `json:"hardness,omitempty"`
	Alkalinity  string    `json:"alkalinity,omitempty"`
	Temperature string    `json:"temperature,omitempty"`
	Reagent     string    `json:"reagent,omitempty"`
	Amount      string    `json:"amount,omitempty"`
	PH          string    `json:"ph,omitempty"`
	Strip       string    `json:"strip,omitempty"` // what the pH was read with
	Oxide       string    `json:"oxide,omitempty"`
	RustMass    string    `json:"rust_mass,omitempty"` // weighed, or:
	Rust        string    `json:"rust,omitempty"`      // the kind of a layer,
	Thickness   string    `json:"thickness,omitempty"` // its thickness
	Area        string    `json:"area,omitempty"`      // and how much steel it was on
	SteelMass   string    `json:"steel_mass,omitempty"`
	Cover       string    `json:"cover,omitempty"` // under which the tub stood since the event before
	Light       string    `json:"light,omitempty"`
	BareSteel   string    `json:"bare_steel,omitempty"` // area of clean steel in it meanwhile
}

const (
	usualOxide = "lepidocrocite"
	measuredAs = "measured out as "
)

// Read looks into a journal.
func (b *Bridge) Read(q Text) (*Book, error) {
	j, err := b.open(q.Journal)
	if err != nil {
		return nil, err
	}
	k := &Book{Journal: q.Journal, Events: []Told{}, Torn: strings.TrimSpace(string(j.Torn()))}
	k.Journal = strings.TrimSuffix(k.Journal, string(j.Torn()))
	struck, standing := map[int]bool{}, maps.Collect(j.Standing())
	for i, e := range slices.Backward(j.Events()) {
		if e.Kind == journal.Struck && !struck[i+1] {
			struck[e.Number] = true
		}
		told := Told{Event: e, StruckOut: struck[i+1]}
		if now, ok := standing[i+1]; ok && !reflect.DeepEqual(now, e) {
			told.Now = &now
		}
		k.Events = append(k.Events, told)
	}
	slices.Reverse(k.Events)
	if tub := j.Life().Bath(); tub != nil {
		st, err := tub.State()
		if err != nil {
			return nil, err
		}
		k.PH, k.Litres = st.PH, tub.Litres()
	}
	return k, nil
}

// Note writes one more event down. An event that the bath does not allow is refused. The
// file never shrinks: "struck" with the number of an earlier event says that it never
// happened, "amended" what in it was otherwise, both with a note that says why.
func (b *Bridge) Note(q Entry) (*Book, error) {
	j, err := b.open(q.Journal)
	if err != nil {
		return nil, err
	}
	e, err := b.entry(q)
	if journal.Kind(q.Kind) == journal.Amended {
		e, err = b.amend(q, j.Events())
	}
	if err != nil {
		return nil, err
	}
	if before := j.Events(); len(before) > 0 && e.At.Before(before[len(before)-1].At) {
		e.At = before[len(before)-1].At // two tabs, or a clock that was set back: the order is that of the file
	}
	line, err := j.Line(e)
	if err != nil {
		return nil, err
	}
	return b.Read(Text{strings.TrimSuffix(q.Journal, string(j.Torn())) + string(line)})
}

// amend returns the event that lets an earlier one be what an entry says: where that says
// nothing, it stays.
func (b *Bridge) amend(q Entry, all []journal.Event) (journal.Event, error) {
	if q.Number < 1 || q.Number > len(all) {
		return journal.Event{}, &chem.InputError{Field: "number", Value: strconv.Itoa(q.Number), Want: "that of an earlier event, up to " + strconv.Itoa(len(all))}
	}
	at, why, as := q.At, q.Note, all[q.Number-1]
	q.Kind, q.Note, q.Reagent = string(as.Kind), "", cmp.Or(q.Reagent, as.Reagent)
	if q.PH != "" && q.Strip == "" {
		usual, err := b.tables.Strip(usualStrip)
		if err != nil {
			return journal.Event{}, err
		}
		q.Strip = b.readWith(as.ResolutionPH, usual).ID
	}
	now, err := b.entry(q)
	if err != nil {
		return now, err
	}
	if q.Amount != "" {
		as.Reagent, as.MassGrams = now.Reagent, now.MassGrams
		if now.Note != "" || strings.HasPrefix(as.Note, measuredAs) {
			as.Note = now.Note
		}
	}
	if q.PH != "" {
		as.PH, as.ResolutionPH = now.PH, now.ResolutionPH
	}
	if q.RustMass != "" {
		as.RustGrams, as.AreaCM2, as.RustGramsPerM2 = now.RustGrams, 0, 0
	}
	as.VolumeLitres, as.SteelGrams = cmp.Or(now.VolumeLitres, as.VolumeLitres), cmp.Or(now.SteelGrams, as.SteelGrams)
	as.TemperatureC = cmp.Or(now.TemperatureC, as.TemperatureC)
	return journal.Event{At: cmp.Or(at.Truncate(time.Second), now.At), Kind: journal.Amended, Number: q.Number, As: []journal.Event{as}, Note: why}, nil
}

func (b *Bridge) open(text string) (*journal.Journal, error) {
	return b.book.get(text, func() (*journal.Journal, error) { return journal.Read(b.tables, []byte(text)) })
}

// entry turns the words of the shop into an event.
func (b *Bridge) entry(q Entry) (journal.Event, error) {
	e := journal.Event{At: q.At.Truncate(time.Second), Kind: journal.Kind(q.Kind), Note: q.Note, Number: q.Number, Water: q.Water, Reagent: q.Reagent}
	if q.At.IsZero() {
		e.At = time.Now().UTC().Truncate(time.Second)
	}
	var in cli.Input
	e.Cover, e.Light = cli.Flag(&in, "cover", q.Cover, bath.ParseCover), cli.Flag(&in, "light", q.Light, bath.ParseLight)
	if q.BareSteel != "" {
		e.BareSteelCM2 = float64(cli.Flag(&in, "bare_steel", q.BareSteel, measure.ParseArea) / measure.SquareCentimetre)
	}
	if q.Volume != "" {
		e.VolumeLitres = float64(cli.Flag(&in, "volume", q.Volume, measure.ParseVolume) / measure.Litre)
	}
	if q.Temperature != "" {
		c := float64(cli.Flag(&in, "temperature", q.Temperature, measure.ParseTemperature) - chem.Celsius(0))
		e.TemperatureC = &c
	}
	if q.Hardness != "" || q.Alkalinity != "" {
		hardness, alkalinity := q.Hardness, q.Alkalinity
		if hardness == "" {
			hardness = alkalinity
		}
		if alkalinity == "" {
			alkalinity = hardness
		}
		e.Water, e.WaterPH = "tested", 7.5
		e.HardnessMgPerLitre = cli.Flag(&in, "hardness", hardness, b.tables.ParseHardness).CaCO3()
		e.AlkalinityMgPerLitre = cli.Flag(&in, "alkalinity", alkalinity, b.tables.ParseAlkalinity).CaCO3()
	}
	if q.Amount != "" {
		r := cli.Flag(&in, "reagent", q.Reagent, b.tables.Reagent)
		amount := cli.Flag(&in, "amount", q.Amount, measure.ParseAmount)
		if in.Err != nil {
			return e, in.Err
		}
		mass, err := amount.Weigh(r.Packing())
		if err != nil {
			return e, err
		}
		e.MassGrams = mass.TypicalGrams
		if amount.VolumeLitres > 0 && q.Note == "" {
			e.Note = measuredAs + q.Amount
		}
	}
	if q.PH != "" {
		pH, err := strconv.ParseFloat(strings.Replace(q.PH, ",", ".", 1), 64)
		if err != nil {
			return e, &chem.InputError{Field: "ph", Value: strconv.Quote(q.PH), Want: "a number such as 8 or 8.4"}
		}
		strip := cli.Flag(&in, "strip", q.Strip, b.tables.Strip)
		if in.Err == nil {
			if err := strip.Check(pH); err != nil {
				return e, &chem.InputError{Field: "ph", Value: strconv.Quote(q.PH), Want: "what a " + strip.Name + " shows", Err: err}
			}
		}
		e.PH, e.ResolutionPH = &pH, strip.Step
	}
	if in.Err != nil {
		return e, in.Err
	}
	return e, b.rust(q, &e)
}

// rust adds what came off the parts to an event.
func (b *Bridge) rust(q Entry, e *journal.Event) error {
	var in cli.Input
	gram := func(field, text string) float64 {
		if text == "" {
			return 0
		}
		return float64(cli.Flag(&in, field, text, measure.ParseMass) / measure.Gram)
	}
	e.RustGrams, e.SteelGrams = gram("rust_mass", q.RustMass), gram("steel_mass", q.SteelMass)
	if e.RustGrams == 0 && q.Area != "" {
		layer, area, err := b.layer(q.Rust, q.Thickness, q.Area)
		if err != nil {
			return err
		}
		e.AreaCM2, e.RustGramsPerM2 = float64(area/measure.SquareCentimetre), layer.RustGramsPerM2.Typical
	}
	if e.Kind == journal.Dipped && e.Rust() > 0 {
		e.Oxide = usualOxide
		if q.Oxide != "" {
			o := cli.Flag(&in, "oxide", q.Oxide, func(s string) (bath.Oxide, error) { return bath.FindOxide(b.tables, s) })
			e.Oxide = o.Name
		}
	}
	return in.Err
}

// layer reads rust as it sits on steel.
func (b *Bridge) layer(kind, thickness, area string) (rust.Layer, unit.Area, error) {
	var in cli.Input
	r := cli.Flag(&in, "rust", kind, b.tables.Rust)
	thick := cli.Flag(&in, "thickness", thickness, measure.ParseLength)
	on := cli.Flag(&in, "area", area, measure.ParseArea)
	if in.Err != nil {
		return rust.Layer{}, 0, in.Err
	}
	l, err := rust.LayerOfThickness(r, thick)
	return l, on, err
}

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

// call answers one kind of request.
type call func(request json.RawMessage) (any, error)

// of makes a call of a method, whose request may hold nothing that it does not know.
func of[Q, A any](method func(Q) (A, error)) call {
	return func(request json.RawMessage) (any, error) {
		var q Q
		if len(request) > 0 {
			if err := strict(request, &q); err != nil {
				return nil, &chem.InputError{Field: "request", Value: "unreadable", Want: "a JSON object with the keys of this call", Err: err}
			}
		}
		return method(q)
	}
}

// strict reads one JSON value without keys that nobody asked for.
func strict(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return errors.New("something follows")
	}
	return nil
}

// Problem is why there is no answer. Field is the key of the request that is at
// fault, and empty where none is.
type Problem struct {
	Field string `json:"field,omitempty"`
	Value string `json:"value,omitempty"`
	Want  string `json:"want,omitempty"`
	Text  string `json:"text"`
}

// envelope is what goes over the bridge, either way.
type envelope struct {
	Version int             `json:"version"`
	Call    string          `json:"call"`
	Units   string          `json:"units,omitempty"` // metric or us, for the texts
	Request json.RawMessage `json:"request,omitempty"`
	Answer  any             `json:"answer,omitempty"`
	Error   *Problem        `json:"error,omitempty"`
}

// Answer carries a call over: {"call": "weigh", "units": "us", "request": {...}}
// gives {"version": 2, "call": "weigh", "answer": {...}}, or an error in the place of
// the answer.
func (b *Bridge) Answer(message []byte) []byte {
	var in envelope
	out := envelope{Version: Version}
	answer, err := func() (any, error) {
		if err := strict(message, &in); err != nil {
			return nil, &chem.InputError{Field: "message", Value: "unreadable", Want: "a JSON object with call and request", Err: err}
		}
		out.Call = in.Call
		method, known := b.calls[in.Call]
		switch {
		case in.Version != 0 && in.Version != Version:
			return nil, &chem.InputError{Field: "version", Value: strconv.Itoa(in.Version), Want: strconv.Itoa(Version)}
		case !known:
			return nil, &chem.InputError{Field: "call", Value: strconv.Quote(in.Call), Want: "a call of package bridge"}
		}
		words, ok := languages[in.Units]
		if !ok {
			return nil, &chem.InputError{Field: "units", Value: strconv.Quote(in.Units), Want: "metric or us"}
		}
		answer, err := method(in.Request)
		if err != nil {
			return nil, err
		}
		return words.spell(answer)
	}()
	if err != nil {
		out.Error = explain(err)
	} else {
		out.Answer = answer
	}
	data, err := json.Marshal(out)
	if err != nil { // a number that JSON cannot hold
		out.Answer, out.Error = nil, &Problem{Text: err.Error()}
		data, _ = json.Marshal(out)
	}
	return data
}

// explain tells what is wrong, with the field by its key.
func explain(err error) *Problem {
	p := &Problem{Text: err.Error()}
	var in *chem.InputError
	if errors.As(err, &in) {
		p.Field, p.Value, p.Want = in.Field, in.Value, in.Want
	}
	if errors.Is(err, solution.ErrUnreachable) {
		p.Field = "ph"
	}
	if flag, ok := strings.CutPrefix(p.Text, "-"); ok { // what was read as the programs read their flags
		end := strings.IndexAny(flag, ": ")
		p.Field = flag[:max(end, 0)]
		p.Text = flag
	}
	p.Field = strings.ToLower(strings.ReplaceAll(strings.TrimPrefix(p.Field, "-"), "-", "_"))
	if _, field, ok := strings.Cut(p.Field, ": "); ok { // of an event: its kind comes first
		p.Field, _, _ = strings.Cut(field, " ")
		if word, ok := written[p.Field]; ok {
			p.Field = word
		}
	}
	return p
}

// written tells in which field of an Entry a field of an event was written.
var written = map[string]string{
	"volume_l": "volume", "temperature_c": "temperature", "mass_g": "amount", "rust_g": "rust_mass", "steel_g": "steel_mass", "ph_resolution": "ph",
	"hardness_mg_per_l_caco3": "hardness", "alkalinity_mg_per_l_caco3": "alkalinity",
}

// language writes quantities as a person reads them.
type language struct {
	mass, volume func(float64) string // of g and L
	sentence     func(string) string
}

var languages = map[string]language{
	"":                     metric,
	string(measure.Metric): metric,
	string(measure.US): {
		func(g float64) string { return measure.Customary(measure.FormatGrams(g)) },
		func(l float64) string { return measure.Customary(measure.FormatLitres(l)) },
		measure.Customary,
	},
}

var metric = language{measure.FormatGrams, measure.FormatLitres, func(s string) string { return s }}

// sentences are the keys of what the library says in words, with quantities in them.
var sentences = []string{"text", "why", "do", "does", "notes", "note", "flags", "cautions", "remedy", "stopped"}

// spell puts a text beside every quantity of an answer, by the unit in which its key
// ends: beside "mass_g" a "mass_text".
func (l language) spell(answer any) (any, error) {
	data, err := json.Marshal(answer)
	if err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber() // numbers stay what the library wrote, to the last digit
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, err
	}
	l.walk(v, nil)
	return v, nil
}

func (l language) walk(v any, within func(float64) string) {
	switch v := v.(type) {
	case []any:
		for _, x := range v {
			l.walk(x, within)
		}
	case map[string]any:
		texts := map[string]any{}
		for key, x := range v {
			name, write := l.quantity(key)
			if write == nil && within != nil {
				name, write = key+"_text", within // the low, typical and high of a range
			}
			if n, ok := x.(json.Number); ok && write != nil {
				number, _ := n.Float64()
				texts[name] = write(number)
				continue
			}
			if slices.Contains(sentences, key) {
				v[key] = l.rewrite(x)
			}
			l.walk(x, write)
		}
		for name, text := range texts {
			v[name] = text
		}
	}
}

// rewrite puts the quantities in a text, or in each of several, in the language.
func (l language) rewrite(v any) any {
	switch v := v.(type) {
	case string:
		return l.sentence(v)
	case []any:
		for i, x := range v {
			v[i] = l.rewrite(x)
		}
	}
	return v
}

// quantity returns the key of the text of a quantity and what writes it, nil for a
// key that ends in no such unit.
func (l language) quantity(key string) (string, func(float64) string) {
	if strings.Contains("_"+key, "_per_") {
		return "", nil
	}
	for suffix, write := range map[string]func(float64) string{
		"_g": l.mass, "_l": l.volume,
		"_c":    func(c float64) string { return measure.FormatTemperature(chem.Celsius(c)) },
		"_cm2":  func(a float64) string { return measure.FormatArea(unit.Area(a) * measure.SquareCentimetre) },
		"hours": rust.RoughTime,
	} {
		if name, ok := strings.CutSuffix(key, suffix); ok {
			return strings.TrimPrefix(name+"_text", "_"), write
		}
	}
	return "", nil
}

// kept is the last thing that was worked out from a text.
type kept[T any] struct {
	from  string
	value T
	valid bool
}

func (k *kept[T]) get(from string, work func() (T, error)) (T, error) {
	if k.valid && k.from == from {
		return k.value, nil
	}
	value, err := work()
	if err == nil {
		*k = kept[T]{from, value, true}
	}
	return value, err
}
