package main

import (
	"errors"
	"io/fs"
	"runtime"
	"slices"
	"sync"

	"example.com/chelation/tables"
)

// What a constant is shifted by to see who notices.
const (
	guardLog10K   = 0.3
	guardEnthalpy = 10. // kJ/mol
)

// sides are the four ways in which a constant may be wrong.
var sides = []struct {
	name string
	by   shift
}{
	{"log K up", shift{log10K: guardLog10K}},
	{"log K down", shift{log10K: -guardLog10K}},
	{"enthalpy up", shift{enthalpy: guardEnthalpy}},
	{"enthalpy down", shift{enthalpy: -guardEnthalpy}},
}

// strength is how well a side is guarded.
type strength string

const (
	unguarded strength = "-"
	weakly    strength = "evaluated" // by constants from other evaluations alone
	strongly  strength = "measured"  // by a measured quantity that is independent of the tables
	refused   strength = "loading"   // the tables are refused as inconsistent
)

// guard is what watches over one core constant.
type guard struct {
	index    int
	reaction string
	share    float64        // the largest of a component that rests on it in the baths
	sides    [4]guardedSide // as in [sides]
}

type guardedSide struct {
	strength strength
	rows     []outcome // that leave their tolerance, those of the stronger kind first
}

// guardsOf finds which rows notice when a core constant moves. dir holds the
// data files that the tables were loaded from.
func guardsOf(t *tables.Tables, dir fs.FS, all []outcome) ([]guard, error) {
	matter, err := core(t)
	if err != nil {
		return nil, err
	}
	equilibria := slices.Collect(t.Equilibria())
	guards := make([]guard, 0, len(matter))
	for _, i := range sorted(matter) {
		guards = append(guards, guard{index: i, reaction: equilibria[i].Reaction.String(), share: matter[i]})
	}
	errs := make([]error, len(guards))
	var wait sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0)) // each shift holds tables of its own
	for k := range guards {
		wait.Go(func() {
			slots <- struct{}{}
			errs[k] = guards[k].watch(t, dir, equilibria[guards[k].index], all)
			<-slots
		})
	}
	wait.Wait()
	return guards, errors.Join(errs...)
}

// watch fills in the sides of a guard.
func (g *guard) watch(t *tables.Tables, dir fs.FS, e tables.Equilibrium, all []outcome) error {
	for k, side := range sides {
		to, err := shifted(dir, e, side.by)
		if errors.Is(err, tables.ErrData) {
			// A shift that the tables themselves refuse to load is noticed too.
			g.sides[k] = guardedSide{strength: refused}
			continue
		}
		if err != nil {
			return err
		}
		var strong, weak []outcome
		changed := moved(t, to)
		for _, o := range all {
			if !o.guards() || !o.restsOn(changed) {
				continue
			}
			after, err := outcomeOf(to, o.check)
			switch {
			case err != nil:
				return err
			case after.verdict == agrees:
			case o.basis == independent:
				strong = append(strong, after)
			default:
				weak = append(weak, after)
			}
		}
		g.sides[k] = guardedSide{unguarded, append(strong, weak...)}
		switch {
		case len(strong) > 0:
			g.sides[k].strength = strongly
		case len(weak) > 0:
			g.sides[k].strength = weakly
		}
	}
	return nil
}

// guards tells whether a row may watch over constants: it agrees today, and no
// constant was fitted to it.
func (o outcome) guards() bool {
	return o.verdict == agrees && (o.basis == independent || o.basis == evaluated)
}

func (o outcome) restsOn(changed map[int]bool) bool {
	for i := range changed {
		if o.rests[i] {
			return true
		}
	}
	return false
}
