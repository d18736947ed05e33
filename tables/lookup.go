package tables

import (
	"cmp"
	"errors"
	"iter"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"example.com/chelation/chem"
)

// ErrNotFound is wrapped by every [chem.InputError] of a look-up that finds nothing; its Want tells
// names that come near.
var ErrNotFound = errors.New("not found")

func notFound(kind, name string, near []string) error {
	want := "a name of the tables"
	if len(near) > 0 {
		const most = 6
		want += ", such as " + choice(near[:min(len(near), most)])
	}
	return &chem.InputError{Field: kind, Value: chem.Echo(name), Want: want, Kind: ErrNotFound}
}

// choice writes words in quotes, of which one is wanted.
func choice[T ~string](words []T) (text string) {
	for i, word := range words {
		if i > 0 && i == len(words)-1 {
			text += " or "
		} else if i > 0 {
			text += ", "
		}
		text += chem.Echo(string(word))
	}
	return text
}

// Entry is what the rows of most tables have in common.
type Entry struct {
	ID       string   `json:"id"` // short name in the data files; of components and solids the formula
	Name     string   `json:"name,omitempty"`
	Synonyms []string `json:"synonyms,omitempty"`
	Note     string   `json:"note,omitempty"`
	Sources  []string `json:"sources,omitempty"` // keys: see [Source]
}

func (e Entry) entry() Entry { return e }

type entered interface{ entry() Entry }

// catalogue holds the entries of one table in the order of its file, found by any of their names.
// Names are compared without regard to case, spaces, punctuation and the ph of sulphur.
type catalogue[T entered] struct {
	items []T
	names []string       // all plain names, in the order in which they came
	at    map[string]int // from a plain name to the index of its item
}

// add appends an item under its names. It returns the place of the first that belongs to another
// item, or −1.
func (c *catalogue[T]) add(item T) (taken int, name string) {
	e, n := item.entry(), len(c.items)
	c.items = append(c.items, item)
	taken = -1
	for k, x := range append([]string{e.ID, e.Name}, e.Synonyms...) {
		if x != "" && taken < 0 && c.alias(n, x) != n {
			taken, name = k, x
		}
	}
	return taken, name
}

// alias adds a name for item i unless it is taken, and returns the item that has it.
func (c *catalogue[T]) alias(i int, name string) int {
	name = plain(name)
	if k, ok := c.at[name]; ok {
		return k
	}
	if c.at == nil {
		c.at = map[string]int{}
	}
	c.at[name] = i
	c.names = append(c.names, name)
	return i
}

func (c *catalogue[T]) has(name string) bool {
	_, ok := c.at[plain(name)]
	return ok
}

func (c *catalogue[T]) find(kind, name string) (T, error) {
	if i, ok := c.at[plain(name)]; ok {
		return Copy(c.items[i]), nil
	}
	var none T
	return none, notFound(kind, name, c.near(name))
}

func listed[T entered](t *Tables) *catalogue[T] {
	if t != nil && t.lists[reflect.TypeFor[T]()] != nil {
		return t.lists[reflect.TypeFor[T]()].(*catalogue[T])
	}
	return new(catalogue[T])
}

func enter[T entered](t *Tables, item T) (taken int, name string) {
	c := listed[T](t)
	t.lists[reflect.TypeFor[T]()] = c
	return c.add(item)
}

// All yields what one of the tables holds, in the order of its file: the type tells which, as in
// All[Reagent](t).
func All[T entered](t *Tables) iter.Seq[T] { return copies(listed[T](t).items) }

// Find returns what one of the tables holds under an id, name or synonym, as in Find[Kinetic](t,
// "half-coverage"). Those that people name have a method of their own.
func Find[T entered](t *Tables, name string) (T, error) {
	kind := strings.ToLower(words.ReplaceAllString(reflect.TypeFor[T]().Name(), "$1 $2"))
	return listed[T](t).find(kind, name)
}

var words = regexp.MustCompile(`([a-z])([A-Z])`)

func copies[T any](items []T) iter.Seq[T] {
	return func(yield func(T) bool) {
		for _, x := range items {
			if !yield(Copy(x)) {
				return
			}
		}
	}
}

func (c *catalogue[T]) near(name string) []string {
	var titles []string
	for _, known := range chem.Nearest(plain(name), slices.Values(c.names)) {
		e := c.items[c.at[known]].entry()
		if title := cmp.Or(e.Name, e.ID); !slices.Contains(titles, title) {
			titles = append(titles, title)
		}
	}
	return titles
}

// Copy returns a copy of what holds neither maps nor pointers, that shares no slice with x.
func Copy[T any](x T) T {
	unshare(reflect.ValueOf(&x).Elem())
	return x
}

func unshare(v reflect.Value) {
	switch v.Kind() {
	case reflect.Slice:
		if v.IsNil() {
			return
		}
		copied := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(copied, v)
		v.Set(copied)
		if kind := v.Type().Elem().Kind(); kind == reflect.Struct || kind == reflect.Slice {
			for i := range v.Len() {
				unshare(v.Index(i))
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if field := v.Field(i); field.CanSet() {
				unshare(field)
			}
		}
	}
}

// plain strips a name down to its lower-case letters and digits and the sign of a charge at its
// end, so that "Na₄EDTA·4 H₂O" and "na4edta.4h2o" are one, and Co2+ and CO2 are two.
func plain(name string) string {
	if !strings.ContainsFunc(name, func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') }) {
		return strings.ReplaceAll(name, "sulph", "sulf")
	}
	if strings.ContainsFunc(name, func(r rune) bool { return r > unicode.MaxASCII }) {
		name = superscripts.Replace(name)
	}
	name = strings.TrimRightFunc(name, func(r rune) bool { return unicode.IsSpace(r) || r == ')' })
	sign := ""
	if strings.HasSuffix(name, "+") || strings.HasSuffix(name, "-") {
		sign = name[len(name)-1:]
	}
	name = strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
	return strings.ReplaceAll(name, "sulph", "sulf") + sign
}

var superscripts = strings.NewReplacer(
	"₀", "0", "₁", "1", "₂", "2", "₃", "3", "₄", "4", "₅", "5", "₆", "6", "₇", "7", "₈", "8", "₉", "9",
	"⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9",
	"⁺", "+", "⁻", "-", "−", "-",
)
