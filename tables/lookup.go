package tables

import (
	"cmp"
	"errors"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// ErrNotFound is wrapped by every error of a look-up that finds nothing.
var ErrNotFound = errors.New("tables: not found")

// NotFoundError tells what was looked up in vain, and what comes near.
type NotFoundError struct {
	Kind string   // what was looked for: "reagent", "water" ...
	Name string   // as it was asked for
	Near []string // names that come near, nearest first; may be empty
}

func (e *NotFoundError) Error() string {
	text := fmt.Sprintf("no %s is called %q", e.Kind, e.Name)
	for i, name := range e.Near {
		switch {
		case i == 0:
			text += "; did you mean "
		case i == len(e.Near)-1:
			text += " or "
		default:
			text += ", "
		}
		text += strconv.Quote(name)
	}
	if len(e.Near) > 0 {
		text += "?"
	}
	return text
}

// Unwrap makes errors.Is(err, ErrNotFound) true.
func (e *NotFoundError) Unwrap() error { return ErrNotFound }

// catalogue holds the entries of one table in the order of its file, found by
// any of their names. Names are compared without regard to case, spaces,
// punctuation and the ph of sulphur.
type catalogue[T any] struct {
	kind  string // for errors
	items []T
	title []string       // of each item, for suggestions
	at    map[string]int // from a plain name to the index of its item
}

// add appends an item under its id, which is also its first name, a title and
// further names. It returns the first name that belongs to another item
// already, or "".
func (c *catalogue[T]) add(item T, id, title string, names ...string) (taken string) {
	if c.at == nil {
		c.at = map[string]int{}
	}
	n := len(c.items)
	for _, name := range append([]string{id, title}, names...) {
		if i, ok := c.at[plain(name)]; ok && i != n && taken == "" {
			taken = name
			continue
		}
		c.at[plain(name)] = n
	}
	c.items = append(c.items, item)
	c.title = append(c.title, title)
	return taken
}

// alias adds a name for item i unless it is taken.
func (c *catalogue[T]) alias(i int, name string) {
	if _, ok := c.at[plain(name)]; !ok {
		c.at[plain(name)] = i
	}
}

// has reports whether an item of that name is there.
func (c *catalogue[T]) has(name string) bool {
	_, ok := c.at[plain(name)]
	return ok
}

// find returns the item of that name, or a *NotFoundError.
func (c *catalogue[T]) find(name string) (T, error) {
	if i, ok := c.at[plain(name)]; ok {
		return c.items[i], nil
	}
	var none T
	return none, &NotFoundError{c.kind, name, c.near(name)}
}

// all yields the items in the order of the file.
func (c *catalogue[T]) all() iter.Seq[T] { return slices.Values(c.items) }

// near returns the titles of at most six items that have a name like the given
// one: a few slips of the pen away, or with one held in the other.
func (c *catalogue[T]) near(name string) []string {
	const most = 6
	asked := plain(name)
	slips := map[int]int{} // from item to its distance
	for known, i := range c.at {
		d := distance(asked, known)
		if d > 1+len(asked)/5 {
			short, long := min(len(asked), len(known)), max(len(asked), len(known))
			if short < 3 || !strings.Contains(asked, known) && !strings.Contains(known, asked) {
				continue
			}
			d = 1 + (long-short)/2
		}
		if old, ok := slips[i]; !ok || d < old {
			slips[i] = d
		}
	}
	found := slices.SortedFunc(maps.Keys(slips), func(a, b int) int {
		return cmp.Or(cmp.Compare(slips[a], slips[b]), cmp.Compare(a, b))
	})
	var titles []string
	for _, i := range found[:min(most, len(found))] {
		titles = append(titles, c.title[i])
	}
	return titles
}

// plain strips a name down to its lower-case letters and digits and the sign of
// a charge at its end, so that "Na₄EDTA·4 H₂O" and "na4edta.4h2o" are one, and
// Co2+ and CO2 are two.
func plain(name string) string {
	name = strings.TrimRightFunc(superscripts.Replace(name), func(r rune) bool { return unicode.IsSpace(r) || r == ')' })
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

// distance is the number of single-letter insertions, deletions and
// replacements that turn a into b (Levenshtein 1966, Sov. Phys. Dokl. 10, 707).
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	line := make([]int, len(t)+1)
	for j := range line {
		line[j] = j
	}
	for i, x := range s {
		diagonal := line[0]
		line[0] = i + 1
		for j, y := range t {
			change := diagonal
			if x != y {
				change++
			}
			diagonal = line[j+1]
			line[j+1] = min(change, line[j]+1, line[j+1]+1)
		}
	}
	return line[len(t)]
}
