package journal_test

import (
	"bytes"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"time"

	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/journal"
	"example.com/chelation/tables"
)

// The life of a tub in a file: mixed, adjusted, used, and asked what next.
func Example() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	folder, err := os.MkdirTemp("", "journal")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(folder)
	j, err := journal.Create(t, filepath.Join(folder, "tub.jsonl"))
	if err != nil {
		log.Fatal(err)
	}
	monday, temperature := time.Date(2026, time.March, 2, 18, 0, 0, 0, time.UTC), 20.0
	for _, e := range []journal.Event{
		{At: monday, Kind: journal.Mixed, VolumeLitres: 20, Water: "moderately hard tap water", TemperatureC: &temperature, Reagent: "tetrasodium EDTA", MassGrams: 500},
		{At: monday.Add(time.Hour), Kind: journal.Added, Reagent: "citric acid", MassGrams: 83},
		{At: monday.Add(20 * time.Hour), Kind: journal.Dipped, Oxide: "lepidocrocite", RustGrams: 45},
	} {
		if err := j.Append(e); err != nil {
			log.Fatal(err)
		}
	}
	citric, _ := t.Reagent("citric acid")
	rust, _ := bath.FindOxide(t, "lepidocrocite")
	report, err := j.Life().Report(rust, 7, citric)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d events, pH %.1f, %s\n", report.Tally.Events, report.PH, report.Diagnosis.Cause)
	// Output:
	// 3 events, pH 9.4, drifted
}

func ExampleReplay() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	at, temperature := time.Date(2026, time.March, 2, 18, 0, 0, 0, time.UTC), 20.0
	life, err := journal.Replay(t,
		journal.Event{At: at, Kind: journal.Mixed, VolumeLitres: 20, Water: "soft tap water", TemperatureC: &temperature, Reagent: "disodium EDTA", MassGrams: 400},
		journal.Event{At: at.Add(48 * time.Hour), Kind: journal.Evaporated, VolumeLitres: 1},
	)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f L\n", life.Bath().Litres())
	// Output:
	// 19.2 L
}

// A life can be asked without a file, and refuses what cannot have happened.
func ExampleLife_Apply() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	at, temperature := time.Date(2026, time.March, 2, 18, 0, 0, 0, time.UTC), 20.0
	life, err := journal.Replay(t, journal.Event{At: at, Kind: journal.Mixed, VolumeLitres: 20, Water: "soft tap water",
		TemperatureC: &temperature, Reagent: "disodium EDTA", MassGrams: 400})
	if err != nil {
		log.Fatal(err)
	}
	for _, e := range []journal.Event{
		{At: at.Add(time.Hour), Kind: journal.Dipped, Oxide: "goethite", AreaCM2: 1500, RustGramsPerM2: 80},
		{At: at.Add(2 * time.Hour), Kind: journal.Added, Reagent: "lye"},
		{At: at.Add(2 * time.Hour), Kind: journal.Warmed, TemperatureC: new(float64), Note: "left in the frost", VolumeLitres: 3},
		{At: at, Kind: journal.Struck, Number: 7, Note: "counted twice"},
	} {
		if err := life.Apply(e); err != nil {
			fmt.Println(err)
		}
	}
	tally := life.Tally()
	fmt.Printf("%d events, %.0f g of rust\n", tally.Events, tally.RustGrams)
	// Output:
	// added: mass_g is missing: want it, for an event of this kind
	// warmed: volume_l is given: want nothing, for an event of this kind
	// struck: number is 7: want that of an earlier event, 1 to 2
	// 2 events, 12 g of rust
}

// The machine stopped in the middle of a line: the rest of the journal counts, and
// the event is noted again.
func ExampleOpen() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	folder, err := os.MkdirTemp("", "journal")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(folder)
	path := filepath.Join(folder, "tub.jsonl")
	j, err := journal.Create(t, path)
	if err != nil {
		log.Fatal(err)
	}
	at, temperature := time.Date(2026, time.March, 2, 18, 0, 0, 0, time.UTC), 20.0
	for _, e := range []journal.Event{
		{At: at, Kind: journal.Mixed, VolumeLitres: 20, Water: "soft tap water", TemperatureC: &temperature, Reagent: "disodium EDTA", MassGrams: 400},
		{At: at.Add(time.Hour), Kind: journal.Aired},
	} {
		if err := j.Append(e); err != nil {
			log.Fatal(err)
		}
	}
	written, err := os.ReadFile(path)
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile(path, written[:len(written)-10], 0o600); err != nil {
		log.Fatal(err)
	}
	j, err = journal.Open(t, path)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(j.Events()), "event, torn:", len(j.Torn()) > 0)
	fmt.Println(j.Append(journal.Event{At: at.Add(2 * time.Hour), Kind: journal.Aired}), len(j.Events()))
	// Output:
	// 1 event, torn: true
	// <nil> 2
}

// What people say in a shed, and what the journal makes of it.
func ExampleParseEvent() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	now := time.Date(2026, time.March, 3, 9, 0, 0, 0, time.UTC)
	for _, text := range []string{
		`{"at":"yesterday 18:00","kind":"added","reagent":"washing soda","mass":"2 tbsp"}`,
		`{"kind":"watered","volume":"1 gal"}`,
		`{"kind":"watered","volume":"1 gal","volume":"2 gal"}`,
	} {
		e, err := journal.ParseEvent(t, text, now)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s %s %.1f g %.2f L\n", e.At.Format(time.DateTime), e.Kind, e.MassGrams, e.VolumeLitres)
	}
	// Output:
	// 2026-03-02 18:00:00 added 29.6 g 0.00 L
	// 2026-03-03 09:00:00 watered 0.0 g 3.79 L
	// volume_l is given twice: want it once
}

// Two baths from one bag both wanted more acid than its label lets one expect: the bag holds
// more salt, or more base, or the acid is weaker. The next bath begins with that. The
// readings are invented.
func ExampleLearn() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	at, temperature, read := time.Date(2026, time.March, 2, 18, 0, 0, 0, time.UTC), 20.0, 8.5
	bath, err := journal.Replay(t,
		journal.Event{At: at, Kind: journal.Mixed, VolumeLitres: 20, Water: "soft tap water", TemperatureC: &temperature, Reagent: "trisodium EDTA", MassGrams: 500, Bag: "blue"},
		journal.Event{At: at.Add(time.Hour), Kind: journal.Added, Reagent: "citric acid", MassGrams: 25},
		journal.Event{At: at.Add(2 * time.Hour), Kind: journal.Reading, PH: &read, ResolutionPH: 0.5},
	)
	if err != nil {
		log.Fatal(err)
	}
	lesson, err := journal.Learn("blue", bath, bath)
	if err != nil {
		log.Fatal(err)
	}
	label, err := t.Reagent("trisodium EDTA")
	if err != nil {
		log.Fatal(err)
	}
	salt := lesson.Bag[0].Salt
	fmt.Println(lesson.Baths, "baths:", salt.Name, salt.ExcessBase.Typical > label.ExcessBase.Typical, salt.ExcessBase.High-salt.ExcessBase.Low < label.ExcessBase.High-label.ExcessBase.Low)
	// Output:
	// 2 baths: Trisodium EDTA true true
}

// Somebody has changed a figure by hand: the line no longer fits its check sum, and what is
// sound is written as a new file.
func ExampleRepair() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	folder, err := os.MkdirTemp("", "journal")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(folder)
	path := filepath.Join(folder, "tub.jsonl")
	j, err := journal.Create(t, path)
	if err != nil {
		log.Fatal(err)
	}
	at, temperature := time.Date(2026, time.March, 2, 18, 0, 0, 0, time.UTC), 20.0
	if err := j.Append(
		journal.Event{At: at, Kind: journal.Mixed, VolumeLitres: 20, Water: "soft tap water", TemperatureC: &temperature, Reagent: "disodium EDTA", MassGrams: 400},
		journal.Event{At: at.Add(time.Hour), Kind: journal.Added, Reagent: "citric acid", MassGrams: 83},
		journal.Event{At: at.Add(2 * time.Hour), Kind: journal.Aired},
	); err != nil {
		log.Fatal(err)
	}
	written, err := os.ReadFile(path)
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile(path, bytes.Replace(written, []byte(":83"), []byte(":38"), 1), 0o600); err != nil {
		log.Fatal(err)
	}
	left, err := journal.Repair(t, path, path+".repaired")
	if err != nil {
		log.Fatal(err)
	}
	for _, damage := range left {
		fmt.Println(damage)
	}
	j, err = journal.Open(t, path+".repaired")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(j.Events()), "events are sound")
	// Output:
	// journal is damaged in line 2: want a check sum that fits this line and the one above: one of the two was changed
	// 2 events are sound
}
