// Command tables prints any table of the library, or any constant at a
// temperature, an ionic strength and a pH, with its sources.
//
//	tables                                       which tables there are
//	tables -table solids                         one of them
//	tables -table fits -only edta                what the constants of EDTA were fitted to
//	tables -species "ferric EDTA"                one species, row by row of its sources
//	tables -reaction "Fe(OH)3(s, ferrihydrite) + Hedta3- + 2 H+ = Fe(edta)- + 3 H2O"
//	tables -metal Fe3+ -ligand edta -ph 4,7,10   conditional constants and α coefficients
//
// Constants are at -temperature and -ionic; -with lists what else is free in
// the solution ("Na+=0.1,NH3=0.05", mol/L). It prints text, or -csv or -json.
// A name that is not known ends with 2 and the names that come near.
package main

import (
	"cmp"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/tables"
)

func main() { cli.Main("tables", run) }

// question is what was asked, with the conditions.
type question struct {
	*tables.Tables
	temperature unit.Temperature
	ionic       float64 // mol/L
	free        map[string]float64
	pH          []float64
}

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("tables", "prints tables and constants with their sources.", out,
		`tables -table reagents -only acid`,
		`tables -species "ferric EDTA"`,
		`tables -metal Fe3+ -ligand edta -ph 4,7,10 -csv`)
	name := f.String("table", "", "a table: "+strings.Join(slices.Sorted(maps.Keys(kinds)), ", "))
	only := f.String("only", "", "only rows that hold this text")
	species := f.String("species", "", "a species by formula or name")
	reaction := f.String("reaction", "", "a reaction between species of the tables")
	metal := f.String("metal", "", "a metal, with -ligand")
	ligand := f.String("ligand", "", "a ligand, with -metal")
	temperature := f.String("temperature", "25 °C", "of the solution")
	folder := f.String("export", "", "write all tables into a `folder`, as a Data Package: CSV files with a descriptor")
	ionic := f.Float64("ionic", 0.1, "ionic strength in mol/L, 0 to 5")
	pH := f.String("ph", "2,3,4,5,6,7,8,9,10,11,12", "pH for -metal and -ligand")
	with := f.String("with", "", `free concentrations in mol/L of what else is there, such as "Na+=0.1,NH3=0.05"`)
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	if err := cmp.Or(cli.Idle(f, []string{"species", "reaction", "metal", "ligand", "table"}, "temperature", "ionic", "with"), cli.Idle(f, []string{"metal", "ligand"}, "ph")); err != nil {
		return err
	}
	q := question{
		Tables:      t,
		temperature: cli.Flag(in, "temperature", *temperature, measure.ParseTemperature),
		ionic:       *ionic,
		free:        cli.Flag(in, "with", *with, concentrations),
		pH:          cli.Flag(in, "ph", *pH, acidities),
	}
	if in.Err != nil {
		return in.Err
	}
	if !(q.temperature >= 273.15 && q.temperature <= 373.15) {
		return cli.Usagef("-temperature %q: want 0 to 100 °C", *temperature)
	}
	if !(q.ionic >= 0 && q.ionic <= 5) {
		return cli.Usagef("-ionic %g: want 0 to 5 mol/L", q.ionic)
	}
	asked := 0
	for _, s := range []string{*name, *species, *reaction, *metal + *ligand, *folder} {
		if s != "" {
			asked++
		}
	}
	var a *answer
	switch {
	case asked > 1:
		return cli.Usagef("want one of -table, -species, -reaction, -export and -metal with -ligand")
	case *folder != "":
		return q.export(*folder)
	case *species != "":
		a, err = q.species(*species)
	case *reaction != "":
		a, err = q.reaction(*reaction)
	case *metal+*ligand != "":
		a, err = q.pair(*metal, *ligand)
	case *name != "":
		a, err = q.table(*name)
	default:
		a, err = q.overview()
	}
	if err != nil {
		return err
	}
	if err := a.keep(*only); err != nil {
		return err
	}
	return a.print(out, t, format)
}

func concentrations(text string) (map[string]float64, error) {
	out := map[string]float64{}
	for _, s := range cli.List(text) {
		name, number, ok := strings.Cut(s, "=")
		x, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if !ok || err != nil {
			return nil, cli.Usagef("%q: want name=mol/L", s)
		}
		out[strings.TrimSpace(name)] = x
	}
	return out, nil
}

// acidities reads a list of pH.
func acidities(text string) ([]float64, error) {
	all, err := cli.Numbers(text)
	for _, pH := range all {
		if pH < 0 || pH > 14 {
			return nil, cli.Usagef("%g: want a pH from 0 to 14", pH)
		}
	}
	return all, err
}
