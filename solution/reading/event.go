package reading

import (
	"fmt"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Event is something done to a bath or seen of it, one of [Added], [Read],
// [Spoon] and [Clarity], in the order of time.
type Event interface{ event() }

// Added is something stirred in and dissolved.
type Added struct {
	// Reagent is what was added; the zero value is more from the bag.
	Reagent tables.Reagent
	Amount  measure.Amount
}

// Read is a pH that a strip or a meter showed once all had dissolved.
type Read struct {
	Strip tables.Strip // what it was read with
	Value float64      // one of its marks, or between two of them
}

// Spoon is what a level measure from the bag weighs on a scale, on the average
// if several were weighed.
type Spoon struct {
	Volume unit.Volume // level
	Mass   unit.Mass   // of what it held
}

// Clarity tells whether the bag had dissolved, before any acid or base, after
// half an hour of stirring. EDTA acid leaves a milky sediment where its salts
// dissolve.
type Clarity struct{ Clear bool }

func (Added) event()   {}
func (Read) event()    {}
func (Spoon) event()   {}
func (Clarity) event() {}

var _, _, _, _ Event = Added{}, Read{}, Spoon{}, Clarity{}

// compile checks the events and turns them into what the particles follow.
func (m *Model) compile(events []Event) (*course, error) {
	c := &course{more: make([]portion, 1)}
	c.more[0].measure(m.setup.Amount)
	c.steps = append(c.steps, step{kind: pours, index: 0})
	for i, e := range events {
		bad := func(field, value, want string, err error) error {
			return &chem.InputError{Field: fmt.Sprintf("event %d: %s", i+1, field), Value: value, Want: want, Err: err}
		}
		switch e := e.(type) {
		case Added:
			p, err := m.portion(e)
			if err != nil {
				return nil, bad("amount", e.Amount.String(), "an amount of a known reagent, or from the bag", err)
			}
			c.steps = append(c.steps, step{kind: pours, index: len(c.more)})
			c.more = append(c.more, p)
		case Read:
			r, err := m.sight(e)
			if err != nil {
				return nil, bad("reading", fmt.Sprint(e.Value), "a pH on the scale of the strip", err)
			}
			r.instrument = c.instrument(e.Strip)
			r.event = i
			c.steps = append(c.steps, step{kind: reads, index: len(c.sights)})
			c.sights = append(c.sights, r)
		case Spoon:
			density := float64(e.Mass) / float64(e.Volume)
			if !(e.Volume > 0 && density >= 50 && density <= 3000) {
				return nil, bad("spoon", fmt.Sprintf("%.4g g in %.4g mL", float64(e.Mass)*1e3, float64(e.Volume)*1e6), "0.05 to 3 g per mL", nil)
			}
			c.steps = append(c.steps, step{kind: weighs, index: len(c.densities), event: i})
			c.densities = append(c.densities, density)
		case Clarity:
			if len(c.more) > 1 {
				return nil, bad("clarity", fmt.Sprint(e.Clear), "a look before anything is added", nil)
			}
			c.steps = append(c.steps, step{kind: looks, clear: e.Clear, event: i})
		default:
			return nil, bad("kind", fmt.Sprintf("%T", e), "Added, Read, Spoon or Clarity", nil)
		}
	}
	return c, nil
}
