package equilibrium

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// bathComponents and bathSpecies are the problem that the benchmarks solve: a
// chelant bath with all that a tub of hard tap water, citrate and galvanised
// steel can bring. log β is rounded, at 25 °C near I = 0.1 mol/L; a fact of
// the benchmark, not of the library. To measure on other species, change this
// table.
//
// Source unless noted: NIST SRD 46 v8.0 (Smith, Martell & Motekaitis 2004,
// doi:10.18434/M32154), stepwise constants summed up, hydroxide turned to H⁺
// with pKw = 13.78, rows of other ionic strengths moved to 0.1 by the
// Debye-Hückel term of Medium and rounded. "est." is an estimate of ours.
var bathComponents = []struct {
	name   string
	charge float64
}{
	{"H", 1}, {"Na", 1}, {"Ca", 2}, {"Mg", 2}, {"Fe2", 2}, {"Fe3", 3}, {"Zn", 2}, {"edta", -4}, {"cit", -3}, {"CO3", -2},
}

type bathRow struct {
	name string
	logK float64
	coef map[string]float64
}

var bathSpecies = []bathRow{
	{"H+", 0, c{"H": 1}}, {"Na+", 0, c{"Na": 1}}, {"Ca2+", 0, c{"Ca": 1}}, {"Mg2+", 0, c{"Mg": 1}}, {"Fe2+", 0, c{"Fe2": 1}},
	{"Fe3+", 0, c{"Fe3": 1}}, {"Zn2+", 0, c{"Zn": 1}}, {"edta4-", 0, c{"edta": 1}}, {"cit3-", 0, c{"cit": 1}}, {"CO3 2-", 0, c{"CO3": 1}},
	{"OH-", -13.78, c{"H": -1}},
	{"Hedta", 10.37, c{"H": 1, "edta": 1}}, {"H2edta", 16.50, c{"H": 2, "edta": 1}}, {"H3edta", 19.19, c{"H": 3, "edta": 1}},
	{"H4edta", 21.19, c{"H": 4, "edta": 1}}, {"H5edta", 22.69, c{"H": 5, "edta": 1}}, {"Naedta", 1.86, c{"Na": 1, "edta": 1}},
	{"Hcit", 5.70, c{"H": 1, "cit": 1}}, {"H2cit", 10.05, c{"H": 2, "cit": 1}}, {"H3cit", 12.95, c{"H": 3, "cit": 1}}, {"Nacit", 0.75, c{"Na": 1, "cit": 1}},
	{"HCO3", 9.91, c{"H": 1, "CO3": 1}}, {"H2CO3", 16.04, c{"H": 2, "CO3": 1}}, {"NaCO3", 0.9, c{"Na": 1, "CO3": 1}}, {"NaHCO3", 9.4, c{"Na": 1, "H": 1, "CO3": 1}},
	{"Caedta", 10.65, c{"Ca": 1, "edta": 1}}, {"CaHedta", 13.75, c{"Ca": 1, "H": 1, "edta": 1}},
	{"Cacit", 3.50, c{"Ca": 1, "cit": 1}}, {"CaHcit", 7.77, c{"Ca": 1, "H": 1, "cit": 1}}, {"CaH2cit", 11.05, c{"Ca": 1, "H": 2, "cit": 1}},
	{"CaCO3", 2.4, c{"Ca": 1, "CO3": 1}}, {"CaHCO3", 10.8, c{"Ca": 1, "H": 1, "CO3": 1}}, {"CaOH", -12.82, c{"Ca": 1, "H": -1}},
	{"Mgedta", 8.79, c{"Mg": 1, "edta": 1}}, {"MgHedta", 12.79, c{"Mg": 1, "H": 1, "edta": 1}},
	{"Mgcit", 3.43, c{"Mg": 1, "cit": 1}}, {"MgHcit", 7.55, c{"Mg": 1, "H": 1, "cit": 1}}, {"MgH2cit", 10.75, c{"Mg": 1, "H": 2, "cit": 1}},
	{"MgCO3", 2.1, c{"Mg": 1, "CO3": 1}}, {"MgHCO3", 10.5, c{"Mg": 1, "H": 1, "CO3": 1}}, {"MgOH", -11.6, c{"Mg": 1, "H": -1}},
	{"Fe2edta", 14.30, c{"Fe2": 1, "edta": 1}}, {"Fe2Hedta", 17.19, c{"Fe2": 1, "H": 1, "edta": 1}}, {"Fe2OHedta", 4.7, c{"Fe2": 1, "H": -1, "edta": 1}}, // last est.
	{"Fe2cit", 4.8, c{"Fe2": 1, "cit": 1}}, {"Fe2Hcit", 8.6, c{"Fe2": 1, "H": 1, "cit": 1}}, {"Fe2HCO3", 10.6, c{"Fe2": 1, "H": 1, "CO3": 1}}, {"Fe2CO3", 4.7, c{"Fe2": 1, "CO3": 1}}, // last est.
	{"Fe2OH", -9.58, c{"Fe2": 1, "H": -1}}, {"Fe2(OH)2", -20.5, c{"Fe2": 1, "H": -2}}, {"Fe2(OH)3", -29, c{"Fe2": 1, "H": -3}},
	{"Fe3edta", 25.1, c{"Fe3": 1, "edta": 1}}, {"Fe3Hedta", 26.4, c{"Fe3": 1, "H": 1, "edta": 1}}, {"Fe3OHedta", 17.71, c{"Fe3": 1, "H": -1, "edta": 1}},
	{"(Fe3OHedta)2", 38.2, c{"Fe3": 2, "H": -2, "edta": 2}}, // est.
	{"Fe3cit", 11.2, c{"Fe3": 1, "cit": 1}}, {"Fe3Hcit", 12.4, c{"Fe3": 1, "H": 1, "cit": 1}}, {"Fe3OHcit", 8.5, c{"Fe3": 1, "H": -1, "cit": 1}}, {"(Fe3OHcit)2", 21.2, c{"Fe3": 2, "H": -2, "cit": 2}},
	{"Fe3OH", -2.51, c{"Fe3": 1, "H": -1}}, {"Fe3(OH)2", -6.2, c{"Fe3": 1, "H": -2}}, {"Fe3(OH)4", -22.0, c{"Fe3": 1, "H": -4}}, {"Fe3_2(OH)2", -2.9, c{"Fe3": 2, "H": -2}},
	{"Znedta", 16.5, c{"Zn": 1, "edta": 1}}, {"ZnHedta", 19.5, c{"Zn": 1, "H": 1, "edta": 1}}, {"ZnOHedta", 4.9, c{"Zn": 1, "H": -1, "edta": 1}},
	{"Zncit", 4.9, c{"Zn": 1, "cit": 1}}, {"Zncit2", 6.8, c{"Zn": 1, "cit": 2}}, {"ZnHcit", 8.67, c{"Zn": 1, "H": 1, "cit": 1}},
	{"ZnCO3", 3.9, c{"Zn": 1, "CO3": 1}}, {"ZnOH", -9.08, c{"Zn": 1, "H": -1}}, {"Zn(OH)2", -17.4, c{"Zn": 1, "H": -2}},
}

// Ion products at saturation, the same source: amorphous ferric hydroxide as
// Fe3 - 3 H, and H4edta(s) from its solubility of 0.5 g/L (see the library's
// tables).
var bathSolids = []bathRow{
	{"Fe(OH)3(am)", 3.2, c{"Fe3": 1, "H": -3}},
	{"H4edta(s)", -24.1, c{"edta": 1, "H": 4}},
}

type c = map[string]float64

type bath struct {
	sys                       *System
	species, solids           [][]float64
	lnK, lnKs, total          []float64
	off                       []float64 // +Inf for each solid
	medium                    Medium
	H, Na, Fe3, edta, Zn, cit int
}

func newBath(t testing.TB) *bath {
	at := map[string]int{}
	for i, c := range bathComponents {
		at[c.name] = i
	}
	n := len(bathComponents)
	b := &bath{H: at["H"], Na: at["Na"], Fe3: at["Fe3"], edta: at["edta"], Zn: at["Zn"], cit: at["cit"]}
	m := &b.medium
	m.A, m.B = 0.509, 1.5
	d := m.D(0.1)
	dense := func(rows []bathRow, reaction float64) (out [][]float64, lnK, lnK0, dz2, z2 []float64) {
		for _, r := range rows {
			row := make([]float64, n)
			var z, zz float64
			for name, v := range r.coef {
				row[at[name]] = v
				q := bathComponents[at[name]].charge
				z += v * q
				zz += v * q * q
			}
			out = append(out, row)
			lnK = append(lnK, r.logK*math.Ln10)
			dz := z*z - zz
			if reaction < 0 {
				dz = zz
			}
			dz2 = append(dz2, dz)
			z2 = append(z2, z*z)
			lnK0 = append(lnK0, (r.logK-dz*d)*math.Ln10)
		}
		return out, lnK, lnK0, dz2, z2
	}
	b.species, b.lnK, m.LnK0, m.DZ2, m.Z2 = dense(bathSpecies, 1)
	b.solids, b.lnKs, m.LnKs0, m.DZ2S, _ = dense(bathSolids, -1)
	m.DEps, m.DEpsS = make([]float64, len(b.species)), make([]float64, len(b.solids))
	m.CompZ2, m.CompEps = make([]float64, n), make([]float64, n)
	for i, c := range bathComponents {
		m.CompZ2[i] = c.charge * c.charge
	}
	for range b.lnKs {
		b.off = append(b.off, math.Inf(1))
	}
	s, err := New(n, b.species, b.solids)
	require.NoError(t, err)
	b.sys = s
	// A tub: 0.1 mol/L Na4edta and 0.05 citric acid, brought near pH 7 to 8,
	// in hard water, after a morning of rust and some zinc.
	b.total = make([]float64, n)
	for name, v := range (c{"H": 0.15, "Na": 0.4, "Ca": 0.002, "Mg": 0.0007, "Fe2": 0.003, "Fe3": 0.02, "Zn": 0.001, "edta": 0.1, "cit": 0.05, "CO3": 0.004}) {
		b.total[at[name]] = v
	}
	b.total[b.H] += 0.02 // hydrogen ions of the acid that dissolved the rust's oxide are gone, these were added
	return b
}

func TestBathIsPlausible(t *testing.T) {
	b := newBath(t)
	w, r := b.sys.NewWorkspace(), b.sys.NewResult()
	require.NoError(t, w.Solve(&Conditions{LnK: b.lnK, LnKs: b.off, Total: b.total}, r))
	t.Logf("species %d, components %d, pcH %.3f, steps %d", b.sys.Species(), b.sys.Components(), -r.LnC[b.H]/math.Ln10, r.Iterations)
	require.LessOrEqual(t, r.Residual, 1e-12)
	require.NoError(t, w.Solve(&Conditions{LnK: b.lnK, LnKs: b.lnKs, Total: b.total}, r))
	t.Logf("with solids: %v, steps %d", r.Solid, r.Iterations)
	b.total[b.H] = -0.15
	require.NoError(t, w.Solve(&Conditions{LnK: b.lnK, LnKs: b.lnKs, Total: b.total}, r))
	t.Logf("alkaline, with solids: %v, pcH %.3f, steps %d", r.Solid, -r.LnC[b.H]/math.Ln10, r.Iterations)
}

// TestSolvingAllocatesNothing covers every solve that the benchmarks time.
func TestSolvingAllocatesNothing(t *testing.T) {
	for _, k := range tasks(t) {
		if strings.HasPrefix(k.name, "GeneralNewton") {
			continue // the general-purpose minimiser
		}
		k.run()
		if n := testing.AllocsPerRun(200, func() { k.run() }); n != 0 {
			t.Errorf("%s: %g allocations", k.name, n)
		}
	}
}
