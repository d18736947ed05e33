package main

import (
	"cmp"
	"encoding/csv"
	"fmt"
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

// The counts in the README are those of the checks.
func TestCountsOfTheReadme(t *testing.T) {
	_, all := everything(t)
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	readme := strings.Join(strings.Fields(string(text)), " ")
	total, by := summarise("all", all), map[basis]summary{}
	_, works := sources(all)
	guards, err := readKept(os.DirFS(testdata))
	require.NoError(t, err)
	either, measured, warm := count(guards)
	for _, b := range bases {
		by[b] = summarise(string(b), slices.DeleteFunc(slices.Clone(all), func(o outcome) bool { return o.basis != b }))
	}
	trusted := map[string]int{}
	for _, c := range total.Trust {
		trusted[c.Name] = c.Rows
	}
	x, of := by[independent], map[string]int{}
	for _, s := range measuredSummaries(all) {
		of[s.Group] = s.Rows
	}
	acidity, buffers, water := of["pH"], of["buffer_capacity"], of["water_density"]+of["water_permittivity"]
	for _, want := range []string{
		fmt.Sprintf("Of %d published values that were measured, and are independent of what the constants are fitted to (%d pH, %d buffer capacities, %d of water alone, %d others)",
			x.Rows, acidity, buffers, water, x.Rows-acidity-buffers-water),
		fmt.Sprintf("%d agree within the tolerance of their row, %d lie in a range that the source prints, and %d do not", x.Agree, x.Inside, x.Differ),
		fmt.Sprintf("%d by another evaluation, %d that the tables rest on, %d worked examples, %d definitions, in all %d values from %d works", by[evaluated].Rows, by[held].Rows, by[solver].Rows, by[definition].Rows, total.Rows, works),
		fmt.Sprintf("Of %d constants that carry a bath, %d are guarded both ways", len(guards), either),
		fmt.Sprintf("a slip of 0.3 in log K would be noticed both ways in %d, %d of them by measured quantities alone; one of 10 kJ/mol in the enthalpy in %d ", either, measured, warm),
		fmt.Sprintf("%d of the figures are from memory and marked so; %d follow from the numbers in their row", trusted[string(fromMemory)], trusted[string(arithmetic)]),
	} {
		assert.Contains(t, readme, want)
	}
}

// So are its figures on values that were left out. Half within 0.05 and 19 in 20 within 0.25 is not
// to be had of every group; twice the stated uncertainty holds 19 in 20 of each.
func TestLeftOutOfTheReadme(t *testing.T) {
	standard, err := tables.Standard()
	require.NoError(t, err)
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	of := map[string]leftOutSummary{}
	for _, s := range leftOutSummaries(leftOut(standard)) {
		of[s.group] = s
	}
	every, edta, citrate, sodium, potassium := of["all"], of["EDTA"], of["citrate"], of["both, Na+ salts"], of["both, K+ salts"]
	assert.Contains(t, string(text), fmt.Sprintf("half within %.2f, 19 in 20 within %.2f; EDTA %.2f and %.2f, citrate %.2f and %.2f",
		every.median, every.ninety5th, edta.median, edta.ninety5th, citrate.median, citrate.ninety5th))
	words := ""
	for _, group := range []struct{ before, name string }{{"two other conditions are known, ", "all"}, {"; EDTA ", "EDTA"}, {", citrate ", "citrate"},
		{", both in sodium salts ", "both, Na+ salts"}, {", in potassium salts ", "both, K+ salts"}} {
		known := of[group.name+wellKnown]
		words += fmt.Sprintf("%s%.2f and %.2f", group.before, known.median, known.ninety5th)
		assert.GreaterOrEqual(t, of[group.name].withinTwo, 0.95, group.name)
		assert.GreaterOrEqual(t, known.withinTwo, 0.95, group.name)
	}
	assert.Contains(t, string(text), words)
	assert.Contains(t, string(text), fmt.Sprintf("holds %.0f %% of the values left out; EDTA %.0f %%, citrate %.0f %%, both in sodium or in potassium salts %.0f %%",
		100*every.withinTwo, 100*edta.withinTwo, 100*citrate.withinTwo, 100*min(sodium.withinTwo, potassium.withinTwo)))
}
