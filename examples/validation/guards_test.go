package main

import (
	"bytes"
	"encoding/csv"
	"flag"
	"io/fs"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

var update = flag.Bool("update", false, "write the kept list of guarded constants anew")

func dataFiles() fs.FS { return os.DirFS("../../tables/data") }

// A guard that is lost, or a constant that comes to matter and has none, is
// noticed: what is guarded is kept. When a change is meant, look at it and run
// go test ./examples/validation -run Guards -update.
func TestGuards(t *testing.T) {
	if testing.Short() {
		t.Skip("loads the tables a hundred times")
	}
	standard, all := everything(t)
	guards, err := guardsOf(standard, dataFiles(), all)
	require.NoError(t, err)
	for _, g := range guards {
		for _, side := range g.sides {
			for _, o := range side.rows {
				assert.NotEqual(t, held, o.basis, "%s is guarded by %s, which its fit rests on", g.reaction, o.id)
			}
		}
	}
	file := testdata + "/" + keptGuards
	if *update {
		var text bytes.Buffer
		require.NoError(t, writeKept(&text, guards))
		require.NoError(t, os.WriteFile(file, text.Bytes(), 0o644))
	}
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	kept, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	if d := cmp.Diff(kept, keptRows(guards)); d != "" {
		t.Errorf("what is guarded changed (-kept +now); if that is meant, run this test with -update:\n%s", d)
	}
}

// A shift moves the one constant by what it says, and what leans on a Na⁺ or K⁺ pair
// with it: log K exactly, an enthalpy less the little by which the fit holds on to
// what is expected of the reaction.
func TestShifted(t *testing.T) {
	if testing.Short() {
		t.Skip("loads the tables a hundred times")
	}
	standard, err := tables.Standard()
	require.NoError(t, err)
	matter, err := core(standard)
	require.NoError(t, err)
	before := slices.Collect(standard.Equilibria())
	for _, i := range sorted(matter) {
		e := before[i]
		for _, side := range sides {
			to, err := shifted(dataFiles(), e, side.by)
			require.NoError(t, err)
			after := slices.Collect(to.Equilibria())
			require.Equal(t, e.Reaction.String(), after[i].Reaction.String())
			held := 1.
			if side.by.enthalpy == 0 {
				held = 1e-6
			}
			assert.InDelta(t, side.by.log10K, after[i].LogK-e.LogK, 0.01*held, "%s, %s", e.Reaction, side.name)
			assert.InDelta(t, 1000*side.by.enthalpy, after[i].DeltaH-e.DeltaH, 1000*held, "%s, %s", e.Reaction, side.name)
			assert.InDelta(t, e.DeltaCp, after[i].DeltaCp, 10*held, e.Reaction)
			assert.InDelta(t, e.DeltaEps, after[i].DeltaEps, 0.01*held, e.Reaction)
			if pair := e.Reaction.String() == "Na+ + edta4- = Na(edta)^3-" || e.Reaction.String() == "K+ + edta4- = K(edta)^3-"; !pair {
				assert.Equal(t, map[int]bool{i: true}, moved(standard, to), e.Reaction)
			}
		}
	}
}

// Every species that rests on a constant moves with it.
func TestShiftedFormations(t *testing.T) {
	standard, err := tables.Standard()
	require.NoError(t, err)
	e, err := made(standard, "Hedta3-")
	require.NoError(t, err)
	to, err := shifted(dataFiles(), e, shift{log10K: 0.3})
	require.NoError(t, err)
	for _, species := range []string{"Hedta3-", "H2edta2-", "H4edta", "H4edta(s)"} {
		was, err := standard.Formation(species)
		require.NoError(t, err)
		is, err := to.Formation(species)
		require.NoError(t, err)
		assert.InDelta(t, 0.3, is.Constant.LogK-was.Constant.LogK, 1e-9, species)
	}
}

// What a row is noted to rest on is all that moves it.
func TestRests(t *testing.T) {
	standard, all := everything(t)
	for _, species := range []string{"OH-", "Hcit2-", "H2edta2-", "Ca(edta)^2-", "HCO3-", "HPO4^2-", "FeOH^2+", "FeOOH(s, lepidocrocite)"} {
		e, err := made(standard, species)
		require.NoError(t, err)
		to, err := shifted(dataFiles(), e, shift{log10K: 0.3, enthalpy: 10})
		require.NoError(t, err)
		changed := moved(standard, to)
		for _, o := range all {
			if o.topic == "dissolution-rates" || o.topic == "open-tub" || o.err != nil { // rates are no guards
				continue
			}
			after, err := outcomeOf(to, o.check)
			require.NoError(t, err)
			if same := math.Abs(after.computed-o.computed) <= 1e-6*math.Max(1, math.Abs(o.computed)); !same {
				assert.True(t, o.restsOn(changed), "%s moves with %s", o.id, species)
			}
		}
	}
}

// No row that repeats a figure of a fit is taken for independent of it.
func TestNoGuardIsQuoted(t *testing.T) {
	standard, all := everything(t)
	repeated := 0
	for _, o := range all {
		q, yes := quoted(standard, o.check)
		if !yes {
			continue
		}
		repeated++
		assert.Equal(t, held, o.basis, "%s repeats a value of %s that its constant is fitted to", o.id, q.Source)
	}
	assert.Greater(t, repeated, 30, "the test finds what is repeated")
}

// A fit foretells a line that it has not seen, and says how far it can be off.
func TestLeftOut(t *testing.T) {
	standard, err := tables.Standard()
	require.NoError(t, err)
	all := leftOut(standard)
	sum := summariseLeftOut(all)
	assert.Greater(t, sum.rows, 200)
	for _, f := range all {
		assert.False(t, math.IsNaN(f.z()) || math.IsInf(f.z(), 0), f.equilibrium.Reaction)
		assert.Equal(t, chem.Log10K, f.observation.Quantity)
	}
	// Where one value alone is known elsewhere, leaving it out is what Fitted.LeaveOut
	// does.
	found := false
	for _, f := range all {
		alone := -1
		for i, o := range f.equilibrium.Observations {
			if o == f.observation {
				alone = i
			}
		}
		near := 0
		for _, o := range f.equilibrium.Observations {
			if o.Used && o.Quantity == chem.Log10K && math.Abs(o.TemperatureC-f.observation.TemperatureC) < sameTemperature && math.Abs(o.IonicStrengthMolPerLitre-f.observation.IonicStrengthMolPerLitre) < sameStrength {
				near++
			}
		}
		if near != 1 {
			continue
		}
		residual, ok := f.equilibrium.LeaveOut(alone)
		require.True(t, ok)
		assert.InDelta(t, -residual, f.difference, 1e-6, f.equilibrium.Reaction)
		found = true
	}
	assert.True(t, found)
}

// made returns the reaction that makes a species.
func made(t *tables.Tables, species string) (tables.Equilibrium, error) {
	f, err := t.Formation(species)
	if err != nil {
		return tables.Equilibrium{}, err
	}
	e, _ := t.EquilibriumAt(f.Steps[0].Equilibrium)
	return e, nil
}
