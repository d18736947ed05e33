package main

import (
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/tables"
)

// The quantities of this file are computed by the library's solver from the
// constants that the textbook itself prints, not from those of the tables.

// tableau is an equilibrium problem with numbers only.
type tableau struct {
	components int
	species    [][]float64
	lnK        []float64
}

func (x *tableau) add(log10K float64, row ...float64) {
	x.species = append(x.species, row)
	x.lnK = append(x.lnK, log10K*math.Ln10)
}

// solve finds the state for totals in mol/L, with the first component held at
// −log10 p unless p is NaN.
func (x *tableau) solve(p float64, totals ...float64) (*equilibrium.Result, error) {
	system, err := equilibrium.New(x.components, x.species, nil)
	if err != nil {
		return nil, err
	}
	c := equilibrium.Conditions{LnK: x.lnK, Total: totals}
	if !math.IsNaN(p) {
		c.Held = make([]bool, x.components)
		c.Held[0] = true
		c.LnHeld = make([]float64, x.components)
		c.LnHeld[0] = -p * math.Ln10
	}
	r := new(equilibrium.Result)
	return r, system.NewWorkspace().Solve(&c, r)
}

func log10Free(r *equilibrium.Result, component int) float64 { return r.LnC[component] / math.Ln10 }

// logAlpha is log10 of the share of a ligand that has no proton, at a pH, by
// its acid constants.
func logAlpha(pH float64, pKa []float64) (float64, error) {
	x := tableau{components: 2} // H, Y
	x.add(0, 1, 0)
	x.protonate(pKa)
	const total = 0.01 // mol/L; the share does not depend on it
	r, err := x.solve(pH, 0, total)
	if err != nil {
		return 0, err
	}
	return log10Free(r, 1) - math.Log10(total), nil
}

func alphaY4(_ *tables.Tables, in *input) (float64, error) {
	a, err := logAlpha(in.number("pH"), in.numbers("pK"))
	return math.Pow(10, a), err
}

func logInverseAlphaY4(_ *tables.Tables, in *input) (float64, error) {
	a, err := logAlpha(in.number("pH"), in.numbers("pK"))
	return -a, err
}

// minimumPH is the pH at which log K conditional reaches a value, found by
// halving.
func minimumPH(_ *tables.Tables, in *input) (float64, error) {
	logK, want, pKa := in.number("log_K"), in.number("log_K_conditional"), in.numbers("pK")
	low, high := 0.0, 14.0
	for high-low > 1e-6 {
		mid := (low + high) / 2
		a, err := logAlpha(mid, pKa)
		if err != nil {
			return 0, err
		}
		if logK+a < want {
			low = mid
		} else {
			high = mid
		}
	}
	return high, nil
}

// chelate is a metal and EDTA at a fixed pH: components M and Y, species M, the
// EDTA that is not bound to M (1/α per Y⁴⁻) and MY.
func chelate(log10K, alphaM, alphaY float64) tableau {
	x := tableau{components: 2}
	x.add(-math.Log10(alphaM), 1, 0)
	x.add(-math.Log10(alphaY), 0, 1)
	x.add(log10K, 1, 1)
	return x
}

func kConditional(_ *tables.Tables, in *input) (float64, error) {
	x := chelate(in.number("log_K"), 1, in.number("alpha_Y4"))
	r, err := x.solve(math.NaN(), 0.01, 0.01)
	if err != nil {
		return 0, err
	}
	return r.C[2] / (r.C[0] * r.C[1]), nil
}

func concentrationY4(_ *tables.Tables, in *input) (float64, error) {
	x := tableau{components: 1}
	x.add(-math.Log10(in.number("alpha_Y4")), 1)
	r, err := x.solve(math.NaN(), in.number("c_edta_M"))
	if err != nil {
		return 0, err
	}
	return math.Exp(r.LnC[0]), nil
}

func freeMetal(_ *tables.Tables, in *input) (float64, error) {
	c := in.number("c_MY_M")
	x := chelate(math.Log10(in.number("K_conditional")), 1, 1)
	r, err := x.solve(math.NaN(), c, c)
	if err != nil {
		return 0, err
	}
	return r.C[0], nil
}

func freeMetalWithExcess(_ *tables.Tables, in *input) (float64, error) {
	v1, v2 := in.number("V1_mL"), in.number("V2_mL")
	x := chelate(math.Log10(in.number("K_conditional")), 1, 1)
	r, err := x.solve(math.NaN(), in.number("c_metal_M")*v1/(v1+v2), in.number("c_edta_M")*v2/(v1+v2))
	if err != nil {
		return 0, err
	}
	return r.C[0], nil
}

// pMInTitration is −log10 of the free metal after V_mL of titrant. With
// alpha_M, the share of unbound metal that is free of an auxiliary ligand,
// K_conditional holds that share too.
func pMInTitration(_ *tables.Tables, in *input) (float64, error) {
	v0, v := in.number("V0_mL"), in.number("V_mL")
	titrand := in.number("c0_M") * v0 / (v0 + v)
	titrant := in.number("ct_M") * v / (v0 + v)
	metal, edta := titrand, titrant
	if in.text("titrand") == "EDTA" {
		metal, edta = titrant, titrand
	}
	in.text("titrant")
	alphaM := in.numberOr("alpha_M", 1)
	x := chelate(math.Log10(in.number("K_conditional")/alphaM), alphaM, 1)
	r, err := x.solve(math.NaN(), metal, edta)
	if err != nil {
		return 0, err
	}
	return -log10Free(r, 0), nil
}

// alphaInAmmonia is the share of a metal that is free of ammonia, by the
// constants that are printed, or else by those of the tables.
func alphaInAmmonia(t *tables.Tables, in *input) (float64, error) {
	x := tableau{components: 2} // NH3, M
	x.add(0, 1, 0)
	if in.has("log_beta") {
		in.text("metal")
		x.add(0, 0, 1)
		for i, log10Beta := range in.numbers("log_beta") {
			x.add(log10Beta, float64(i+1), 1)
		}
	} else if err := x.addAmmines(t, in); err != nil {
		return 0, err
	}
	const total = 1e-3 // mol/L; the share does not depend on it
	r, err := x.solve(-math.Log10(in.number("NH3_M")), 0, total)
	if err != nil {
		return 0, err
	}
	return math.Exp(r.LnC[1]) / total, nil
}

// addAmmines adds what the tables hold of a metal and ammonia.
func (x *tableau) addAmmines(t *tables.Tables, in *input) error {
	m, err := in.formation(t, in.text("metal"))
	if err != nil {
		return err
	}
	nh3, err := in.formation(t, "NH3")
	if err != nil {
		return err
	}
	metal, ligand := m.Coefficients[0].Component, nh3.Coefficients[0].Component
	for _, f := range t.Formations([]int{metal, ligand}, chem.Aqueous) {
		if f.Of(metal) > 0 {
			in.restOn(f)
			x.add(f.Constant.Log10K(in.temperature(), 0.1), f.Of(ligand), f.Of(metal))
		}
	}
	return nil
}
