package main

import (
	"strconv"
	"strings"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

// meter is how far a reading of tap water may be off; a strip hardly reads water that
// holds its pH so badly.
const meter = 0.1

// parseTap reads "7.9 after 24 h".
func parseTap(text string) (bath.GasReading, error) {
	ph, after, found := strings.Cut(text, " after ")
	x, err := strconv.ParseFloat(strings.TrimSpace(ph), 64)
	if !found || err != nil {
		return bath.GasReading{}, cli.Usagef("%q: want a pH and a time, as in 7.9 after 24 h", text)
	}
	hours, err := measure.ParseTime(after)
	if err != nil {
		return bath.GasReading{}, err
	}
	return bath.GasReading{Hours: float64(hours) / 3600, PH: x, Tolerance: meter}, nil
}

// learn returns the place of a recipe with its gas transfer velocity as the same tub,
// filled with water alone and as much of it, has shown.
func learn(t *tables.Tables, r recipe.Recipe, tap []bath.GasReading) (bath.Place, error) {
	v, err := solution.New(t, r.Temperature)
	if err != nil {
		return bath.Place{}, err
	}
	if err := v.AddWater(r.Water, r.Volume); err != nil {
		return bath.Place{}, err
	}
	b, err := bath.New(t, v)
	if err != nil {
		return bath.Place{}, err
	}
	if err := b.Stand(r.Place); err != nil {
		return bath.Place{}, err
	}
	p, fits, err := b.Learn(tap...)
	if err == nil && !fits {
		err = cli.Usagef("-tap: these readings fit no %s tub of this water: read the tap water at once as well (\"7.5 after 0 h\"), or name another -water or -cover", p.Cover)
	}
	return p, err
}
