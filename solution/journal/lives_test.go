package journal

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

var livesSeed = flag.Uint64("lives-seed", 19, "of the random lives")

// A claim is a law that every life must keep; the events of a life are proposals, and
// those that the bath refuses did not happen.
type claim func(std *tables.Tables, events []Event) error

// claims are the laws of a whole life. The figures in them are of the periodic table
// and of the balanced reactions written beside them, not of the code.
var claims = map[string]claim{
	"nothing falls below zero":                  keepsAboveZero,
	"electrons, elements and charge keep":       keepsBooks,
	"what was bought is what went in":           keepsMoney,
	"an event struck out has not been":          undoes,
	"an event amended was so from the first":    amends,
	"a bath poured in brings what it held":      blends,
	"what does not touch each other commutes":   commutes,
	"lines read back are the life that was led": reads,
}

func TestRandomLives(t *testing.T) {
	std := demo.Tables(t)
	r := rand.New(rand.NewPCG(*livesSeed, 1))
	lives := 24
	if testing.Short() {
		lives = 5
	}
	for n := range lives {
		events := propose(t, r)
		for name, keeps := range claims {
			if err := keeps(std, events); err != nil {
				least := shrink(events, func(e []Event) bool { return keeps(std, e) != nil })
				text, jsonErr := json.MarshalIndent(least, "", " ")
				require.NoError(t, jsonErr)
				t.Errorf("life %d of seed %d: %s: %v\nshrunk: %v\n%s", n, *livesSeed, name, err, keeps(std, least), text)
			}
		}
	}
}

// A law that forbids lye after vinegar is shrunk to the three events that it takes.
func TestShrink(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	events := propose(t, r)
	add := func(what string) Event { return Event{At: start, Kind: Added, Reagent: what, MassGrams: 1} }
	events = slices.Insert(events, 3, add("vinegar"))
	events = append(events, add("lye"), Event{At: start, Kind: Filtered})
	broken := func(e []Event) bool {
		i := slices.IndexFunc(e, func(e Event) bool { return e.Reagent == "vinegar" })
		return i >= 0 && slices.ContainsFunc(e[i:], func(e Event) bool { return e.Reagent == "lye" })
	}
	least := shrink(events, broken)
	require.Len(t, least, 3)
	require.Equal(t, []string{events[0].Reagent, "vinegar", "lye"}, []string{least[0].Reagent, least[1].Reagent, least[2].Reagent})
}

// shrink leaves out events but the first, longest runs first, as long as what is left
// is broken as well.
func shrink(events []Event, broken func([]Event) bool) []Event {
	for run := len(events) / 2; run > 0; {
		smaller := false
		for from := 1; from+run <= len(events); {
			if without := slices.Delete(slices.Clone(events), from, from+run); broken(without) {
				events, smaller = without, true
			} else {
				from++
			}
		}
		if !smaller {
			run /= 2
		}
	}
	return events
}

// propose draws a life: a mixing, and what may follow it.
func propose(t *testing.T, r *rand.Rand) []Event {
	t.Helper()
	salts := []string{"disodium EDTA", "tetrasodium EDTA", "trisodium NTA"}
	first := Event{At: start, Kind: Mixed, VolumeLitres: 1 + 30*r.Float64(), Water: "soft tap water", TemperatureC: number(20),
		Reagent: salts[r.IntN(len(salts))], MassGrams: 5 + 300*r.Float64()}
	l, err := Replay(demo.Tables(t), first)
	require.NoError(t, err)
	events, at := []Event{first}, start
	for range 10 {
		at = at.Add(time.Duration(1+r.IntN(600)) * time.Minute)
		e := random(r, l, at)
		switch r.IntN(12) {
		case 0:
			e = Event{At: at, Kind: Stood, Cover: []bath.Cover{bath.Lidded, bath.Boarded, bath.Still, bath.Stirred}[r.IntN(4)], BareSteelCM2: 500 * r.Float64()}
		case 1:
			e = Event{At: at, Kind: Reading, PH: number(2 + 10*r.Float64()), ResolutionPH: 0.5}
		}
		e.Sure = true
		events = append(events, e)
		_ = l.Apply(e) // the next is drawn for the bath as it stands; a refusal is a proposal too
	}
	return events
}

// lead leads a life, showing each event with the life before and after it.
func lead(std *tables.Tables, events []Event, show func(before, after *Life, e Event) error) (*Life, error) {
	l := &Life{tables: std}
	for _, e := range events {
		before := l.clone()
		if l.Apply(e) != nil {
			continue
		}
		if show == nil {
			continue
		}
		if err := show(before, l, e); err != nil {
			return nil, fmt.Errorf("%s: %w", e.Kind, err)
		}
	}
	return l, nil
}

// happen leads a life and returns what of it was not refused.
func happen(std *tables.Tables, events []Event) (l *Life, happened []Event, err error) {
	l, err = lead(std, events, func(_, _ *Life, e Event) error {
		happened = append(happened, e)
		return nil
	})
	return l, happened, err
}

// near tells whether two amounts differ by no more than sums of so many doubles do.
func near(a, b, scale float64) bool {
	const rounding = 1e-9
	return math.Abs(a-b) <= rounding*(math.Abs(scale)+1e-3)
}

func keepsAboveZero(std *tables.Tables, events []Event) error {
	_, err := lead(std, events, func(before, after *Life, _ Event) error {
		st, err := after.Bath().State()
		if err != nil {
			return err
		}
		if !(st.VolumeLitres > 0 && st.IonicStrengthMolPerLitre >= 0) {
			return fmt.Errorf("%g L of ionic strength %g", st.VolumeLitres, st.IonicStrengthMolPerLitre)
		}
		for _, s := range st.Species {
			if !(s.MolPerLitre >= 0) {
				return fmt.Errorf("%g mol/L of %s", s.MolPerLitre, s.Species)
			}
		}
		for _, s := range st.Solids {
			if !(s.Moles >= 0) {
				return fmt.Errorf("%g mol of %s", s.Moles, s.Name)
			}
		}
		was, is := reflect.ValueOf(before.Tally()), reflect.ValueOf(after.Tally())
		for i := range is.NumField() {
			if x := is.Field(i); x.CanFloat() && !(x.Float() >= was.Field(i).Float()) {
				return fmt.Errorf("%s falls from %g to %g", is.Type().Field(i).Name, was.Field(i).Float(), x.Float())
			}
		}
		return nil
	})
	return err
}

// keepsBooks holds iron, its electrons over iron(III), sodium and charge against a
// sheet that starts from the bath before each event:
//
//	Fe(s) + 2 Fe3+ = 3 Fe2+            as far as there is iron(III)
//	Fe(s) + 2 H+ = Fe2+ + H2           for the rest of the steel
//	4 Fe2+ + O2 + 4 H+ = 4 Fe3+ + 2 H2O
//	magnetite brings one iron(II) in three
func keepsBooks(std *tables.Tables, events []Event) error {
	const iron, magnetite = 55.845, 231.531 // g/mol, IUPAC 2021: Fe and 3 Fe + 4 O
	_, err := lead(std, events, func(before, after *Life, e Event) error {
		is, err := holds(std, after)
		if err != nil {
			return err
		}
		if !near(is.charge, 0, is.scale) {
			return fmt.Errorf("a charge of %g mol", is.charge)
		}
		if e.Kind == Mixed {
			return nil
		}
		want, err := holds(std, before)
		if err != nil {
			return err
		}
		was := want
		switch e.Kind {
		case DragOut:
			left := 1 - e.VolumeLitres/before.Bath().Litres()
			want.ferric, want.ferrous, want.sodium = left*want.ferric, left*want.ferrous, left*want.sodium
		case Aired:
			want.ferric, want.ferrous = want.ferric+want.ferrous, 0
		case Dipped:
			solid, err := std.Solid(e.Oxide)
			if err != nil {
				return err
			}
			for name, pair := range map[string][2]float64{
				"rust":  {after.tally.RustGrams - before.tally.RustGrams, e.RustGrams},
				"steel": {after.tally.SteelGrams - before.tally.SteelGrams, e.SteelGrams},
			} {
				if !near(pair[0], pair[1], after.tally.RustGrams) {
					return fmt.Errorf("%g g of %s told instead of %g", pair[0], name, pair[1])
				}
			}
			rust := e.RustGrams / solid.Species.Formula.MolarMass() * solid.Species.Formula.Count("Fe")
			if e.Oxide == "magnetite" {
				want.ferrous += e.RustGrams / magnetite
				rust -= e.RustGrams / magnetite
			}
			want.ferric += rust
			steel := e.SteelGrams / iron
			byIron := min(steel, want.ferric/2)
			want.ferric -= 2 * byIron
			want.ferrous += 3*byIron + (steel - byIron)
		case Stood: // air and light move electrons; iron comes from steel alone
			steel := (after.tally.SteelGrams - before.tally.SteelGrams) / iron
			want.ferric, want.ferrous = is.ferric, was.ferric+was.ferrous+steel-is.ferric
		case Filtered:
			if is.ferric > was.ferric*(1+1e-9) || is.ferrous > was.ferrous*(1+1e-9) {
				return errors.New("a filter that brings iron")
			}
			want.ferric, want.ferrous, want.sodium = is.ferric, is.ferrous, is.sodium // disodium EDTA may settle
		case Added:
			want.sodium = is.sodium // told by the room's other law, with the salts' formulas
		case Watered:
			if e.Water != "" {
				want.sodium = is.sodium
			}
		}
		for name, pair := range map[string][2]float64{"iron(III)": {want.ferric, is.ferric}, "iron(II)": {want.ferrous, is.ferrous}, "sodium": {want.sodium, is.sodium}} {
			if !near(pair[0], pair[1], was.ferric+was.ferrous+max(pair[0], pair[1])) {
				return fmt.Errorf("%.12g mol of %s instead of %.12g", pair[1], name, pair[0])
			}
		}
		return nil
	})
	return err
}

// holding is what a bath holds, mol.
type holding struct{ ferric, ferrous, sodium, charge, scale float64 }

func holds(std *tables.Tables, l *Life) (h holding, err error) {
	v := l.Bath().Solution.Clone()
	for _, c := range std.Components() {
		n, err := v.Amount(c.Species.String())
		if err != nil {
			return h, err
		}
		switch x := float64(n); c.Species.String() {
		case "Fe3+":
			h.ferric = x
		case "Fe2+":
			h.ferrous = x
		case "Na+":
			h.sodium = x
		}
		z := float64(c.Species.Formula.Charge()) * float64(n)
		h.charge, h.scale = h.charge+z, h.scale+math.Abs(z)
	}
	return h, nil
}

// keepsMoney: a receipt for everything that went in, at an invented price for each
// gram, is a receipt for the reagents of the tally.
func keepsMoney(std *tables.Tables, events []Event) error {
	price := func(name string) float64 { return 0.01 * float64(len(name)) }
	spent := 0.0
	l, err := lead(std, events, func(_, _ *Life, e Event) error {
		if e.Reagent == "" {
			return nil
		}
		r, err := std.Reagent(e.Reagent)
		spent += price(r.ID) * e.MassGrams
		return err
	})
	if err != nil {
		return err
	}
	told := 0.0
	for _, p := range l.Tally().Reagents {
		told += price(p.Reagent) * p.MassGrams
	}
	if !near(spent, told, spent) {
		return fmt.Errorf("%g told where %g was spent", told, spent)
	}
	return nil
}

// same compares lives by what the bath holds, to a relative difference, and by tally.
func same(std *tables.Tables, a, b *Life, relative float64) error {
	for _, c := range std.Components() {
		x, err := a.Bath().Solution.Clone().Amount(c.Species.String())
		y, other := b.Bath().Solution.Clone().Amount(c.Species.String())
		if err := errors.Join(err, other); err != nil {
			return err
		}
		if math.Abs(float64(x-y)) > relative*(math.Abs(float64(x))+1e-6) {
			return fmt.Errorf("%.17g and %.17g mol of %s", float64(x), float64(y), c.Species)
		}
	}
	if x, y := a.Bath().Litres(), b.Bath().Litres(); math.Abs(x-y) > relative*x {
		return fmt.Errorf("%.17g and %.17g L", x, y)
	}
	return nil
}

// undoes strikes each event out in turn and that again. Struck out, the life is the
// one in which it was never written; where the rest cannot happen then, striking is
// refused and nothing has changed. Struck out again, it is the life as it was, to
// the last digit.
func undoes(std *tables.Tables, events []Event) error {
	l, happened, err := happen(std, events)
	if err != nil {
		return err
	}
	for n := 1; n < len(happened); n += 3 {
		if strings.Contains(fmt.Sprint(kinds(happened[n:])), string(Stood)) {
			continue // how long it stood depends on when the event before was
		}
		other := l.clone()
		struck := other.Apply(Event{At: l.events[len(l.events)-1].At, Kind: Struck, Number: n + 1, Note: "not mine"})
		without, never := Replay(std, slices.Delete(slices.Clone(happened), n, n+1)...)
		if (struck == nil) != (never == nil) {
			return fmt.Errorf("striking event %d: %v, leaving it out: %v", n+1, struck, never)
		}
		if struck == nil {
			if err := same(std, without, other, 0); err != nil {
				return fmt.Errorf("event %d struck out: %w", n+1, err)
			}
			if err := other.Apply(Event{At: l.events[len(l.events)-1].At, Kind: Struck, Number: len(happened) + 1, Note: "it was"}); err != nil {
				return err
			}
		}
		if err := same(std, l, other, 0); err != nil {
			return fmt.Errorf("event %d struck out and brought back: %w", n+1, err)
		}
	}
	return nil
}

func kinds(events []Event) (out []Kind) {
	for _, e := range events {
		out = append(out, e.Kind)
	}
	return out
}

// commutes swaps neighbours that only pour or take up, without taking out: amounts
// add up in any order.
func commutes(std *tables.Tables, events []Event) error {
	pours := func(e Event) bool {
		return e.Kind == Added || e.Kind == Watered || e.Kind == Dipped && e.SteelGrams == 0 || e.Kind == Reading
	}
	l, happened, err := happen(std, events)
	if err != nil {
		return err
	}
	for n := 1; n+1 < len(happened); n++ {
		if !pours(happened[n]) || !pours(happened[n+1]) || slices.Contains(kinds(happened[n:]), Stood) {
			continue
		}
		swapped := slices.Clone(happened)
		swapped[n], swapped[n+1] = happened[n+1], happened[n]
		other, err := Replay(std, swapped...)
		if err != nil {
			return err
		}
		if err := same(std, l, other, 1e-9); err != nil {
			return fmt.Errorf("events %d and %d swapped: %w", n+1, n+2, err)
		}
	}
	return nil
}

// reads writes the life down line by line and reads it again.
func reads(std *tables.Tables, events []Event) error {
	j, err := Read(std, nil)
	if err != nil {
		return err
	}
	var text strings.Builder
	var written []Event // some are beyond belief, and refused however sure
	for _, e := range events {
		line, err := j.Line(e)
		if err != nil {
			continue
		}
		written = append(written, e)
		text.Write(line)
		if j, err = Read(std, []byte(text.String())); err != nil {
			return err
		}
	}
	l, err := lead(std, written, nil)
	if err != nil {
		return err
	}
	if !reflect.DeepEqual(l.Tally(), j.Life().Tally()) {
		return fmt.Errorf("tallies %+v and %+v", l.Tally(), j.Life().Tally())
	}
	return same(std, l, j.Life(), 0)
}

// Waters by their own figures, in both tubs of a life: what hardness brings, in mol, is
// its mass of calcium carbonate over 100.087 g/mol (IUPAC 2021), seven tenths of it
// calcium (common practice, no source).
func TestWaterByItsFigures(t *testing.T) {
	std := demo.Tables(t)
	well := Event{At: start, Kind: Mixed, VolumeLitres: 20, Water: "the well", HardnessMgPerLitre: 150, AlkalinityMgPerLitre: 120, WaterPH: 7.6,
		TemperatureC: number(20), Reagent: "tetrasodium EDTA", MassGrams: 500}
	more := Event{At: start.Add(time.Hour), Kind: Watered, VolumeLitres: 10, Water: "the other well", HardnessMgPerLitre: 300, AlkalinityMgPerLitre: 200, WaterPH: 8}
	l, err := Replay(std, well, more)
	require.NoError(t, err)
	hardness := (20*0.150 + 10*0.300) / 100.087
	for ion, share := range map[string]float64{"Ca2+": 0.7, "Mg2+": 0.3} {
		n, err := l.Bath().Amount(ion)
		require.NoError(t, err)
		require.InEpsilon(t, share*hardness, float64(n), 2e-3, ion)
	}
}
