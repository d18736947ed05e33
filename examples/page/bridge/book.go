package bridge

import (
	"strconv"
	"strings"
	"time"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/journal"
	"example.com/chelation/solution/rust"
)

// Book is a journal: the whole text, and what it tells.
type Book struct {
	Journal string          `json:"journal"`
	Events  []journal.Event `json:"events"`
	Torn    string          `json:"torn,omitempty"` // what is left of a last line that was cut off
	PH      float64         `json:"ph_computed"`
	Litres  float64         `json:"bath_l"`
}

// Text is a journal as it is kept or as it comes from a file.
type Text struct {
	Journal string `json:"journal"`
}

// Entry is an event in the words of the shop. Kind and what goes with it are those
// of package journal.
type Entry struct {
	Text
	At          time.Time `json:"at"`
	Kind        string    `json:"kind"`
	Note        string    `json:"note,omitempty"`
	Volume      string    `json:"volume,omitempty"`
	Water       string    `json:"water,omitempty"`
	Hardness    string    `json:"hardness,omitempty"`
	Alkalinity  string    `json:"alkalinity,omitempty"`
	Temperature string    `json:"temperature,omitempty"`
	Reagent     string    `json:"reagent,omitempty"`
	Amount      string    `json:"amount,omitempty"`
	PH          string    `json:"ph,omitempty"`
	Strip       string    `json:"strip,omitempty"` // what the pH was read with
	Oxide       string    `json:"oxide,omitempty"`
	RustMass    string    `json:"rust_mass,omitempty"` // weighed, or:
	Rust        string    `json:"rust,omitempty"`      // the kind of a layer,
	Thickness   string    `json:"thickness,omitempty"` // its thickness
	Area        string    `json:"area,omitempty"`      // and how much steel it was on
	SteelMass   string    `json:"steel_mass,omitempty"`
	Cover       string    `json:"cover,omitempty"` // under which the tub stood since the event before
	Light       string    `json:"light,omitempty"`
	BareSteel   string    `json:"bare_steel,omitempty"` // area of clean steel in it meanwhile
}

const (
	usualOxide = "lepidocrocite"
	measuredAs = "measured out as "
)

// Read looks into a journal.
func (b *Bridge) Read(q Text) (*Book, error) {
	j, err := b.open(q.Journal)
	if err != nil {
		return nil, err
	}
	k := &Book{Journal: q.Journal, Events: append([]journal.Event{}, j.Events()...), Torn: strings.TrimSpace(string(j.Torn()))}
	k.Journal = strings.TrimSuffix(k.Journal, string(j.Torn()))
	if tub := j.Life().Bath(); tub != nil {
		st, err := tub.State()
		if err != nil {
			return nil, err
		}
		k.PH, k.Litres = st.PH, tub.Litres()
	}
	return k, nil
}

// Note writes one more event down. An event that the bath does not allow is refused.
func (b *Bridge) Note(q Entry) (*Book, error) {
	j, err := b.open(q.Journal)
	if err != nil {
		return nil, err
	}
	e, err := b.entry(q)
	if err != nil {
		return nil, err
	}
	if before := j.Events(); len(before) > 0 && e.At.Before(before[len(before)-1].At) {
		e.At = before[len(before)-1].At // two tabs, or a clock that was set back: the order is that of the file
	}
	line, err := j.Line(e)
	if err != nil {
		return nil, err
	}
	return b.Read(Text{strings.TrimSuffix(q.Journal, string(j.Torn())) + string(line)})
}

// Mistake is an event of a journal that did not happen, counted from 1.
type Mistake struct {
	Text
	Event int `json:"event"`
}

// Without writes a journal anew with all events but one. A journal only ever grows: the
// old one is kept beside.
func (b *Bridge) Without(q Mistake) (*Book, error) {
	j, err := b.open(q.Journal)
	if err != nil {
		return nil, err
	}
	all := j.Events()
	if q.Event < 2 || q.Event > len(all) {
		return nil, &chem.InputError{Field: "event", Value: strconv.Itoa(q.Event), Want: "one after the mixing, up to " + strconv.Itoa(len(all))}
	}
	text := ""
	for i, e := range all {
		if i == q.Event-1 {
			continue
		}
		if j, err = journal.Read(b.tables, strings.NewReader(text)); err != nil {
			return nil, err
		}
		line, err := j.Line(e)
		if err != nil {
			return nil, err
		}
		text += string(line)
	}
	return b.Read(Text{text})
}

func (b *Bridge) open(text string) (*journal.Journal, error) {
	return b.book.get(text, func() (*journal.Journal, error) { return journal.Read(b.tables, strings.NewReader(text)) })
}

// entry turns the words of the shop into an event.
func (b *Bridge) entry(q Entry) (journal.Event, error) {
	e := journal.Event{At: q.At.Truncate(time.Second), Kind: journal.Kind(q.Kind), Note: q.Note, Water: q.Water, Reagent: q.Reagent}
	if q.At.IsZero() {
		e.At = time.Now().UTC().Truncate(time.Second)
	}
	var in cli.Input
	e.Cover, e.Light = cli.Flag(&in, "cover", q.Cover, bath.ParseCover), cli.Flag(&in, "light", q.Light, bath.ParseLight)
	if q.BareSteel != "" {
		e.BareSteelCM2 = float64(cli.Flag(&in, "bare_steel", q.BareSteel, measure.ParseArea) / measure.SquareCentimetre)
	}
	if q.Volume != "" {
		e.VolumeLitres = float64(cli.Flag(&in, "volume", q.Volume, measure.ParseVolume) / measure.Litre)
	}
	if q.Temperature != "" {
		c := float64(cli.Flag(&in, "temperature", q.Temperature, measure.ParseTemperature) - chem.Celsius(0))
		e.TemperatureC = &c
	}
	if q.Hardness != "" || q.Alkalinity != "" {
		hardness, alkalinity := q.Hardness, q.Alkalinity
		if hardness == "" {
			hardness = alkalinity
		}
		if alkalinity == "" {
			alkalinity = hardness
		}
		e.Water, e.WaterPH = "tested", 7.5
		e.HardnessMgPerLitre = cli.Flag(&in, "hardness", hardness, b.tables.ParseHardness).CaCO3()
		e.AlkalinityMgPerLitre = cli.Flag(&in, "alkalinity", alkalinity, b.tables.ParseAlkalinity).CaCO3()
	}
	if q.Amount != "" {
		r := cli.Flag(&in, "reagent", q.Reagent, b.tables.Reagent)
		amount := cli.Flag(&in, "amount", q.Amount, measure.ParseAmount)
		if in.Err != nil {
			return e, in.Err
		}
		mass, err := amount.Weigh(r.Packing())
		if err != nil {
			return e, err
		}
		e.MassGrams = mass.TypicalGrams
		if amount.VolumeLitres > 0 && q.Note == "" {
			e.Note = measuredAs + q.Amount
		}
	}
	if q.PH != "" {
		pH, err := strconv.ParseFloat(strings.Replace(q.PH, ",", ".", 1), 64)
		if err != nil {
			return e, &chem.InputError{Field: "ph", Value: strconv.Quote(q.PH), Want: "a number such as 8 or 8.4"}
		}
		strip := cli.Flag(&in, "strip", q.Strip, b.tables.Strip)
		if in.Err == nil {
			if _, _, err := strip.Interval(pH); err != nil {
				return e, &chem.InputError{Field: "ph", Value: strconv.Quote(q.PH), Want: "what a " + strip.Name + " shows", Err: err}
			}
		}
		e.PH, e.ResolutionPH = &pH, strip.Step
	}
	if in.Err != nil {
		return e, in.Err
	}
	return e, b.rust(q, &e)
}

// rust adds what came off the parts to an event.
func (b *Bridge) rust(q Entry, e *journal.Event) error {
	var in cli.Input
	gram := func(field, text string) float64 {
		if text == "" {
			return 0
		}
		return float64(cli.Flag(&in, field, text, measure.ParseMass) / measure.Gram)
	}
	e.RustGrams, e.SteelGrams = gram("rust_mass", q.RustMass), gram("steel_mass", q.SteelMass)
	if e.RustGrams == 0 && q.Area != "" {
		layer, area, err := b.layer(q.Rust, q.Thickness, q.Area)
		if err != nil {
			return err
		}
		e.AreaCM2, e.RustGramsPerM2 = float64(area/measure.SquareCentimetre), layer.RustGramsPerM2.Typical
	}
	if e.Kind == journal.Dipped && e.Rust() > 0 {
		e.Oxide = usualOxide
		if q.Oxide != "" {
			o := cli.Flag(&in, "oxide", q.Oxide, func(s string) (bath.Oxide, error) { return bath.FindOxide(b.tables, s) })
			e.Oxide = o.Name
		}
	}
	return in.Err
}

// layer reads rust as it sits on steel.
func (b *Bridge) layer(kind, thickness, area string) (rust.Layer, unit.Area, error) {
	var in cli.Input
	r := cli.Flag(&in, "rust", kind, b.tables.Rust)
	thick := cli.Flag(&in, "thickness", thickness, measure.ParseLength)
	on := cli.Flag(&in, "area", area, measure.ParseArea)
	if in.Err != nil {
		return rust.Layer{}, 0, in.Err
	}
	l, err := rust.LayerOfThickness(r, thick)
	return l, on, err
}
