package probe

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"
	"time"
)

// record reports whether a type is a struct that shows fields; one embedded handle
// makes another.
func record(t reflect.Type) bool {
	if t.Kind() != reflect.Struct {
		return false
	}
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous && f.Type.Kind() == reflect.Pointer {
			f.Type = f.Type.Elem()
		}
		if f.IsExported() && !(f.Anonymous && f.Type.Kind() == reflect.Struct && !record(f.Type)) {
			return true
		}
	}
	return false
}

// deepest is how far down lists, maps and pointers are filled: types may hold
// themselves.
const deepest = 6

// texts are what a type that is written as a text may read: a formula, a species, a
// reaction, a measure, a price, an abbreviation.
var texts = []string{"Fe2O3", "Fe+3", "Ca+2 + CO3-2 = CaCO3", "H+ + OH- = H2O", "20 L", "4/lb", "7", "ox2- = C2O4^2-"}

// A filler sets all that is exported in a value to something that is not zero and
// not twice the same.
type filler struct {
	n       int
	trouble string
}

func (f *filler) fill(v reflect.Value, at string, depth int) {
	f.n++
	switch {
	case v.Type() == reflect.TypeFor[time.Time]():
		v.Set(reflect.ValueOf(time.Date(2026, time.March, 1+f.n%28, 18, f.n%60, 0, f.n, time.UTC)))
		return
	case v.Kind() == reflect.Struct && read(v):
		return
	case v.Kind() == reflect.Struct && !record(v.Type()):
		if f.trouble == "" {
			f.trouble = fmt.Sprintf("%s is a %s, which no text becomes", at, v.Type())
		}
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		v.SetInt(1 + int64(f.n%2))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		v.SetUint(1 + uint64(f.n%2))
	case reflect.Float32, reflect.Float64:
		v.SetFloat(float64(f.n) / 7)
	case reflect.String:
		v.SetString("text " + strconv.Itoa(f.n))
	case reflect.Struct:
		for i := range v.NumField() {
			if field := v.Type().Field(i); field.IsExported() {
				f.fill(v.Field(i), at+"."+field.Name, depth)
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			f.fill(v.Index(i), at, depth)
		}
	case reflect.Func, reflect.Chan:
		if f.trouble == "" {
			f.trouble = fmt.Sprintf("%s is a %s", at, v.Kind())
		}
	case reflect.Slice, reflect.Map, reflect.Pointer:
		if depth < deepest {
			f.fillBehind(v, at, depth+1)
		}
	}
}

// fillBehind fills what a list, a map or a pointer leads to.
func (f *filler) fillBehind(v reflect.Value, at string, depth int) {
	switch v.Kind() {
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range v.Len() {
			f.fill(v.Index(i), at, depth)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		f.fill(key, at, depth)
		f.fill(value, at, depth)
		v.SetMapIndex(key, value)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		f.fill(v.Elem(), at, depth)
	}
}

// read has a value read one of the texts.
func read(v reflect.Value) bool {
	for _, text := range texts {
		switch u := v.Addr().Interface().(type) {
		case json.Unmarshaler:
			if u.UnmarshalJSON([]byte(strconv.Quote(text))) == nil {
				return true
			}
		case encoding.TextUnmarshaler:
			if u.UnmarshalText([]byte(text)) == nil {
				return true
			}
		}
	}
	return false
}
