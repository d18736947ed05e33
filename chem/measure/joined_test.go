package measure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/chelation/chem/measure"
)

// What is rewritten in a text does not hang on what stands before or behind it, measures or not.
func TestCustomaryTextsJoin(t *testing.T) {
	parts := []string{
		"19 L of tap water", "5 g/mol", "54 mm long", "a bath of 24 g/L", "from 10 to 20 °C", "3 °C warmer", "0.02 mol/L", "2 kg and 500 g", "M8 and 7mm", "90 mg/L as CaCO3",
		"1.5e-3 L", "0.3 g", "nothing measured", "64 °F", "18 °C (64 °F)", "10 cm by 25 cm", "40 µm of rust",
	}
	for _, a := range parts {
		for _, b := range parts {
			assert.Equal(t, measure.Customary(a)+"; "+measure.Customary(b), measure.Customary(a+"; "+b))
		}
	}
	assert.Equal(t, "5 g/mol in 5 gal", measure.Customary("5 g/mol in 19 L"))
}
