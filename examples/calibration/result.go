package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/reading"
)

// result sums up the runs of one way. Shares are fractions of the baths.
type result struct {
	Way   string `json:"way"`
	Strip string `json:"read_with,omitempty"`
	Baths int    `json:"baths"`

	Overshot  float64 `json:"overshot"`       // past the target by more than a step, at any time
	Window    float64 `json:"ends_in_window"` // of the working window
	Near      float64 `json:"ends_within_1"`  // pH unit of the target
	Additions int     `json:"additions_median"`
	Most      int     `json:"additions_most"`
	Mean      float64 `json:"additions_mean"`
	Foretold  float64 `json:"additions_foretold_mean,omitempty"` // by the first advice
	// Reached is the median of the additions after which the pH first lay in the
	// window, baths that never got there counted as the slowest; −1 if most did
	// not.
	Reached int `json:"additions_to_window_median"`

	// Holds is how often ranges of nine in ten held the truth; nil for habits,
	// which give no ranges.
	Holds *holds `json:"range_holds_truth,omitempty"`
}

type holds struct {
	PH   float64 `json:"ph"`
	EDTA float64 `json:"edta"`
	Need float64 `json:"acid_or_base_needed"`
	// Error is the standard error of these shares, from bath to bath, as the
	// ranges of one bath go together.
	Error float64 `json:"standard_error"`
}

func sum(w way, s reading.Setup, runs []*course) *result {
	r := &result{Way: w.name, Strip: w.strip, Baths: len(runs)}
	n := float64(len(runs))
	var additions, reached []int
	var in, asked coverage
	for _, x := range runs {
		if x.overshot {
			r.Overshot += 1 / n
		}
		if x.pH >= s.Low && x.pH <= s.High {
			r.Window += 1 / n
		}
		if math.Abs(x.pH-s.PH) <= 1 {
			r.Near += 1 / n
		}
		additions = append(additions, x.additions)
		r.Mean += float64(x.additions) / n
		r.Foretold += x.foretold / n
		if x.reached < 0 {
			x.reached = math.MaxInt
		}
		reached = append(reached, x.reached)
		in.pH += x.inside.pH
		in.edta += x.inside.edta
		in.need += x.inside.need
		asked.pH += x.asked.pH
		asked.edta += x.asked.edta
		asked.need += x.asked.need
	}
	slices.Sort(additions)
	slices.Sort(reached)
	r.Additions, r.Most = additions[len(additions)/2], additions[len(additions)-1]
	if r.Reached = reached[len(reached)/2]; r.Reached == math.MaxInt {
		r.Reached = -1
	}
	if asked.pH > 0 && asked.need > 0 {
		share := func(a, b int) float64 { return float64(a) / float64(b) }
		r.Holds = &holds{PH: share(in.pH, asked.pH), EDTA: share(in.edta, asked.edta), Need: share(in.need, asked.need)}
		v := 0.0
		for _, x := range runs {
			d := float64(x.inside.pH) - r.Holds.PH*float64(x.asked.pH)
			v += d * d
		}
		r.Holds.Error = math.Sqrt(v) / float64(asked.pH)
	}
	return r
}

func table(results []*result) *cli.Table {
	t := &cli.Table{Columns: []string{"way", "read with", "overshot %", "ends in window %", "within 1 of target %",
		"additions, median", "mean", "foretold", "most", "to window, median", "pH in range %", "EDTA in range %", "need in range %"}}
	for _, r := range results {
		reached := any(r.Reached)
		if r.Reached < 0 {
			reached = "never"
		}
		foretold := any("-")
		if r.Holds != nil {
			foretold = r.Foretold
		}
		strip := r.Strip
		if strip == "" {
			strip = "-"
		}
		cells := []any{r.Way, strip, 100 * r.Overshot, 100 * r.Window, 100 * r.Near, r.Additions, r.Mean, foretold, r.Most, reached}
		if h := r.Holds; h != nil {
			cells = append(cells, 100*h.PH, 100*h.EDTA, 100*h.Need)
		} else {
			cells = append(cells, "-", "-", "-")
		}
		t.Add(cells...)
	}
	return t
}

func report(out io.Writer, s reading.Setup, baths int, results []*result) error {
	t := table(results)
	t.Title = fmt.Sprintf("%d baths drawn from the priors, to be brought to pH %g; overshot is past it by more than %g", baths, s.PH, s.Step)
	if err := t.Print(out); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "\nThe advice tolerates %.0f %% overshot. Ranges should hold the truth 90 %% of the time", 100*s.Risk)
	if err != nil {
		return err
	}
	for _, r := range results {
		if r.Holds != nil {
			_, err = fmt.Fprintf(out, "; by chance ±%.1f %% with a %s", 100*r.Holds.Error, r.Strip)
		}
	}
	if err == nil {
		_, err = fmt.Fprintln(out, ".")
	}
	return err
}
