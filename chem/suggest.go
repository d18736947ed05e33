package chem

import (
	"iter"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// Nearest returns those of the known names that somebody may have meant who wrote the asked
// one, nearest first and, of equals, in the order given: names some slips of the pen away,
// one and another for every five letters, or with one held in the other, or begun with a
// slip ("citrc" and citric acid), or that of an ion without its charge ("ca" and ca2+).
func Nearest(asked string, known iter.Seq[string]) []string {
	const (
		longest  = 200 // bytes that may be near anything; the longest name of the tables has 60
		shortest = 3   // bytes of a name that may be held in another
		slip     = 2   // what [editDistance] takes a letter for
		perSlip  = 5   // letters for which a further slip is allowed: judgement
	)
	if len(asked) > longest {
		return nil
	}
	var found []string
	by := map[string]int{} // slips
	letters := []rune(asked)
	for name := range known {
		most := slip * (1 + len(letters)/perSlip)
		apart := utf8.RuneCountInString(name) - len(letters)
		slips := most + 1
		if uncharged, ion := strings.CutPrefix(name, asked); ion && charge.MatchString(uncharged) {
			slips = 1
		} else if 2*max(apart, -apart) <= most {
			slips = editDistance(letters, []rune(name))
		}
		if slips > most {
			held := strings.Contains(asked, name) || strings.Contains(name, asked)
			if begun := []rune(name); !held && apart > 0 && len(letters) > shortest {
				held = editDistance(letters, begun[:len(letters)]) <= slip || editDistance(letters, begun[:len(letters)+1]) <= slip
			}
			if min(len(asked), len(name)) < shortest || !held {
				continue
			}
			slips = slip + max(apart, -apart)
		}
		found = append(found, name)
		by[name] = slips
	}
	slices.SortStableFunc(found, func(a, b string) int { return by[a] - by[b] })
	return found
}

// charge is that at the end of a formula, as in Ca2+ and CO3^2-.
var charge = regexp.MustCompile(`^\^?\d?[+-]$`)

// editDistance is the least cost that makes b of a (optimal string alignment): 2 for a letter
// put in, left out or replaced, 1 for two neighbours swapped, the commonest slip of all.
func editDistance(a, b []rune) int {
	before, last, line := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range line {
		line[j] = 2 * j
	}
	for i, x := range a {
		before, last, line = last, line, before
		line[0] = 2 * (i + 1)
		for j, y := range b {
			change := last[j]
			if x != y {
				change += 2
			}
			line[j+1] = min(change, last[j+1]+2, line[j]+2)
			if i > 0 && j > 0 && x == b[j-1] && a[i-1] == y {
				line[j+1] = min(line[j+1], before[j-1]+1)
			}
		}
	}
	return line[len(b)]
}
