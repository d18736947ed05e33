package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/tables"
)

// answer is one table, what is to be said before it, and the sources.
type answer struct {
	cli.Table
	remarks []string
	sources []string // keys
}

// cite notes sources and returns them as a cell.
func (a *answer) cite(keys ...string) string {
	for _, k := range keys {
		if k != "" && !slices.Contains(a.sources, k) {
			a.sources = append(a.sources, k)
		}
	}
	return strings.Join(keys, ";")
}

// keep drops the rows that do not hold a text, in any case.
func (a *answer) keep(text string) error {
	if text == "" {
		return nil
	}
	before := len(a.Rows)
	a.Rows = slices.DeleteFunc(a.Rows, func(row []any) bool {
		return !strings.Contains(strings.ToLower(fmt.Sprintln(row...)), strings.ToLower(text))
	})
	if len(a.Rows) == 0 {
		return cli.Usagef("-only %q: none of the %d rows holds it", text, before)
	}
	if i := slices.Index(a.Columns, "source"); i >= 0 {
		a.sources = nil
		for _, row := range a.Rows {
			a.cite(strings.Split(fmt.Sprint(row[i]), ";")...)
		}
	}
	return nil
}

func (a *answer) print(out io.Writer, t *tables.Tables, format *cli.Format) error {
	var cited []tables.Source
	for _, k := range a.sources {
		s, err := tables.Find[tables.Source](t, k)
		if err != nil {
			return err
		}
		cited = append(cited, s)
	}
	switch {
	case format.JSON:
		rows := make([]map[string]any, len(a.Rows))
		for i, row := range a.Rows {
			rows[i] = map[string]any{}
			for k, column := range a.Columns {
				if d, is := row[k].(decimal); !is || !math.IsNaN(d.x) {
					rows[i][column] = row[k]
				}
			}
		}
		return cli.JSON(out, struct {
			Title   string           `json:"title"`
			Remarks []string         `json:"remarks,omitempty"`
			Rows    []map[string]any `json:"rows"`
			Sources []tables.Source  `json:"sources,omitempty"`
		}{a.Title, a.remarks, rows, cited})
	case format.CSV:
		return a.CSV(out)
	}
	w := &cli.Pen{Out: format.Text(out)}
	w.Line("%s", a.Title)
	for _, remark := range a.remarks {
		w.Line("  %s", remark)
	}
	if len(a.Rows) > 0 {
		w.Line("")
		body := a.Table
		body.Title = ""
		w.Table(&body)
	}
	if len(cited) > 0 {
		w.Head("Sources")
	}
	for _, s := range cited {
		w.Line("  %s (%s): %s", s.Key, s.Access, s.Citation)
	}
	return w.Err
}

// decimal is a number that keeps its decimals in text and in CSV, as constants
// need: 10.37 and not 10.4. Not-a-number stands for nothing to tell.
type decimal struct {
	x      float64
	places int
}

func (d decimal) String() string {
	if math.IsNaN(d.x) {
		return ""
	}
	return strconv.FormatFloat(d.x, 'f', d.places, 64)
}

// MarshalJSON writes the number in full.
func (d decimal) MarshalJSON() ([]byte, error) { return json.Marshal(d.x) }

func logK(x float64) decimal       { return decimal{x, 3} }
func kilojoules(x float64) decimal { return decimal{x / 1000, 2} }
