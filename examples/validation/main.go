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
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"example.com/chelation/tables"
)

func main() { os.Exit(command(os.Args[1:], os.Stdout, os.Stderr)) }

const (
	exitFine = iota
	exitFailed
	exitInput
)

func help() string {
	return "Validation computes published values with the library and tells how they compare.\n\n" +
		wrap("Topics: "+strings.Join(topics, ", ")) +
		"\nIt exits with 0 if every row comes out as expected, 1 if any does not, and 2 for bad input.\n\n"
}

func command(args []string, stdout, stderr io.Writer) int {
	o, flags := options{}, flag.NewFlagSet("validation", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.Usage = func() {}
	flags.StringVar(&o.data, "data", "testdata", "`directory` with the published values")
	flags.StringVar(&o.tables, "tables", "tables/data", "`directory` with the constants, for -guards")
	flags.StringVar(&o.topic, "topic", "", "only these `topics`, separated by commas")
	flags.BoolVar(&o.failed, "failed", false, "list only rows that fail")
	flags.BoolVar(&o.guards, "guards", false, "shift the constants that carry a bath and tell which rows notice")
	flags.BoolVar(&o.leftOut, "left-out", false, "tell how well constants are foretold at conditions left out of their fits")
	flags.BoolVar(&o.asCSV, "csv", false, "write the rows as CSV")
	flags.BoolVar(&o.asJSON, "json", false, "write rows and summary as JSON")
	complain := func(code int, err error) int {
		fmt.Fprintln(stderr, "validation:", err)
		return code
	}
	if err := flags.Parse(args); errors.Is(err, flag.ErrHelp) {
		fmt.Fprint(stderr, help())
		flags.SetOutput(stderr)
		flags.PrintDefaults()
		return exitFine
	} else if err != nil {
		return complain(exitInput, err)
	}
	names, err := selected(o.topic)
	switch {
	case err != nil:
		return complain(exitInput, err)
	case flags.NArg() > 0:
		return complain(exitInput, fmt.Errorf("unexpected argument %q", flags.Arg(0)))
	case o.asCSV && o.asJSON:
		return complain(exitInput, errors.New("-csv and -json exclude each other"))
	case o.guards && (o.leftOut || o.asJSON || o.failed || o.topic != ""):
		return complain(exitInput, errors.New("-guards goes with -csv alone"))
	case o.leftOut && (o.asCSV || o.asJSON || o.failed || o.topic != ""):
		return complain(exitInput, errors.New("-left-out goes with no other report"))
	}
	code, err := o.report(names, stdout)
	if err != nil {
		return complain(code, err)
	}
	return code
}

// options are what the command line asks for.
type options struct {
	data, tables, topic                    string
	failed, guards, leftOut, asCSV, asJSON bool
}

// load returns the tables: for -guards, from the files that it shifts.
func (o options) load() (*tables.Tables, error) {
	if o.guards {
		return new(tables.Tables).With(os.DirFS(o.tables))
	}
	return tables.Standard()
}

// report writes what is asked for and tells how the program ends.
func (o options) report(names []string, stdout io.Writer) (int, error) {
	t, err := o.load()
	if err != nil {
		if o.guards {
			return exitInput, fmt.Errorf("-tables %s: %w", o.tables, err)
		}
		return exitFailed, err
	}
	if o.leftOut {
		return exitFine, writeLeftOut(stdout, leftOut(t))
	}
	dir := os.DirFS(o.data)
	checks, err := readAll(dir, names)
	if err != nil {
		return exitInput, fmt.Errorf("-data %s: %w", o.data, err)
	}
	all := make([]outcome, len(checks))
	for i, c := range checks {
		if all[i], err = run(t, c); err != nil {
			return exitInput, err
		}
	}
	if o.guards {
		guards, err := guardsOf(t, os.DirFS(o.tables), all)
		switch {
		case err != nil:
			return exitFailed, err
		case o.asCSV:
			return exitFine, writeKept(stdout, guards)
		}
		return exitFine, writeGuards(stdout, guards)
	}
	kept, err := readKept(dir)
	if err != nil {
		return exitInput, err
	}
	bad := slices.DeleteFunc(slices.Clone(all), func(x outcome) bool { return x.verdict != fails })
	shown := all
	if o.failed {
		shown = bad
	}
	switch {
	case o.asCSV:
		err = writeCSV(stdout, shown)
	case o.asJSON:
		err = writeJSON(stdout, shown, all, kept)
	default:
		err = writeText(stdout, shown, all, kept)
	}
	if err != nil || len(bad) > 0 {
		return exitFailed, err
	}
	return exitFine, nil
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
			return nil, fmt.Errorf("-topic is %q, expected one or more of %s", name, strings.Join(topics, ", "))
		}
		if slices.Contains(names[:i], name) {
			return nil, fmt.Errorf("-topic is %q, expected each topic once", list)
		}
	}
	return names, nil
}
