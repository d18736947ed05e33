package tables

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"strings"
)

// ErrData is wrapped by every error about the content of a data file.
var ErrData = errors.New("tables: bad data")

// RowError tells which cell of a data file is wrong, and what was expected.
type RowError struct {
	File   string // name of the file
	Line   int    // line in the file, from 1
	Column string // name of the column, empty if the whole row is meant
	Value  string // content of the cell
	Want   string // what was expected
}

func (e *RowError) Error() string {
	where := fmt.Sprintf("%s line %d", e.File, e.Line)
	if e.Column != "" {
		where += ", column " + e.Column
	}
	return fmt.Sprintf("%v: %s: %q: want %s", ErrData, where, e.Value, e.Want)
}

// Unwrap makes errors.Is(err, ErrData) true.
func (e *RowError) Unwrap() error { return ErrData }

// reader holds the rows of one data file.
type reader struct {
	file   string
	header []string
	rows   []row
	errs   []error
}

// row is one line of a data file, with access by column name. Bad cells are
// collected in the reader, so that one run reports them all.
type row struct {
	*reader
	line  int
	cells []string
}

// readCSV reads a file and checks that its header is exactly the given one.
func readCSV(fsys fs.FS, file string, header ...string) (*reader, error) {
	f, err := fsys.Open(file)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrData, err)
	}
	defer f.Close()
	c := csv.NewReader(f)
	c.Comment = '#'
	r := &reader{file: file}
	for {
		cells, err := c.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrData, file, err)
		}
		line, _ := c.FieldPos(0)
		if r.header == nil {
			if !slices.Equal(cells, header) {
				return nil, &RowError{file, line, "", strings.Join(cells, ","), "the header " + strings.Join(header, ",")}
			}
			r.header = header
			continue
		}
		r.rows = append(r.rows, row{r, line, cells})
	}
	if len(r.rows) == 0 {
		return nil, &RowError{file, 1, "", "", "at least one row"}
	}
	return r, nil
}

// fail records that a cell is wrong.
func (r row) fail(column, want string) {
	value := ""
	if i := slices.Index(r.header, column); i >= 0 {
		value = r.cells[i]
	}
	r.reader.errs = append(r.reader.errs, &RowError{r.file, r.line, column, value, want})
}

// err returns all that was wrong in the file, or nil.
func (r *reader) err() error { return errors.Join(r.errs...) }

// optionalText returns the content of a cell, which may be empty.
func (r row) optionalText(column string) string {
	i := slices.Index(r.header, column)
	if i < 0 {
		r.fail(column, "a column of that name")
		return ""
	}
	return strings.TrimSpace(r.cells[i])
}

// text returns the content of a cell that must not be empty.
func (r row) text(column string) string {
	s := r.optionalText(column)
	if s == "" {
		r.fail(column, "a text")
	}
	return s
}

// optional returns the number in a cell and whether there is one.
func (r row) optional(column string) (float64, bool) {
	s := r.optionalText(column)
	if s == "" {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		r.fail(column, "a finite number")
		return 0, false
	}
	return x, true
}

// number returns the number in a cell that must hold one in [low, high].
func (r row) number(column string, low, high float64) float64 {
	x, ok := r.optional(column)
	if !ok || x < low || x > high {
		r.fail(column, fmt.Sprintf("a number from %g to %g", low, high))
	}
	return x
}

// list returns the entries of a cell separated by semicolons.
func (r row) list(column string) []string {
	s := r.optionalText(column)
	if s == "" {
		return nil
	}
	parts := strings.Split(s, ";")
	for i := range parts {
		if parts[i] = strings.TrimSpace(parts[i]); parts[i] == "" {
			r.fail(column, "entries separated by single semicolons")
		}
	}
	return parts
}

// oneOf returns the content of a cell that must be one of the given words.
func (r row) oneOf(column string, words ...string) string {
	s := r.optionalText(column)
	if !slices.Contains(words, s) {
		r.fail(column, "one of "+strings.Join(words, ", "))
	}
	return s
}
