package chem

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The first three are the distances that textbooks print, times two (Levenshtein
// 1966, Sov. Phys. Dokl. 10, 707); neighbours swapped cost one (Damerau 1964,
// Commun. ACM 7, 171, counts them as a single slip).
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 6},
		{"saturday", "sunday", 6},
		{"flaw", "lawn", 4},
		{"", "abc", 6},
		{"same", "same", 0},
		{"vinegar", "vinegra", 1},
		{"°dH", "°Hd", 1},
	} {
		assert.Equal(t, c.want, editDistance([]rune(c.a), []rune(c.b)), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, editDistance([]rune(c.b), []rune(c.a)), "%s %s", c.b, c.a)
	}
}

func TestNearest(t *testing.T) {
	known := slices.Values([]string{"citrate", "carbonate", "nitrate", "citric acid", "ox"})
	assert.Equal(t, []string{"citrate", "nitrate"}, Nearest("citarte", known))
	assert.Equal(t, []string{"citric acid"}, Nearest("citric", known))
	assert.Contains(t, Nearest("citrc", known), "citric acid")
	assert.Empty(t, Nearest("quartz", known))
	ions := slices.Values([]string{"ac-", "ca2+", "co32-", "fe2+", "fe3+", "feoh2+", "na+"})
	assert.Equal(t, []string{"ca2+"}, Nearest("ca", ions))
	assert.Equal(t, []string{"ac3+", "ca"}, Nearest("ac", slices.Values([]string{"ac3+", "ca", "ac2oh+"})), "nothing but the charge is missing")
	assert.Equal(t, []string{"fe2+", "fe3+"}, Nearest("fe", ions))
	assert.Equal(t, "na+", Nearest("na", ions)[0])
	assert.Empty(t, Nearest("", slices.Values([]string{"citrate"})))
	assert.Empty(t, Nearest(strings.Repeat("citrate", 1<<20), known))
}
