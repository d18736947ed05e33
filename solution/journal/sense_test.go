package journal

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// slips are typing errors after [life], invented, each with a word of the answer.
func slips() map[string]Event {
	return map[string]Event{
		"dissolve":     {Kind: Added, Reagent: "lye", MassGrams: 20e3},
		"meters":       {Kind: Reading, PH: number(0), ResolutionPH: 1},
		"strips":       {Kind: Reading, PH: number(14), ResolutionPH: 1},
		"free chelant": {Kind: Dipped, Oxide: "goethite", RustGrams: 3000},
		"steel_g":      {Kind: Dipped, SteelGrams: 5000},
		"area_cm2":     {Kind: Dipped, Oxide: "goethite", AreaCM2: 1e6, RustGramsPerM2: 80},
		"began with":   {Kind: Watered, VolumeLitres: 200},
	}
}

// What is more likely a slip is asked about and not written; whoever is sure says so,
// and a bath that cannot be is refused all the same.
func TestSlipsAreAskedAbout(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	j := write(t, path, life())
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	for word, e := range slips() {
		e.At = start.Add(20 * time.Hour)
		err := j.Append(e)
		require.ErrorIs(t, err, ErrDoubtful, word)
		require.ErrorContains(t, err, word)
	}
	require.ErrorIs(t, j.Append(Event{At: start, Kind: Amended, Number: 2, Note: "mistyped", As: []Event{
		{At: start, Kind: Added, Reagent: "citric acid", MassGrams: 33e3}}}), ErrDoubtful)
	for _, e := range []Event{
		{Kind: Reading, PH: number(20), ResolutionPH: 1},
		{Kind: Evaporated, VolumeLitres: 100},
		{Kind: Added, Reagent: "lye", MassGrams: 100e3},
		{Kind: Added, Reagent: "lye", MassGrams: 100e3, Sure: true},
	} {
		e.At = start.Add(20 * time.Hour)
		err := j.Append(e)
		require.ErrorIs(t, err, chem.ErrInput)
		require.NotErrorIs(t, err, ErrDoubtful)
	}
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(before), string(after))
	for _, word := range []string{"meters", "began with", "free chelant"} {
		e := slips()[word]
		e.At, e.Sure = start.Add(20*time.Hour), true
		require.NoError(t, j.Append(e), word)
	}
	// More acid than the first amount is no slip where the first is what it stands for.
	require.NoError(t, j.Append(Event{At: start, Kind: Amended, Number: 3, Note: "weighed again", As: []Event{
		{At: start, Kind: Dipped, Oxide: "lepidocrocite", RustGrams: 80}}}))
}

// written is the file of some events, whether or not they can have happened.
func written(t *testing.T, events []Event) (data []byte) {
	var all content
	for _, e := range events {
		line, err := all.encode(e)
		require.NoError(t, err)
		data = append(data, line...)
	}
	return data
}

// A file that an earlier program wrote with slips in it is read, reported on and can
// be put right.
func TestAFileWithSlipsIsReportedOn(t *testing.T) {
	std := demo.Tables(t)
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	events := append(life()[:4:4],
		Event{At: start.AddDate(73, 0, 0), Kind: Added, Reagent: "lye", MassGrams: 100e3},
		Event{At: start.Add(18 * time.Hour), Kind: Evaporated, VolumeLitres: 100},
		Event{At: start.Add(19 * time.Hour), Kind: Reading, PH: number(14), ResolutionPH: 1})
	require.NoError(t, os.WriteFile(path, written(t, events), 0o600))
	j, err := Open(std, path)
	require.NoError(t, err)
	o, err := bath.FindOxide(std, "lepidocrocite")
	require.NoError(t, err)
	r, err := j.Life().Report(o, 7)
	require.NoError(t, err)
	require.InDelta(t, 20, r.VolumeLitres, 1)
	require.Contains(t, r.Notes[0], "Event 5 cannot have happened")
	require.Contains(t, r.Notes[1], "Event 6 cannot have happened")
	require.Contains(t, r.Notes[2], "Event 5 is dated 2099-03-02 18:00, 73 years after")
	require.Contains(t, r.Notes[3], "Event 6 is dated 2026-03-03 12:00, 73 years before")
	require.Contains(t, r.Notes[4], "read again")
	require.NoError(t, j.Append(Event{At: start.Add(20 * time.Hour), Kind: Struck, Number: 5, Note: "mistyped"},
		Event{At: start.Add(20 * time.Hour), Kind: Amended, Number: 6, Note: "mistyped", As: []Event{{At: events[5].At, Kind: Evaporated, VolumeLitres: 0.1}}},
		Event{At: start.Add(20 * time.Hour), Kind: Struck, Number: 7, Note: "no strip shows that"}))
	j, err = Open(std, path)
	require.NoError(t, err)
	r, err = j.Life().Report(o, 7)
	require.NoError(t, err)
	require.Empty(t, r.Notes)
	amended, err := Replay(std, append(events[:4:4], Event{At: start, Kind: Evaporated, VolumeLitres: 0.1})...)
	require.NoError(t, err)
	require.InDelta(t, amended.Bath().Litres(), r.VolumeLitres, 1e-12)
}

// Times of day and of the shop's calendar.
func TestDatesAsPeopleWriteThem(t *testing.T) {
	zone := time.FixedZone("", -5*3600)
	now := time.Date(2026, time.March, 1, 12, 30, 45, 678, zone)
	at := func(month time.Month, day, hour, minute int) time.Time {
		return time.Date(2026, month, day, hour, minute, 0, 0, zone)
	}
	for text, want := range map[string]time.Time{
		"2026-01-05": at(1, 5, 12, 0), "2026-01-05 10:00": at(1, 5, 10, 0), "2026-01-05T10:00": at(1, 5, 10, 0),
		"yesterday 18:00": at(2, 28, 18, 0), "Today  9:30": at(3, 1, 9, 30), "yesterday": at(2, 28, 12, 0), "9:30": at(3, 1, 9, 30),
		"2026-01-05T10:00:00.9-05:00": at(1, 5, 10, 0),
	} {
		got, err := parseTime(text, now)
		require.NoError(t, err, text)
		require.True(t, want.Equal(got), "%s is %s", text, got)
	}
	for _, text := range []string{"", "tomorrow 9:00", "2026-02-30", "5.1.2026", "yesterday 25:00"} {
		_, err := parseTime(text, now)
		require.ErrorIs(t, err, chem.ErrInput, text)
	}
}

// A gallon is 3.785411784 L, a tablespoon 14.78676478125 mL (NIST Handbook 44,
// appendix C), and 70 °F are 21.1 °C.
func TestEventsInShopMeasures(t *testing.T) {
	std := demo.Tables(t)
	soda, err := std.Reagent("washing soda")
	require.NoError(t, err)
	for text, want := range map[string]Event{
		`{"kind":"watered","volume":"1 gal"}`:                           {Kind: Watered, VolumeLitres: 3.785411784},
		`{"kind":"added","mass":"2 tbsp","reagent":"washing soda"}`:     {Kind: Added, Reagent: "washing soda", MassGrams: 0.0295735295625 * soda.Packing().Typical, Measure: "2 tbsp"},
		`{"kind":"added","reagent":"washing soda","mass":"1 lb"}`:       {Kind: Added, Reagent: "washing soda", MassGrams: 453.59237},
		`{"kind":"warmed","temperature":"70 °F"}`:                       {Kind: Warmed, TemperatureC: number(190. / 9)},
		`{"kind":"amended","as":[{"kind":"watered","volume":"1 gal"}]}`: {Kind: Amended, As: []Event{{At: start, Kind: Watered, VolumeLitres: 3.785411784}}},
	} {
		want.At = start
		got, err := ParseEvent(std, text, start)
		require.NoError(t, err, text)
		require.InDelta(t, want.MassGrams, got.MassGrams, 1e-9)
		if want.TemperatureC != nil {
			require.InDelta(t, *want.TemperatureC, *got.TemperatureC, 1e-9)
		}
		want.MassGrams, want.TemperatureC = got.MassGrams, got.TemperatureC
		require.Equal(t, want, got)
	}
	for _, text := range []string{
		``, `[]`, `{"kind":"aired"} 1`, `{"kind":"aired"`, `{"kind":"aired","kind":"aired"}`, `{"kind":"watered","volume":"1 gal","volume_l":2}`,
		`{"kind":"watered","volume":1}`, `{"kind":"watered","colour":1}`, `{"kind":"added","mass":"2 tbsp"}`, `{"kind":"aired","at":"soon"}`,
		`{"kind":"added","mass":"2 gal of","reagent":"lye"}`, `{"kind":"amended","as":3}`, `{"kind":"amended","as":[{"volume":"x"}]}`,
	} {
		_, err := ParseEvent(std, text, start)
		require.ErrorIs(t, err, chem.ErrInput, text)
	}
}

// No text of an event makes trouble, and what is taken says itself again.
func FuzzParseEvent(f *testing.F) {
	std := demo.Tables(f)
	for _, text := range []string{`{"kind":"watered","volume":"1 gal"}`, `{"at":"yesterday 18:00","kind":"amended","as":[{}]}`, `{"kind":"added","mass":"2 tbsp","reagent":"lye"}`} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		e, err := ParseEvent(std, text, start)
		if err != nil {
			require.ErrorIs(t, err, chem.ErrInput)
			return
		}
		if e.check() == nil {
			_, err = new(content).encode(e)
			require.NoError(t, err)
		}
	})
}
