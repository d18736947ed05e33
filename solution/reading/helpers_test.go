package reading

import (
	"testing"

	"github.com/stretchr/testify/require"
	gonum "gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

func standard(t testing.TB) *tables.Tables {
	tb, err := tables.Standard()
	require.NoError(t, err)
	return tb
}

func reagent(t testing.TB, name string) tables.Reagent {
	r, err := standard(t).Reagent(name)
	require.NoError(t, err)
	return r
}

func water(t testing.TB, name string) tables.Water {
	w, err := standard(t).Water(name)
	require.NoError(t, err)
	return w
}

func strip(t testing.TB, name string) tables.Strip {
	s, err := standard(t).Strip(name)
	require.NoError(t, err)
	return s
}

func amount(t testing.TB, text string) measure.Amount {
	a, err := measure.ParseAmount(text)
	require.NoError(t, err)
	return a
}

// tub is the tool library's: level cups from a bag without a label, 20 litres of
// tap water.
func tub(t testing.TB) Setup {
	return Setup{
		Water: water(t, "moderately hard tap water"), Volume: 20e-3, Temperature: chem.Celsius(20),
		Amount: amount(t, "3 cups"), Acid: reagent(t, "citric acid"), Base: reagent(t, "washing soda"),
	}
}

// tetrasodium is a bag with that word on its label, which leaves its water open.
func tetrasodium(t testing.TB) []Candidate {
	var bag []Candidate
	for _, id := range []string{"edta-tetrasodium-anhydrous", "edta-tetrasodium-dihydrate", "edta-tetrasodium-tetrahydrate"} {
		bag = append(bag, Candidate{reagent(t, id), 1})
	}
	return bag
}

func model(t testing.TB, s Setup) *Model {
	m, err := New(standard(t), s)
	require.NoError(t, err)
	return m
}

func infer(t testing.TB, m *Model, events ...Event) *Posterior {
	p, err := m.Infer(events)
	require.NoError(t, err)
	return p
}

func advise(t testing.TB, p *Posterior) *Advice {
	a, err := p.Advise()
	require.NoError(t, err)
	return a
}

func volume(t testing.TB, text string) gonum.Volume {
	v, err := measure.ParseVolume(text)
	require.NoError(t, err)
	return v
}
