package main

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// acids are the equations that measurements of cells without junction were fitted to: pKa = A/T - B + C T.
var acids = map[string][3]float64{
	"Hac":    {1170.48, 3.1649, 0.013399},  // Harned & Ehlers 1933
	"H3cit":  {1255.6, 4.5635, 0.011673},   // Bates & Pinching 1949
	"H2cit-": {1585.2, 5.4460, 0.016399},   // the same
	"Hcit2-": {1814.9, 6.3664, 0.022389},   // the same
	"NH4+":   {2835.76, 0.6322, 0.001225},  // Bates & Pinching 1949
	"B(OH)3": {2237.94, 3.305, 0.016883},   // Manov, DeLollis & Acree 1944
	"H3PO4":  {799.31, 4.5535, 0.013486},   // Bates 1951
	"H2PO4-": {1979.5, 5.3541, 0.01984},    // Bates & Acree 1943
	"Hox-":   {1423.8, 6.5007, 0.020095},   // Pinching & Bates 1948
	"Hpht-":  {2175.83, 9.55095, 0.025694}, // Hamer, Pinching & Acree 1945
}

// electrolytes are the interaction parameters of 1:1 salts at 25 °C, Pitzer & Mayorga 1973, J. Phys. Chem. 77, 2300.
var electrolytes = map[string][3]float64{"HCl": {0.1775, 0.2945, 0.0008}, "NaCl": {0.0765, 0.2664, 0.00127}, "KCl": {0.04835, 0.2122, -0.00084}}

// pitzer is the mean activity coefficient of a salt by their equations, at a molality that stands for the molarity.
func pitzer(salt [3]float64, m float64) float64 {
	root := math.Sqrt(m)
	debye := -0.3915 * (root/(1+1.2*root) + 2/1.2*math.Log(1+1.2*root))
	pair := 2*salt[0] + salt[1]/(2*m)*(1-(1+2*root-2*m)*math.Exp(-2*root))
	return math.Exp(debye + m*pair + 1.5*m*m*salt[2])
}

// sizes of ions in water, ångström (Kielland 1937).
var sizes = map[string]float64{"Na": 4.25, "SO4": 4, "CO3": 4.5, "PO4": 4}

// equation is what an equation says of a row, recalled apart from the figure in it, and how near that has to be.
func equation(row map[string]string, g given) (value, within float64) {
	celsius := g.number("T_C")
	kelvin := celsius + 273.15
	parts := strings.Split(row["id"], "-")
	switch row["quantity"] {
	case "pKa":
		if e, ok := acids[g["acid"]]; ok && g["I_M"] == "0" {
			return e[0]/kelvin - e[1] + e[2]*kelvin, 0.004
		}
	case "oxygen_in_water": // Benson & Krause 1984, Limnol. Oceanogr. 29, 620
		return math.Exp(-139.34411 + 1.575701e5/kelvin - 6.642308e7/math.Pow(kelvin, 2) + 1.2438e10/math.Pow(kelvin, 3) - 8.621949e11/math.Pow(kelvin, 4)), 0.006
	case "debye_huckel_A": // with the permittivity of Malmberg & Maryott 1956
		permittivity := 87.740 - 0.40008*celsius + 9.398e-4*celsius*celsius - 1.410e-6*math.Pow(celsius, 3)
		return 1.8246e6 / math.Pow(permittivity*kelvin, 1.5), 0.0002
	case "activity_coefficient":
		if salt, ok := electrolytes[parts[1]]; ok && parts[0] == "gamma" {
			return pitzer(salt, g.number("I_M")), 0.003
		}
		if a, ok := sizes[parts[1]]; ok && parts[0] == "kielland" { // Debye & Hückel's, for an ion of that size
			root := math.Sqrt(g.number("I_M"))
			return math.Pow(10, -0.5085*g.number("z")*g.number("z")*root/(1+0.3281*a*root)), 0.006
		}
	}
	return math.NaN(), 0
}

// Of the figures that are from memory, these follow equations that were recalled apart from them.
func TestRecalledFiguresFollowEquations(t *testing.T) {
	n := 0
	for _, row := range rawRows(t) {
		g := given{}
		for pair := range strings.SplitSeq(row["conditions"], ";") {
			key, value, _ := strings.Cut(pair, "=")
			g[key] = value
		}
		value, within := equation(row, g)
		if math.IsNaN(value) {
			continue
		}
		require.InDelta(t, given(row).number("value"), value, within, row["id"])
		if row["trust"] == string(fromMemory) {
			n++
		}
	}
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.Contains(t, string(text), fmt.Sprintf("Of those from memory %d follow equations", n))
}
