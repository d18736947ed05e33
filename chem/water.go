package chem

import (
	"math"

	"gonum.org/v1/gonum/unit"
)

// Celsius returns t degrees Celsius as an absolute temperature.
func Celsius(t float64) unit.Temperature { return unit.Temperature(t + 273.15) }

// GasConstant is R in J/(mol K), exact since the 2019 revision of the SI.
const GasConstant = 8.31446261815324

// MolarVolume returns that of an ideal gas in L/mol at 1 atm.
func MolarVolume(t unit.Temperature) float64 {
	const atmosphere = 101325 // Pa
	return 1000 * GasConstant * float64(t) / atmosphere
}

// ReferenceTemperature is 25 °C, the temperature of most tabulated constants.
const ReferenceTemperature = unit.Temperature(298.15)

// WaterDensity returns the density of air-free water in kg/m³ at 101.325 kPa, within 0.003
// kg/m³ of present standards from 0 °C to 40 °C, whose temperature scale is a later one,
// and within 0.05 kg/m³ at 90 °C: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, equation 16.
func WaterDensity(t unit.Temperature) float64 {
	c := float64(t - Celsius(0))
	num := 999.83952 + c*(16.945176+c*(-7.9870401e-3+c*(-46.170461e-6+c*(105.56302e-9-c*280.54253e-12))))
	return num / (1 + 16.879850e-3*c)
}

// WaterPermittivity returns the relative permittivity (static dielectric constant) of water
// at 101.325 kPa, 0 °C to 100 °C, within 0.05: C. G. Malmberg and A. A. Maryott, J. Res.
// Natl. Bur. Stand. 56 (1956) 1, equation 1.
func WaterPermittivity(t unit.Temperature) float64 {
	c := float64(t - Celsius(0))
	return 87.740 + c*(-0.40008+c*(9.398e-4-c*1.410e-6))
}

// DebyeHuckelA returns the Debye–Hückel coefficient A in (L/mol)^½ for log10 of an activity
// coefficient on the molar scale, e³ (2 N)^½ / (ln 10 · 8π (ε0 εr k T)^{3/2}); 0.51 at 25 °C. See
// R. A. Robinson and R. H. Stokes, Electrolyte Solutions, 2nd ed. (1959), equation 9.7.
func DebyeHuckelA(t unit.Temperature) float64 {
	const (
		e    = 1.602176634e-19  // C, exact
		k    = 1.380649e-23     // J/K, exact
		n    = 6.02214076e23    // 1/mol, exact
		eps0 = 8.8541878128e-12 // F/m, CODATA 2018
	)
	perLitre := n * 1000 // ions per m³ at 1 mol/L
	kT := eps0 * WaterPermittivity(t) * k * float64(t)
	return e * e * e * math.Sqrt(2*perLitre) / (math.Ln10 * 8 * math.Pi * math.Pow(kT, 1.5))
}

// DebyeHuckelB is the coefficient of √I in the denominator of the Debye–Hückel
// term, in (L/mol)^½: that of the specific ion interaction theory (L. Ciavatta, Ann.
// Chim. (Rome) 70 (1980) 551) and, by the Bates–Guggenheim convention, of the pH scale
// (R. P. Buck et al., Pure Appl. Chem. 74 (2002) 2169, equation 7).
const DebyeHuckelB = 1.5

// DebyeHuckel returns D(I, T) = A √I / (1 + 1.5 √I), the Debye–Hückel term for ionic strength I in
// mol/L; 0.109 at 0.1 mol/L and 25 °C. It is NaN for negative I.
func DebyeHuckel(i float64, t unit.Temperature) float64 {
	root := math.Sqrt(i)
	return DebyeHuckelA(t) * root / (1 + DebyeHuckelB*root)
}

// ActivityCoefficient returns γ of an ion of charge z on the molar scale at
// ionic strength I in mol/L:
//
//	log10 γ = −z² D(I, T) + ε I
//
// where ε in L/mol stands for its specific interactions with others. The pH scale takes
// ε = 0; beyond I = 0.1 mol/L a single-ion activity is a convention more than a
// measurement, and pH uncertain by some hundredths (Buck et al. 2002, section 5).
func ActivityCoefficient(z int, epsilon, i float64, t unit.Temperature) float64 {
	return math.Pow(10, -float64(z*z)*DebyeHuckel(i, t)+epsilon*i)
}

// WaterIonProduct returns pKw = −log10 a(H⁺)a(OH⁻)/a(H2O) at zero ionic strength, on the
// molal scale, at the density of water at 101.325 kPa, within 0.01 up to 90 °C; 13.995 at
// 25 °C: W. L. Marshall and E. U. Franck, J. Phys. Chem. Ref. Data 10 (1981) 295, equation 4.
func WaterIonProduct(t unit.Temperature) float64 {
	k := float64(t)
	logDensity := math.Log10(WaterDensity(t) / 1000)
	log := -4.098 - 3245.2/k + 2.2362e5/(k*k) - 3.984e7/(k*k*k) +
		(13.957-1262.3/k+8.5641e5/(k*k))*logDensity
	return -log
}
