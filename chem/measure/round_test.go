package measure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/chelation/chem/measure"
)

// Zeros at the end of a number tell nothing of its third digit: 1000 cm² are 1.076 ft² of
// 929.03 cm², known to a twentieth, and 1010 cm² are 1.087 ft².
func TestZerosAtTheEnd(t *testing.T) {
	for metric, customary := range map[string]string{"1000 cm²": "1.1 ft²", "1010 cm²": "1.09 ft²", "10000 cm²": "11 ft²"} {
		assert.Equal(t, customary, measure.Customary(metric))
	}
}
