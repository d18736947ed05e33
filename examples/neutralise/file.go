package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/examples/internal/cli"
)

// decode reads the bath of a file, and says of what it cannot read in which line that
// stands and what was expected there.
func (j *job) decode(content []byte) error {
	d := json.NewDecoder(bytes.NewReader(content))
	d.DisallowUnknownFields()
	err := d.Decode(j)
	at, why := d.InputOffset(), ""
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case err == nil:
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return nil
		}
		at, why = int64(len(content)-len(bytes.TrimLeft(content[at:], " \t\r\n"))), "something follows after the bath"
	case errors.As(err, &syntax):
		at = max(syntax.Offset-1, 0)
		why = fmt.Sprintf(`%s does not go on as JSON: want "name": value, with commas between and all brackets closed`, chem.Echo(string(content[at:min(at+1, int64(len(content)))])))
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		at, why = int64(len(content)), `the file ends in the middle of a bath: want {"volume": "20 L", "steps": [{"read": 11}]}`
	case errors.As(err, &kind):
		at, why = kind.Offset, fmt.Sprintf("%s is a %s: want %s", kind.Field, kind.Value, wanted(kind.Type))
	default: // a name that no field has
		_, name, _ := strings.Cut(err.Error(), "unknown field ")
		why = fmt.Sprintf("%s is no name that a bath has: want one of %s, and in its steps %s", name, names[job](), names[step]())
	}
	return cli.Usagef("line %d: %w", 1+bytes.Count(content[:at], []byte("\n")), errors.New(why))
}

// names are those of the fields of a struct.
func names[T any]() string {
	var out []string
	for _, f := range reflect.VisibleFields(reflect.TypeFor[T]()) {
		if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name != "" {
			out = append(out, name)
		}
	}
	return strings.Join(out, ", ")
}

// wanted is what a field of a kind takes.
func wanted(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Float64:
		return "a number"
	case reflect.Bool:
		return "true or false"
	case reflect.Slice:
		return "a list in square brackets"
	case reflect.Struct:
		return "an object in braces"
	}
	return "text in quotes"
}
