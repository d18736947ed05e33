// Command journal keeps the life of a bath in a file and tells how it stands:
// what went in, what the pH should be now, what the bath can still take, and
// what to do next.
//
//	journal -file tub.jsonl -mix "500 g of tetrasodium EDTA in 20 L of moderately hard tap water at 20 °C"
//	journal -file tub.jsonl -add "83 g of citric acid" -at "yesterday 18:00"
//	journal -file tub.jsonl -dip "30 g of lepidocrocite" -note "bench vise"
//	journal -file tub.jsonl -read 9
//	journal -file tub.jsonl -event '{"kind":"watered","volume":"1 gal"}'
//	journal -file tub.jsonl
//
// An event without a time happens now. Flags of events may be given again and happen
// in their order. The first event makes the file. Without -file it
// plays three days of the tool library's tub and writes nothing.
package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/journal"
	"example.com/chelation/tables"
)

func main() { cli.Main("journal", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("journal", "keeps the life of a bath and tells how it stands.", out,
		`journal -dip "10 g of goethite" -note "hand planes"`, `journal -add "2 tbsp of washing soda" -at "2026-03-05 10:00"`, "journal -read 8")
	file := f.String("file", "", "the journal, JSON lines; without it the demo is played")
	acid := f.String("acid", "citric acid, anhydrous", "at hand to lower the pH")
	base := f.String("base", "washing soda", "at hand to raise it")
	oxide := f.String("oxide", "lepidocrocite", "what the rust is made of")
	repair := f.Bool("repair", false, "write what is sound of a damaged file beside it, as its name with .repaired")
	seen := f.String("seen", "", `what is seen, such as "red-brown, mud": weighed with what is computed`)
	from := f.String("learn", "", "what the journals of these `files` teach together of the -bag; nothing is written")
	pH := f.Float64("ph", 7, "at which the bath is meant to work")
	more := f.Bool("more", false, "tell all events, not only the last")
	var said saying
	said.flags(f)
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	if *repair {
		return mend(t, *file, out)
	}
	if *from != "" {
		if err := cli.Apart(f, "learn", "file", "mix", "add", "dip", "read", "strike", "event", "note", "at", "seen"); err != nil {
			return err
		}
		return learn(t, cli.List(*from), said.bag, format, out)
	}
	a := cli.Flag(in, "acid", *acid, t.Reagent)
	alkali := cli.Flag(in, "base", *base, t.Reagent)
	o := cli.Flag(in, "oxide", *oxide, func(s string) (bath.Oxide, error) { return bath.FindOxide(t, s) })
	if in.Err != nil {
		return in.Err
	}
	events, err := said.events(t, *oxide, time.Now())
	if err != nil {
		return err
	}
	switch {
	case format.CSV && *seen != "":
		return cli.Usagef("-seen changes nothing beside -csv, which is the life alone")
	case *file == "" && slices.ContainsFunc(events, func(e journal.Event) bool { return e.Kind == journal.Mixed }):
		return cli.Usagef("-mix: want -file with it, a file to keep the bath in; the one of the demo is mixed already")
	}
	life, events, write, err := live(t, *file, events, diagnostics)
	if err != nil {
		return err
	}
	var x answer
	if x.Report, err = life.Report(o, *pH, a, alkali); err != nil {
		return err
	}
	if *seen != "" {
		what := cli.Flag(in, "seen", *seen, func(s string) (bath.Seen, error) { return x.Diagnosis.Seen(t, cli.List(s)...) })
		x.Seen = &what
	}
	if in.Err != nil {
		return in.Err
	}
	if err := write(); err != nil { // nothing that was asked failed
		return err
	}
	switch {
	case format.JSON:
		return cli.JSON(out, x)
	case format.CSV:
		return lines(t, events).CSV(out)
	}
	for _, s := range said.said {
		format.Given = append(format.Given, s[1])
	}
	for _, e := range events {
		format.Given = append(format.Given, e.Measure, filled(e))
	}
	w := &cli.Pen{Out: format.Text(out)}
	tell(w, x)
	table := lines(t, events)
	if older := len(table.Rows) - lastEvents; older > 0 && !*more {
		table.Title += fmt.Sprintf(", the last %d events of %d (-more tells all)", lastEvents, len(table.Rows))
		table.Rows = table.Rows[older:]
	}
	w.Table(table)
	return w.Err
}

// filled is the measure that water was told in, where its volume shows that: litres are
// never whole quarts.
func filled(e journal.Event) string {
	if quarts := e.VolumeLitres / float64(measure.Gallon/measure.Litre) * 4; quarts > 0.5 && math.Abs(quarts-math.Round(quarts)) < 1e-6 {
		return "1 gal"
	}
	return ""
}

// lastEvents is how many a person is shown who does not ask for more.
const lastEvents = 12

// answer is the report, and what is seen.
type answer struct {
	*journal.Report
	Seen *bath.Seen `json:"seen,omitempty"`
}

// mend writes a sound copy of a damaged journal and tells what is left out.
func mend(t *tables.Tables, file string, out io.Writer) error {
	if file == "" {
		return cli.Usagef("-repair: want the -file to repair")
	}
	to := file + ".repaired"
	left, err := journal.Repair(t, file, to)
	if err != nil {
		return cli.Usagef("-repair: %w", err)
	}
	for _, damage := range left {
		if _, err := fmt.Fprintf(out, "left out or in doubt: %v\n", damage); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(out, "What is sound is in %s; the old file is as it was.\n", to)
	return err
}

// live returns the whole life in the file with the events after it, or the demo, and
// what writes them: all of the events make sense, or none is written.
func live(t *tables.Tables, file string, more []journal.Event, diagnostics io.Writer) (*journal.Life, []journal.Event, func() error, error) {
	life, err := journal.Replay(t, demo()...)
	if err != nil {
		return nil, nil, nil, err
	}
	before, write := demo(), func() error { return nil }
	if file != "" {
		j, err := journal.Open(t, file)
		first := errors.Is(err, fs.ErrNotExist) && len(more) > 0
		switch {
		case errors.Is(err, fs.ErrNotExist) && !first:
			return nil, nil, nil, cli.Usagef("-file: %w", err)
		case err != nil && !first:
			return nil, nil, nil, err
		}
		if before, life = nil, nil; first {
			life, err = journal.Replay(t)
		} else {
			before, life = j.Events(), j.Life()
			if torn := j.Torn(); len(torn) > 0 {
				fmt.Fprintf(diagnostics, "journal: the last line of %s is torn and was left out; note that event again: %s\n", file, bytes.TrimSpace(torn))
			}
		}
		write = func() error {
			if first {
				if j, err = journal.Create(t, file); err != nil {
					return cli.Usagef("-file: %w", err)
				}
			}
			return j.Append(more...)
		}
	}
	for _, e := range more {
		err := life.Try(e)
		if errors.Is(err, journal.ErrDoubtful) {
			err = cli.Usagef("%w; if it is, say it again with -sure", err)
		}
		if err != nil {
			return nil, nil, nil, err
		}
	}
	return life, slices.Concat(before, more), write, nil
}

// demo is invented.
func demo() []journal.Event {
	monday := time.Date(2026, time.March, 2, 18, 0, 0, 0, time.UTC)
	temperature, read := 20.0, 9.0
	return []journal.Event{
		{At: monday, Kind: journal.Mixed, VolumeLitres: 20, Water: "moderately hard tap water", TemperatureC: &temperature, Reagent: "tetrasodium EDTA tetrahydrate", MassGrams: 500},
		{At: monday.Add(10 * time.Minute), Kind: journal.Added, Reagent: "citric acid", MassGrams: 83},
		{At: monday.Add(16 * time.Hour), Kind: journal.Dipped, Oxide: "lepidocrocite", RustGrams: 24, Note: "bench vise, weighed before and after"},
		{At: monday.Add(17 * time.Hour), Kind: journal.DragOut, VolumeLitres: 0.3},
		{At: monday.Add(40 * time.Hour), Kind: journal.Dipped, Oxide: "lepidocrocite", AreaCM2: 1500, RustGramsPerM2: 87, Note: "hand planes and chisels"},
		{At: monday.Add(48 * time.Hour), Kind: journal.Evaporated, VolumeLitres: 0.5},
		{At: monday.Add(49 * time.Hour), Kind: journal.Reading, PH: &read, ResolutionPH: 1},
	}
}

func lines(t *tables.Tables, events []journal.Event) *cli.Table {
	table := &cli.Table{Title: "Life of the bath", Columns: []string{"at", "event", "what", "ph_computed"}}
	life, err := journal.Replay(t)
	for _, e := range events {
		pH := any("-")
		if err == nil && life.Apply(e) == nil {
			if st, err := life.Bath().State(); err == nil {
				pH = st.PH
			}
		}
		table.Add(e.At.Format("2006-01-02 15:04"), string(e.Kind), what(e), pH)
	}
	return table
}

func what(e journal.Event) string {
	var parts []string
	if e.VolumeLitres > 0 {
		volume := measure.FormatLitres(e.VolumeLitres)
		if e.Kind == journal.Blended {
			volume += fmt.Sprintf(" of a bath with %d events", len(e.Bath))
		}
		parts = append(parts, volume)
	}
	if e.Reagent != "" {
		amount := measure.FormatGrams(e.MassGrams)
		if e.Measure != "" {
			amount += " (" + e.Measure + ")"
		}
		parts = append(parts, fmt.Sprintf("%s of %s", amount, e.Reagent))
	}
	if rust := e.Rust(); rust > 0 {
		parts = append(parts, fmt.Sprintf("%s of rust (%s)", measure.FormatMass(rust), e.Oxide))
	}
	if e.SteelGrams > 0 {
		parts = append(parts, fmt.Sprintf("%s of steel", measure.FormatGrams(e.SteelGrams)))
	}
	if e.Cover != "" {
		parts = append(parts, string(e.Cover))
	}
	if e.Light != "" {
		parts = append(parts, string(e.Light))
	}
	if e.BareSteelCM2 > 0 {
		parts = append(parts, fmt.Sprintf("%s of bare steel", measure.FormatArea(unit.Area(e.BareSteelCM2/1e4))))
	}
	if e.PH != nil {
		parts = append(parts, fmt.Sprintf("pH %.4g ± %g", *e.PH, e.ResolutionPH))
	}
	if e.Note != "" {
		parts = append(parts, e.Note)
	}
	return strings.Join(parts, ", ")
}

// moles writes an amount in mol, nothing where no scale would find it.
func moles(n float64) string {
	const traces = 1e-9
	if n < traces {
		return "0"
	}
	return fmt.Sprintf("%.3g", n)
}

func tell(w *cli.Pen, r answer) {
	c := r.Capacities
	w.Line("Next: %s\n\n%s of bath; pH %.1f computed; %s of rust so far", r.Diagnosis.Text, measure.FormatLitres(r.VolumeLitres), r.PH, measure.FormatGrams(r.Tally.RustGrams))
	if c.Oxide != "" { // of a bath that there are figures of
		w.Line("  free chelant could take %s more of rust (%s); at a held pH %.1f equilibrium allows %s; left alone %s",
			measure.FormatGrams(c.Chelant.RustGrams), c.Oxide, c.PH, measure.FormatGrams(c.Equilibrium.RustGrams), measure.FormatGrams(c.Proton.RustGrams))
	}
	w.Line("  iron: %s mol as iron(III), %s mol as iron(II)", moles(r.Redox.FerricMoles), moles(r.Redox.FerrousMoles))
	for _, n := range r.Notes {
		w.Line("  %s", n)
	}
	if r.Seen != nil {
		for _, sign := range r.Seen.Signs {
			w.Line("\nSeen: %s. %s\n  %s", sign.ID, sign.Means, sign.Tell)
		}
		for _, x := range r.Seen.Causes {
			w.Line("  %3.0f %% %s", 100*x.Share, x.Cause)
		}
	}
	w.Line("")
}
