// Validation holds the library against published values: it computes every row
// of testdata, prints published, computed, difference, tolerance, verdict and
// source, and sums up by topic.
//
//	go run ./examples/validation
//	go run ./examples/validation -topic ph-standards,buffer-tables -failed
//	go run ./examples/validation -csv > report.csv
//
// A row has an id, a quantity with its conditions, the published value with unit
// and tolerance, and its source. Four more columns tell how to take it: expect,
// whether a sound model ought to agree, and if not the note gives the reason, to
// which the row is then held; basis, how independent it is of what the library
// rests on; trust, whether the figure was read in its source; and the note.
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
	flags := flag.NewFlagSet("validation", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.Usage = func() {}
	data := flags.String("data", "testdata", "`directory` with the published values")
	topic := flags.String("topic", "", "only these `topics`, separated by commas")
	failed := flags.Bool("failed", false, "list only rows that fail")
	asCSV := flags.Bool("csv", false, "write the rows as CSV")
	asJSON := flags.Bool("json", false, "write rows and summary as JSON")
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
	names, err := selected(*topic)
	switch {
	case err != nil:
		return complain(exitInput, err)
	case flags.NArg() > 0:
		return complain(exitInput, fmt.Errorf("unexpected argument %q", flags.Arg(0)))
	case *asCSV && *asJSON:
		return complain(exitInput, errors.New("-csv and -json exclude each other"))
	}
	t, err := tables.Standard()
	if err != nil {
		return complain(exitFailed, err)
	}
	checks, err := readAll(os.DirFS(*data), names)
	if err != nil {
		return complain(exitInput, fmt.Errorf("-data %s: %w", *data, err))
	}
	all := make([]outcome, len(checks))
	for i, c := range checks {
		if all[i], err = run(t, c); err != nil {
			return complain(exitInput, err)
		}
	}
	shown := all
	bad := slices.DeleteFunc(slices.Clone(all), func(o outcome) bool { return o.verdict != fails })
	if *failed {
		shown = bad
	}
	write := writeText
	switch {
	case *asCSV:
		write = writeCSV
	case *asJSON:
		write = writeJSON
	}
	if err := write(stdout, shown, all); err != nil {
		return complain(exitFailed, err)
	}
	if len(bad) > 0 {
		return exitFailed
	}
	return exitFine
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
