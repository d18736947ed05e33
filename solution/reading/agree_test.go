package reading

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A meter misreads by 0.061, half of the variance from reading to reading, so that two readings
// lie 0.2 apart, 3.3 standard deviations of their difference, with a density of 0.029: a mark of
// 0.01 with 2.9e-4. That one of two is a mistake, one in fifty over 1401 marks, has 2.9e-5. None
// of these is set aside, then, whatever the label foretold, and the bath is where the last two
// agree that it is. Courses that differ by hundredths are different clouds.
func TestMetersThatAgreeAreBelieved(t *testing.T) {
	s := tub(t)
	s.Bag = []Candidate{{reagent(t, "tetrasodium EDTA"), 1}}
	m, meter := model(t, s), strip(t, "pH meter")
	for mark := 515; mark <= 540; mark++ {
		first := float64(mark) / 100
		p := infer(t, m,
			Read{meter, first}, Read{meter, 5.35}, Added{s.Base, amount(t, "11.1 mL")}, Read{meter, 5.8},
			Added{s.Base, amount(t, "158 mL")}, Read{meter, 8.19}, Read{meter, 8.18})
		assert.Less(t, slices.Max(p.gross), doubtful, "first read %.2f", first)
		assert.InDelta(t, 8.19, p.PH().Typical, 1)
	}
}
