package chem

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Published properties of water, from sources other than the formulas used.
func TestWaterAgainstHandbooks(t *testing.T) {
	for _, c := range []struct {
		what      string
		computed  float64
		published float64
		tolerance float64
		source    string
	}{
		{"density at 4 °C", WaterDensity(Celsius(4)), 999.972, 0.003, "CRC Handbook of Chemistry and Physics, from memory"},
		{"density at 25 °C", WaterDensity(Celsius(25)), 997.047, 0.003, "CRC Handbook of Chemistry and Physics, from memory"},
		{"density at 50 °C", WaterDensity(Celsius(50)), 988.04, 0.02, "CRC Handbook of Chemistry and Physics, from memory"},
		{"density at 90 °C", WaterDensity(Celsius(90)), 965.31, 0.05, "CRC Handbook of Chemistry and Physics, from memory"},
		{"permittivity at 0 °C", WaterPermittivity(Celsius(0)), 87.90, 0.2, "Fernández et al., J. Phys. Chem. Ref. Data 26 (1997) 1125, from memory"},
		{"permittivity at 25 °C", WaterPermittivity(Celsius(25)), 78.41, 0.15, "Fernández et al. 1997, from memory"},
		{"permittivity at 50 °C", WaterPermittivity(Celsius(50)), 69.91, 0.15, "Fernández et al. 1997, from memory"},
		{"Debye–Hückel A at 0 °C", DebyeHuckelA(Celsius(0)), 0.4918, 0.0005, "Robinson & Stokes, Electrolyte Solutions (1959), appendix 7.1, from memory"},
		{"Debye–Hückel A at 25 °C", DebyeHuckelA(Celsius(25)), 0.5115, 0.0005, "Robinson & Stokes (1959), appendix 7.1, from memory"},
		{"Debye–Hückel A at 50 °C", DebyeHuckelA(Celsius(50)), 0.5373, 0.0008, "Robinson & Stokes (1959), appendix 7.1, from memory"},
		{"pKw at 0 °C", WaterIonProduct(Celsius(0)), 14.944, 0.012, "Harned & Robinson, Trans. Faraday Soc. 36 (1940) 973, from memory"},
		{"pKw at 10 °C", WaterIonProduct(Celsius(10)), 14.535, 0.012, "Harned & Robinson 1940, from memory; NIST SRD 46 row 170296 has 14.533"},
		{"pKw at 25 °C", WaterIonProduct(Celsius(25)), 13.997, 0.012, "NIST SRD 46 row 170297"},
		{"pKw at 40 °C", WaterIonProduct(Celsius(40)), 13.535, 0.012, "Harned & Robinson 1940, from memory; NIST SRD 46 row 170298 has 13.544"},
		{"pKw at 60 °C", WaterIonProduct(Celsius(60)), 13.017, 0.03, "Harned & Robinson 1940, from memory"},
	} {
		assert.InDelta(t, c.published, c.computed, c.tolerance, "%s (%s)", c.what, c.source)
	}
}

func TestActivityCoefficient(t *testing.T) {
	// Bates–Guggenheim convention at 0.1 mol/L: −log10 γ = 0.109 (Bates,
	// Determination of pH, 2nd ed. 1973, chapter 4, from memory).
	assert.InDelta(t, 0.109, -math.Log10(ActivityCoefficient(1, 0, 0.1, Celsius(25))), 0.001)
	assert.Equal(t, 1.0, ActivityCoefficient(2, 0.3, 0, Celsius(25)), "no interaction at infinite dilution")
	assert.InDelta(t, 4, math.Log(ActivityCoefficient(2, 0, 0.2, Celsius(25)))/math.Log(ActivityCoefficient(1, 0, 0.2, Celsius(25))), 1e-12,
		"the Debye–Hückel part goes with the square of the charge")
	assert.True(t, math.IsNaN(DebyeHuckel(-0.1, Celsius(25))))
}
