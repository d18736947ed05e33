// Package probe holds values of any type to what the library promises of all of
// them: that they survive JSON, and that their zero values do no harm. A program
// that the test of package docs writes, with a list of the library's types, calls
// it.
package probe

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"time"
)

// Trouble is a promise that something does not keep.
type Trouble struct {
	Promise string `json:"promise"` // "json" or "zero"
	Of      string `json:"of"`      // recipe.Plan, or recipe.Plan.Text for a method
	What    string `json:"what"`
}

// Check returns the troubles of the types.
func Check(types ...reflect.Type) []Trouble {
	var out []Trouble
	for _, t := range types {
		if what := survives(t); what != "" {
			out = append(out, Trouble{"json", t.String(), what})
		}
		if t.Kind() == reflect.Interface {
			continue
		}
		for i := range reflect.PointerTo(t).NumMethod() {
			if what := harms(t, i); what != "" {
				out = append(out, Trouble{"zero", t.String() + "." + reflect.PointerTo(t).Method(i).Name, what})
			}
		}
	}
	return out
}

// survives fills a struct, writes it, reads it back and compares. Handles, which
// show no field and read no text, and errors, which hold other errors, are not
// asked.
func survives(t reflect.Type) string {
	p := reflect.PointerTo(t)
	reads := t.Kind() == reflect.Struct && (p.Implements(reflect.TypeFor[json.Unmarshaler]()) || p.Implements(reflect.TypeFor[encoding.TextUnmarshaler]()))
	if !record(t) && !reads || p.Implements(reflect.TypeFor[error]()) {
		return ""
	}
	full := reflect.New(t)
	f := filler{}
	f.fill(full.Elem(), t.String(), 0)
	if f.trouble != "" {
		return f.trouble
	}
	text, err := json.Marshal(full.Interface())
	if err != nil {
		return err.Error()
	}
	back := reflect.New(t)
	if err := json.Unmarshal(text, back.Interface()); err != nil {
		return err.Error()
	}
	return difference(full.Elem(), back.Elem(), t.String())
}

// difference names the first place at which two values differ.
func difference(a, b reflect.Value, at string) string {
	if reflect.DeepEqual(a.Interface(), b.Interface()) {
		return ""
	}
	switch {
	case a.Kind() == reflect.Struct:
		for i := range a.NumField() {
			if f := a.Type().Field(i); f.IsExported() {
				if d := difference(a.Field(i), b.Field(i), at+"."+f.Name); d != "" {
					return d
				}
			}
		}
	case a.Kind() == reflect.Slice && a.Len() == b.Len(), a.Kind() == reflect.Array:
		for i := range a.Len() {
			if d := difference(a.Index(i), b.Index(i), fmt.Sprintf("%s[%d]", at, i)); d != "" {
				return d
			}
		}
	}
	return fmt.Sprintf("%s is %+v, and was %+v", at, b, a)
}

// patience is what a method of a zero value may take.
const patience = 20 * time.Second

// harms calls a method of a zero value with zero arguments and says whether it
// panics or never ends. A pointer in the arguments points to a zero value; a method
// that is handed functions or interfaces is not called.
func harms(t reflect.Type, method int) string {
	m := reflect.New(t).Method(method)
	var arguments []reflect.Value
	for i := range m.Type().NumIn() {
		in := m.Type().In(i)
		switch {
		case m.Type().IsVariadic() && i == m.Type().NumIn()-1:
			continue
		case in.Kind() == reflect.Func || in.Kind() == reflect.Interface:
			return ""
		case in.Kind() == reflect.Pointer:
			arguments = append(arguments, reflect.New(in.Elem()))
		default:
			arguments = append(arguments, reflect.Zero(in))
		}
	}
	ended := make(chan string, 1)
	go func() {
		defer func() {
			if p := recover(); p != nil {
				ended <- fmt.Sprint("panics: ", p)
			}
		}()
		for _, result := range m.Call(arguments) {
			if result.Kind() == reflect.Func && result.Type().CanSeq() && !result.IsNil() {
				for range result.Seq() {
					break
				}
			}
		}
		ended <- ""
	}()
	select {
	case what := <-ended:
		return what
	case <-time.After(patience):
		return fmt.Sprintf("does not end within %s", patience)
	}
}
