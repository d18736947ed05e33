package reading

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Two readings that agree with each other win over a label: a bath that reads 4 twice
// gets no acid, and the bag is what is suspected.
func TestReadingsWinOverALabel(t *testing.T) {
	s := tub(t)
	s.Bag = tetrasodium(t)[2:]
	m, universal := model(t, s), strip(t, "universal strip")
	p := infer(t, m, Read{universal, 4}, Read{universal, 4})
	assert.Less(t, slices.Max(p.gross), doubtful)
	a := advise(t, p)
	assert.Less(t, a.PH.High, 6.0)
	assert.False(t, a.Action == Add && a.Reagent == s.Acid.Name)
	suspects := p.Suspects()
	require.NotEmpty(t, suspects)
	assert.Contains(t, []string{"label", "else"}, suspects[0].Doubt)
	assert.NotEmpty(t, suspects[0].Tell)
	assert.Empty(t, infer(t, m, Read{universal, 11}).Suspects(), "what fits speaks against nothing")
}

// Three readings of 10 after 83 g of acid, which would do if all were as told, are no
// reason to stop.
func TestNoStopAgainstReadings(t *testing.T) {
	s := tub(t)
	universal := strip(t, "universal strip")
	for _, bag := range [][]Candidate{nil, tetrasodium(t)[2:]} {
		s.Bag = bag
		p := infer(t, model(t, s), Read{universal, 11}, Added{s.Acid, amount(t, "83 g")}, Read{universal, 10}, Read{universal, 10}, Read{universal, 10})
		a := advise(t, p)
		assert.NotEqual(t, Stop, a.Action)
		assert.Greater(t, a.PH.Typical, 8.5)
		assert.NotEmpty(t, p.Suspects())
	}
}

// Nothing is poured on a reading that is set aside, and one that is odd is read again.
func TestNoPourOnWhatIsSetAside(t *testing.T) {
	s := tub(t)
	m, universal := model(t, s), strip(t, "universal strip")
	for _, odd := range []float64{1, 3, 13, 14} {
		p := infer(t, m, Read{universal, 11}, Read{universal, 11}, Added{s.Acid, amount(t, "40 g")}, Read{universal, odd})
		assert.Equal(t, Look, advise(t, p).Action, "pH %g", odd)
	}
}

// What the readings contradict makes the pour smaller: at the same pH, the acid that is
// safe is less after a reading that does not fit what went in.
func TestContradictionPoursLess(t *testing.T) {
	s := tub(t)
	s.Bag = tetrasodium(t)[2:]
	m, universal := model(t, s), strip(t, "universal strip")
	fits := advise(t, infer(t, m, Read{universal, 11}, Read{universal, 11}))
	odd := advise(t, infer(t, m, Read{universal, 11}, Added{s.Acid, amount(t, "83 g")}, Read{universal, 10}, Read{universal, 10}))
	require.Equal(t, Add, fits.Action)
	require.Equal(t, Add, odd.Action)
	assert.Less(t, odd.Weighed.MassGrams/odd.NeedGrams.Typical, fits.Weighed.MassGrams/fits.NeedGrams.Typical)
}
