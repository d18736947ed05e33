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

	require.True(t, json.Valid([]byte(output("-json"))))

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
