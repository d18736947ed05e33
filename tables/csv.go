package tables

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"
	"strings"

	"example.com/chelation/chem"
)

// ErrData is wrapped by every error about a data file: a [chem.InputError] whose Field names file,
// line and column.
var ErrData = errors.New("bad data")

func badData(file, value, want string) error {
	return &chem.InputError{Field: file, Value: chem.Echo(value), Want: want, Kind: ErrData}
}

// reader holds the rows of one data file, those of the library and those that were added to them.
type reader struct {
	*Tables
	file   string
	header []string
	column map[string]int      // from a name in the header to its place
	cited  map[string][]string // lists of sources that have been checked
	rows   []row
	errs   []error
}

// row is one line of a data file. Bad cells are collected in the reader, so that one run reports
// them all.
type row struct {
	*reader
	line  int
	cells []string
}

// read reads a file wherever it is there and checks that its header is that of the embedded one.
func (t *Tables) read(files []fs.FS, file string) *reader {
	r := &reader{Tables: t, file: file, column: map[string]int{}, cited: map[string][]string{}}
	model := "data/" + file
	if strings.HasPrefix(file, "constants/") {
		model = "data/constants/sulfamate.csv" // as all of them
	}
	text, _ := embedded.ReadFile(model)
	line, _, _ := bytes.Cut(text, []byte("\n"))
	r.header = strings.Split(string(line), ",")
	for i, name := range r.header {
		r.column[name] = i
	}
	for _, fsys := range files {
		text, err := fs.ReadFile(fsys, file)
		switch {
		case err == nil:
			r.errs = append(r.errs, r.parse(text))
		case !errors.Is(err, fs.ErrNotExist):
			r.errs = append(r.errs, fmt.Errorf("%w: %w", ErrData, err))
		}
	}
	return r
}

func (r *reader) parse(text []byte) error {
	text = bytes.TrimPrefix(text, []byte("\ufeff")) // the byte order mark of spreadsheets
	c := csv.NewReader(bytes.NewReader(text))
	c.Comment, c.ReuseRecord = '#', true
	lines := bytes.Count(text, []byte("\n"))
	all := make([]string, 0, lines*len(r.header)) // cells of all rows
	r.rows = slices.Grow(r.rows, lines)
	for first := true; ; first = false {
		cells, err := c.Read()
		switch {
		case err == io.EOF && !first:
			return nil
		case err != nil:
			return &chem.InputError{Field: r.file, Value: "no table", Want: "comma-separated rows", Err: err, Kind: ErrData}
		case first && !slices.Equal(cells, r.header):
			return badData(r.file+" line 1", strings.Join(cells, ","), "the header "+strings.Join(r.header, ","))
		case !first:
			line, _ := c.FieldPos(0)
			all = append(all, cells...)
			r.rows = append(r.rows, row{r, line, all[len(all)-len(cells):]})
		}
	}
}

func (r row) fail(column, want string) { r.refuse(column, want, nil) }

func (r row) refuse(column, want string, reason error) {
	where := fmt.Sprintf("%s line %d, column %s", r.file, r.line, column)
	r.reader.errs = append(r.reader.errs, &chem.InputError{Field: where, Value: chem.Echo(r.cells[r.column[column]]), Want: want, Err: reason, Kind: ErrData})
}

// lack tells what is wrong with the file as a whole.
func (r *reader) lack(value, want string) { r.errs = append(r.errs, badData(r.file, value, want)) }

func (r *reader) err() error { return errors.Join(r.errs...) }

// optionalText returns the content of a cell, which may be empty or, if there is no such column,
// missing.
func (r row) optionalText(column string) string {
	if i, ok := r.column[column]; ok {
		return strings.TrimSpace(r.cells[i])
	}
	return ""
}

func (r row) text(column string) string {
	s := r.optionalText(column)
	if s == "" {
		r.fail(column, "a text")
	}
	return s
}

// number reads a number from low to high. Where nothing else is said the ends are a judgement:
// wider than anything of the kind, so that beyond them lies a slip of the pen.
func (r row) number(column string, low, high float64) float64 {
	x, err := strconv.ParseFloat(r.optionalText(column), 64)
	if err != nil || !(x >= low && x <= high) {
		r.fail(column, fmt.Sprintf("a number from %g to %g", low, high))
	}
	return x
}

// span reads the columns stem_low, stem and stem_high, as ranged does.
func (r row) span(stem string, low, high float64) Range {
	return r.ranged(stem+"_low", stem, stem+"_high", low, high)
}

// ranged reads three columns that must not fall and must lie in [low, high].
func (r row) ranged(least, typical, most string, low, high float64) Range {
	x := Range{r.number(least, low, high), r.number(typical, low, high), r.number(most, low, high)}
	if !(x.Low <= x.Typical && x.Typical <= x.High) {
		r.fail(typical, fmt.Sprintf("a value between %s = %g and %s = %g", least, x.Low, most, x.High))
	}
	return x
}

func (r row) list(column string) []string {
	s := r.optionalText(column)
	if s == "" {
		return nil
	}
	parts := strings.Split(s, ";")
	for i, part := range parts {
		parts[i] = strings.TrimSpace(part)
	}
	if slices.Contains(parts, "") {
		r.fail(column, "entries separated by single semicolons")
	}
	return parts
}

// oneOf returns the content of a cell that must be one of the given words.
func oneOf[T ~string](r row, column string, words ...T) T {
	s := T(r.optionalText(column))
	if !slices.Contains(words, s) {
		r.fail(column, "one of "+choice(words))
	}
	return s
}

// rising reads numbers in [low, high], each above the last.
func (r row) rising(column string, texts []string, low, high float64) []float64 {
	var out []float64
	for _, text := range texts {
		x, err := strconv.ParseFloat(text, 64)
		if err != nil || !(x >= low && x <= high) || len(out) > 0 && x <= out[len(out)-1] {
			r.fail(column, fmt.Sprintf("rising numbers from %g to %g", low, high))
			return nil
		}
		out = append(out, x)
	}
	return slices.Clip(out)
}

func (r row) mustBeEmpty(columns ...string) {
	for _, column := range columns {
		if r.optionalText(column) != "" {
			r.fail(column, "an empty cell")
		}
	}
}

// parsed returns what is written in a cell, which must be written canonically.
func parsed[T fmt.Stringer](r row, column, want string, parse func(string) (T, error)) T {
	text := r.text(column)
	x, err := parse(text)
	if err != nil {
		r.refuse(column, want, err)
	} else if form := x.String(); form != text {
		r.fail(column, "the form "+form)
	}
	return x
}

func (r row) species(column string) chem.Species {
	return parsed(r, column, "a species", r.notation.ParseSpecies)
}

func (r row) formula(column string) chem.Formula {
	return parsed(r, column, "a formula", r.notation.ParseFormula)
}

func (r row) reaction(column string) chem.Reaction {
	return parsed(r, column, "a balanced reaction", func(text string) (chem.Reaction, error) {
		x, err := r.notation.ParseReaction(text)
		return x, cmp.Or(err, x.Check())
	})
}

// sources returns the keys in the source column, all of which must be listed.
func (r row) sources() []string {
	cell := r.text("source")
	keys, known := r.cited[cell] // by an earlier row
	if !known {
		keys = r.list("source")
		r.cited[cell] = keys
		for _, k := range keys {
			if !listed[Source](r.Tables).has(k) {
				r.fail("source", "keys of the source files, not "+k)
			}
		}
	}
	return keys
}

// entry returns what every table has, by the first column and those named as here.
func (r row) entry() Entry {
	e := Entry{ID: strings.TrimSpace(r.cells[0]), Name: r.optionalText("name"), Synonyms: r.list("synonyms"), Note: r.optionalText("note")}
	r.text(r.header[0])
	if _, named := r.column["name"]; named {
		r.text("name")
	}
	if _, sourced := r.column["source"]; sourced {
		e.Sources = r.sources()
	}
	return e
}

func load[T entered](t *Tables, files []fs.FS, file string, item func(row) T) error {
	rows := t.read(files, file)
	for _, r := range rows.rows {
		add(r, item(r))
	}
	return rows.err()
}

// add enters the item of a row under its names, none of which may be another's.
func add[T entered](r row, item T) {
	if k, taken := enter(r.Tables, item); k >= 0 {
		column := []string{r.header[0], "name", "synonyms"}[min(k, 2)]
		r.fail(column, fmt.Sprintf("what no other row of the tables has; %q is taken", taken))
	}
}
