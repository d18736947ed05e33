package titration

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Form is a species by the protons that it holds beyond those of the bare one;
// hydroxide counts as −1.
type Form struct {
	Protons float64 // H⁺ more than the bare species; negative for fewer
	LogBeta float64 // log10 of its constant from the bare species and H⁺
}

// Chelation is one metal and one chelant that bind one to one, with what else
// protons and hydroxide make of each of the three. LogK is that of the bare
// complex; the forms leave out the bare species themselves.
type Chelation struct {
	LogK    float64 // log10 [ML]/([M][L])
	Metal   []Form  // M(OH), M(OH)2 ...
	Ligand  []Form  // HL, H2L ...
	Complex []Form  // MHL, M(OH)L, from ML
}

// Protonation returns the forms of a ligand with these acid constants −log10 K,
// the most acidic first, as tables print them.
func Protonation(pKa ...float64) []Form {
	out := make([]Form, len(pKa))
	sum := 0.0
	for k := range pKa {
		sum += pKa[len(pKa)-1-k]
		out[k] = Form{float64(k + 1), sum}
	}
	return out
}

// NewChelation takes the constants of a metal and a chelant from the tables, as
// quotients of concentrations at an ionic strength in mol/L. Forms with more than
// one metal or ligand, and salts of sodium and potassium, are left out.
func NewChelation(t *tables.Tables, metal, ligand string, temperature unit.Temperature, ionic float64) (Chelation, error) {
	if !(ionic >= 0 && ionic <= 10) {
		return Chelation{}, &solution.InputError{Field: "ionic strength", Value: fmt.Sprintf("%g mol/L", ionic), Want: "0 to 10 mol/L"}
	}
	if !(temperature >= 273.15 && temperature <= 373.15) {
		return Chelation{}, &solution.InputError{Field: "temperature", Value: fmt.Sprintf("%.6g °C", float64(temperature)-273.15), Want: "0 to 100 °C"}
	}
	proton, err := t.Formation("H+")
	if err != nil {
		return Chelation{}, err
	}
	h := proton.Coefficients[0].Component
	// forms of what the names make together, each name once
	forms := func(names ...string) ([]Form, error) {
		between, err := t.Between(names...)
		if err != nil {
			return nil, err
		}
		var parts []int
		for _, name := range names {
			f, err := t.Formation(name)
			if err != nil {
				return nil, err
			}
			parts = append(parts, f.Coefficients[0].Component)
		}
		var out []Form
		for _, f := range between {
			once := f.Species.Phase == proton.Species.Phase
			for _, c := range parts {
				once = once && f.Of(c) == 1
			}
			if once {
				out = append(out, Form{f.Of(h), f.Constant.Log10K(temperature, ionic)})
			}
		}
		return out, nil
	}
	var c Chelation
	found := false
	complexes, err := forms(metal, ligand)
	if err != nil {
		return Chelation{}, err
	}
	for _, f := range complexes {
		if f.Protons == 0 {
			c.LogK, found = f.LogBeta, true
		}
	}
	if !found {
		return Chelation{}, fmt.Errorf("%w: %s and %s have no complex one to one in the tables", ErrNone, metal, ligand)
	}
	for _, f := range complexes {
		if f.Protons != 0 {
			c.Complex = append(c.Complex, Form{f.Protons, f.LogBeta - c.LogK})
		}
	}
	bare := func(name string) ([]Form, error) {
		all, err := forms(name)
		var out []Form
		for _, f := range all {
			if f.Protons != 0 {
				out = append(out, f)
			}
		}
		return out, err
	}
	if c.Metal, err = bare(metal); err != nil {
		return Chelation{}, err
	}
	if c.Ligand, err = bare(ligand); err != nil {
		return Chelation{}, err
	}
	return c, nil
}

// logSide is log10 (1 + Σ β [H]^n), of all forms over the bare one.
func logSide(forms []Form, pH float64) float64 {
	top := 0.0
	for _, f := range forms {
		top = max(top, f.LogBeta-f.Protons*pH)
	}
	sum := math.Pow(10, -top)
	for _, f := range forms {
		sum += math.Pow(10, f.LogBeta-f.Protons*pH-top)
	}
	return top + math.Log10(sum)
}

// LogAlphaLigand returns log10 of the share of the unbound chelant that is bare,
// the textbooks' log α of Y⁴⁻. pH is −log10 of the concentration of H⁺.
func (c Chelation) LogAlphaLigand(pH float64) float64 { return -logSide(c.Ligand, pH) }

// LogAlphaMetal returns log10 of the share of the unbound metal that is bare.
func (c Chelation) LogAlphaMetal(pH float64) float64 { return -logSide(c.Metal, pH) }

// Conditional returns log10 K′ at a pH: bound over unbound metal and unbound
// chelant, in whatever form each is.
func (c Chelation) Conditional(pH float64) float64 {
	return c.LogK + logSide(c.Complex, pH) + c.LogAlphaLigand(pH) + c.LogAlphaMetal(pH)
}

// Needed returns the log10 K′ that a titration needs for a relative error at its
// equivalence point, when that stands at a concentration of metal in mol/L: at
// equivalence the unbound share is (K′c)^−½, from K′ = c/x² (so that 8 is needed
// for a tenth of a per cent at 0.01 mol/L).
func Needed(relative, concentration float64) float64 {
	return -2*math.Log10(relative) - math.Log10(concentration)
}

// Window returns the lowest pH from 0 to 14 at which log10 K′ reaches a value,
// and the highest up to which it stays there: below, protons hold the chelant;
// above, hydroxide the metal. The error wraps [ErrNone] where it is never
// reached.
func (c Chelation) Window(logK float64) (low, high float64, err error) {
	const step = 0.05
	at := func(pH float64) float64 { return c.Conditional(pH) - logK }
	refine := func(a, b float64) float64 {
		pH, _ := crossing(a, at(a), b, at(b), func(pH float64) (float64, error) { return at(pH), nil })
		return pH
	}
	low, high = math.NaN(), 14
	for k := range int(14/step) + 1 {
		pH := float64(k) * step
		switch above := at(pH) >= 0; {
		case above && math.IsNaN(low):
			if low = 0; k > 0 {
				low = refine(pH-step, pH)
			}
		case !above && !math.IsNaN(low):
			return low, refine(pH-step, pH), nil
		}
	}
	if math.IsNaN(low) {
		return 0, 0, fmt.Errorf("%w: log K' reaches %.3g at no pH", ErrNone, logK)
	}
	return low, high, nil
}

// ChelationError returns the relative titration error of a metal titrated with a
// chelant when it ends delta units of pM after equivalence,
//
//	(10^δ − 10^−δ) / √(K′ c)
//
// with the concentration of metal at equivalence in mol/L (A. Ringbom,
// Complexation in Analytical Chemistry, 1963; from memory). It holds for log K′c
// above 4 or so.
func ChelationError(delta, logK, concentration float64) float64 {
	return (math.Pow(10, delta) - math.Pow(10, -delta)) / math.Sqrt(math.Pow(10, logK)*concentration)
}
