package reading

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// What is not known of the acid is not known of the bath that took it: after 110 g of
// an acid that holds between half and all of what its label says, the range of pH is
// wider than after as much of one that holds three quarters exactly, if all that is told is right.
func TestBeliefKnowsTheAcidsAssay(t *testing.T) {
	width := func(assay tables.Range) float64 {
		s := tub(t)
		s.Amount = amount(t, "500 g")
		s.Bag = []Candidate{{reagent(t, "edta-tetrasodium-tetrahydrate"), 1}}
		s.Acid.Assay = assay
		right, _ := model(t, s).sound()
		pH := infer(t, right, Added{s.Acid, amount(t, "110 g")}).PH()
		return pH.High - pH.Low
	}
	exact := width(tables.Range{Low: 0.75, Typical: 0.75, High: 0.75})
	open := width(tables.Range{Low: 0.5, Typical: 0.75, High: 1})
	t.Logf("pH known to %.2f with an exact acid, %.2f with one of half to all", exact, open)
	require.Greater(t, open, 1.1*exact)
}
