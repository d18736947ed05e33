package bath_test

import (
	"io/fs"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// without returns the standard tables with some lines of their data left out
// or replaced.
func without(t *testing.T, edit func(line string) (string, bool)) *tables.Tables {
	t.Helper()
	data := fstest.MapFS{}
	root := os.DirFS("../../tables/data")
	edits := 0
	require.NoError(t, fs.WalkDir(root, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := fs.ReadFile(root, path)
		if err != nil {
			return err
		}
		var lines []string
		for line := range strings.Lines(string(content)) {
			kept, ok := edit(line)
			if kept != line || !ok {
				edits++
			}
			if ok {
				lines = append(lines, kept)
			}
		}
		data[path] = &fstest.MapFile{Data: []byte(strings.Join(lines, ""))}
		return nil
	}))
	require.Equal(t, 12, edits, "lines of the data that this test means to change")
	std, err := new(tables.Tables).With(data)
	require.NoError(t, err)
	return std
}

// An estimate of our own for a closed bath of 0.03 mol/L Na4(edta), brought to
// the start pH with citric acid, over unlimited rust: iron per EDTA and final
// pH. It rests on single constants at I = 0.1 moved by Davies.
//
// Computed properly the bath takes more, and for five reasons that this test
// shows: the estimate had no dimers of the iron(III) complexes, no second hydroxo complex
// with EDTA and no complex with two citrates, it counted
// log K of lepidocrocite as about 1.35 and of goethite as about −0.5 where the
// tables have 1.83 and 0.3 (both lie inside the spread of the sources), and its
// pH was that of the concentration of H⁺. With these put back the estimate
// comes out again.
func TestProtonLimitAgainstEstimate(t *testing.T) {
	std := demo.Tables(t)
	rough := without(t, func(line string) (string, bool) {
		if strings.HasPrefix(line, "2 Fe(OH)(edta)^2- = Fe2(OH)2(edta)2^4-") ||
			strings.HasPrefix(line, "2 Fe3+ + 2 cit3- + 2 H2O = Fe2(OH)2(cit)2^2-") ||
			strings.Contains(line, ",schwarzenbach1951,") || strings.Contains(line, ",vukosav2012,") {
			return "", false
		}
		const goethite, lepidocrocite = `"FeOOH(s, goethite) + 3 H+ = Fe3+ + 2 H2O",log K,25,0,,`, `"FeOOH(s, lepidocrocite) + 3 H+ = Fe3+ + 2 H2O",log K,25,0,,`
		for _, change := range [][2]string{
			{lepidocrocite + "1.83,", lepidocrocite + "1.35,"},
			{goethite + "0.49,", goethite + "-0.5,"}, {goethite + "0.13,", goethite + "-0.5,"},
		} {
			line = strings.Replace(line, change[0], change[1], 1)
		}
		return line, true
	})
	for _, tc := range []struct {
		oxide    string
		start    float64
		estimate float64 // iron per EDTA
		end      float64 // final pH, 0 where the estimate does not say
		// computed with the tables as they are, a record for whoever changes them
		computed, computedEnd float64
	}{
		{"ferrihydrite", 7, 0.55, 10.4, 1.08, 10.7},
		{"lepidocrocite", 7, 0.42, 9.4, 0.78, 10.0},
		{"goethite", 7, 0.18, 8.3, 0.42, 9.3},
		{"ferrihydrite", 5, 1.1, 0, 1.49, 6.9},
		{"lepidocrocite", 5, 1.0, 0, 1.48, 6.9},
		{"goethite", 5, 0.98, 0, 1.44, 6.8},
	} {
		proper, err := demo.Pure(t, std, 0.03, tc.start, "citric acid").Drift(demo.Oxide(t, tc.oxide), 2)
		require.NoError(t, err)
		last := proper[len(proper)-1]
		t.Logf("start %g, %-13s: estimate %.2f ends %.1f; computed %.3f ends %.2f", tc.start, tc.oxide, tc.estimate, tc.end, last.IronPerChelant, last.PH)
		require.InDelta(t, tc.computed, last.IronPerChelant, 0.03, tc.oxide)
		require.InDelta(t, tc.computedEnd, last.PH, 0.15, tc.oxide)

		o, err := bath.FindOxide(rough, tc.oxide)
		require.NoError(t, err)
		b := demo.Pure(t, rough, 0.03, tc.start, "citric acid")
		drift, err := b.Drift(o, 2)
		require.NoError(t, err)
		last = drift[len(drift)-1]
		require.InDelta(t, tc.estimate, last.IronPerChelant, 0.04, "%s from pH %g, the estimate's way", tc.oxide, tc.start)
		if tc.end > 0 {
			pConcH := last.PH - chem.DebyeHuckel(last.IonicStrengthMolPerLitre, chem.Celsius(25))
			require.InDelta(t, tc.end, pConcH, 0.1, "%s from pH %g, the estimate's way", tc.oxide, tc.start)
		}
	}
}

// More rust never lowers the pH of a closed neutral bath: not when all of it is
// made to dissolve, as ferric oxide, nor when as much dissolves as can. (Magnetite
// made to dissolve beyond its limit is left out. At pH 12 its iron(II) drives
// iron(III) out of the chelate, which comes down and takes hydroxide along; but
// it would never go that far by itself.)
func TestRustNeverLowersThePH(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 3))
	for range 40 {
		x := demo.Recipe(t)
		x.Amount = measure.AmountOfMass(unit.Mass(0.1 + 0.9*r.Float64()))
		x.PH = 6.5 + 1.5*r.Float64()
		b := demo.Mix(t, x)
		o := demo.Oxide(t, []string{"ferrihydrite", "lepidocrocite", "goethite", "magnetite", "hematite"}[r.IntN(5)])
		drift, err := b.Drift(o, 12)
		require.NoError(t, err)
		for i, p := range drift[1:] {
			require.GreaterOrEqual(t, p.PH, drift[i].PH-1e-9, "%s from pH %.2f", o.Name, x.PH)
			require.LessOrEqual(t, p.FreeChelantMolPerLitre, drift[i].FreeChelantMolPerLitre+1e-12, "%s from pH %.2f", o.Name, x.PH)
			require.InDelta(t, p.RustGrams*bath.IronMolarMass/o.Grams(1), p.IronDissolvedGrams, 1e-6*p.RustGrams, "%s from pH %.2f", o.Name, x.PH)
		}
		if o.Name == "magnetite" {
			continue
		}
		last := drift[0].PH
		for range 12 {
			require.NoError(t, b.Dissolve(o, unit.Mass(20*r.Float64())*measure.Gram))
			st, err := b.State()
			require.NoError(t, err)
			require.GreaterOrEqual(t, st.PH, last-1e-9, "%s from pH %.2f", o.Name, x.PH)
			last = st.PH
		}
	}
}
