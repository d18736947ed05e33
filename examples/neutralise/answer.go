package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// answer is all that is said after the last step.
type answer struct {
	Advice *reading.Advice `json:"advice"`
	// ByConstants is all the acid of the bath as told, of the likeliest salt, with what the constants leave open of it.
	ByConstants tables.Range      `json:"dose_by_constants_g"`
	Salts       []belief          `json:"salts"`
	Tests       []reading.Test    `json:"tests,omitempty"`    // what would tell the salts apart
	Remedies    []reading.Remedy  `json:"remedies,omitempty"` // when the pH is to be raised
	Window      []working         `json:"window,omitempty"`   // when it is good enough
	Suspects    []reading.Suspect `json:"suspects,omitempty"` // what does not fit
	Cautions    []string          `json:"cautions,omitempty"` // on what is to be added

	acid   string
	target float64 // pH
}

func (c *course) answer() (*answer, error) {
	p, err := c.model.Infer(c.events)
	if err != nil {
		return nil, err
	}
	setup := c.model.Setup()
	a := &answer{Salts: beliefs(setup, p), Suspects: p.Suspects(), acid: setup.Acid.Name, target: setup.PH}
	if a.Advice, err = p.Advise(); err != nil {
		return nil, err
	}
	if salt, unknown := c.tables.Reagent(a.Salts[0].ID); unknown == nil {
		s := c.model.Setup()
		setter := s.Acid
		if setter.ID == "" {
			setter = s.Base
		}
		if a.ByConstants, _, err = c.model.ByConstants(salt, setter); err != nil {
			return nil, err
		}
	}
	if a.Tests, err = p.Tests(c.strip); err != nil {
		return nil, err
	}
	if a.Advice.Action == reading.Add {
		if a.Cautions, err = c.cautions(a); err != nil {
			return nil, err
		}
	}
	switch {
	case a.Advice.Action == reading.Stop:
		a.Window, err = c.window(a.Salts[0].ID)
	case a.Advice.Action == reading.Add && a.Advice.Reagent != a.acid:
		a.Remedies, err = p.Remedies()
	}
	return a, err
}

// belief is a salt with the probability that the bag holds it.
type belief struct {
	Salt        string  `json:"salt"`
	ID          string  `json:"id"`
	Prior       float64 `json:"prior_probability"`
	Probability float64 `json:"probability"`
}

func beliefs(s reading.Setup, p *reading.Posterior) (out []belief) {
	total, prior := 0.0, map[string]float64{}
	for _, c := range s.Bag {
		prior[c.Salt.ID] = c.Weight
		total += c.Weight
	}
	for _, c := range p.Salts() {
		out = append(out, belief{c.Salt.Name, c.Salt.ID, prior[c.Salt.ID] / total, c.Weight})
	}
	return out
}

// cautions returns those of the reagent advised: by itself, with what is or may be in the
// bath, and with bleach.
func (c *course) cautions(a *answer) (out []string, err error) {
	var met []tables.Reagent
	meets := func(name string) {
		r, e := c.tables.Reagent(name)
		met, err = append(met, r), cmp.Or(err, e)
	}
	for _, s := range a.Salts {
		if s.ID != "" && s.Probability > likely {
			meets(s.ID)
		}
	}
	for _, e := range c.events {
		if x, ok := e.(reading.Added); ok && x.Reagent.ID != "" {
			meets(x.Reagent.ID)
		}
	}
	if meets(a.Advice.Reagent); err != nil {
		return nil, err
	}
	all, err := care.Cautions(c.tables, met, nil)
	for _, x := range all {
		if slices.Contains(x.About, met[len(met)-1].Name) || slices.Contains(x.About, "chlorine bleach") {
			out = append(out, fmt.Sprintf("%s: %s", x.Signal, x.Text))
		}
	}
	return out, err
}

// likely is the chance from which on a salt's cautions are told: judgement.
const likely = 0.05

func (a *answer) print(out io.Writer) error {
	w := &cli.Pen{Out: out}
	x := a.Advice
	switch x.Action {
	case reading.Look:
		w.Line("Next: read the pH.")
	case reading.Stop:
		w.Line("Stop here.")
	case reading.Add:
		w.Line("Next: stir in %s of %s, wait until it is dissolved, and read.", portions(x), x.Reagent)
		w.Line("  Expect pH %.1f to %.1f.", best(x).PHAfter.Low, best(x).PHAfter.High)
	}
	w.Line("  %s", x.Why)
	for _, f := range x.Flags {
		w.Line("  Mind %s.", f)
	}
	if len(a.Suspects) > 0 {
		w.Line("")
		w.Line("What was read does not fit what was told. What may be wrong, and how to tell:")
		for _, s := range a.Suspects {
			w.Line("  %3.0f %%  %s: %s", 100*s.Chance, s.What, s.Tell)
		}
	}
	if len(a.Remedies) > 0 {
		w.Line("")
		w.Line("To raise the pH to the target, by the salt that is left behind:")
		for _, r := range a.Remedies {
			whole, today := measure.FormatGrams(r.MassGrams.Typical), ""
			if r.Told(a.target, r.MassGrams.Typical) != "" {
				whole, today = whole+" for good", "; "+measure.FormatGrams(r.NowGrams)+" would show it today"
				if r.NowGrams == 0 {
					today = "; no dose shows it today"
				}
			}
			w.Line("  %s (%s as the next step%s), %.2g mol of sodium: %s", whole, measure.FormatGrams(r.SafeGrams), today, r.SaltMoles, r.Note)
		}
	}
	if len(a.Window) > 0 {
		w.Line("")
		w.Line("What the pH changes (iron from the youngest rust, per EDTA, while the pH is held):")
		for _, x := range a.Window {
			w.Line("  pH %.1f: %.2f", x.PH, x.IronPerChelant)
		}
	}
	w.Line("")
	w.Line("What the bag may hold:")
	for _, s := range a.Salts {
		if s.Probability >= 0.005 {
			w.Line("  %3.0f %%  %s", 100*s.Probability, s.Salt)
		}
	}
	const worthATest = 0.1 // of the question: judgement
	if len(a.Tests) > 0 && a.Tests[0].OpenBits > 0.3 && a.Tests[0].Bits > worthATest*a.Tests[0].OpenBits {
		w.Line("  To tell them apart: %s. That settles about %.0f %% of the question.", a.Tests[0].Text, 100*a.Tests[0].Bits/a.Tests[0].OpenBits)
	}
	if len(a.Cautions) > 0 {
		w.Line("")
		w.Line("Take care")
		for _, text := range a.Cautions {
			w.Line("  %s", text)
		}
	}
	return w.Err
}

// portions names the addition by weight and in spoons.
func portions(x *reading.Advice) string {
	if x.Spooned == nil {
		return x.Weighed.Text
	}
	return fmt.Sprintf("%s (or %s)", x.Weighed.Text, x.Spooned.Text)
}

// best is the addition whose outcome is told.
func best(x *reading.Advice) *reading.Portion {
	if x.Spooned != nil {
		return x.Spooned
	}
	return x.Weighed
}
