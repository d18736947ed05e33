package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"example.com/chelation/solution"
)

// Lesson is a table with what it teaches: one sentence for each remark.
type Lesson struct {
	Table
	Remarks []string
}

// Remark adds a sentence.
func (l *Lesson) Remark(format string, values ...any) {
	l.Remarks = append(l.Remarks, fmt.Sprintf(format, values...))
}

// Write prints the lesson as asked for. CSV holds the table alone, so that a
// script can read it; JSON holds the rows as objects with the names of the
// columns.
func (l *Lesson) Write(out io.Writer, f *Format) error {
	return f.Answer(out, l, &l.Table, func(w *Pen) {
		w.Table(&l.Table)
		for _, r := range l.Remarks {
			w.Head(r)
		}
	})
}

// MarshalJSON writes title, rows and remarks. A number that JSON cannot hold is
// null.
func (l *Lesson) MarshalJSON() ([]byte, error) {
	var rows []json.RawMessage
	t := l.long()
	for _, row := range t.Rows {
		var b bytes.Buffer
		for i, cell := range row {
			switch x := cell.(type) {
			case float64:
				if math.IsNaN(x) || math.IsInf(x, 0) {
					cell = nil
				}
			case solution.Portion:
				cell = x.Reagent
			}
			value, err := json.Marshal(cell)
			if err != nil {
				return nil, err
			}
			name, err := json.Marshal(t.Columns[i])
			if err != nil {
				return nil, err
			}
			if i > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, "%s:%s", name, value)
		}
		rows = append(rows, json.RawMessage("{"+b.String()+"}"))
	}
	return json.Marshal(struct {
		Title   string            `json:"title"`
		Rows    []json.RawMessage `json:"rows"`
		Remarks []string          `json:"remarks"`
	}{l.Title, rows, l.Remarks})
}
