package measure

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// What is written comes back as the round number it was asked in.
func TestCustomaryComesBack(t *testing.T) {
	for _, gallons := range []float64{1, 1.5, 2, 3, 5, 10, 15, 20, 55} {
		require.Equal(t, fmt.Sprintf("%g gal", gallons), Customary(FormatVolume(unit.Volume(gallons)*Gallon)))
	}
	for inches, text := range map[float64]string{1: "1 in", 2: "2 in", 3.5: "3 1/2 in", 6: "6 in", 10: "10 in", 24: "24 in", 0.75: "3/4 in"} {
		require.Equal(t, text, Customary(FormatLength(unit.Length(inches)*Inch)))
	}
}

// Factors: NIST Handbook 44, Appendix C (1 lb = 453.59237 g, 1 gal = 3.785411784 L, 1 in = 2.54 cm).
func TestCustomary(t *testing.T) {
	for _, c := range [][2]string{
		{"500 g of salt", "1 lb 1.5 oz of salt"},
		{"460 g", "1 lb"},
		{"83 g (1/3 level cup)", "2.9 oz (1/3 level cup)"},
		{"20 to 22 g, 3.2 L", "20 to 22 g, 3.4 qt"},
		{"40 g to 60 g", "1.4 to 2.1 oz"},
		{"85 g to 86 g", "3 oz"}, // 85/28.35 = 2.998, 86/28.35 = 3.034
		{"900 g to 1.2 kg", "2 lb to 2 lb 10.5 oz"},
		{"54 mm", "2 1/8 in"},
		{"5.4 mm", "3/16 in"},
		{"0.5 mm", "20 mil"},
		{"90 mg/L as CaCO3", "5.3 gpg"},
		{"24 g/L", "3.2 oz/gal"},
		{"0.06 mol/L and 120 mg/L, 12 kg/m³, 30 g/m²", "0.06 mol/L and 120 mg/L, 12 kg/m³, 30 g/m²"},
		{"20 °C (68 °F)", "68 °F"},
		{"100 to 120 °C", "212 to 248 °F"},
		{"warm it by 10 °C", "warm it by 18 °F"},
		{"10 °C warmer", "18 °F warmer"},
		{"5000 cm²", "5.4 ft²"},
		{"25 µm", "1 mil"},
		{"50 µm", "2 mil"},
		{"2 h in pH 7, 3 m of it", "2 h in pH 7, 10 ft of it"},
		{"15 mL", "0.5 fl oz"},
		{"0.1 m", "4 in"},
		{"7 g", "7 g"},
		{"8.9e+03 cm²", "8.9e+03 cm²"},
	} {
		require.Equal(t, c[1], Customary(c[0]))
	}
}

func TestSystemOf(t *testing.T) {
	for system, texts := range map[System][]string{
		US:     {"5 gal", "1 lb 4 oz", "70 F", "70 °F", "3/4 in", "4.50/lb", "2 x 3 ft", "7 gpg"},
		Metric: {"", "20 L", "2 tbsp", "3 cups", "500 g", "5 gal and 500 g", "20 °C", "citric acid", "0.5 m²", "5 lb in 20 L"},
	} {
		for _, text := range texts {
			require.Equal(t, system, SystemOf(text), text)
		}
	}
}

func ExampleCustomary() {
	fmt.Println(Customary("83 g of citric acid in 19 L at 20 °C (68 °F)"))
	// Output: 2.9 oz of citric acid in 5 gal at 68 °F
}
