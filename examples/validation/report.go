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
func writeText(w io.Writer, shown, all []outcome, kept []guard) error {
	for _, topic := range byTopic(shown) {
		if err := writeTopic(w, topic); err != nil {
			return err
		}
	}
	fmt.Fprintln(w, "\nMeasured, and independent of what the constants are fitted to:")
	if err := writeSummary(w, "quantity", measuredSummaries(all)); err != nil {
		return err
	}
	if len(kept) > 0 {
		either, measured, warm := count(kept)
		fmt.Fprintf(w, `
Of the %d constants that carry a bath, a slip of %g in log K would be noticed both ways in %d,
by measured quantities alone in %d; one of %g kJ/mol in the enthalpy in %d (see -guards).
`, len(kept), guardLog10K, either, measured, guardEnthalpy, warm)
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
%d published values from %d works
(%d citations of tables and passages in them, and of practice).
Median and worst are |difference| / tolerance of the rows that should agree. Tables of pH before
about 1950 lie near 0.04 below today's scale, which their tolerance holds.
Inside: within a range that the source prints, which is all that such a row says.
Differ: outside, and marked so with the reason once it was found.
Independent: measured by others, and no constant here was fitted to it; but which ion pairs the
activity term holds already was judged by the pH standards.
Evaluated: constants by another evaluation or laboratory; both may go back to the same measurements.
Tables: what the constants are fitted to or the tables hold.
Solver: worked out in a textbook from constants that it prints.
Definition: units, molar masses, stoichiometry.
Printed: the figure was seen in the work that is cited; recomputed: it follows from an equation or
constants that were seen; compiled: it was seen in another work; from memory: it was not seen.
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
	fmt.Fprintf(tw, "\n%s\trows\tagree\tinside\tdiffer\tfail\tmedian\tworst\tworst row\n", group)
	for _, s := range summaries {
		fmt.Fprintf(tw, "%s\t%d\t%d\t%d\t%d\t%d\t%.2f\t%.2f\t%s\n",
			s.Group, s.Rows, s.Agree, s.Inside, s.Differ, s.Fail, s.Median, s.Worst, s.WorstRow)
	}
	return tw.Flush()
}

// writeBasis prints how many rows of each topic are of each basis, and how
// their figures were had.
func writeBasis(w io.Writer, summaries []summary) error {
	if err := writeCounts(w, bases, summaries, func(s summary) map[basis]int { return s.Basis }); err != nil {
		return err
	}
	return writeCounts(w, trusts, summaries, func(s summary) map[trust]int { return s.Trust })
}

func writeCounts[K ~string](w io.Writer, kinds []K, summaries []summary, counts func(summary) map[K]int) error {
	tw := tabwriter.NewWriter(w, 0, 0, 1, ' ', 0)
	fmt.Fprint(tw, "\nrows of")
	for _, k := range kinds {
		fmt.Fprintf(tw, "\t%s", k)
	}
	for _, s := range summaries {
		fmt.Fprintf(tw, "\n%s", s.Group)
		for _, k := range kinds {
			fmt.Fprintf(tw, "\t%d", counts(s)[k])
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
