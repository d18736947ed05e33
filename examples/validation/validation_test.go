package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

const testdata = "../../testdata"

// TestPublished holds the library against every row of testdata; each row
// carries its source.
func TestPublished(t *testing.T) {
	standard, err := tables.Standard()
	require.NoError(t, err)
	checks, err := readAll(os.DirFS(testdata), topics)
	require.NoError(t, err)
	byTopic := map[string][]check{}
	for _, c := range checks {
		byTopic[c.topic] = append(byTopic[c.topic], c)
	}
	for _, topic := range topics {
		t.Run(topic, func(t *testing.T) {
			for _, c := range byTopic[topic] {
				o, err := outcomeOf(standard, c)
				require.NoError(t, err)
				if o.verdict == fails {
					t.Errorf("%s: published %v, computed %v, tolerance %v %s (expected to %s, %v): %s",
						o.id, o.published, o.computed, o.tolerance, o.unit, o.expect, o.err, o.source)
				}
			}
		})
	}
}

// The files of checks that lie in testdata are those that the report reads.
func TestTopicsAreComplete(t *testing.T) {
	files, err := filepath.Glob(testdata + "/*.csv")
	require.NoError(t, err)
	var found []string
	for _, f := range files {
		head, err := os.ReadFile(f)
		require.NoError(t, err)
		if strings.HasPrefix(string(head), "id,quantity,") {
			found = append(found, strings.TrimSuffix(filepath.Base(f), ".csv"))
		}
	}
	require.ElementsMatch(t, topics, found)
}

// everything computes all rows with the standard tables.
func everything(t *testing.T) (*tables.Tables, []outcome) {
	t.Helper()
	standard, err := tables.Standard()
	require.NoError(t, err)
	checks, err := readAll(os.DirFS(testdata), topics)
	require.NoError(t, err)
	all := make([]outcome, len(checks))
	for i, c := range checks {
		all[i], err = outcomeOf(standard, c)
		require.NoError(t, err)
	}
	return standard, all
}
