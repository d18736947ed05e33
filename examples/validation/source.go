package main

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// year ends the name of a work that is cited by its authors.
var year = regexp.MustCompile(`\b(1[89]|20)\d\d[a-z]?\b`)

// work is the first work that a citation names: authors and year, or the name
// of a standard or handbook. A citation that opens in lower case names none: it
// speaks of practice, of a definition or of arithmetic.
func work(citation string) string {
	if first, _ := utf8.DecodeRuneInString(citation); !unicode.IsUpper(first) {
		return ""
	}
	head, _, _ := strings.Cut(citation, ": ")
	if i := strings.IndexAny(head, ";("); i >= 0 {
		head = head[:i]
	}
	if at := year.FindStringIndex(head); at != nil {
		return head[:at[1]]
	}
	head, _, _ = strings.Cut(head, ",")
	return strings.TrimSpace(head)
}

// sources counts distinct citations and the distinct works among them.
func sources(outcomes []outcome) (citations, works int) {
	cited, named := map[string]bool{}, map[string]bool{}
	for _, o := range outcomes {
		cited[o.source] = true
		if w := work(o.source); w != "" {
			named[w] = true
		}
	}
	return len(cited), len(named)
}
