package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/reading"
)

// result sums up the courses of one rule on one truth. Shares are fractions of the
// baths.
type result struct {
	Truth      string  `json:"truth"`
	Label      string  `json:"label,omitempty"`
	Instrument string  `json:"read_with"`
	Rule       string  `json:"rule"`
	Baths      int     `json:"baths"`
	Past       float64 `json:"past"`     // went past the target by more than a step, at any time
	Within     float64 `json:"within_1"` // of the target at the end
	Pours      float64 `json:"pours_mean"`
	Looks      float64 `json:"readings_mean"`
	// Of the advice alone: how often a range of nine in ten held the pH, the chance of
	// the window that it claimed on stopping, on average, and how often that came true.
	Holds   float64  `json:"range_holds,omitempty"`
	Claimed float64  `json:"claimed,omitempty"`
	True    float64  `json:"came_true,omitempty"`
	Missed  []string `json:"missed,omitempty"` // goals
}

func sum(u truth, r rule, s reading.Setup, runs []*trial) *result {
	out := &result{Truth: u.name, Label: u.label, Instrument: u.instrument, Rule: r.name, Baths: len(runs)}
	n, asked, held, stopped := float64(len(runs)), 0, 0, 0.0
	for _, x := range runs {
		if x.past {
			out.Past++
		}
		if math.Abs(x.pH-s.PH) <= reading.Step {
			out.Within++
		}
		out.Pours += float64(x.pours)
		out.Looks += float64(len(x.events) - x.pours)
		asked, held = asked+x.asked, held+x.held
		if x.claim > 0 {
			stopped++
			out.Claimed += x.claim
			if math.Abs(x.pH-s.PH) <= reading.Window {
				out.True++
			}
		}
	}
	for _, mean := range []*float64{&out.Past, &out.Within, &out.Pours, &out.Looks} {
		*mean /= n // once, so that a goal met to the digit is met
	}
	if asked > 0 {
		out.Holds = float64(held) / float64(asked)
		out.Claimed, out.True = out.Claimed/max(1, stopped), out.True/max(1, stopped)
	}
	return out
}

// judge notes the goals that the first of a truth's results, the advice, misses
// against the others, of which the first is the shop's rule of spoons.
func judge(all []*result) {
	a, spoons := all[0], all[1]
	past, within := 1.0, 0.0
	for _, r := range all[1:] {
		past, within = min(past, r.Past), max(within, r.Within)
	}
	for _, goal := range []struct {
		name string
		met  bool
	}{
		{"past", a.Past <= 0.05 && a.Past <= past+0.03},
		{"within", a.Within >= 0.9 && a.Within >= within-0.03},
		{"pours", a.Pours <= spoons.Pours/2},
		{"range", a.Holds >= 0.85},
		{"claim", a.True >= a.Claimed-0.05},
	} {
		if !goal.met {
			a.Missed = append(a.Missed, goal.name)
		}
	}
}

// columns of the table, of which people see the first rule's beside the others'.
var columns = []string{"truth", "bag", "rule", "past %", "within 1 %", "pours", "readings", "range holds %", "claimed %", "came true %", "missed"}

func table(results []*result) *cli.Table {
	t := &cli.Table{Columns: columns}
	for _, r := range results {
		cells := []any{r.Truth, r.bag(), r.Rule, 100 * r.Past, 100 * r.Within, r.Pours, r.Looks, "-", "-", "-", ""}
		if r.Holds > 0 {
			cells[7], cells[8], cells[9], cells[10] = 100*r.Holds, 100*r.Claimed, 100*r.True, strings.Join(r.Missed, " ")
		}
		t.Add(cells...)
	}
	return t
}

// bag tells what is on it, and the instrument if that is no strip.
func (r *result) bag() string {
	bag := "no label"
	if r.Label != "" {
		bag = "labelled"
	}
	if r.Instrument == meter {
		bag += ", meter"
	}
	return bag
}

// report prints one line for each truth: the advice, and in brackets the shop's rule
// and the book's.
func report(out io.Writer, s reading.Setup, baths int, results []*result) error {
	t := &cli.Table{
		Title:   fmt.Sprintf("%d baths of each truth, to be brought to pH %g; past is beyond it by more than %g", baths, s.PH, reading.Step),
		Columns: []string{"truth", "bag", "past %", "within 1 %", "pours", "range %", "claimed %", "true %", "missed"},
	}
	for i := 0; i < len(results); i += len(rules) {
		a, spoons, half := results[i], results[i+1], results[i+2]
		three := func(f func(*result) float64) string {
			return fmt.Sprintf("%.3g (%.3g; %.3g)", f(a), f(spoons), f(half))
		}
		t.Add(a.Truth, a.bag(), three(func(r *result) float64 { return 100 * r.Past }), three(func(r *result) float64 { return 100 * r.Within }),
			three(func(r *result) float64 { return r.Pours }), fmt.Sprintf("%.0f", 100*a.Holds), fmt.Sprintf("%.0f", 100*a.Claimed), fmt.Sprintf("%.0f", 100*a.True), strings.Join(a.Missed, " "))
	}
	if err := t.Print(out); err != nil {
		return err
	}
	_, err := fmt.Fprintln(out, "\nIn brackets: a level tablespoon at a time; half the book's dose, then tablespoons.")
	return err
}
