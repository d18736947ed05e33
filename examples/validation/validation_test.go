package main

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
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

// A row that should agree notices a slip of a tenth or, where a constant is as good as named, of what that is
// shifted by for its guards; or its note says why it is wider. No other does.
func TestTolerancesNotice(t *testing.T) {
	const (
		apart = 0.05                 // log units by which laboratories differ
		volts = 0.0592 * guardLog10K // what a slip makes of a potential
		half  = 0.16                 // and of a share that is a half
	)
	checks, err := readAll(os.DirFS(testdata), topics)
	require.NoError(t, err)
	logarithm := regexp.MustCompile("^(log_|minimum_|p[HKM]|strip_)")
	reasons := 0
	for _, c := range checks {
		slip := 0.1 * math.Abs(c.published)
		switch {
		case logarithm.MatchString(c.quantity):
			slip = guardLog10K - apart
		case c.quantity == "enthalpy":
			slip = guardEnthalpy / 2
		case c.quantity == "formal_potential":
			slip = volts
		case c.quantity == "share":
			slip = half
		case c.published == 0:
			continue
		}
		_, reason, said := strings.Cut(c.note, "wide: ")
		assert.Equal(t, c.expect == agree && c.tolerance > slip*(1+1e-9), said && reason != "", "%s: %v of %v", c.id, c.tolerance, c.published)
		if said {
			reasons++
		}
	}
	assert.Less(t, reasons, len(checks)/50)
}
