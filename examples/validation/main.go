// Validation holds the library against published values: it computes every row
// of testdata, prints published, computed, difference, tolerance, verdict and
// source, and sums up by topic.
//
//	go run ./examples/validation
//	go run ./examples/validation -topic ph-standards,buffer-tables -failed
//	go run ./examples/validation -csv > report.csv
//	go run ./examples/validation -guards
//	go run ./examples/validation -left-out
//
// A row has an id, a quantity with its conditions, the published value with unit
// and tolerance, and its source. Four more columns tell how to take it: expect,
// whether a sound model ought to agree, and if not the note gives the reason, to
// which the row is then held; basis, how independent it is of what the library
// rests on; trust, how the figure was had; and the note.
//
// With -guards it shifts each constant that carries a bath, one at a time, and
// tells which published values notice. With -left-out it foretells constants at
// temperatures and ionic strengths that are left out of their fits.
//
// It exits with 0 if every row comes out as expected, 1 if any does not, and 2
// for bad input.
package main

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/tables"
)

func main() { cli.Main("validation", run) }

func run(args []string, out, diagnostics io.Writer) error {
	o := options{}
	f, format := cli.Flags("validation", "computes published values with the library and tells how they compare.\n\n"+
		"Topics: "+strings.Join(topics, ", ")+"\n\nIt exits with 0 if every row comes out as expected, 1 if any does not, and 2 for bad input.", out,
		`validation -topic ph-standards,water`,
		`validation -topic activity -csv`,
		`validation -failed`)
	f.StringVar(&o.data, "data", "testdata", "`folder` with the published values")
	f.StringVar(&o.tables, "tables", "tables/data", "`folder` with the constants, for -guards")
	f.StringVar(&o.topic, "topic", "", "only these `topics`, separated by commas, with every row")
	f.BoolVar(&o.failed, "failed", false, "list only rows that fail")
	f.BoolVar(&o.guards, "guards", false, "shift the constants that carry a bath and tell which rows notice")
	f.BoolVar(&o.leftOut, "left-out", false, "tell how well constants are foretold at conditions left out of their fits")
	f.BoolVar(&o.more, "more", false, "tell all: every row under its source")
	if err := cli.Parse(f, args); err != nil {
		return err
	}
	if err := cli.Idle(f, []string{"guards"}, "tables"); err != nil {
		return err
	}
	for _, alone := range []struct {
		name  string
		given bool
		apart []string
	}{{"guards", o.guards, []string{"left-out", "json", "failed", "topic", "more"}}, {"left-out", o.leftOut, []string{"csv", "json", "failed", "topic", "more", "data"}}, {"failed", o.failed, []string{"more"}}} {
		if alone.given {
			if err := cli.Apart(f, alone.name, alone.apart...); err != nil {
				return err
			}
		}
	}
	names, err := selected(o.topic)
	if err != nil {
		return err
	}
	return o.report(names, out, format)
}

// options are what the command line asks for.
type options struct {
	data, tables, topic           string
	failed, guards, leftOut, more bool
}

// load returns the tables: for -guards, from the files that it shifts.
func (o options) load() (*tables.Tables, error) {
	if o.guards {
		return new(tables.Tables).With(os.DirFS(o.tables))
	}
	return tables.Standard()
}

// report writes what is asked for; rows that fail are an error.
func (o options) report(names []string, out io.Writer, format *cli.Format) error {
	t, err := o.load()
	if err != nil {
		if o.guards {
			return cli.Usagef("-tables %s: %w", o.tables, err)
		}
		return err
	}
	if o.leftOut {
		return writeLeftOut(format.Text(out), leftOut(t))
	}
	dir := os.DirFS(o.data)
	all, err := computed(t, dir, names)
	if err != nil {
		return cli.Usagef("-data %s: %w", o.data, err)
	}
	if o.guards {
		guards, err := guardsOf(t, os.DirFS(o.tables), all)
		switch {
		case err != nil:
			return err
		case format.CSV:
			return writeKept(out, guards)
		}
		return writeGuards(format.Text(out), guards)
	}
	kept, err := readKept(dir)
	if err != nil {
		return cli.Usagef("%w", err)
	}
	bad := slices.DeleteFunc(slices.Clone(all), func(x outcome) bool { return x.verdict != fails })
	shown := all
	if o.failed {
		shown = bad
	}
	switch {
	case format.CSV:
		err = writeCSV(out, shown)
	case format.JSON:
		err = writeJSON(out, shown, all, kept)
	default:
		if !o.more && !o.failed && o.topic == "" {
			shown = nil
		}
		err = writeText(format.Text(out), shown, all, kept)
	}
	if err == nil && len(bad) > 0 {
		err = fmt.Errorf("%d of %d rows do not come out as expected", len(bad), len(all))
	}
	return err
}

// computed reads the rows of some topics and works them out.
func computed(t *tables.Tables, dir fs.FS, names []string) ([]outcome, error) {
	checks, err := readAll(dir, names)
	if err != nil {
		return nil, err
	}
	all := make([]outcome, len(checks))
	for i, c := range checks {
		if all[i], err = outcomeOf(t, c); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// selected returns the topics that a comma-separated list names, all if it is
// empty.
func selected(list string) ([]string, error) {
	if list == "" {
		return topics, nil
	}
	names := strings.Split(list, ",")
	for i, name := range names {
		if !slices.Contains(topics, name) {
			want := "topics of the summary, which is printed without it"
			if near := chem.Nearest(name, slices.Values(topics)); len(near) > 0 {
				want += ", such as " + near[0]
			}
			return nil, &chem.InputError{Field: "-topic", Value: chem.Echo(name), Want: want}
		}
		if slices.Contains(names[:i], name) {
			return nil, &chem.InputError{Field: "-topic", Value: chem.Echo(list), Want: "each topic once"}
		}
	}
	return names, nil
}
