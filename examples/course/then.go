package main

import (
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// event is something that is done to a bath on its way.
type event struct {
	at    unit.Time
	what  func(*bath.Bath, *bath.Parts) error
	cover bath.Cover // that is put on, if any
}

// parseThen reads "20 g of citric acid after 24 h", "parts out after 8 h" or another cover,
// "lidded after 12 h".
func parseThen(t *tables.Tables, text string) (e event, err error) {
	i := strings.LastIndex(text, " after ")
	if i < 0 {
		return e, cli.Usagef("%q: want what and when, as in lidded after 12 h", text)
	}
	what := strings.TrimSpace(text[:i])
	if e.at, err = measure.ParseTime(text[i+len(" after "):]); err != nil {
		return e, err
	}
	amount, name, found := strings.Cut(what, " of ")
	if what == "parts out" {
		e.what = func(_ *bath.Bath, p *bath.Parts) error { *p = bath.Parts{}; return nil }
		return e, nil
	} else if !found {
		if e.cover, err = bath.ParseCover(what); err != nil {
			return e, cli.Usagef("%q: want a cover, parts out, or an amount of something as in 20 g of citric acid", what)
		}
		e.what = func(b *bath.Bath, _ *bath.Parts) error {
			place := b.Place()
			place.Cover, place.GasCmPerHour = e.cover, tables.Range{}
			return b.Stand(place)
		}
		return e, nil
	}
	much, err := measure.ParseAmount(amount)
	if err != nil {
		return e, err
	}
	reagent, err := t.Reagent(name)
	if err != nil {
		return e, err
	}
	mass, err := much.Weigh(reagent.Packing())
	e.what = func(b *bath.Bath, _ *bath.Parts) error { return b.Add(reagent, mass.Typical()) }
	return e, err
}

// A figure's passing is read off straight between stops: one within the first hour and then one
// for each two fifths more leave it good to some per cent whatever times are asked for.
const (
	firstStop = measure.Hour
	stretch   = 1.4
)

// follow lets a bath go on its way, with what is done to it, and tells how it stands at some
// times; all has the start, the stops between and the moments before and after what was done, too.
func (x *result) follow(b *bath.Bath, times []unit.Time) (told, all []bath.Hour, err error) {
	c, err := b.Course(x.Parts)
	if err != nil {
		return nil, nil, err
	}
	last := unit.Time(0)
	until := func(at unit.Time) {
		for told := false; err == nil && !told; {
			var h []bath.Hour
			last = min(at, max(firstStop, stretch*last))
			h, err = c.Until(last)
			all, told = append(all, h...), last == at
		}
	}
	until(0)
	left := x.then
	for _, at := range times {
		for ; len(left) > 0 && left[0].at <= at; left = left[1:] {
			if until(left[0].at); err == nil {
				err = c.Do(left[0].what)
			}
			until(left[0].at)
		}
		if until(at); err != nil {
			return nil, nil, err
		}
		told = append(told, all[len(all)-1])
	}
	return told, all, err
}
