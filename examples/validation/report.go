package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"example.com/chelation/examples/internal/cli"
)

// writeText tells what came of all, then prints the shown rows topic by topic and sums up.
func writeText(w io.Writer, shown, all []outcome, kept []guard) error {
	s, measured := summarise("all", all), measuredSummaries(all)
	next := "-more lists every row with its source, -topic those of a topic, -guards tells which slips of a constant would be noticed."
	if s.Fail > 0 {
		next = "-failed lists the rows that fail."
	}
	citations, works := sources(all)
	if _, err := fmt.Fprintf(w, "%d published values from %d works: %d agree, %d lie inside a range that the source prints, %d differ and say why, %d fail. "+
		"%d are measured and independent of what the constants are fitted to; %d of these agree.\n\nNext: %s\n",
		s.Rows, works, s.Agree, s.Inside, s.Differ, s.Fail, measured[len(measured)-1].Rows, measured[len(measured)-1].Agree, next); err != nil {
		return err
	}
	for _, topic := range byTopic(shown) {
		if err := writeTopic(w, topic); err != nil {
			return err
		}
	}
	fmt.Fprintln(w, "\nMeasured, and independent of what the constants are fitted to:")
	if err := writeSummary(w, "quantity", measured); err != nil {
		return err
	}
	if len(kept) > 0 {
		either, alone, warm := count(kept)
		fmt.Fprintf(w, "\nOf the %d constants that carry a bath, a slip of %g in log K would be noticed both ways in %d, by measured quantities alone in %d; one of %g kJ/mol in the enthalpy in %d (see -guards).\n",
			len(kept), guardLog10K, either, alone, guardEnthalpy, warm)
	}
	if err := writeSummary(w, "topic", topicSummaries(all)); err != nil {
		return err
	}
	if err := writeSummary(w, "basis", basisSummaries(all)); err != nil {
		return err
	}
	for _, counts := range []func(summary) []counted{func(s summary) []counted { return s.Basis }, func(s summary) []counted { return s.Trust }} {
		if err := writeCounts(w, topicSummaries(all), counts); err != nil {
			return err
		}
	}
	_, err := fmt.Fprintf(w, `
%d citations of tables and passages in %d works, and of practice.
Median and worst are |difference| / tolerance of the rows that should agree. Tables of pH before about 1950 lie near 0.04 below today's scale, which their tolerance holds.
Inside: within a range that the source prints, which is all that such a row says.
Differ: outside, and marked so with the reason once it was found.
Independent: measured by others, and no constant here was fitted to it; but which ion pairs the activity term holds already was judged by the pH standards.
Evaluated: constants by another evaluation or laboratory; both may go back to the same measurements.
Tables: what the constants are fitted to or the tables hold.
Solver: worked out in a textbook from constants that it prints.
Definition: units, molar masses, stoichiometry.
Printed: the figure was seen in the work that is cited; recomputed: it follows from an equation or constants that were seen; compiled: it was seen in another work; from memory: it was not seen.
`, citations, works)
	return err
}

// writeTopic prints the rows of a topic under their sources, each group
// followed by why rows came out other than within the tolerance.
func writeTopic(w io.Writer, rows []outcome) error {
	var citations grouped
	for _, o := range rows {
		citations.add(o.source, o)
	}
	fmt.Fprintf(w, "\n%s\n", strings.ToUpper(rows[0].topic[:1])+rows[0].topic[1:])
	for _, source := range citations {
		table := &cli.Table{Columns: []string{"id", "published", "computed", "difference", "tolerance", "verdict"}}
		fmt.Fprintf(w, "\n  %s\n", source.text)
		var reasons grouped
		for _, o := range source.rows {
			table.Add(strings.TrimSuffix(o.id+", "+unitLabel(o.unit), ", "), number(o.published), number(o.computed), fmt.Sprintf("%+.2g", o.difference()), fmt.Sprintf("%.2g", o.tolerance), string(o.verdict))
			if reason := o.reason(); reason != "" {
				reasons.add(reason, o)
			}
		}
		if err := table.Print(w); err != nil {
			return err
		}
		for _, r := range reasons {
			fmt.Fprintf(w, "  %s: %s\n", r.ids(), r.text)
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
	table := &cli.Table{Columns: []string{group, "row_count", "agree", "inside", "differ", "fail", "median", "worst", "worst_row"}}
	for _, s := range summaries {
		table.Add(s.Group, s.Rows, s.Agree, s.Inside, s.Differ, s.Fail, fmt.Sprintf("%.2f", s.Median), fmt.Sprintf("%.2f", s.Worst), s.WorstRow)
	}
	fmt.Fprintln(w)
	return table.Print(w)
}

// writeCounts prints how many rows of each topic are of each kind.
func writeCounts(w io.Writer, summaries []summary, counts func(summary) []counted) error {
	table := &cli.Table{Columns: []string{"topic"}}
	for _, k := range counts(summaries[0]) {
		table.Columns = append(table.Columns, k.Name)
	}
	for _, s := range summaries {
		row := []any{s.Group}
		for _, k := range counts(s) {
			row = append(row, k.Rows)
		}
		table.Add(row...)
	}
	fmt.Fprintln(w)
	return table.Print(w)
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
