package journal

import (
	"cmp"
	"fmt"
	"iter"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Life is a bath together with what happened to it. The zero value takes no event.
type Life struct {
	tables  *tables.Tables
	bath    *bath.Bath // nil before it is mixed; each event makes another
	tally   Tally
	events  []Event       // all that happened, those struck out among them
	aside   map[int]error // by number, events of a file that cannot have happened, and why
	known   known         // reagents and water as learned
	mixture Event         // that made the bath
	reading Event         // of the last pH that was read, until something is added or taken up
}

// Tally sums a life up.
type Tally struct {
	Events           int                `json:"events"`
	RustGrams        float64            `json:"rust_g"`
	SteelGrams       float64            `json:"steel_g"`             // as written down, and by iron(III) while it stood
	LightSpoiltMoles float64            `json:"spoilt_by_light_mol"` // chelant, while it stood
	AirSpoiltMoles   float64            `json:"spoilt_by_air_mol"`
	Reagents         []solution.Portion `json:"reagents"` // what went in, in all of each
}

// Replay applies events one after the other, to a life before the first.
func Replay(t *tables.Tables, events ...Event) (*Life, error) {
	l := &Life{tables: t}
	for i, e := range events {
		if err := l.Apply(e); err != nil {
			return nil, fmt.Errorf("event %d: %w", i+1, err)
		}
	}
	return l, nil
}

// Bath returns a copy of the bath, nil before it is mixed.
func (l *Life) Bath() *bath.Bath {
	if l.bath == nil {
		return nil
	}
	return l.bath.Clone()
}

// Tally returns what the life amounts to.
func (l *Life) Tally() Tally {
	t := l.tally
	t.Events, t.Reagents = len(l.events), slices.Clone(t.Reagents)
	return t
}

// clone is a life that grows by itself.
func (l *Life) clone() *Life {
	c := *l
	c.events = slices.Clip(l.events)
	return &c
}

// Apply lets one more event happen; one that is refused changes nothing.
func (l *Life) Apply(e Event) error {
	if l.tables == nil {
		return &chem.InputError{Field: "life", Value: "without tables", Want: "one from Replay or from a journal"}
	}
	if err := e.check(); err != nil {
		return err
	}
	if e = e.clone(); e.Kind == Struck || e.Kind == Amended {
		return l.rewrite(e)
	}
	if (e.Kind == Mixed) != (l.bath == nil) {
		want := "the bath mixed first"
		if e.Kind == Mixed {
			want = "a new journal for another bath: this one has been mixed"
		}
		return e.refuse("kind", chem.Echo(string(e.Kind)), want)
	}
	next := *l // shares the events, which only grow
	next.bath, next.tally = l.Bath(), l.Tally()
	err := next.apply(e)
	if err == nil && !(next.bath.Litres() > 0) {
		err = &chem.InputError{Field: "mass_g", Value: measure.FormatGrams(e.MassGrams), Want: "what leaves a bath of some volume"}
	}
	if err != nil {
		reason := chem.InputError{Field: "event", Value: "refused", Want: "one that the bath allows", Err: err}
		if direct, ok := err.(*chem.InputError); ok {
			reason = *direct
		}
		reason.Field = string(e.Kind) + ": " + reason.Field
		return &reason
	}
	next.events = append(next.events, e)
	*l = next
	return nil
}

// rewrite lets the life happen again with an earlier event struck out or amended.
func (l *Life) rewrite(e Event) error {
	if e.Number > len(l.events) {
		return e.refuse("number", strconv.Itoa(e.Number), fmt.Sprintf("that of an earlier event, 1 to %d", len(l.events)))
	}
	all := append(slices.Clip(l.events), e)
	next, err := l.replayed(all, len(all))
	if err != nil {
		return err
	}
	next.events = all
	*l = *next
	return nil
}

// replayed lets all that stands of the events before a number happen anew. What was left out
// stays so unless it fits now.
func (l *Life) replayed(all []Event, before int) (*Life, error) {
	next := &Life{tables: l.tables, aside: map[int]error{}}
	for n, x := range standing(all) {
		if n >= before {
			break
		}
		if err := next.Apply(x); err != nil {
			if l.aside[n] == nil {
				return nil, fmt.Errorf("%s, and event %d then fails: %w", all[len(all)-1].Kind, n, err)
			}
			next.aside[n] = err
		}
	}
	return next, nil
}

// standing is [Journal.Standing] of any events. What strikes out or amends can itself be struck.
func standing(all []Event) iter.Seq2[int, Event] {
	struck, amended := map[int]bool{}, map[int]Event{}
	for i, e := range slices.Backward(all) {
		_, again := amended[e.Number]
		switch {
		case struck[i+1]:
		case e.Kind == Struck:
			struck[e.Number] = true
		case e.Kind == Amended && !again:
			amended[e.Number] = e.As[0]
		}
	}
	return func(yield func(int, Event) bool) {
		for i, e := range all {
			if as, ok := amended[i+1]; ok {
				e = as
			}
			if struck[i+1] || e.Kind == Struck || e.Kind == Amended {
				continue
			}
			if !yield(i+1, e) {
				return
			}
		}
	}
}

// happened yields what stands of the events, without those of a file that cannot have happened.
func (l *Life) happened() iter.Seq[Event] {
	all := slices.Clone(l.events)
	for n := range l.aside {
		all[n-1] = Event{} // which strikes out and amends nothing
	}
	return func(yield func(Event) bool) {
		for n, e := range standing(all) {
			if l.aside[n] == nil && !yield(e) {
				return
			}
		}
	}
}

func (l *Life) apply(e Event) error {
	volume := unit.Volume(e.VolumeLitres) * measure.Litre
	switch e.Kind {
	case Noted, Weighed:
		return nil
	case Reading:
		l.reading = e
		return nil
	}
	l.reading = Event{}
	switch e.Kind {
	case Mixed:
		return l.mix(e)
	case Added:
		return l.add(e, l.bath.Add)
	case Watered:
		w, err := l.water(e)
		return cmp.Or(err, l.bath.AddWater(w, volume))
	case Evaporated:
		return l.bath.Evaporate(volume)
	case Dipped:
		return l.dip(e)
	case DragOut:
		return l.bath.Drain(volume)
	case Filtered:
		return l.bath.Filter()
	case Aired:
		return l.bath.Air()
	case Stood:
		return l.stand(e)
	case Blended:
		return l.blend(e)
	default: // Warmed, the only other kind that check lets pass
		return l.bath.SetTemperature(chem.Celsius(*e.TemperatureC))
	}
}

func (l *Life) mix(e Event) error {
	w, err := l.water(e)
	v, err2 := solution.New(l.tables, chem.Celsius(*e.TemperatureC))
	if err = cmp.Or(err, err2, v.AddWater(w, unit.Volume(e.VolumeLitres)*measure.Litre), l.add(e, v.Add)); err != nil {
		return err
	}
	l.mixture = e
	l.bath, err = bath.New(l.tables, v)
	return err
}

// add puts a reagent into a vessel and notes how much.
func (l *Life) add(e Event, into func(tables.Reagent, unit.Mass) error) error {
	r, err := l.tables.Reagent(e.Reagent)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(l.tally.Reagents, func(p solution.Portion) bool { return p.Reagent == r.ID })
	if i < 0 {
		i = len(l.tally.Reagents)
		l.tally.Reagents = append(l.tally.Reagents, solution.Portion{Reagent: r.ID, Name: r.Name})
	}
	is, grams := l.known.of(r, e)
	l.tally.Reagents[i].MassGrams += grams
	return into(is, unit.Mass(grams)*measure.Gram)
}

func (l *Life) dip(e Event) error {
	if rust := e.Rust(); rust > 0 {
		o, err := bath.FindOxide(l.tables, e.Oxide)
		if err = cmp.Or(err, l.bath.Dissolve(o, rust)); err != nil {
			return err
		}
		l.tally.RustGrams += float64(rust / measure.Gram)
	}
	l.tally.SteelGrams += e.SteelGrams
	return l.bath.Corrode(unit.Mass(e.SteelGrams / 1000))
}

// stand lets the time since the event before pass, at the typical rates of the cover.
func (l *Life) stand(e Event) error {
	err := l.bath.Stand(bath.Place{Cover: e.Cover, Light: e.Light, SurfaceCm2: e.SurfaceCM2})
	h, err2 := l.bath.Pass(bath.Parts{BareSteelCm2: e.BareSteelCM2}, unit.Time(e.At.Sub(l.events[len(l.events)-1].At).Seconds()))
	l.tally.SteelGrams += h.SteelLostGrams.Typical
	l.tally.LightSpoiltMoles += h.LightSpoiltMoles.Typical
	l.tally.AirSpoiltMoles += h.AirSpoiltMoles.Typical
	return cmp.Or(err, err2)
}

// blend pours some of another bath in, or all of it; the tally does not count what it held.
func (l *Life) blend(e Event) error {
	other, err := Replay(l.tables, e.Bath...)
	if err != nil {
		return err
	}
	const jugError = 0.01 // by which a jug may say more than there is: judgement
	poured := other.bath
	rest := poured.Litres() - e.VolumeLitres
	if rest < -jugError*poured.Litres() {
		return &chem.InputError{Field: "volume_l", Value: fmt.Sprintf("%.4g", e.VolumeLitres), Want: fmt.Sprintf("no more than the %.4g L of the other bath", poured.Litres())}
	}
	return cmp.Or(poured.Drain(unit.Volume(max(0, rest))*measure.Litre), l.bath.Blend(poured))
}

// water returns the water of an event: of the tables, or by its figures.
func (l *Life) water(e Event) (w tables.Water, err error) {
	switch {
	case e.Water == "":
		return w, nil
	case e.WaterPH == 0:
		w, err = l.tables.Water(e.Water)
	default:
		u, failed := tables.Find[tables.HardnessUnit](l.tables, "mg/L as CaCO3")
		w, err = tables.NewWater(e.Water, u.Hardness(e.HardnessMgPerLitre), tables.UsualCalciumShare, u.Alkalinity(e.AlkalinityMgPerLitre), e.WaterPH)
		err = cmp.Or(failed, err)
	}
	if l.known.reagents != nil {
		w = w.Times(l.known.water.Typical)
	}
	return w, err
}
