package journal

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// ErrDoubtful is wrapped by the complaint about an event that is more likely a slip than
// what happened. Whoever is certain of it sets [Event.Sure].
var ErrDoubtful = errors.New("hard to believe")

// What one asks about again: judgement, where nothing else is said.
const (
	powderDissolves = 0.4       // kg of powder in a litre, as for a dose ([solution.Solution.Dose])
	liquidFits      = 3.0       // kg of a liquid in a litre: the bath is then mostly that
	beyond          = 10.0      // times as much is no bath whoever is sure
	tubHolds        = 1.5       // of the volume that was mixed first
	read0, read1    = 1.0, 13.0 // pH at which strips and meters still tell one bath from another
)

// Try lets an event happen that nobody has written down yet. It refuses what Apply refuses,
// what leads to a bath that cannot be, and, with an error that wraps [ErrDoubtful], what is
// hard to believe of an event that is not Sure.
func (l *Life) Try(e Event) error { return l.try(e, false) }

// follow lets an event of a file happen; one that cannot have is left out, see [Life.Report].
func (l *Life) follow(e Event) {
	if err := l.try(e, true); err != nil {
		l.aside = maps.Clone(l.aside)
		l.aside[len(l.events)+1] = err
		l.events = append(l.events, e)
	}
}

func (l *Life) try(e Event, written bool) error {
	next, told, before := *l, e, l // their bath stays as it is: Apply makes a new one
	if err := next.Apply(e); err != nil {
		return err
	}
	if e.Kind == Amended {
		var err error
		told = e.As[0]
		if before, err = l.replayed(append(slices.Clip(l.events), e), e.Number); err != nil {
			return err
		}
	}
	doubt := before.doubt(told)
	if doubt != nil && !(errors.Is(doubt, ErrDoubtful) && (e.Sure || written)) {
		return doubt
	}
	moves := !slices.Contains([]Kind{Struck, Noted, Weighed, Reading}, told.Kind)
	if moves && (doubt != nil || !written) {
		if _, err := next.bath.Clone().State(); err != nil {
			return &chem.InputError{Field: string(e.Kind), Value: "more than a bath can be", Want: "amounts that come to rest", Err: err}
		}
	}
	*l = next
	return nil
}

// doubtful is an error that asks.
func (e Event) doubtful(field, value, want string) error {
	return &chem.InputError{Field: string(e.Kind) + ": " + field, Value: value, Want: want + ", or to be told that it is sure", Kind: ErrDoubtful}
}

// doubt tells what is hard to believe of the next event, or cannot be.
func (l *Life) doubt(e Event) error {
	switch e.Kind {
	case Mixed, Added:
		r, err := l.tables.Reagent(e.Reagent)
		if err != nil {
			return err
		}
		litres, most := e.VolumeLitres, powderDissolves
		if e.Kind == Added {
			litres = l.bath.Litres()
		}
		if r.Form == tables.Liquid {
			most = liquidFits
		}
		told, room := measure.FormatGrams(e.MassGrams)+" of "+r.Name, 1000*most*litres
		if e.MassGrams > beyond*room {
			return &chem.InputError{Field: string(e.Kind) + ": mass_g", Value: told, Want: "an amount for which there is room"}
		}
		for _, p := range l.tally.Reagents {
			if in, _ := l.tables.Reagent(p.Reagent); in.Form == r.Form {
				room = max(0, room-p.MassGrams)
			}
		}
		if e.MassGrams > room {
			return e.doubtful("mass_g", told, "at most "+measure.FormatGrams(room)+", with which so much water has about all that it dissolves")
		}
	case Watered, Blended:
		if room := max(0, tubHolds*l.mixture.VolumeLitres-l.bath.Litres()); e.VolumeLitres > room {
			return e.doubtful("volume_l", measure.FormatLitres(e.VolumeLitres), "at most "+measure.FormatLitres(room)+": the tub began with "+measure.FormatLitres(l.mixture.VolumeLitres))
		}
	case Reading:
		if *e.PH < read0 || *e.PH > read1 {
			return e.doubtful("ph", fmt.Sprintf("%.4g", *e.PH), fmt.Sprintf("%g to %g, which strips and meters can tell", read0, read1))
		}
	case Dipped:
		return l.doubtRust(e)
	}
	return nil
}

// doubtRust asks about more rust, or steel, than there is chelant for.
func (l *Life) doubtRust(e Event) error {
	h, err := l.bath.Holdings()
	if err != nil {
		return err
	}
	free := bath.IronCapacity(unit.Mole(h.Counted().Free()))
	takes, what, grams := free.IronGrams, "steel_g", e.SteelGrams
	if rust := float64(e.Rust() / measure.Gram); rust > 0 {
		o, err := bath.FindOxide(l.tables, e.Oxide)
		if err != nil {
			return err
		}
		if takes, what, grams = o.Capacity(unit.Mole(free.IronMoles)).RustGrams, "rust_g", rust; e.RustGrams == 0 {
			what = "area_cm2"
		}
	}
	if grams > takes {
		return e.doubtful(what, measure.FormatGrams(grams), "at most the "+measure.FormatGrams(takes)+" that the free chelant takes")
	}
	return nil
}
