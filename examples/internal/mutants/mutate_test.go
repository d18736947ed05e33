package main

import (
	"go/parser"
	"go/token"
	"testing"

	"github.com/stretchr/testify/require"
)

func slipsOf(t *testing.T, source string) []mutant {
	tree, err := parser.ParseFile(token.NewFileSet(), "x.go", source, parser.SkipObjectResolution)
	require.NoError(t, err)
	return slipsIn("x.go", []byte(source), tree)
}

func TestSlips(t *testing.T) {
	t.Parallel()
	source := "package x\n\nimport \"math\"\n\ntype T struct{ A int `json:\"a\"` }\n\nfunc f(a float64) bool {\n\tg()\n\treturn !(a < 2.5) && math.Floor(a)-1 > 0\n}\n\nfunc g() {}\n"
	found := slipsOf(t, source)
	var now []string
	for _, m := range found {
		require.NotEqual(t, m.was, m.now)
		require.Equal(t, source, string(m.source))
		if m.line == 9 {
			require.Equal(t, "return !(a < 2.5) && math.Floor(a)-1 > 0", m.was)
			now = append(now, m.now)
		}
	}
	require.ElementsMatch(t, []string{
		"return !(a < 2.5) || math.Floor(a)-1 > 0",
		"return (a < 2.5) && math.Floor(a)-1 > 0",
		"return !(a <= 2.5) && math.Floor(a)-1 > 0",
		"return !(a >= 2.5) && math.Floor(a)-1 > 0",
		"return !(a < 2.75) && math.Floor(a)-1 > 0",
		"return !(a < 2.5) && math.Ceil(a)-1 > 0",
		"return !(a < 2.5) && math.Floor(a)+1 > 0",
		"return !(a < 2.5) && math.Floor(a)-2 > 0",
		"return !(a < 2.5) && math.Floor(a)-1 >= 0",
		"return !(a < 2.5) && math.Floor(a)-1 <= 0",
		"return !(a < 2.5) && math.Floor(a)-1 > 1",
	}, now)
	require.Equal(t, "", found[0].now, "the call is forgotten")
	require.Len(t, found, 12)
}

// What nobody looks at is not mistaken: a number beside an error, the size of the
// number that stands for the sign of infinity.
func TestNumbersNobodyLooksAt(t *testing.T) {
	t.Parallel()
	source := "package x\n\nimport \"math\"\n\nfunc f(err error) (float64, error) {\n\tif err != nil {\n\t\treturn 0, err\n\t}\n\tif g() {\n\t\treturn 3, &bad{4}\n\t}\n\tif g() {\n\t\treturn 5, p.errorHere()\n\t}\n\treturn math.Inf(1) + 2, nil\n}\n"
	found := slipsOf(t, source)
	var now []string
	for _, m := range found {
		now = append(now, m.now)
	}
	require.ElementsMatch(t, []string{"if err == nil {", "return 3, &bad{5}", "return math.Inf(1) - 2, nil", "return math.Inf(1) + 3, nil"}, now)
}
