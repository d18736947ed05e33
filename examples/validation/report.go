package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
)

// summary is how a topic came out.
type summary struct {
	Topic    string  `json:"topic"`
	Rows     int     `json:"rows"`
	Agree    int     `json:"agree"`
	Biased   int     `json:"biased"`
	Differ   int     `json:"differ"`
	Fail     int     `json:"fail"`
	Median   float64 `json:"median"` // of |difference|/tolerance
	Worst    float64 `json:"worst"`
	WorstRow string  `json:"worst_row"`
}

// summarise counts a group of outcomes. Median and worst are over the rows
// that are expected to agree.
func summarise(topic string, outcomes []outcome) summary {
	s := summary{Topic: topic, Rows: len(outcomes)}
	var ratios []float64
	for _, o := range outcomes {
		switch o.verdict {
		case agrees:
			s.Agree++
		case agreesBias:
			s.Biased++
		case differs:
			s.Differ++
		case fails:
			s.Fail++
		}
		if o.expect != agree || o.err != nil {
			continue
		}
		r := o.ratio()
		ratios = append(ratios, r)
		if s.WorstRow == "" || r > s.Worst {
			s.Worst, s.WorstRow = r, o.id
		}
	}
	slices.Sort(ratios)
	if n := len(ratios); n > 0 {
		s.Median = (ratios[(n-1)/2] + ratios[n/2]) / 2
	}
	return s
}

// summaries are one line per topic and one for all.
func summaries(outcomes []outcome) []summary {
	var out []summary
	for rest := outcomes; len(rest) > 0; {
		n := slices.IndexFunc(rest, func(o outcome) bool { return o.topic != rest[0].topic })
		if n < 0 {
			n = len(rest)
		}
		out = append(out, summarise(rest[0].topic, rest[:n]))
		rest = rest[n:]
	}
	return append(out, summarise("all", outcomes))
}

// sources counts distinct citations.
func sources(outcomes []outcome) int {
	seen := map[string]bool{}
	for _, o := range outcomes {
		seen[o.source] = true
	}
	return len(seen)
}

func writeText(w io.Writer, shown, all []outcome) error {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	topic := ""
	for _, o := range shown {
		if o.topic != topic {
			topic = o.topic
			fmt.Fprintf(tw, "\n%s\nid\tpublished\tcomputed\tdifference\ttolerance\tunit\tverdict\tsource\n", topic)
		}
		source := o.source
		if o.err != nil {
			source = o.err.Error()
		} else if o.verdict == differs || o.verdict == agreesBias {
			source += " [" + o.note + "]"
		}
		fmt.Fprintf(tw, "%s\t%s\t%s\t%+.2g\t%.2g\t%s\t%s\t%s\n",
			o.id, number(o.published), number(o.computed), o.difference(), o.tolerance, o.unit, o.verdict, source)
	}
	fmt.Fprint(tw, "\ntopic\trows\tagree\tbiased\tdiffer\tfail\tmedian\tworst\tworst row\n")
	for _, s := range summaries(all) {
		fmt.Fprintf(tw, "%s\t%d\t%d\t%d\t%d\t%d\t%.2f\t%.2f\t%s\n",
			s.Topic, s.Rows, s.Agree, s.Biased, s.Differ, s.Fail, s.Median, s.Worst, s.WorstRow)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, `
%d published values from %d sources. Median and worst are |difference| / tolerance of the rows that
should agree. Biased: within a tolerance that holds a known error of the source. Differ: outside,
and marked so with the reason in the note once it was found. Tables of pH from before about 1950 lie near
0.04 below today's scale; their tolerances allow for it.
`, len(all), sources(all))
	return err
}

// number writes five significant digits.
func number(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

// record is an outcome as -csv and -json write it.
type record struct {
	Topic      string   `json:"topic"`
	ID         string   `json:"id"`
	Quantity   string   `json:"quantity"`
	Published  float64  `json:"published"`
	Computed   *float64 `json:"computed"` // null if nothing was computed
	Difference *float64 `json:"difference"`
	Tolerance  float64  `json:"tolerance"`
	Unit       string   `json:"unit"`
	Verdict    verdict  `json:"verdict"`
	Source     string   `json:"source"`
	Note       string   `json:"note,omitempty"`
	Error      string   `json:"error,omitempty"`
}

func (o outcome) record() record {
	r := record{
		Topic: o.topic, ID: o.id, Quantity: o.quantity, Published: o.published, Tolerance: o.tolerance,
		Unit: o.unit, Verdict: o.verdict, Source: o.source, Note: o.note,
	}
	if o.err != nil {
		r.Error = o.err.Error()
	}
	if d := o.difference(); !math.IsNaN(d) && !math.IsInf(d, 0) {
		r.Computed, r.Difference = &o.computed, &d
	}
	return r
}

func writeJSON(w io.Writer, shown, all []outcome) error {
	report := struct {
		Rows    []record  `json:"rows"`
		Summary []summary `json:"summary"`
		Sources int       `json:"sources"`
	}{[]record{}, summaries(all), sources(all)}
	for _, o := range shown {
		report.Rows = append(report.Rows, o.record())
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(report)
}

func writeCSV(w io.Writer, shown, _ []outcome) error {
	c := csv.NewWriter(w)
	c.Write(strings.Split("topic,id,quantity,published,computed,difference,tolerance,unit,verdict,source,note", ","))
	full := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	for _, o := range shown {
		c.Write([]string{o.topic, o.id, o.quantity, full(o.published), full(o.computed), full(o.difference()),
			full(o.tolerance), o.unit, string(o.verdict), o.source, o.note})
	}
	c.Flush()
	return c.Error()
}
