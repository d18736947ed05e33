package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"example.com/chelation/examples/internal/cli"
)

// keptGuards is the file that keeps what is guarded, so that a guard that is lost
// is noticed.
const keptGuards = "guarded-constants.csv"

var keptHeader = []string{"reaction", "log K up", "log K down", "enthalpy up", "enthalpy down"}

// keptRows are the guards as the kept file has them.
func keptRows(guards []guard) [][]string {
	rows := [][]string{keptHeader}
	for _, g := range guards {
		row := []string{g.reaction}
		for _, side := range g.sides {
			row = append(row, string(side.strength))
		}
		rows = append(rows, row)
	}
	return rows
}

func writeKept(w io.Writer, guards []guard) error { return csv.NewWriter(w).WriteAll(keptRows(guards)) }

// readKept reads the kept file; none is there in a directory of other checks.
func readKept(dir fs.FS) ([]guard, error) {
	f, err := dir.Open(keptGuards)
	if err != nil {
		return nil, nil
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) == 0 || !slices.Equal(rows[0], keptHeader) {
		return nil, fmt.Errorf("%s is not a list of guards (%v), expected the header %s", keptGuards, err, strings.Join(keptHeader, ","))
	}
	var out []guard
	for _, row := range rows[1:] {
		g := guard{reaction: row[0]}
		for k := range g.sides {
			g.sides[k].strength = strength(row[1+k])
		}
		out = append(out, g)
	}
	return out, nil
}

// count sums up guards: constants whose log K is guarded either way, by measured
// quantities alone, and whose enthalpy is.
func count(guards []guard) (either, measured, warm int) {
	for _, g := range guards {
		if g.guarded(0) {
			either++
		}
		if g.sides[0].strength == strongly && g.sides[1].strength == strongly {
			measured++
		}
		if g.guarded(2) {
			warm++
		}
	}
	return either, measured, warm
}

// guarded tells whether two sides are watched: from 0 those of log K, from 2
// those of the enthalpy.
func (g guard) guarded(from int) bool {
	return g.sides[from].strength != unguarded && g.sides[from+1].strength != unguarded
}

// writeGuards prints who notices what.
func writeGuards(w io.Writer, guards []guard) error {
	fmt.Fprintf(w, "Constants that hold more than %.0f %% of a component in one of five baths at 10, 20 or 40 °C, or are of the rust itself, shifted one at a time by ±%g in log K and ±%g kJ/mol: "+
		"how many published values leave their tolerance, and whether a measured quantity is among them or only constants by another evaluation. What entered a fit does not count.\n\n",
		100*coreShare, guardLog10K, guardEnthalpy)
	table := &cli.Table{Columns: append([]string{"constant", "share"}, keptHeader[1:]...)}
	for _, g := range guards {
		row := []any{g.reaction, g.share}
		for _, side := range g.sides {
			text := string(side.strength)
			if n := len(side.rows); n > 0 {
				text = fmt.Sprintf("%s %d", text, n)
			}
			row = append(row, text)
		}
		table.Add(row...)
	}
	if err := table.Print(w); err != nil {
		return err
	}
	for _, g := range guards {
		fmt.Fprintf(w, "\n%s\n", g.reaction)
		for k, side := range g.sides {
			if len(side.rows) > 0 {
				fmt.Fprintf(w, "  %s: %s\n", sides[k].name, group{rows: side.rows}.ids())
			}
		}
	}
	either, measured, warm := count(guards)
	_, err := fmt.Fprintf(w, "\n%d of %d constants are guarded both ways in log K, %d by measured quantities alone; %d in enthalpy.\n%s%s",
		either, len(guards), measured, warm,
		missing("log K", guards, 0), missing("enthalpy", guards, 2))
	return err
}

// missing names the sides that nothing guards.
func missing(what string, guards []guard, from int) string {
	var names []string
	for _, g := range guards {
		up, down := g.sides[from].strength == unguarded, g.sides[from+1].strength == unguarded
		switch {
		case up && down:
			names = append(names, g.reaction)
		case up:
			names = append(names, g.reaction+" (upward)")
		case down:
			names = append(names, g.reaction+" (downward)")
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "  Nothing published guards the " + what + " of: " + strings.Join(names, "; ") + ".\n"
}
