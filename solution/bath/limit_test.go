package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// Fe(III)edta loses a proton with pKa 7.39 at I = 0.1 (Martell, Smith &
// Motekaitis, NIST SRD 46, row 108646): where it is dilute enough not to pair
// up, both forms are equal at p[H] 7.39. Mono- and dihydroxo forms are
// "literature" for the window of EDTA cleaning: below about pH 8 iron stays.
func TestHydrolysisOfFerricChelate(t *testing.T) {
	std := demo.Tables(t)
	v, err := solution.New(std, chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(1e-3))
	for species, n := range map[string]unit.Mole{"Fe(edta)-": 1e-5, "K+": 0.1 + 1e-5, "Cl-": 0.1} {
		require.NoError(t, v.AddSpecies(species, n))
	}
	b, err := bath.New(std, v)
	require.NoError(t, err)
	b, err = b.At(7.39 + chem.DebyeHuckel(0.1, chem.Celsius(25)))
	require.NoError(t, err)
	st, err := b.State()
	require.NoError(t, err)
	require.InDelta(t, 0.1, st.IonicStrengthMolPerLitre, 0.002)
	hydroxo, err := st.Concentration("Fe(OH)(edta)^2-")
	require.NoError(t, err)
	plain, err := st.Concentration("Fe(edta)-")
	require.NoError(t, err)
	require.InDelta(t, 1, hydroxo/plain, 0.1)
}

// Boiler cleaning with EDTA starts near pH 9 to 9.5 and ends at 5 to 6 (trade
// practice, from memory): over that whole window fresh ferric oxide must be
// able to fill the chelant, and beyond pH 12 it must not (Borggaard 1981: EDTA at
// pH 7.5 to 10 takes amorphous oxide and leaves crystalline, used as a soil
// test).
func TestWindowOfPublishedPractice(t *testing.T) {
	b := demo.Pure(t, demo.Tables(t), 0.03, 9, "muriatic acid")
	ferrihydrite, goethite := demo.Oxide(t, "ferrihydrite"), demo.Oxide(t, "goethite")
	for _, pH := range []float64{5, 6, 7, 8, 9, 9.5} {
		l, err := b.Limit(ferrihydrite, pH)
		require.NoError(t, err)
		require.InDelta(t, 1, l.IronPerChelant, 0.05, "pH %g", pH)
	}
	for _, pH := range []float64{10, 11, 12} {
		fresh, err := b.Limit(ferrihydrite, pH)
		require.NoError(t, err)
		old, err := b.Limit(goethite, pH)
		require.NoError(t, err)
		require.Greater(t, fresh.IronPerChelant, 10*old.IronPerChelant, "pH %g", pH) // the ratio is ours: what leaves a tenth leaves it
	}
	// Fe(OH)2(edta)^3- carries iron beyond: from where it is the main complex, a unit of
	// pH takes a factor of ten.
	var beyond []float64
	for _, pH := range []float64{12, 13} {
		l, err := b.Limit(ferrihydrite, pH)
		require.NoError(t, err)
		beyond = append(beyond, l.IronPerChelant)
	}
	require.Less(t, beyond[0], 0.5)
	require.InDelta(t, 10, beyond[0]/beyond[1], 3)
}

// The limit falls as the pH rises, from where EDTA no longer settles as its acid,
// and a more stable oxide gives less.
func TestLimitFallsWithPH(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	oxides, err := bath.CommonOxides(demo.Tables(t))
	require.NoError(t, err)
	var last []bath.Limit
	for _, o := range oxides {
		var window []bath.Limit
		for pH := 4.0; pH <= 12; pH += 0.5 {
			l, err := b.Limit(o, pH)
			require.NoError(t, err)
			if i := len(window); i > 0 {
				require.LessOrEqual(t, l.IronMoles, window[i-1].IronMoles*(1+1e-9), "%s at pH %g", l.Oxide, pH)
			}
			if i := len(window); last != nil {
				require.Less(t, l.IronMoles, last[i].IronMoles, "%s at pH %g", l.Oxide, pH)
			}
			window = append(window, l)
		}
		last = window
	}
}

// Strong acid dissolves oxides without end, and the bath says so. Akaganeite
// gives its chloride up to a neutral bath and ends as ferrihydrite, which then
// sets the limit.
func TestLimitsAtTheEdges(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	_, err := b.Limit(demo.Oxide(t, "ferrihydrite"), 1)
	require.ErrorIs(t, err, bath.ErrLimitless)
	require.ErrorIs(t, err, chem.ErrInput)
	d, err := b.Diagnose(demo.Oxide(t, "ferrihydrite"), 1, demo.Reagent(t, "citric acid"))
	require.NoError(t, err)
	require.InDelta(t, sumFree(t, b), d.After.IronMoles, 1e-9)

	a, err := b.Limit(demo.Oxide(t, "akaganeite"), 8)
	require.NoError(t, err)
	f, err := b.Limit(demo.Oxide(t, "ferrihydrite"), 8)
	require.NoError(t, err)
	require.InDelta(t, f.IronPerChelant, a.IronPerChelant, 0.02)
	require.Less(t, mustLimit(t, b, "goethite", 13).IronPerChelant, 1e-3)
}

func sumFree(t *testing.T, b *bath.Bath) float64 {
	t.Helper()
	all, err := b.Holdings()
	require.NoError(t, err)
	n := 0.0
	for _, h := range all {
		n += h.FreeMoles + h.SettledMoles
	}
	return n
}

func mustLimit(t *testing.T, b *bath.Bath, name string, pH float64) bath.Limit {
	t.Helper()
	l, err := b.Limit(demo.Oxide(t, name), pH)
	require.NoError(t, err)
	return l
}
