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

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/cli"
)

// Run is the body of a program.
type Run func(args []string, out, diagnostics io.Writer) error

// Check runs a program on its defaults as a table, as JSON and as CSV (with
// further flags), asks for its help, and gives it typos: flags with values, all
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

	require.True(t, json.Valid([]byte(output("-json"))))

	rows, err := csv.NewReader(strings.NewReader(output(append([]string{"-csv"}, csvFlags...)...))).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)

	var help bytes.Buffer
	require.ErrorIs(t, run([]string{"-h"}, io.Discard, &help), flag.ErrHelp)
	require.Contains(t, help.String(), "-json")

	for _, typo := range append(typos, "-jsn", "word") {
		var out, diagnostics bytes.Buffer
		err := run(strings.SplitN(typo, " ", 2), &out, &diagnostics)
		require.Error(t, err, typo)
		require.Equal(t, 2, cli.ExitCode(err), "%s: %v", typo, err)
		require.NotContains(t, err.Error(), "\n", typo)
		require.Empty(t, out.String()+diagnostics.String(), typo)
	}
	return text
}
