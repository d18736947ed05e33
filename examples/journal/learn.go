package main

import (
	"fmt"
	"io"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/journal"
	"example.com/chelation/tables"
)

// taught is what the journals of a bag teach together.
type taught struct {
	Bag         string       `json:"bag"`
	Baths       int          `json:"baths"`
	Readings    int          `json:"readings"`
	Salts       []product    `json:"salts"`
	Reagents    []product    `json:"reagents"`
	WaterFactor tables.Range `json:"water_factor"`
	SteelLost   tables.Range `json:"steel_lost_g_per_m2_h"`
	TimedDips   int          `json:"timed_dips"`
}

// product is a bag or bottle as it was learned.
type product struct {
	Name        string              `json:"name"`
	Chance      float64             `json:"chance"`
	Assay       tables.Range        `json:"assay_fraction"`
	ExcessBase  tables.Range        `json:"excess_base_mol_per_mol"`
	BulkDensity measure.BulkDensity `json:"bulk_density"`
}

// least is the chance below which a salt is not told.
const least = 0.01

// learn prints what the journals of a bag teach.
func learn(t *tables.Tables, files []string, bag string, format *cli.Format, out io.Writer) error {
	var lives []*journal.Life
	for _, file := range files {
		j, err := journal.Open(t, file)
		if err != nil {
			return cli.Usagef("-learn %s: %w", file, err)
		}
		lives = append(lives, j.Life())
	}
	l, err := journal.Learn(bag, lives...)
	if err != nil {
		return cli.Usagef("-learn: %w", err)
	}
	x := taught{Bag: bag, Baths: l.Baths, Readings: l.Readings, WaterFactor: l.WaterFactor, SteelLost: l.SteelGramsPerM2Hour}
	if _, x.TimedDips, err = journal.Pace(t, lives...); err != nil {
		return err
	}
	for _, c := range l.Bag {
		if c.Weight >= least {
			x.Salts = append(x.Salts, product{c.Salt.Name, c.Weight, c.Salt.Assay, c.Salt.ExcessBase, c.Salt.Bulk})
		}
	}
	for _, r := range l.Reagents {
		x.Reagents = append(x.Reagents, product{r.Name, 1, r.Assay, r.ExcessBase, r.Bulk})
	}
	table := &cli.Table{Title: fmt.Sprintf("What the journals teach (baths: %d, readings: %d)", x.Baths, x.Readings), Columns: []string{"name", "chance", "assay_low_fraction", "assay_fraction", "assay_high_fraction", "excess_base_mol_per_mol"}}
	for _, p := range append(x.Salts, x.Reagents...) {
		table.Add(p.Name, p.Chance, p.Assay.Low, p.Assay.Typical, p.Assay.High, p.ExcessBase.Typical)
	}
	return format.Answer(out, x, table, func(w *cli.Pen) {
		w.Table(table)
		w.Line("\nThe water brings %s times the ions that were told.", cli.Typical(x.WaterFactor, "%.2f"))
		if x.SteelLost.Typical > 0 {
			w.Line("Bare steel lost %s g/m² in an hour.", cli.Typical(x.SteelLost, "%.2g"))
		}
	})
}
