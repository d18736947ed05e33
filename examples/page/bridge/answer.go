package bridge

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/rust"
)

// call answers one kind of request.
type call func(request json.RawMessage) (any, error)

// of makes a call of a method, whose request may hold nothing that it does not know.
func of[Q, A any](method func(Q) (A, error)) call {
	return func(request json.RawMessage) (any, error) {
		var q Q
		if len(request) > 0 {
			if err := strict(request, &q); err != nil {
				return nil, &chem.InputError{Field: "request", Value: "unreadable", Want: "a JSON object with the keys of this call", Err: err}
			}
		}
		return method(q)
	}
}

// strict reads one JSON value without keys that nobody asked for.
func strict(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return errors.New("something follows")
	}
	return nil
}

// Problem is why there is no answer. Field is the key of the request that is at
// fault, and empty where none is.
type Problem struct {
	Field string `json:"field,omitempty"`
	Value string `json:"value,omitempty"`
	Want  string `json:"want,omitempty"`
	Text  string `json:"text"`
}

// envelope is what goes over the bridge, either way.
type envelope struct {
	Version int             `json:"version"`
	Call    string          `json:"call"`
	Units   string          `json:"units,omitempty"` // metric or us, for the texts
	Request json.RawMessage `json:"request,omitempty"`
	Answer  any             `json:"answer,omitempty"`
	Error   *Problem        `json:"error,omitempty"`
}

// Answer carries a call over: {"call": "weigh", "units": "us", "request": {...}}
// gives {"version": 1, "call": "weigh", "answer": {...}}, or an error in the place of
// the answer.
func (b *Bridge) Answer(message []byte) []byte {
	var in envelope
	out := envelope{Version: Version}
	answer, err := func() (any, error) {
		if err := strict(message, &in); err != nil {
			return nil, &chem.InputError{Field: "message", Value: "unreadable", Want: "a JSON object with call and request", Err: err}
		}
		out.Call = in.Call
		method, known := b.calls[in.Call]
		switch {
		case in.Version != 0 && in.Version != Version:
			return nil, &chem.InputError{Field: "version", Value: strconv.Itoa(in.Version), Want: strconv.Itoa(Version)}
		case !known:
			return nil, &chem.InputError{Field: "call", Value: strconv.Quote(in.Call), Want: "a call of package bridge"}
		}
		words, ok := languages[in.Units]
		if !ok {
			return nil, &chem.InputError{Field: "units", Value: strconv.Quote(in.Units), Want: "metric or us"}
		}
		answer, err := method(in.Request)
		if err != nil {
			return nil, err
		}
		return words.spell(answer)
	}()
	if err != nil {
		out.Error = explain(err)
	} else {
		out.Answer = answer
	}
	data, err := json.Marshal(out)
	if err != nil { // a number that JSON cannot hold
		out.Answer, out.Error = nil, &Problem{Text: err.Error()}
		data, _ = json.Marshal(out)
	}
	return data
}

// explain tells what is wrong, with the field by its key.
func explain(err error) *Problem {
	p := &Problem{Text: err.Error()}
	var in *chem.InputError
	if errors.As(err, &in) {
		p.Field, p.Value, p.Want = in.Field, in.Value, in.Want
	}
	if errors.Is(err, solution.ErrUnreachable) {
		p.Field = "ph"
	}
	if flag, ok := strings.CutPrefix(p.Text, "-"); ok { // what was read as the programs read their flags
		end := strings.IndexAny(flag, ": ")
		p.Field = flag[:max(end, 0)]
		p.Text = flag
	}
	p.Field = strings.ToLower(strings.ReplaceAll(strings.TrimPrefix(p.Field, "-"), "-", "_"))
	if _, field, ok := strings.Cut(p.Field, ": "); ok { // of an event: its kind comes first
		p.Field, _, _ = strings.Cut(field, " ")
		if word, ok := written[p.Field]; ok {
			p.Field = word
		}
	}
	return p
}

// written tells in which field of an Entry a field of an event was written.
var written = map[string]string{
	"volume_l": "volume", "temperature_c": "temperature", "mass_g": "amount", "rust_g": "rust_mass", "steel_g": "steel_mass", "ph_resolution": "ph",
	"hardness_mg_per_l_caco3": "hardness", "alkalinity_mg_per_l_caco3": "alkalinity",
}

// language writes quantities as a person reads them.
type language struct {
	mass, volume func(float64) string // of g and L
	sentence     func(string) string
}

var languages = map[string]language{
	"":                     metric,
	string(measure.Metric): metric,
	string(measure.US): {
		func(g float64) string { return measure.FormatMassUS(unit.Mass(g) * measure.Gram) },
		func(l float64) string { return measure.FormatVolumeUS(unit.Volume(l) * measure.Litre) },
		measure.Customary,
	},
}

var metric = language{measure.FormatGrams, measure.FormatLitres, func(s string) string { return s }}

// sentences are the keys of what the library says in words, with quantities in them.
var sentences = []string{"text", "why", "do", "does", "notes", "note", "flags", "cautions", "remedy", "stopped"}

// spell puts a text beside every quantity of an answer, by the unit in which its key
// ends: beside "mass_g" a "mass_text".
func (l language) spell(answer any) (any, error) {
	data, err := json.Marshal(answer)
	if err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber() // numbers stay what the library wrote, to the last digit
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, err
	}
	l.walk(v, nil)
	return v, nil
}

func (l language) walk(v any, within func(float64) string) {
	switch v := v.(type) {
	case []any:
		for _, x := range v {
			l.walk(x, within)
		}
	case map[string]any:
		texts := map[string]any{}
		for key, x := range v {
			name, write := l.quantity(key)
			if write == nil && within != nil {
				name, write = key+"_text", within // the low, typical and high of a range
			}
			if n, ok := x.(json.Number); ok && write != nil {
				number, _ := n.Float64()
				texts[name] = write(number)
				continue
			}
			if slices.Contains(sentences, key) {
				v[key] = l.rewrite(x)
			}
			l.walk(x, write)
		}
		for name, text := range texts {
			v[name] = text
		}
	}
}

// rewrite puts the quantities in a text, or in each of several, in the language.
func (l language) rewrite(v any) any {
	switch v := v.(type) {
	case string:
		return l.sentence(v)
	case []any:
		for i, x := range v {
			v[i] = l.rewrite(x)
		}
	}
	return v
}

// quantity returns the key of the text of a quantity and what writes it, nil for a
// key that ends in no such unit.
func (l language) quantity(key string) (string, func(float64) string) {
	if strings.Contains("_"+key, "_per_") {
		return "", nil
	}
	for suffix, write := range map[string]func(float64) string{
		"_g": l.mass, "_l": l.volume,
		"_c":    func(c float64) string { return measure.FormatTemperature(chem.Celsius(c)) },
		"_cm2":  func(a float64) string { return measure.FormatArea(unit.Area(a) * measure.SquareCentimetre) },
		"hours": rust.RoughTime,
	} {
		if name, ok := strings.CutSuffix(key, suffix); ok {
			return strings.TrimPrefix(name+"_text", "_"), write
		}
	}
	return "", nil
}

// kept is the last thing that was worked out from a text.
type kept[T any] struct {
	from  string
	value T
	valid bool
}

func (k *kept[T]) get(from string, work func() (T, error)) (T, error) {
	if k.valid && k.from == from {
		return k.value, nil
	}
	value, err := work()
	if err == nil {
		*k = kept[T]{from, value, true}
	}
	return value, err
}
