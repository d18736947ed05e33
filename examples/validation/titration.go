package main

import (
	"math"

	"example.com/chelation/tables"
)

// pHInTitration is −log10 [H⁺] after V_mL of strong acid or base, as textbooks
// work it out: concentrations, and the constants that they print. A titrand
// without pK is a strong acid, protons=1, or a strong base, protons=-1; one with
// pK goes in with as many protons as stated.
func pHInTitration(_ *tables.Tables, in *input) (float64, error) {
	v0, v := in.number("V0_mL"), in.number("V_mL")
	titrand := in.number("c0_M") * v0 / (v0 + v)
	titrant := in.number("ct_M") * v / (v0 + v)
	hydrogen := in.number("protons") * titrand
	switch in.text("titrant") {
	case "acid":
		hydrogen += titrant
	case "base":
		hydrogen -= titrant
	default:
		in.refuse("titrant", in.text("titrant"), "acid or base")
	}
	log10Kw := -in.numberOr("pKw", 14)
	if !in.has("pK") {
		x := tableau{components: 1}
		x.add(0, 1)
		x.add(log10Kw, -1)
		return x.pH(hydrogen)
	}
	x := tableau{components: 2} // H, A
	x.add(0, 1, 0)
	x.add(log10Kw, -1, 0)
	x.protonate(in.numbers("pK"))
	return x.pH(hydrogen, titrand)
}

// protonate adds the forms of the second component by its acid constants.
func (x *tableau) protonate(pKa []float64) {
	x.add(0, 0, 1)
	logBeta := 0.0
	for n := 1; n <= len(pKa); n++ {
		logBeta += pKa[len(pKa)-n]
		x.add(logBeta, float64(n), 1)
	}
}

func (x *tableau) pH(totals ...float64) (float64, error) {
	r, err := x.solve(math.NaN(), totals...)
	if err != nil {
		return 0, err
	}
	return -log10Free(r, 0), nil
}
