package main

import (
	"fmt"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
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
	source := "package x\n\nimport \"math\"\n\nfunc f(err error) (float64, error) {\n\tif err != nil {\n\t\treturn 0, err\n\t}\n\tif g() {\n\t\treturn 3, &bad{4}\n\t}\n\tif g() {\n\t\treturn -5, true, p.errorHere()\n\t}\n\t_ = math.IsInf(a, 1) == math.IsInf(b, 0)\n\treturn math.Inf(1) + math.Inf(-1), nil\n}\n"
	found := slipsOf(t, source)
	var now []string
	for _, m := range found {
		now = append(now, m.now)
	}
	require.ElementsMatch(t, []string{"if err == nil {", "return 3, &bad{5}", "_ = math.IsInf(a, 1) != math.IsInf(b, 0)", "_ = math.IsInf(a, 1) == math.IsInf(b, 1)", "return math.Inf(1) - math.Inf(-1), nil", "return math.Inf(1) + math.Inf(1), nil"}, now)
}

// Woven together, each slip comes out when its number is on and no other does, in
// functions of all shapes, variables and constants; without a number nothing is changed.
func TestWoven(t *testing.T) {
	t.Parallel()
	source := `package main

import "fmt"

type T struct{ n int }

var factor = 3

func (T) plain(_ int, b ...int) int { return 10 + len(b) }

func (t *T) set(_, to int) { t.n = to * 2 }

func most[X int | float64](x X, _ string) (y X) { y = max(x, 5); return }

func init() { factor++ }

func main() {
	var t T
	t.set(1, 2)
	fmt.Println(factor, t.plain(0, 1, 2), t.n, most(1.5, ""))
}
`
	tree, err := parser.ParseFile(token.NewFileSet(), "x.go", source, parser.SkipObjectResolution)
	require.NoError(t, err)
	slips := slices.DeleteFunc(slipsIn("x.go", []byte(source), tree), func(m mutant) bool { return m.now == "" || m.line == 21 || m.line == 22 })
	for i := range slips {
		slips[i].number = i + 1
	}
	woven, err := weave([]byte(source), slips)
	require.NoError(t, err)
	dir := t.TempDir()
	for name, text := range map[string]string{"go.mod": "module x\n\ngo 1.26\n", "x.go": woven, "switchboard.go": fmt.Sprintf(switchboard, "main")} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	build := exec.Command("go", "build", "-o", "x.exe", ".")
	build.Dir = dir
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%s\n%s", out, woven)
	seen := map[string]int{}
	for i := range len(slips) + 1 {
		run := exec.Command(filepath.Join(dir, "x.exe"))
		run.Env = append(os.Environ(), fmt.Sprint("SLIP=", i))
		out, err := run.Output()
		require.NoError(t, err)
		seen[string(out)] = i
	}
	require.Contains(t, seen, "4 12 4 5\n", "as it stands")
	for _, want := range []string{"5 12 4 5\n", "2 12 4 5\n", "4 13 4 5\n", "4 8 4 5\n", "4 12 6 5\n", "4 12 1 5\n", "4 12 4 6\n", "4 12 4 1.5\n"} {
		require.Contains(t, seen, want)
	}
	require.Len(t, seen, 9, "%v", seen)
}

// What is said to change nothing, and what once escaped, can be read, with a reason each.
func TestLists(t *testing.T) {
	t.Parallel()
	for _, row := range append(rows(equivalents), rows(escaped)...) {
		require.Len(t, row, 4)
		require.NotEmpty(t, row[3])
		require.NotEqual(t, row[1], row[2])
	}
}
