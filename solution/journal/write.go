package journal

import (
	"bytes"
	"cmp"
	"encoding/json"
	"strings"
	"time"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

const dateTime = "2006-01-02 15:04"

// Dates are the ways in which [ParseEvent] takes a date, for help texts.
const Dates = `"2026-01-05 10:00", "2026-01-05" (noon), "today 9:30", "yesterday 18:00", "9:30", or by RFC 3339 "2026-01-05T10:00:00Z"`

// parseTime reads one of [Dates], in the zone of now, to the second.
func parseTime(text string, now time.Time) (time.Time, error) {
	s := strings.ToUpper(strings.Join(strings.Fields(text), " "))
	for word, days := range map[string]int{"TODAY": 0, "YESTERDAY": -1} {
		if rest, ok := strings.CutPrefix(s, word); ok {
			s = now.AddDate(0, 0, days).Format(time.DateOnly) + rest
		}
	}
	if _, err := time.Parse("15:04", s); err == nil {
		s = now.Format(time.DateOnly) + " " + s
	} else if _, err := time.Parse(time.DateOnly, s); err == nil {
		s += " 12:00"
	}
	for _, layout := range []string{time.RFC3339, time.DateTime, dateTime, "2006-01-02T15:04:05", "2006-01-02T15:04"} {
		if at, err := time.ParseInLocation(layout, s, now.Location()); err == nil {
			return at.Truncate(time.Second), nil
		}
	}
	return time.Time{}, &chem.InputError{Field: "at", Value: chem.Echo(text), Want: "a date such as " + Dates}
}

// shopKeys take a measure as people write it, for the keys of an event with a unit.
var shopKeys = map[string]struct {
	key  string
	read func(string) (float64, error)
}{
	"volume":     {"volume_l", in(measure.ParseVolume, measure.Litre)},
	"rust":       {"rust_g", in(measure.ParseMass, measure.Gram)},
	"steel":      {"steel_g", in(measure.ParseMass, measure.Gram)},
	"area":       {"area_cm2", in(measure.ParseArea, measure.SquareCentimetre)},
	"surface":    {"surface_cm2", in(measure.ParseArea, measure.SquareCentimetre)},
	"bare_steel": {"bare_steel_cm2", in(measure.ParseArea, measure.SquareCentimetre)},
	"temperature": {"temperature_c", func(s string) (float64, error) {
		x, err := measure.ParseTemperature(s)
		return float64(x - chem.Celsius(0)), err
	}},
}

func in[Q ~float64](parse func(string) (Q, error), of Q) func(string) (float64, error) {
	return func(s string) (float64, error) {
		x, err := parse(s)
		return float64(x / of), err
	}
}

// ParseEvent reads an event as people write it: JSON with the keys of [Event], or volume, rust,
// steel, area, surface, bare_steel, temperature and mass with a measure and its unit ("1 gal",
// "2 tbsp"), and at as one of [Dates], now where there is none. A key that is unknown or given
// twice is refused. Spoons of a reagent weigh what is typical of it, and stay in Measure.
func ParseEvent(t *tables.Tables, text string, now time.Time) (Event, error) {
	raw, err := plain(t, []byte(text), now)
	if err != nil {
		return Event{}, err
	}
	var e Event
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&e); err != nil {
		return Event{}, &chem.InputError{Field: "event", Value: "not understood", Want: "the keys of an event of its kind", Err: err}
	}
	return e, nil
}

// plain reads one object with shop measures and writes it with those of an event.
func plain(t *tables.Tables, text []byte, now time.Time) (json.RawMessage, error) {
	if text = bytes.TrimSpace(text); !json.Valid(text) || text[0] != '{' {
		return nil, &chem.InputError{Field: "event", Value: chem.Echo(string(text)), Want: "one JSON object, as in {\"kind\":\"aired\"}"}
	}
	d := json.NewDecoder(bytes.NewReader(text))
	_, _ = d.Token() // the brace
	fields, mass := map[string]any{}, ""
	for d.More() {
		name, err := d.Token()
		var value json.RawMessage
		if err := cmp.Or(err, d.Decode(&value)); err != nil {
			return nil, err // not of what is valid
		}
		key, given, said := name.(string), any(value), ""
		if json.Unmarshal(value, &said) != nil {
			said = string(value) // a bare number lacks its unit
		}
		shop, measured := shopKeys[key]
		switch {
		case measured:
			key = shop.key
			given, err = shop.read(said)
		case key == "mass":
			key, mass = "mass_g", said
		case key == "at":
			given, err = parseTime(said, now)
		case key == "as" || key == "bath":
			given, err = plainList(t, value, now)
		}
		if err != nil {
			return nil, err
		}
		if _, twice := fields[key]; twice {
			return nil, &chem.InputError{Field: key, Value: "given twice", Want: "it once"}
		}
		fields[key] = given
	}
	if mass != "" {
		if err := weigh(t, fields, mass); err != nil {
			return nil, err
		}
	}
	if _, said := fields["at"]; !said {
		fields["at"] = now.Truncate(time.Second)
	}
	return json.Marshal(fields)
}

// plainList is plain for a list of events.
func plainList(t *tables.Tables, value json.RawMessage, now time.Time) ([]json.RawMessage, error) {
	var list []json.RawMessage
	if err := json.Unmarshal(value, &list); err != nil {
		return nil, &chem.InputError{Field: "event", Value: chem.Echo(string(value)), Want: "a list of events", Err: err}
	}
	for i, x := range list {
		var err error
		if list[i], err = plain(t, x, now); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// weigh puts the mass of an amount of the event's reagent in.
func weigh(t *tables.Tables, fields map[string]any, amount string) error {
	name := ""
	if raw, ok := fields["reagent"].(json.RawMessage); ok {
		_ = json.Unmarshal(raw, &name)
	}
	r, err := t.Reagent(name)
	a, err2 := measure.ParseAmount(amount)
	m, err3 := a.Weigh(r.Packing())
	if err = cmp.Or(err, err2, err3); err != nil {
		return err
	}
	fields["mass_g"] = m.TypicalGrams
	if a.VolumeLitres > 0 {
		fields["measure"] = amount
	}
	return nil
}
