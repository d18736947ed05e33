package solution

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
)

var update = flag.Bool("update", false, "write the bath problem of the solver's benchmarks anew")

// bathProblem is where the solver, which knows no tables, reads the problem
// that its benchmarks solve.
const bathProblem = "../chem/equilibrium/testdata/bath.csv"

// TestBathProblem keeps the solver's benchmarks on the library's own problem:
// what a vessel of water, tetrasodium EDTA, citric acid and carbonate amounts
// to once hardness, both irons and zinc are in it.
func TestBathProblem(t *testing.T) {
	s, err := New(standard(t), chem.ReferenceTemperature)
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(litre))
	for _, ion := range []string{"Na+", "Ca^2+", "Mg^2+", "Fe^2+", "Fe^3+", "Zn^2+", "edta^4-", "cit^3-", "CO3^2-"} {
		require.NoError(t, s.AddSpecies(ion, unit.Mole(1e-3)))
	}
	p, err := s.compiledWith()
	require.NoError(t, err)
	got := table(p)
	if *update {
		var b bytes.Buffer
		b.WriteString("# A chelant bath at 25 °C as package solution compiles it from the tables, where the sources are.\n" +
			"# Written by: go test ./solution -run BathProblem -update\n")
		require.NoError(t, csv.NewWriter(&b).WriteAll(got))
		require.NoError(t, os.WriteFile(bathProblem, b.Bytes(), 0o644))
	}
	f, err := os.Open(bathProblem)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	want, err := r.ReadAll()
	require.NoError(t, err)
	const stale = "the tables have moved; go test ./solution -run BathProblem -update writes the file anew"
	require.Len(t, got, len(want), stale)
	for i, row := range want {
		require.Len(t, got[i], len(row), stale)
		for k, cell := range row {
			a, errA := strconv.ParseFloat(cell, 64)
			b, errB := strconv.ParseFloat(got[i][k], 64)
			if errA != nil || errB != nil {
				assert.Equal(t, cell, got[i][k], stale)
			} else if math.Abs(a-b) > 1e-9*(1+math.Abs(a)) {
				assert.Equal(t, a, b, "%s, %s: %s", row[1], want[0][k], stale)
			}
		}
	}
}

// table lists a problem: for components the charge squared and the interaction
// coefficient of their activity, for species and solids ln K0 (of solids, the ion
// product at saturation) and how it moves with ionic strength, and what of each
// component they are made of.
func table(p *compiled.Problem) [][]string {
	d := &p.Medium
	head := []string{"kind", "name", "ln_k0", "dz2", "deps", "z2"}
	out := [][]string{nil}
	line := func(kind, name string, of func(component int) float64, numbers ...float64) {
		for _, c := range p.Members {
			numbers = append(numbers, of(c))
		}
		row := []string{kind, name}
		for _, v := range numbers {
			row = append(row, fmt.Sprintf("%.12g", v))
		}
		out = append(out, row)
	}
	for i, c := range p.Members {
		name := p.Stock.Text[c]
		head = append(head, name)
		itself := func(o int) float64 {
			if o == c {
				return 1
			}
			return 0
		}
		line("component", name, itself, 0, 0, d.CompEps[i], d.CompZ2[i])
	}
	for j, f := range p.Species {
		line("species", f.Species.String(), f.Of, d.LnK0[j], d.DZ2[j], d.DEps[j], d.Z2[j])
	}
	for k, f := range p.Solids {
		line("solid", f.Species.String(), f.Of, d.LnKs0[k], d.DZ2S[k], d.DEpsS[k], 0)
	}
	out[0] = head
	return out
}
