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
package bridge

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/journal"
	"example.com/chelation/solution/reading"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

// Version is that of the requests and answers. It changes when a key changes its
// meaning or goes.
const Version = 1

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
		"without": of(b.Without),
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
	for r := range b.tables.Reagents() {
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
	for w := range b.tables.Waters() {
		n.Waters = append(n.Waters, named(w.Entry))
	}
	for s := range b.tables.Strips() {
		if s.Quantity != "pH" {
			continue
		}
		i := Instrument{Named: named(s.Entry), Step: s.Step}
		if marks := s.Marks(); len(marks) <= mostMarks {
			i.Marks = marks
		}
		n.Instruments = append(n.Instruments, i)
	}
	for r := range b.tables.Rusts() {
		n.Rusts = append(n.Rusts, named(r.Entry))
	}
	oxides, err := bath.CommonOxides(b.tables)
	for _, o := range oxides {
		n.Oxides = append(n.Oxides, Named{ID: o.Name, Name: o.Name})
	}
	for s := range b.tables.Signs() {
		n.Signs = append(n.Signs, Named{s.ID, s.ID, s.Means})
	}
	for m := range b.tables.Materials() {
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
// right for good where carbonate makes that another, as in a plan.
func (b *Bridge) dose(r recipe.Recipe, v *solution.Solution) (solution.Dose, error) {
	d, err := v.Dose(r.Acid, solution.PH(r.PH))
	if !r.Place.Open() {
		return d, err
	}
	good, openErr := v.OpenDose(r.Acid, r.PH)
	const worthWaiting = 0.2 // as package recipe takes it
	if openErr != nil || math.Abs(good.StartPH-r.PH) < worthWaiting {
		return d, err
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
