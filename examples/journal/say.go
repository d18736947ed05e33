package main

import (
	"encoding/json"
	"flag"
	"maps"
	"regexp"
	"strings"
	"time"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/journal"
	"example.com/chelation/tables"
)

// saying is what the command line says has happened, oldest first, as flag and text.
type saying struct {
	said          [][2]string
	at, note, bag string
	sure          bool
}

func (s *saying) flags(f *flag.FlagSet) {
	for _, x := range [][2]string{
		{"mix", "make the bath: `what`, as \"500 g of tetrasodium EDTA in 20 L\", of moderately hard tap water at 20 °C where no other is said"},
		{"add", "put in an `amount`, as \"83 g of citric acid\" or \"2 tbsp of washing soda\""},
		{"dip", "the `rust` that dissolved, as \"30 g\", or \"30 g of goethite\" for another than -oxide"},
		{"read", "the `pH` that was read: 8 is a strip of whole units, 8.2 a meter"},
		{"strike", "strike out the event of that `number`, with -note for why"},
		{"event", "anything else, as `JSON`. After kind, and at for another time than now, it has\n" +
			"mixed: volume, water, temperature, reagent, mass\n" +
			"added: reagent, mass, bag\n" +
			"watered: volume, water; evaporated, drag-out: volume\n" +
			"dipped: oxide, rust or area with rust_g_per_m2, hours, part_gone (0 to 1), rust_kind; steel with bare_steel of a coupon\n" +
			"weighed: reagent, volume (of level spoons), mass, bag\n" +
			"reading: ph, ph_resolution\n" +
			"stood: cover, light, surface, bare_steel\n" +
			"warmed: temperature; filtered, aired: nothing more; noted: note\n" +
			"struck: number of an event that never happened; amended: number, as (a list of the one event that did); both with a note\n" +
			"blended: volume_l, bath\n" +
			"and a note if you like. Measures have their unit, as \"1 gal\", or are numbers: volume_l, mass_g, rust_g,\n" +
			"steel_g, area_cm2, temperature_c"},
	} {
		f.Func(x[0], x[1], func(text string) error {
			s.said = append(s.said, [2]string{x[0], text})
			return nil
		})
	}
	f.StringVar(&s.at, "at", "", "`when` it happened: "+journal.Dates)
	f.StringVar(&s.note, "note", "", "what else there is to say of it, or by itself")
	f.StringVar(&s.bag, "bag", "", "the `name` of the bag that -mix or -add takes from")
	f.BoolVar(&s.sure, "sure", false, "it happened, however hard to believe")
}

var (
	mixing = regexp.MustCompile(`^(?P<mass>.+?) of (?P<reagent>.+) in (?P<volume>.+?)(?: of (?P<water>.+?))?(?: at (?P<temperature>.+))?$`)
	adding = regexp.MustCompile(`^(?P<mass>.+?) of (?P<reagent>.+)$`)
	rust   = regexp.MustCompile(`^(?P<rust>.+?)(?: of (?P<oxide>.+))?$`)
)

// events reads all that was said.
func (s *saying) events(t *tables.Tables, oxide string, now time.Time) ([]journal.Event, error) {
	said := s.said
	if len(said) == 0 && s.note != "" {
		said = [][2]string{{"note", s.note}}
	}
	if len(said) == 0 && (s.at != "" || s.sure || s.bag != "") {
		return nil, cli.Usagef("-at, -bag and -sure are said of an event: want one with them, such as -read 8")
	}
	var out []journal.Event
	for _, x := range said {
		e, err := s.event(t, x[0], x[1], oxide, now)
		if err != nil {
			return nil, cli.Usagef("-%s %s: %w", x[0], x[1], err)
		}
		out = append(out, e)
	}
	return out, nil
}

func (s *saying) event(t *tables.Tables, how, text, oxide string, now time.Time) (journal.Event, error) {
	fields := map[string]any{}
	if s.at != "" {
		fields["at"] = s.at
	}
	if s.note != "" {
		fields["note"] = s.note
	}
	if s.sure {
		fields["sure"] = true
	}
	if s.bag != "" && (how == "mix" || how == "add") {
		fields["bag"] = s.bag
	}
	words := func(kind journal.Kind, form *regexp.Regexp, want error) error {
		found := form.FindStringSubmatch(text)
		if found == nil {
			return want
		}
		fields["kind"] = kind
		for i, name := range form.SubexpNames() {
			if i > 0 && found[i] != "" {
				fields[name] = found[i]
			}
		}
		return nil
	}
	var err error
	switch how {
	case "event":
		if !strings.HasPrefix(strings.TrimSpace(text), "{") || len(fields) == 0 {
			return journal.ParseEvent(t, text, now)
		}
		more, err := json.Marshal(fields)
		if err != nil {
			return journal.Event{}, err
		}
		rest := strings.TrimSpace(text)[1:]
		if strings.TrimSpace(rest) != "}" {
			rest = "," + rest
		}
		return journal.ParseEvent(t, string(more[:len(more)-1])+rest, now)
	case "mix":
		fields["water"], fields["temperature"] = "moderately hard tap water", "20 °C"
		err = words(journal.Mixed, mixing, cli.Usagef(`want what happened as "500 g of tetrasodium EDTA in 20 L of soft tap water at 20 °C"`))
	case "add":
		err = words(journal.Added, adding, cli.Usagef(`want what happened as "83 g of citric acid"`))
	case "dip":
		fields["oxide"] = oxide
		err = words(journal.Dipped, rust, cli.Usagef(`want what happened as "30 g of goethite"`))
		if name, ok := fields["oxide"].(string); ok && strings.EqualFold(strings.TrimSpace(name), "rust") {
			fields["oxide"] = oxide // rust, and no more is known
		}
	case "read":
		_, decimals, _ := strings.Cut(text, ".")
		resolution := 1.0
		if decimals == "5" {
			resolution = 0.5
		} else if decimals != "" {
			resolution = 0.1
		}
		maps.Copy(fields, map[string]any{"kind": journal.Reading, "ph": json.Number(text), "ph_resolution": resolution})
	case "strike":
		maps.Copy(fields, map[string]any{"kind": journal.Struck, "number": json.Number(text)})
	case "note":
		fields["kind"] = journal.Noted
	}
	if err != nil {
		return journal.Event{}, err
	}
	line, err := json.Marshal(fields)
	if err != nil {
		return journal.Event{}, cli.Usagef("want a number")
	}
	return journal.ParseEvent(t, string(line), now)
}
