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

// plain is the tub filled with water alone, as much of it.
func plain(t *tables.Tables, r recipe.Recipe) (*bath.Bath, error) {
	v, err := solution.New(t, r.Temperature)
	if err != nil {
		return nil, err
	}
	if err := v.AddWater(r.Water, r.Volume); err != nil {
		return nil, err
	}
	b, err := bath.New(t, v)
	if err != nil {
		return nil, err
	}
	return b, b.Stand(r.Place)
}

// learn returns the place of a tub with its gas transfer velocity as readings of what is in
// it have shown.
func learn(b *bath.Bath, flag string, read []bath.GasReading) (bath.Place, error) {
	p, fits, err := b.Learn(read...)
	if err == nil && !fits {
		err = cli.Usagef("-%s: these readings fit no %s tub of this: read the pH at once as well (\"7.5 after 0 h\"), or name another -water or -cover", flag, p.Cover)
	}
	return p, err
}
