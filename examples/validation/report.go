package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"
	"unicode/utf8"
)

// writeText prints the shown rows topic by topic, then what came of all.
func writeText(w io.Writer, shown, all []outcome) error {
	for _, topic := range byTopic(shown) {
		if err := writeTopic(w, topic); err != nil {
			return err
		}
	}
	if err := writeSummary(w, "topic", topicSummaries(all)); err != nil {
		return err
	}
	if err := writeSummary(w, "basis", basisSummaries(all)); err != nil {
		return err
	}
	if err := writeBasis(w, topicSummaries(all)); err != nil {
		return err
	}
	citations, works := sources(all)
	_, err := fmt.Fprintf(w, `
%d published values from %d works (%d citations of tables and passages in them, and of practice).
Median and worst are |difference| / tolerance of the rows that should agree.
Biased: within a tolerance that holds a known error of the source; tables of pH from before about
1950 lie near 0.04 below today's scale.
Differ: outside, and marked so with the reason once it was found.
Independent: measured or evaluated by others, and no constant here was fitted to it; but which ion
pairs the activity term holds already was judged by the pH standards.
Tables: what the constants are fitted to, what the tables hold, or another evaluation of the same.
Solver: worked out in a textbook from constants that it prints.
Definition: units, molar masses, stoichiometry.
Seen: the figure stood in a paper, abstract, reprint or table that was read; from memory: not so.
`, len(all), works, citations)
	return err
}

// writeTopic prints the rows of a topic under their sources, each group
// followed by why rows came out other than within the tolerance.
func writeTopic(w io.Writer, rows []outcome) error {
	ids, units := len("id"), len("unit")
	var citations grouped
	for _, o := range rows {
		ids, units = max(ids, utf8.RuneCountInString(o.id)), max(units, utf8.RuneCountInString(unitLabel(o.unit)))
		citations.add(o.source, o)
	}
	line := func(columns ...any) {
		fmt.Fprintf(w, fmt.Sprintf("%%-%ds  %%10s  %%10s  %%10s  %%9s  %%-%ds  %%s\n", ids, units), columns...)
	}
	fmt.Fprintf(w, "\n%s\n", rows[0].topic)
	line("id", "published", "computed", "difference", "tolerance", "unit", "verdict")
	for _, source := range citations {
		fmt.Fprint(w, wrap(source.text))
		var reasons grouped
		for _, o := range source.rows {
			line(o.id, number(o.published), number(o.computed), fmt.Sprintf("%+.2g", o.difference()),
				fmt.Sprintf("%.2g", o.tolerance), unitLabel(o.unit), o.verdict)
			if reason := o.reason(); reason != "" {
				reasons.add(reason, o)
			}
		}
		for _, r := range reasons {
			fmt.Fprint(w, wrap(r.ids()+": "+r.text))
		}
	}
	return nil
}

// reason is why a row came out other than within the tolerance, as far as known.
func (o outcome) reason() string {
	switch {
	case o.err != nil:
		return o.err.Error()
	case o.verdict == agrees:
		return ""
	}
	return o.note
}

// grouped are texts in the order of their first row, each with its rows.
type grouped []group

type group struct {
	text string
	rows []outcome
}

func (g *grouped) add(text string, o outcome) {
	for i := range *g {
		if (*g)[i].text == text {
			(*g)[i].rows = append((*g)[i].rows, o)
			return
		}
	}
	*g = append(*g, group{text, []outcome{o}})
}

func (g group) ids() string {
	var ids []string
	for _, o := range g.rows {
		ids = append(ids, o.id)
	}
	return strings.Join(ids, ", ")
}

func writeSummary(w io.Writer, group string, summaries []summary) error {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(tw, "\n%s\trows\tagree\tbiased\tdiffer\tfail\tmedian\tworst\tworst row\n", group)
	for _, s := range summaries {
		fmt.Fprintf(tw, "%s\t%d\t%d\t%d\t%d\t%d\t%.2f\t%.2f\t%s\n",
			s.Group, s.Rows, s.Agree, s.Biased, s.Differ, s.Fail, s.Median, s.Worst, s.WorstRow)
	}
	return tw.Flush()
}

// writeBasis prints how many rows of each topic are of each basis, and how far
// they are to be trusted.
func writeBasis(w io.Writer, summaries []summary) error {
	tw := tabwriter.NewWriter(w, 0, 0, 1, ' ', 0)
	fmt.Fprint(tw, "\nrows of")
	for _, b := range bases {
		fmt.Fprintf(tw, "\t%s", b)
	}
	for _, t := range trusts {
		fmt.Fprintf(tw, "\t%s", t)
	}
	for _, s := range summaries {
		fmt.Fprintf(tw, "\n%s", s.Group)
		for _, b := range bases {
			fmt.Fprintf(tw, "\t%d", s.Basis[b])
		}
		for _, t := range trusts {
			fmt.Fprintf(tw, "\t%d", s.Trust[t])
		}
	}
	fmt.Fprintln(tw)
	return tw.Flush()
}

// number writes six significant digits.
func number(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

// unitLabel is empty for the unit 1.
func unitLabel(unit string) string {
	if unit == "1" {
		return ""
	}
	return unit
}

// width is that of the text, in characters.
const width = 100

// wrap breaks text into lines of the width, the first indented by two and the
// others by four.
func wrap(text string) string {
	var out strings.Builder
	line := " "
	for word := range strings.FieldsSeq(text) {
		if utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			fmt.Fprintln(&out, line)
			line = "   "
		}
		line += " " + word
	}
	fmt.Fprintln(&out, line)
	return out.String()
}
