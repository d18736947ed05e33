// Package clitest checks what all example programs promise.
package clitest

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/cli"
)

// Run is the body of a program.
type Run func(args []string, out, diagnostics io.Writer) error

// Check runs a program on its defaults as a table, as JSON and as CSV (with
// further flags), asks for its help, runs the examples in it, and gives it typos: flags with values, all
// of which must end with one line and exit code 2. It returns the table.
func Check(t *testing.T, run Run, csvFlags []string, typos ...string) string {
	t.Helper()
	output := func(args ...string) string {
		var out bytes.Buffer
		require.NoError(t, run(args, &out, io.Discard), args)
		return out.String()
	}
	text := output()
	require.NotEmpty(t, text)
	require.NotContains(t, text, "NaN")
	require.NotContains(t, text, "%!")
	Narrow(t, text)

	Meaning(t, output("-json"))

	rows, err := csv.NewReader(strings.NewReader(output(append([]string{"-csv"}, csvFlags...)...))).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)

	var help bytes.Buffer
	require.ErrorIs(t, run([]string{"-h"}, &help, io.Discard), flag.ErrHelp)
	require.Contains(t, help.String(), "-json")
	for _, example := range Examples(t, help.String()) {
		Narrow(t, output(example...))
	}

	for _, typo := range append(typos, "-jsn", "word", "-csv -json", "-units imperial") {
		var out, diagnostics bytes.Buffer
		err := run(strings.SplitN(typo, " ", 2), &out, &diagnostics)
		require.Error(t, err, typo)
		require.Equal(t, 2, cli.ExitCode(err), "%s: %v", typo, err)
		require.NotContains(t, err.Error(), "\n", typo)
		require.Empty(t, out.String()+diagnostics.String(), typo)
	}
	return text
}

// Narrow checks that lines for people fit into 80 columns. JSON and CSV, which are for
// programs, and a word that is longer by itself are let pass.
func Narrow(t *testing.T, text string) {
	t.Helper()
	if strings.HasPrefix(text, "{") || strings.HasPrefix(text, "[") || strings.Contains(strings.SplitN(text, "\n", 2)[0], ",") && !strings.Contains(text, "  ") {
		return
	}
	for line := range strings.SplitSeq(text, "\n") {
		require.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
}

// Examples returns the arguments of the command lines in a help text.
func Examples(t *testing.T, help string) [][]string {
	t.Helper()
	_, text, found := strings.Cut(help, "Examples:\n")
	if !found {
		return nil
	}
	text, _, _ = strings.Cut(text, "\n\n")
	var out [][]string
	for line := range strings.SplitSeq(text, "\n") {
		var args []string
		for i, part := range strings.Split(strings.TrimSpace(line), `"`) {
			if i%2 == 1 {
				args = append(args, part)
			} else {
				args = append(args, strings.Fields(part)...)
			}
		}
		out = append(out, args[1:])
	}
	return out
}

// Meaning checks an answer in JSON for what must hold of any: its version, nothing that
// is null, ranges in order, parts of a whole from 0 to 1, pH and temperatures of a bath,
// and iron in g that is iron in mol (55.845 g/mol, IUPAC 2021).
func Meaning(t *testing.T, text string) {
	t.Helper()
	var answer map[string]any
	require.NoError(t, json.Unmarshal([]byte(text), &answer))
	require.Equal(t, cli.Version, answer["version"])
	meaning(t, "", answer)
}

func meaning(t *testing.T, key string, value any) {
	t.Helper()
	switch x := value.(type) {
	case nil:
		t.Errorf("%s is null", key)
	case []any:
		for _, each := range x {
			meaning(t, key, each)
		}
	case float64:
		switch {
		case strings.HasSuffix(key, "_fraction"):
			require.True(t, x >= 0 && x <= 1+1e-9, "%s is %g", key, x)
		case key == "ph" || strings.HasSuffix(key, "_ph") && !strings.Contains(key, "_per_"):
			require.True(t, x > -2 && x < 16, "%s is %g", key, x)
		case key == "temperature_c":
			require.True(t, x > -50 && x < 150, "%s is %g", key, x)
		}
	case map[string]any:
		number := func(name string) (float64, bool) { y, ok := x[name].(float64); return y, ok }
		if grams, ok := number("iron_g"); ok {
			if moles, ok := number("iron_mol"); ok {
				require.InDelta(t, 55.845*moles, grams, 1e-6+1e-4*grams, key)
			}
		}
		low, bounded := number("low")
		if high, ok := number("high"); ok && bounded {
			require.LessOrEqual(t, low, high, key)
			if typical, ok := number("typical"); ok {
				require.True(t, low <= typical && typical <= high, "%s: %v", key, x)
			}
		}
		for name, each := range x {
			if name == "low" || name == "typical" || name == "high" {
				name = key // of which it is an end
			}
			meaning(t, name, each)
		}
	}
}
