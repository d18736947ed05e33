package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/cli"
)

func TestRun(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run(t.Context(), []string{"-baths", "4", "-json"}, &out, io.Discard))
	var answer struct{ Ways []result }
	require.NoError(t, json.Unmarshal(out.Bytes(), &answer))
	results := answer.Ways
	require.Len(t, results, 5, "advice and habit with each of two strips, and the textbook")
	for _, r := range results {
		assert.Equal(t, 4, r.Baths)
		assert.Equal(t, r.Way == "advice", r.Holds != nil)
	}
	out.Reset()
	require.NoError(t, run(t.Context(), []string{"-baths", "2", "-bag", "disodium EDTA,tetrasodium EDTA", "-strips", "pH meter", "-weigh"}, &out, io.Discard))
	assert.Contains(t, out.String(), "2 baths drawn")
}

func TestCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	var out bytes.Buffer
	assert.ErrorIs(t, run(ctx, []string{"-baths", "1000"}, &out, io.Discard), context.Canceled)
	assert.Empty(t, out.String())
}

func TestTypos(t *testing.T) {
	for _, args := range [][]string{
		{"-baths", "0"}, {"-baths", "x"}, {"-bias", "2"}, {"-volume", "20"}, {"-amount", "3 cubs"}, {"-water", "lemonade"}, {"-bag", "table salt"},
		{"-strips", "ruler"}, {"-strips", ","}, {"-spoon", "1/4"}, {"-book", "novel"}, {"20 L"},
	} {
		var out bytes.Buffer
		err := run(t.Context(), args, &out, io.Discard)
		require.Error(t, err, args)
		assert.NotContains(t, err.Error(), "\n")
		assert.Equal(t, 2, cli.ExitCode(err), "%v: %v", args, err)
		assert.Empty(t, out.String())
	}
}
