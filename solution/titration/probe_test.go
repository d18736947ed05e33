package titration_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// Every component can be followed, the first and the last as well: what is read is −log10 of
// its free concentration, and pH of H⁺ alone. Of what only the burette holds there is none
// before it is opened, so that a fit takes no reading there. Dyes of metals are judged where
// something else than H⁺ is followed, and the steps of acids where H⁺ is.
func TestEveryComponentIsFollowed(t *testing.T) {
	sample := mix(t, 50, map[string]float64{"Ca2+": 0.002, "Mg2+": 0.001, "Hac": 0.01, "Cl-": 0.006})
	titrant := mix(t, 100, map[string]float64{"Na+": 0.06, "edta4-": 0.01, "OH-": 0.02})
	way, _, err := sample.Path(titrant)
	require.NoError(t, err)
	require.Greater(t, len(way.Members), 4)
	metals, later := 0, 0
	for i := range way.Members {
		name := way.Member(i).Species.String()
		run, err := titration.New(sample, titrant, name)
		require.NoError(t, err)
		require.Contains(t, run.Quantity(), map[bool]string{true: "pH", false: name}[i == 0])
		p, err := run.At(5*mL, name)
		require.NoError(t, err)
		want := -math.Log10(p.MolPerLitre[0])
		if i == 0 {
			want = p.PH
		}
		require.InDelta(t, want, p.P, 1e-9, name)

		first, err := run.At(0)
		require.NoError(t, err)
		absent := i > 0 && way.Start[i] == 0
		require.Equal(t, absent, math.IsInf(first.P, 1), name)
		readings := []titration.Reading{{ML: 0, P: 5}, {ML: 5, P: p.P}, {ML: 10, P: 6}}
		_, err = run.Fit(context.Background(), readings, titration.Fitting{}, titration.Offset)
		if absent {
			later++
			require.ErrorIs(t, err, chem.ErrInput, name)
			require.ErrorContains(t, err, "volume of reading 1")
		} else {
			require.NoError(t, err, name)
		}

		verdicts, err := run.Judge(context.Background(), tables.All[tables.Indicator](demo.Tables(t)), 15*mL, 30*mL, 0.02)
		require.NoError(t, err)
		require.NotEmpty(t, verdicts)
		for _, v := range verdicts {
			require.Equal(t, i == 0, indicator(t, v.Indicator).Kind == tables.AcidBase, "%s by %s", v.Indicator, name)
		}
		steps, err := run.Equivalents(60 * mL)
		require.NoError(t, err)
		acid := 0
		for _, e := range steps {
			if strings.HasPrefix(e.Balance, "H+") {
				acid++
			}
		}
		require.Equal(t, i == 0, acid > 0, "%s: %v", name, steps)
		if way.Member(i).Class.Metal() {
			metals++
		}
	}
	require.GreaterOrEqual(t, metals, 2)
	require.GreaterOrEqual(t, later, 2, "sodium and EDTA")
}

// Every species of both vessels can be asked for, the first and the last, and all that is
// dissolved or settled adds up to what was put in.
func TestEverySpeciesIsTold(t *testing.T) {
	sample := mix(t, 50, map[string]float64{"Ca2+": 0.02, "Mg2+": 0.01, "Cl-": 0.06})
	titrant := mix(t, 100, map[string]float64{"Na+": 0.2, "OH-": 0.1, "CO3^2-": 0.05})
	way, _, err := sample.Path(titrant)
	require.NoError(t, err)
	run, err := titration.New(sample, titrant, "Ca2+")
	require.NoError(t, err)
	const ml = 20.0
	p, err := run.At(ml*mL, way.Text...)
	require.NoError(t, err)
	require.Len(t, p.MolPerLitre, len(way.Species)+len(way.Solids))
	st, err := run.State(ml * mL)
	require.NoError(t, err)
	sums := make([]float64, len(way.Members))
	settled := 0.0
	for j, c := range p.MolPerLitre {
		for i, n := range way.Composition(j) {
			sums[i] += n * c * st.VolumeLitres
		}
		if j >= len(way.Species) {
			settled += c
		}
	}
	require.Positive(t, settled)
	for i, sum := range sums {
		require.InDelta(t, way.Start[i]+way.Rate[i]*ml/1000, sum, 1e-9, way.Member(i).Species.String())
	}
}
