package equilibrium

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// bath is the problem that the benchmarks solve: a chelant bath with all that a
// tub of hard tap water, citrate and galvanised steel bring, as package
// solution compiles it from the tables of the library. A test there keeps
// testdata/bath.csv what it is.
type bath struct {
	sys              *System
	species, solids  [][]float64
	lnK, lnKs, total []float64 // at I = 0.1 mol/L; ferrihydrite and H4edta(s) may form
	off              []float64 // +Inf for each solid
	medium           Medium
	ferrihydrite     int
	H, Na, Fe3, Zn   int
	edta, cit        int
}

func newBath(t testing.TB) *bath {
	f, err := os.Open("testdata/bath.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	require.NoError(t, err)
	const columns = 6 // before those of the components
	names := records[0][columns:]
	b := &bath{total: make([]float64, len(names))}
	m := &b.medium
	m.A = chem.DebyeHuckelA(chem.ReferenceTemperature)
	var solids []string
	for _, record := range records[1:] {
		var v []float64
		for _, cell := range record[2:] {
			x, err := strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
			v = append(v, x)
		}
		lnK0, dz2, deps, z2, row := v[0], v[1], v[2], v[3], v[4:]
		switch record[0] {
		case "component":
			m.CompEps, m.CompZ2 = append(m.CompEps, deps), append(m.CompZ2, z2)
		case "species":
			b.species = append(b.species, row)
			m.LnK0, m.DZ2, m.DEps, m.Z2 = append(m.LnK0, lnK0), append(m.DZ2, dz2), append(m.DEps, deps), append(m.Z2, z2)
		case "solid":
			b.solids = append(b.solids, row)
			solids = append(solids, record[1])
			m.LnKs0, m.DZ2S, m.DEpsS = append(m.LnKs0, lnK0), append(m.DZ2S, dz2), append(m.DEpsS, deps)
		}
	}
	b.sys, err = New(len(names), b.species, b.solids)
	require.NoError(t, err)
	d, e := math.Ln10*m.D(0.1), math.Ln10*0.1
	for j, v := range m.LnK0 {
		b.lnK = append(b.lnK, v+m.DZ2[j]*d-m.DEps[j]*e)
	}
	for k, v := range m.LnKs0 {
		if b.off = append(b.off, math.Inf(1)); solids[k] == "Fe(OH)3(s, ferrihydrite)" {
			b.ferrihydrite = k
		} else if solids[k] != "H4edta(s)" {
			v = math.Inf(1)
		}
		b.lnKs = append(b.lnKs, v+m.DZ2S[k]*d-m.DEpsS[k]*e)
	}
	at := func(name string) int {
		i := slices.Index(names, name)
		require.GreaterOrEqual(t, i, 0, name)
		return i
	}
	b.H, b.Na, b.Fe3, b.Zn, b.edta, b.cit = at("H+"), at("Na+"), at("Fe3+"), at("Zn2+"), at("edta4-"), at("cit3-")
	// A tub: 0.1 mol/L Na4edta and 0.05 citric acid in hard water, after a
	// morning of rust and some zinc. H⁺ is what makes it neutral in charge.
	for name, v := range map[string]float64{"H+": 0.0846, "Na+": 0.4, "Ca2+": 0.002, "Mg2+": 0.0007, "Fe2+": 0.003, "Fe3+": 0.02, "Zn2+": 0.001, "edta4-": 0.1, "cit3-": 0.05, "CO3^2-": 0.004} {
		b.total[at(name)] = v
	}
	return b
}

// TestBathIsPlausible holds the bath against what its making asks for: the size, a
// pH where it works, iron in solution, and rust that settles once lye is in it.
func TestBathIsPlausible(t *testing.T) {
	b := newBath(t)
	require.GreaterOrEqual(t, b.sys.species.len(), 60)
	require.GreaterOrEqual(t, b.sys.components, 9)
	w, r := b.sys.NewWorkspace(), new(Result)
	require.NoError(t, w.Solve(&Conditions{LnK: b.lnK, LnKs: b.lnKs, Total: b.total}, r))
	t.Logf("species %d, components %d, pcH %.3f, solids %v, steps %d", b.sys.species.len(), b.sys.components, -r.LnC[b.H]/math.Ln10, r.Solid, r.Iterations)
	require.LessOrEqual(t, r.Residual, 1e-12)
	require.InDelta(t, 7, -r.LnC[b.H]/math.Ln10, 0.5)
	require.Zero(t, r.Solid[b.ferrihydrite])
	b.total[b.H] = -0.15
	require.NoError(t, w.Solve(&Conditions{LnK: b.lnK, LnKs: b.lnKs, Total: b.total}, r))
	t.Logf("alkaline: pcH %.3f, solids %v, steps %d", -r.LnC[b.H]/math.Ln10, r.Solid, r.Iterations)
	require.Positive(t, r.Solid[b.ferrihydrite])
}
