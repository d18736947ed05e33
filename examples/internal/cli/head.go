package cli

import (
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples"
)

// head is how a column is titled for people: the words of its key, and the unit that
// the vocabulary gives it.
type head struct {
	words, unit string
	scale       float64 // of the numbers below it
	share       bool    // these are parts of a whole
}

// slug is how a unit stands in a key.
var slug = strings.NewReplacer("/", "_per_", "²", "2", "³", "3", "µ", "u", "°", "", "mg/L as CaCO3", "mg_per_l_caco3")

// spoken are whole words that a key spells otherwise than people do.
var spoken = strings.NewReplacer(" ph ", " pH ", " m2 ", " m² ", " iron iii ", " iron(III) ", " us gal ", " gal ")

// speak writes a key as people say it.
func speak(key string) string {
	return strings.TrimSpace(spoken.Replace(" " + strings.ReplaceAll(key, "_", " ") + " "))
}

// vocabulary is read once.
var vocabulary = sync.OnceValues(examples.Vocabulary)

// bought are the units of prices, as customary measures have them.
var bought = map[string]struct {
	metric, customary string
	size              float64
}{
	"money per kg": {"per kg", "per lb", float64(measure.Pound / measure.Kilogram)},
	"money per L":  {"per l", "per gal", float64(measure.Gallon / measure.Litre)},
	"money per m²": {"per m²", "per ft²", float64(measure.Foot * measure.Foot)},
}

// heads titles the columns of keys. What is no key stays as it is.
func heads(keys []string, system measure.System) ([]head, error) {
	known, err := vocabulary()
	if err != nil {
		return nil, err
	}
	var out []head
	for _, column := range keys {
		key, of, _ := strings.Cut(column, " (")
		h := head{words: column, scale: 1}
		if word, is := known[key]; is {
			if short, has := strings.CutSuffix(key, "_"+strings.ToLower(slug.Replace(word.Unit))); has {
				key, h.unit = short, word.Unit
			}
			h.words, h.share = speak(key), word.Unit == "1"
			if p, priced := bought[word.Unit]; priced && system == measure.US {
				h.words, h.scale = strings.Replace(h.words, p.metric, p.customary, 1), p.size
			}
			if of != "" {
				h.words += " (" + of
			}
		}
		out = append(out, h)
	}
	return out, nil
}

// text is the title in as many words as needed; numbers below it are written with
// their unit where that is customary, and then it has none.
func (h head) text(system measure.System) string {
	if h.unit == "" || h.customary(system) {
		return h.words
	}
	return h.words + "," + noBreak + h.unit
}

// number writes a number of the column.
func (h head) number(x float64, system measure.System) string {
	const least = 0.001 // share that a person tells from none: judgement
	if h.share && x > 0 && x < least {
		return "< " + strconv.FormatFloat(least, 'g', -1, 64)
	}
	text := Round(x * h.scale)
	if h.customary(system) {
		return measure.Customary(text + " " + h.unit)
	}
	return text
}

// customary reports whether the unit has a customary one in its place.
func (h head) customary(system measure.System) bool {
	much := "1000 " + h.unit // a gram is said in g
	return system == measure.US && measure.Customary(much) != much
}

// headLines is how many lines a title may take.
const headLines = 3

// headWidth is the least width in which a title takes no more.
func headWidth(title string) int {
	width := 0
	for _, word := range strings.Split(title, " ") {
		width = max(width, utf8.RuneCountInString(word))
	}
	for strings.Count(fold(title, width), "\n") >= headLines {
		width++
	}
	return width
}
