package bridge

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/journal"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// Course is a bath on its way to its pH: its journal, and what that does not tell.
type Course struct {
	Text
	Recipe     Recipe   `json:"recipe"`               // as it was mixed, in the measures that were used
	Unlabelled bool     `json:"unlabelled,omitempty"` // nobody knows what is in the bag
	Bag        []string `json:"bag,omitempty"`        // what it may hold, where that is not the chelant alone
	Untested   bool     `json:"untested,omitempty"`   // nobody tested the water
	Base       string   `json:"base,omitempty"`       // what raises the pH
	Strip      string   `json:"strip,omitempty"`      // what will be read with next
}

// Next is the next pour, how sure it is, and what the bag seems to be.
type Next struct {
	Advice   *reading.Advice    `json:"advice"`
	Salts    []Belief           `json:"salts"`
	Tests    []reading.Test     `json:"tests,omitempty"`    // what would tell the salts apart
	Remedies []reading.Remedy   `json:"remedies,omitempty"` // when the pH is to be raised
	Evidence []reading.Evidence `json:"evidence,omitempty"`
	Cautions []string           `json:"cautions,omitempty"` // on what is to be added
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
	n := &Next{Evidence: p.Evidence()}
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
	for _, e := range j.Events() {
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
	for s := range b.tables.Strips() {
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
	for h := range b.tables.Hazards() {
		if slices.Contains(r.Hazards, h.ID) || slices.Contains(h.Mix, "hypochlorite") && h.Meets(met...) {
			out = append(out, fmt.Sprintf("%s: %s", h.Signal, h.Caution))
		}
	}
	return out, nil
}
