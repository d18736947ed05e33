package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// undamaged reads lines of which none is.
func undamaged(data []byte) (content, error) {
	c, damages := content{}.more(data)
	return c, errors.Join(damages...)
}

var start = time.Date(2026, time.March, 2, 18, 0, 0, 0, time.UTC)

func number(x float64) *float64 { return &x }

// life returns a valid life of a tub, invented.
func life() []Event {
	return []Event{
		{At: start, Kind: Mixed, VolumeLitres: 20, Water: "moderately hard tap water", TemperatureC: number(20), Reagent: "tetrasodium EDTA", MassGrams: 500},
		{At: start.Add(time.Hour), Kind: Added, Reagent: "citric acid", MassGrams: 83},
		{At: start.Add(16 * time.Hour), Kind: Dipped, Oxide: "lepidocrocite", RustGrams: 24, SteelGrams: 0.5, Note: "bench vise"},
		{At: start.Add(17 * time.Hour), Kind: DragOut, VolumeLitres: 0.3},
		{At: start.Add(18 * time.Hour), Kind: Reading, PH: number(8.5), ResolutionPH: 0.5},
	}
}

func write(t *testing.T, path string, events []Event) *Journal {
	t.Helper()
	j, err := Create(demo.Tables(t), path)
	require.NoError(t, err)
	for _, e := range events {
		require.NoError(t, j.Append(e))
	}
	return j
}

// A file that ends anywhere gives all events whose lines are whole, tells what
// is left of the next, and goes on from there.
func TestTornAtEveryByte(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	events := life()
	write(t, path, events)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	for n := range len(data) + 1 {
		whole := bytes.Count(data[:n], []byte("\n"))
		c, err := undamaged(data[:n])
		require.NoError(t, err, "cut at %d", n)
		require.Len(t, c.events, whole, "cut at %d", n)
		require.Equal(t, n, int(c.size)+len(c.torn), "cut at %d", n)
	}
	// The next event takes the place of the torn one.
	for n := 0; n <= len(data); n += 17 {
		require.NoError(t, os.WriteFile(path, data[:n], 0o600))
		require.NoError(t, os.RemoveAll(beside(path))) // or it would tell that more was confirmed
		j, err := Open(demo.Tables(t), path)
		require.NoError(t, err)
		whole := len(j.Events())
		require.Equal(t, bytes.Count(data[:n], []byte("\n")), whole)
		if whole == len(events) {
			continue
		}
		require.NoError(t, j.Append(events[whole]))
		require.Empty(t, j.Torn())
		again, err := Open(demo.Tables(t), path)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(events[:whole+1], again.Events()))
	}
}

// A journal that is kept elsewhere than in a file grows to the same text.
func TestLines(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	write(t, path, life())
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	var text []byte
	for _, e := range life() {
		j, err := Read(demo.Tables(t), text)
		require.NoError(t, err)
		line, err := j.Line(e)
		require.NoError(t, err)
		text = append(text, line...)
	}
	require.Equal(t, string(want), string(text))
}

// Whatever single byte changes, the file is refused, or only its last line is
// taken for torn.
func TestEveryChangedByteIsNoticed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	write(t, path, life())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	for i := range data {
		for _, flip := range []byte{0x01, 0x20} {
			bad := bytes.Clone(data)
			bad[i] ^= flip
			c, err := undamaged(bad)
			if i == len(data)-1 {
				require.NoError(t, err)
				require.Len(t, c.events, len(life())-1)
				continue
			}
			require.ErrorIs(t, err, ErrDamage, "byte %d, %q", i, data[max(0, i-10):min(len(data), i+10)])
		}
	}
}

func TestLostMovedAndDoubledLines(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	write(t, path, life())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	lines := bytes.SplitAfter(data, []byte("\n"))
	lines = lines[:len(lines)-1]
	join := func(order ...int) []byte {
		var out []byte
		for _, i := range order {
			out = append(out, lines[i]...)
		}
		return out
	}
	for _, tc := range []struct {
		name  string
		order []int
		line  int
	}{
		{"first lost", []int{1, 2, 3, 4}, 1},
		{"one lost", []int{0, 1, 3, 4}, 3},
		{"two swapped", []int{0, 2, 1, 3, 4}, 2},
		{"one doubled", []int{0, 1, 1, 2, 3, 4}, 3},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := undamaged(join(tc.order...))
			require.ErrorIs(t, err, ErrDamage)
			require.ErrorContains(t, err, fmt.Sprintf("line %d", tc.line))
		})
	}
	// A line from another journal does not fit in, though its number does.
	other := filepath.Join(t.TempDir(), "other.jsonl")
	events := life()
	events[1].MassGrams = 90
	write(t, other, events)
	foreign, err := os.ReadFile(other)
	require.NoError(t, err)
	mixed := append(join(0, 1), bytes.SplitAfter(foreign, []byte("\n"))[2]...)
	_, err = undamaged(mixed)
	require.ErrorIs(t, err, ErrDamage)
}

func TestFilesThatOthersTouch(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	j := write(t, path, life()[:2])
	_, err := Create(demo.Tables(t), path)
	require.ErrorIs(t, err, fs.ErrExist)
	_, err = Open(demo.Tables(t), path+"x")
	require.ErrorIs(t, err, fs.ErrNotExist)

	other, err := Open(demo.Tables(t), path)
	require.NoError(t, err)
	require.NoError(t, other.Append(life()[2]))
	require.NoError(t, j.Append(life()[3]))
	require.Empty(t, cmp.Diff(life()[:4], j.Events()), "what the other wrote is read first")
	again, err := Open(demo.Tables(t), path)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(j.Events(), again.Events()))

	for _, bad := range []string{t.TempDir(), "/dev/null"} {
		_, err := Open(demo.Tables(t), bad)
		require.ErrorIs(t, err, chem.ErrInput, bad)
	}
}

func TestRefusedEvents(t *testing.T) {
	std := demo.Tables(t)
	mixed := life()[0]
	for _, tc := range []struct {
		name  string
		event Event
		field string
	}{
		{"no time", Event{Kind: Filtered}, "at"},
		{"unknown kind", Event{At: start, Kind: "boiled"}, "kind"},
		{"second mixing", Event{At: start, Kind: Mixed, VolumeLitres: 1, Water: "rain water", TemperatureC: number(20), Reagent: "EDTA acid", MassGrams: 1}, "kind"},
		{"no mass", Event{At: start, Kind: Added, Reagent: "citric acid"}, "mass_g"},
		{"negative mass", Event{At: start, Kind: Added, Reagent: "citric acid", MassGrams: -1}, "mass_g"},
		{"not a number", Event{At: start, Kind: Evaporated, VolumeLitres: math.NaN()}, "volume_l"},
		{"out of place", Event{At: start, Kind: Filtered, VolumeLitres: 1}, "volume_l"},
		{"unknown reagent", Event{At: start, Kind: Added, Reagent: "citrus acid", MassGrams: 1}, ""},
		{"more than there is", Event{At: start, Kind: Evaporated, VolumeLitres: 20}, "volume"},
		{"all of it", Event{At: start, Kind: DragOut, VolumeLitres: 21}, "volume"},
		{"rust twice", Event{At: start, Kind: Dipped, Oxide: "goethite", RustGrams: 1, AreaCM2: 1e4, RustGramsPerM2: 1}, "rust_g"},
		{"area alone", Event{At: start, Kind: Dipped, Oxide: "goethite", AreaCM2: 1e4}, "area_cm2"},
		{"rust of nothing", Event{At: start, Kind: Dipped, RustGrams: 1}, "oxide"},
		{"no oxide of iron", Event{At: start, Kind: Dipped, Oxide: "calcite", RustGrams: 1}, "oxide"},
		{"pH without resolution", Event{At: start, Kind: Reading, PH: number(7)}, "ph_resolution"},
		{"half a water", Event{At: start, Kind: Watered, VolumeLitres: 1, Water: "well", HardnessMgPerLitre: 100}, "water"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			l, err := Replay(std, mixed)
			require.NoError(t, err)
			before, err := json.Marshal(l.Tally())
			require.NoError(t, err)
			err = l.Apply(tc.event)
			require.ErrorIs(t, err, chem.ErrInput)
			var e *chem.InputError
			require.ErrorAs(t, err, &e)
			if tc.field != "kind" || needs[tc.event.Kind][0] != "" { // of what kind it is to be, is said first
				tc.field = string(tc.event.Kind) + ": " + tc.field
			}
			require.True(t, strings.HasPrefix(e.Field, tc.field), err)
			after, err := json.Marshal(l.Tally())
			require.NoError(t, err)
			require.Equal(t, string(before), string(after))
			require.InDelta(t, 20.3, l.Bath().Litres(), 0.1)
		})
	}
	_, err := Replay(std, Event{At: start, Kind: Filtered})
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = new(Life).Report(bath.Oxide{}, 7, tables.Reagent{})
	require.ErrorIs(t, err, chem.ErrInput)
}

// random returns a valid event for a life, or one that may be refused.
func random(r *rand.Rand, l *Life, at time.Time) Event {
	pick := func(names ...string) string { return names[r.IntN(len(names))] }
	litres := l.Bath().Litres()
	e := Event{At: at}
	switch r.IntN(9) {
	case 0:
		e.Kind, e.Reagent, e.MassGrams = Added, pick("citric acid", "lye", "muriatic acid", "trisodium citrate", "tetrasodium EDTA", "washing soda", "sodium bisulfate", "phosphoric acid"), litres*(0.1+3*r.Float64())
	case 1:
		e.Kind, e.VolumeLitres = Watered, 0.01+litres*0.2*r.Float64()
		if r.IntN(2) == 0 {
			e.Water = "hard tap water"
		}
	case 2:
		e.Kind, e.VolumeLitres = Evaporated, 0.01+0.1*litres*r.Float64()
	case 3, 4:
		e.Kind, e.Oxide, e.RustGrams = Dipped, pick("goethite", "lepidocrocite", "ferrihydrite", "magnetite", "hematite", "akaganeite"), litres*(0.1+3*r.Float64())
		if r.IntN(3) == 0 {
			e.SteelGrams = litres * 0.2 * r.Float64()
		}
	case 5:
		e.Kind, e.VolumeLitres = DragOut, 0.01+0.1*litres*r.Float64()
	case 6:
		e.Kind = Filtered
	case 7:
		e.Kind = Aired
	default:
		e.Kind, e.TemperatureC = Warmed, number(5+30*r.Float64())
	}
	return e
}

// ledger follows elements by the formulas of what goes in and out, apart from
// the components in which the vessel reckons.
type ledger map[string]float64

var elements = []string{"N", "Fe", "Na", "Cl", "S", "P", "Mg", "Ca"}

func contents(t *testing.T, b *bath.Bath) (of ledger, charge, scale float64) {
	t.Helper()
	of = ledger{}
	for _, c := range b.Tables().Components() {
		n, err := b.Amount(c.Species.String())
		require.NoError(t, err)
		for _, el := range elements {
			of[el] += float64(n) * c.Species.Formula.Count(el)
		}
		z := float64(c.Species.Formula.Charge()) * float64(n)
		charge += z
		scale += math.Abs(z)
	}
	return of, charge, scale
}

// Mass of each element and charge are conserved through any sequence of
// events; a replay gives the same bath as living it; no capacity is negative.
func TestLaws(t *testing.T) {
	std := demo.Tables(t)
	citric, err := std.Reagent("citric acid")
	require.NoError(t, err)
	goethite, err := bath.FindOxide(std, "goethite")
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(5, 1))
	lives := 40
	if testing.Short() {
		lives = 8
	}
	for n := range lives {
		at := start
		first := Event{At: at, Kind: Mixed, VolumeLitres: 1 + 30*r.Float64(), Water: "soft tap water", TemperatureC: number(20), Reagent: "disodium EDTA", MassGrams: 5 + 300*r.Float64()}
		events := []Event{first}
		l, err := Replay(std, first)
		require.NoError(t, err)
		sheet, _, _ := contents(t, l.Bath())
		for range 12 {
			at = at.Add(time.Duration(1+r.IntN(1000)) * time.Minute)
			before := l.Bath()
			e := random(r, l, at)
			if err := l.Apply(e); err != nil {
				require.ErrorIs(t, err, chem.ErrInput)
				continue
			}
			events = append(events, e)
			book(t, sheet, before, e)
			have, charge, scale := contents(t, l.Bath())
			for _, el := range elements {
				require.InDelta(t, sheet[el], have[el], 1e-9*(1e-3+sheet[el]), "life %d, %s after %s", n, el, e.Kind)
			}
			require.InDelta(t, 0, charge, 1e-9*scale, "life %d, charge after %s", n, e.Kind)
		}
		data, err := json.Marshal(events)
		require.NoError(t, err)
		var copied []Event
		require.NoError(t, json.Unmarshal(data, &copied))
		again, err := Replay(std, copied...)
		require.NoError(t, err)
		for _, component := range std.Components() {
			a, err := l.Bath().Solution.Clone().Amount(component.Species.String())
			require.NoError(t, err)
			b, err := again.Bath().Solution.Clone().Amount(component.Species.String())
			require.NoError(t, err)
			require.Equal(t, a, b, "life %d, %s", n, component.Species)
		}
		report, err := l.Report(goethite, 7, citric)
		require.NoError(t, err, "life %d", n)
		replayed, err := again.Report(goethite, 7, citric)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(report, replayed))
		c := report.Capacities
		for name, x := range map[string]bath.Capacity{"chelant": c.Chelant, "stoichiometric": c.Stoichiometric, "equilibrium": c.Equilibrium, "proton": c.Proton, "practical": c.Practical} {
			require.GreaterOrEqual(t, x.IronMoles, 0.0, name)
			require.False(t, math.IsInf(x.RustGrams, 0), name)
		}
		require.NotEmpty(t, report.Diagnosis.Text)
	}
}

// book enters an event into a sheet.
func book(t *testing.T, sheet ledger, before *bath.Bath, e Event) {
	t.Helper()
	std := before.Tables()
	enter := func(formula interface{ Count(string) float64 }, moles float64) {
		for _, el := range elements {
			sheet[el] += moles * formula.Count(el)
		}
	}
	switch e.Kind {
	case Added:
		r, err := std.Reagent(e.Reagent)
		require.NoError(t, err)
		moles := e.MassGrams * r.MolPerGram().Typical
		enter(r.Formula, moles)
		sheet["Na"] += moles * r.ExcessBase.Typical
	case Watered:
		if e.Water == "" {
			return
		}
		w, err := std.Water(e.Water)
		require.NoError(t, err)
		for _, ion := range w.Ions {
			enter(ion.Species.Formula, ion.MolPerLitre*e.VolumeLitres)
		}
	case Dipped:
		solid, err := std.Solid(e.Oxide)
		require.NoError(t, err)
		enter(solid.Species.Formula, e.RustGrams/solid.Species.Formula.MolarMass())
		sheet["Fe"] += e.SteelGrams / 55.845
	case DragOut:
		for _, el := range elements {
			sheet[el] *= 1 - e.VolumeLitres/before.Litres()
		}
	case Filtered:
		st, err := before.State()
		require.NoError(t, err)
		for _, s := range st.Solids {
			f, err := std.Formation(s.Species)
			require.NoError(t, err)
			enter(f.Species.Formula, -s.Moles)
		}
	}
}

func TestReportBelievesAReading(t *testing.T) {
	std := demo.Tables(t)
	citric, err := std.Reagent("citric acid")
	require.NoError(t, err)
	o, err := bath.FindOxide(std, "lepidocrocite")
	require.NoError(t, err)
	events := life()
	report := func(pH, resolution float64) *Report {
		events[4].PH, events[4].ResolutionPH = number(pH), resolution
		l, err := Replay(std, events...)
		require.NoError(t, err)
		r, err := l.Report(o, 7, citric)
		require.NoError(t, err)
		return r
	}
	near := report(8.6, 0.5)
	require.InDelta(t, 8.6, near.PH, 0.5) // else the case is not what it says
	require.Empty(t, near.Notes)
	require.InDelta(t, near.PH, near.Diagnosis.PH, 1e-9)

	far := report(6, 0.5)
	require.Len(t, far.Notes, 1)
	require.InDelta(t, 6, far.Diagnosis.PH, 1e-6)
	require.Equal(t, near.PH, far.PH)
	// A mole of steel reduces two of iron(III) and makes three of iron(II); some
	// of them left with the drag-out: arithmetic.
	require.InDelta(t, 3*0.5/55.845*(1-0.3/(near.VolumeLitres+0.3)), near.Redox.FerrousMoles, 1e-9)
}

func TestErrorsSayWhere(t *testing.T) {
	err := damaged(3, "a line", errors.New("why"))
	require.EqualError(t, err, "journal is damaged in line 3: want a line (why)")
}

func FuzzParse(f *testing.F) {
	path := filepath.Join(f.TempDir(), "tub.jsonl")
	j, err := Create(demo.Tables(f), path)
	require.NoError(f, err)
	for _, e := range life() {
		require.NoError(f, j.Append(e))
	}
	data, err := os.ReadFile(path)
	require.NoError(f, err)
	f.Add(data)
	f.Add(data[:100])
	f.Add([]byte(`{"v":1,"n":1,"event":{},"sum":""}` + "\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := undamaged(data)
		if err != nil {
			require.ErrorIs(t, err, ErrDamage)
			return
		}
		require.Equal(t, len(data), int(c.size)+len(c.torn))
		// What was read is written again to the letter.
		var out []byte
		var again content
		for _, e := range c.events {
			line, err := again.encode(e)
			require.NoError(t, err)
			out = append(out, line...)
		}
		plain := strings.ReplaceAll(strings.TrimPrefix(string(data[:c.size]), "\uFEFF"), "\r\n", "\n")
		for strings.Contains(plain, "\n\n") {
			plain = strings.ReplaceAll(plain, "\n\n", "\n")
		}
		require.Equal(t, strings.TrimPrefix(plain, "\n"), string(out))
	})
}

// An old bath blended into a new one, in whole or in part: the volumes and the
// iron add up, what does not fit is refused, and a file keeps it.
func TestBlended(t *testing.T) {
	std, events := demo.Tables(t), life()
	fresh := events[0]
	fresh.At = start.Add(48 * time.Hour)
	old, err := Replay(std, events...)
	require.NoError(t, err)
	litres := old.Bath().Litres()
	alone, err := Replay(std, fresh)
	require.NoError(t, err)
	for _, part := range []float64{0.25, 1} {
		blend := Event{At: fresh.At.Add(time.Hour), Kind: Blended, VolumeLitres: part * litres, Bath: events}
		both, err := Replay(std, fresh, blend)
		require.NoError(t, err)
		require.InEpsilon(t, alone.Bath().Litres()+part*litres, both.Bath().Litres(), 1e-9)
		before, err := old.Bath().Redox()
		require.NoError(t, err)
		after, err := both.Bath().Redox()
		require.NoError(t, err)
		require.InEpsilon(t, part*(before.FerricMoles+before.FerrousMoles), after.FerricMoles+after.FerrousMoles, 1e-9)
	}
	good := Event{At: fresh.At.Add(time.Hour), Kind: Blended, VolumeLitres: 5, Bath: events}
	for name, spoil := range map[string]func(*Event){
		"too much":       func(e *Event) { e.VolumeLitres = 2 * litres },
		"no bath":        func(e *Event) { e.Bath = nil },
		"never mixed":    func(e *Event) { e.Bath = events[1:] },
		"from to-morrow": func(e *Event) { e.Bath = []Event{{At: e.At.Add(time.Hour), Kind: Mixed}} },
		"with rust":      func(e *Event) { e.RustGrams = 1 },
	} {
		bad := good
		spoil(&bad)
		life, err := Replay(std, fresh)
		require.NoError(t, err)
		was := life.Bath().Litres()
		require.ErrorIs(t, life.Apply(bad), chem.ErrInput, name)
		require.Equal(t, was, life.Bath().Litres(), name)
	}
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	write(t, path, []Event{fresh, good})
	again, err := Open(std, path)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff([]Event{fresh, good}, again.Events()))
}

// What a bath loses while it stands is told apart: steel and what air and light destroy
// under each cover, rust as it was written down. A lid costs nothing without steel, and a
// minute nothing at all.
func TestStood(t *testing.T) {
	std := demo.Tables(t)
	temperature := 20.0
	at := time.Date(2026, time.March, 2, 9, 0, 0, 0, time.UTC)
	life, err := Replay(std, append(life0(at, temperature), Event{At: at.Add(25 * time.Hour), Kind: Stood, Cover: bath.Lidded})...)
	require.NoError(t, err)
	require.Zero(t, life.Tally().SteelGrams)
	before, err := life.Bath().Holdings()
	require.NoError(t, err)
	require.NoError(t, life.Apply(Event{At: at.Add(73 * time.Hour), Kind: Stood, Cover: bath.Still, Light: bath.Sunlit, BareSteelCM2: 2000}))
	tally := life.Tally()
	require.Equal(t, 30.0, tally.RustGrams)
	require.Positive(t, tally.AirSpoiltMoles)
	require.InEpsilon(t, 2*0.012, tally.LightSpoiltMoles, 0.1, "0.12 mol/(m² d) on 0.1 m² for two days")
	same, err := Replay(std, life0(at, temperature)...)
	require.NoError(t, err)
	b := same.Bath()
	require.NoError(t, b.Stand(bath.Place{Cover: bath.Still, Light: bath.Sunlit}))
	h, err := b.Pass(bath.Parts{BareSteelCm2: 2000}, 48*3600)
	require.NoError(t, err)
	require.InEpsilon(t, h.SteelLostGrams.Typical, tally.SteelGrams, 1e-9)
	after, err := life.Bath().Holdings()
	require.NoError(t, err)
	require.InDelta(t, before.Counted().Total()-tally.AirSpoiltMoles-tally.LightSpoiltMoles, after.Counted().Total(), 1e-9)
	report, err := life.Report(demo.Oxide(t, "lepidocrocite"), 7)
	require.NoError(t, err)
	whole := before.Counted().Total()
	require.Contains(t, report.Notes, fmt.Sprintf("Of the chelant rust took %.0f %% and bare steel %.0f %% (%s of it went); light destroyed %.0f %% and air %.0f %%.",
		100*30/88.85/whole, 100*tally.SteelGrams/55.845/whole, measure.FormatGrams(tally.SteelGrams), 100*tally.LightSpoiltMoles/whole, 100*tally.AirSpoiltMoles/whole))
	for _, bad := range []Event{{Kind: Stood}, {Kind: Stood, Cover: "ajar"}, {Kind: Stood, Cover: bath.Still, Light: "moon"}, {Kind: Stood, Cover: bath.Still, SurfaceCM2: -1}} {
		bad.At = at.Add(80 * time.Hour)
		require.ErrorIs(t, life.Apply(bad), chem.ErrInput)
	}
}

// life0 is the tool library's bath with 30 g of rust in it.
func life0(at time.Time, temperature float64) []Event {
	return []Event{
		{At: at, Kind: Mixed, VolumeLitres: 20, Water: "moderately hard tap water", TemperatureC: &temperature, Reagent: "tetrasodium EDTA", MassGrams: 500},
		{At: at, Kind: Added, Reagent: "citric acid", MassGrams: 83},
		{At: at.Add(time.Hour), Kind: Dipped, Oxide: "lepidocrocite", RustGrams: 30},
	}
}

// A soda bath whose reading climbs towards the pH that it ends at is told that gas leaves.
func TestGasLeavingIsNoRust(t *testing.T) {
	temperature, read := 20.0, 8.0
	at := time.Date(2026, time.March, 2, 9, 0, 0, 0, time.UTC)
	life, err := Replay(demo.Tables(t),
		Event{At: at, Kind: Mixed, VolumeLitres: 20, Water: "moderately hard tap water", TemperatureC: &temperature, Reagent: "disodium EDTA", MassGrams: 500},
		Event{At: at, Kind: Added, Reagent: "washing soda", MassGrams: 127},
		Event{At: at.Add(72 * time.Hour), Kind: Reading, PH: &read, ResolutionPH: 0.5})
	require.NoError(t, err)
	r, err := life.Report(demo.Oxide(t, "lepidocrocite"), 7)
	require.NoError(t, err)
	require.Contains(t, strings.Join(r.Notes, " "), "carbon dioxide leaving")
}
