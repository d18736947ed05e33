package main

import (
	"cmp"
	"encoding/csv"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// What the README says that nothing published guards is what the kept list has unguarded: the
// species that each such constant makes, by its formula, a solid by its mineral, and no other.
func TestUnguardedAreNamed(t *testing.T) {
	standard, err := tables.Standard()
	require.NoError(t, err)
	f, err := os.Open(testdata + "/" + keptGuards)
	require.NoError(t, err)
	defer f.Close()
	kept, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, rest, _ := strings.Cut(string(text), "Nothing published guards")
	paragraph, _, _ := strings.Cut(rest, "\n\n")
	words := regexp.MustCompile(`[^\s,.;]+`).FindAllString(paragraph, -1)
	raised := strings.NewReplacer("1", "", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "+", "⁺", "-", "⁻")
	charge := regexp.MustCompile(`\^?(\d?[+-])$`)
	var components []int
	for i := range standard.Components() {
		components = append(components, i)
	}
	names := map[string]string{} // by the reaction that makes the species
	for _, f := range standard.Formations(components) {
		if len(f.Steps) == 0 {
			continue
		}
		e, _ := standard.EquilibriumAt(f.Steps[0].Equilibrium)
		name := charge.ReplaceAllStringFunc(f.Species.String(), func(z string) string { return raised.Replace(strings.TrimPrefix(z, "^")) })
		names[e.Reaction.String()] = cmp.Or(f.Species.Modifier, name)
	}
	for _, row := range kept[1:] {
		require.Contains(t, names, row[0])
		assert.Equal(t, slices.Contains(row[1:], string(unguarded)), slices.Contains(words, names[row[0]]), "%s: %s", names[row[0]], row)
	}
}
