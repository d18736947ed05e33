package journal_test

import (
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
	report, err := j.Life().Report(citric, rust, 7)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d events, pH %.1f, %s\n", report.Tally.Events, report.PH, report.Diagnosis.Cause)
	// Output:
	// 3 events, pH 9.5, drifted
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
