package solution

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// Surroundings are what a metal and a ligand meet in, beside each other.
type Surroundings struct {
	Temperature   unit.Temperature `json:"temperature_k"`            // 0 to 100 °C
	IonicStrength float64          `json:"ionic_strength_mol_per_l"` // 0 to 10

	// Free is the free concentration of other ligands and metals in mol/L, by the name of their
	// component: {"NH3": 0.1}, {"Na+": 0.1}. What is not listed is taken to be absent.
	Free map[string]float64 `json:"free_components_mol_per_l,omitempty"`
}

// Pair is a metal and a ligand in given surroundings: the conditional constant of their 1:1 complex
// and the side-reaction coefficients that make it up, as functions of pH. With a prime for "in
// whatever form, the main reaction apart", the textbook definitions are
//
//	α_M  = [M′]/[M]      metal that is not with the ligand, over bare metal
//	α_L  = [L′]/[L]      ligand that is not with the metal, over bare ligand
//	α_ML = [(ML)′]/[ML]  complex with its acid and hydroxide forms, over ML
//	K′   = [(ML)′]/([M′][L′]) = K α_ML/(α_M α_L)
//
// (A. Ringbom, Complexation in Analytical Chemistry (1963), chapter 2; G. Schwarzenbach & H.
// Flaschka, Complexometric Titrations, 2nd ed. (1969), chapter 1.) All α are 1 or more.
//
// Forms that hold the metal or the ligand more than once are left out: their share depends on how
// much there is, which a constant cannot tell. Where they matter, ask a [Solution].
type Pair struct {
	metal, ligand string // as errors name them
	around        Surroundings
	logGamma      float64 // log10 γ of H⁺, the pH scale's
	free          []form  // of the metal alone
	loose         []form  // of the ligand alone
	complexes     []form
}

// form is a species with log10 β in the surroundings, what else is free there included.
type form struct {
	species string
	span    chem.Span // of its constant
	logBeta float64
	protons float64
	mixed   bool // it holds some of what else is free
}

// NewPair returns a metal and a ligand, each by formula, name or synonym, in surroundings. Unknown
// names, and a metal and a ligand without a 1:1 complex in the tables, give an error that wraps
// [tables.ErrNotFound].
func NewPair(t *tables.Tables, metal, ligand string, around Surroundings) (*Pair, error) {
	if err := cmp.Or(checkTables(t), checkTemperature(around.Temperature), chem.Within("ionic strength", around.IonicStrength, 0, mostIonic, "mol/L")); err != nil {
		return nil, err
	}
	stock := compiled.StockOf(t)
	m, err := inRole(stock, "metal", metal)
	l, failed := inRole(stock, "ligand", ligand)
	if err = cmp.Or(err, failed); err != nil {
		return nil, err
	}
	p := &Pair{metal: stock.Text[m], ligand: stock.Text[l], around: around, logGamma: -chem.DebyeHuckel(around.IonicStrength, around.Temperature)}
	allowed, others := []int{stock.Proton, m, l}, map[int]float64{} // log10 of mol/L
	for _, name := range slices.Sorted(maps.Keys(around.Free)) {
		amount := around.Free[name]
		i, err := stock.Component(name)
		if err != nil {
			return nil, err
		}
		if err := chem.Within("concentration of "+stock.Text[i], amount, 0, mostIonic, "mol/L"); err != nil {
			return nil, err
		}
		if slices.Contains(allowed, i) {
			return nil, &chem.InputError{Field: "surroundings", Value: stock.Text[i], Want: "components other than the pair and H+, each once"}
		}
		allowed = append(allowed, i)
		others[i] = math.Log10(amount)
	}
	for _, f := range t.Formations(allowed, chem.Aqueous) {
		s := form{f.Species.String(), f.Constant.Span, f.Constant.Log10K(around.Temperature, around.IonicStrength), f.Of(stock.Proton), false}
		for _, c := range f.Coefficients {
			if log, other := others[c.Component]; other {
				s.logBeta, s.mixed = s.logBeta+c.N*log, true
			}
		}
		switch nm, nl := f.Of(m), f.Of(l); {
		case nm == 1 && nl == 1:
			p.complexes = append(p.complexes, s)
		case nm == 1 && nl == 0:
			p.free = append(p.free, s)
		case nm == 0 && nl == 1:
			p.loose = append(p.loose, s)
		}
	}
	if len(p.complexes) == 0 {
		return nil, &chem.InputError{Field: "pair", Value: p.metal + " with " + p.ligand, Want: "a metal and a ligand that have a 1:1 complex in the tables", Kind: tables.ErrNotFound}
	}
	return p, nil
}

func inRole(stock *compiled.Stock, role, name string) (int, error) {
	i, err := stock.Component(name)
	if err == nil && stock.Components[i].Role != role {
		err = &chem.InputError{Field: role, Value: stock.Text[i], Want: "a " + role + " among the components of the tables"}
	}
	return i, err
}

// PairOf returns a metal and a ligand with the constants of a textbook in the place of those of the
// tables: log10 K of the complex between the bare partners, and the acid constants −log10 K of the
// ligand, the most acidic first, from -300 to 300. Activities are concentrations, and the metal and
// the complex have no other forms.
func PairOf(logK float64, pKa ...float64) (*Pair, error) {
	p := &Pair{
		metal: "metal", ligand: "ligand", around: Surroundings{Temperature: chem.ReferenceTemperature},
		free: []form{{}}, loose: []form{{}}, complexes: []form{{logBeta: logK}},
	}
	if err := chem.Within("log10 K", logK, -mostLogK, mostLogK, ""); err != nil {
		return nil, err
	}
	sum := 0.0
	for k, pK := range slices.Backward(pKa) {
		if err := chem.Within(fmt.Sprintf("acid constant %d", k+1), pK, -mostLogK, mostLogK, ""); err != nil {
			return nil, err
		}
		sum += pK
		p.loose = append(p.loose, form{logBeta: sum, protons: float64(len(pKa) - k)})
	}
	return p, nil
}

// log10 returns log10 of the concentration of each form over that of the bare partners, at a pH.
func (p *Pair) log10(forms []form, pH float64) []float64 {
	out := make([]float64, len(forms))
	for k, s := range forms {
		out[k] = s.logBeta - s.protons*p.PConcH(pH)
	}
	return out
}

// logSum returns log10 Σ 10^x without overflow.
func logSum(x []float64) float64 {
	if len(x) == 0 {
		return math.Inf(-1)
	}
	x = slices.Clone(x)
	floats.Scale(math.Ln10, x)
	return floats.LogSumExp(x) / math.Ln10
}

// LogAlphaMetal returns log10 α_M at a pH: side reactions of the metal with OH⁻ and with the other
// ligands.
func (p *Pair) LogAlphaMetal(pH float64) float64 { return logSum(p.log10(p.free, pH)) }

// LogAlphaLigand returns log10 α_L at a pH: side reactions of the ligand with H⁺ and with the other
// metals.
func (p *Pair) LogAlphaLigand(pH float64) float64 { return logSum(p.log10(p.loose, pH)) }

// Fraction returns [L]/[L′] = 1/α_L at a pH, the α_Y4− of many textbooks.
func (p *Pair) Fraction(pH float64) float64 { return math.Pow(10, -p.LogAlphaLigand(pH)) }

// LogK returns log10 K of M + L = ML between bare partners; NaN if the tables have only acid or
// hydroxide forms.
func (p *Pair) LogK() float64 {
	for _, s := range p.complexes {
		if s.protons == 0 && !s.mixed {
			return s.logBeta
		}
	}
	return math.NaN()
}

// LogAlphaComplex returns log10 α_ML at a pH: acid, hydroxide and mixed forms of the complex. NaN
// where LogK is.
func (p *Pair) LogAlphaComplex(pH float64) float64 {
	return logSum(p.log10(p.complexes, pH)) - p.LogK()
}

// LogConditional returns log10 K′ at a pH. It is defined even where LogK is not.
func (p *Pair) LogConditional(pH float64) float64 {
	return logSum(p.log10(p.complexes, pH)) - p.LogAlphaMetal(pH) - p.LogAlphaLigand(pH)
}

// PConcH returns −log10 [H⁺] at a pH: textbook tables of α, which are reckoned with concentrations,
// are read there.
func (p *Pair) PConcH(pH float64) float64 { return pH + p.logGamma }

// PH returns the pH at a −log10 [H⁺].
func (p *Pair) PH(pConcH float64) float64 { return pConcH - p.logGamma }

// EndpointLogK is the log10 K′ from which on a titration of 0.01 mol/L of metal ends within 0.1 %
// (Ringbom 1963, chapter 4: log c K′ of 6 or more), and a chelant takes all of a metal for
// practical purposes.
const EndpointLogK = 8

// Window returns the lowest pH from 0 to 14 at which log10 K′ reaches a value, [EndpointLogK] as a
// rule, and the highest up to which it stays there: below, protons hold the ligand; above,
// hydroxide the metal. If it never does, the error wraps [ErrUnreachable] and tells how far it
// gets.
func (p *Pair) Window(logK float64) (low, high float64, err error) {
	if err := chem.Within("log10 K′", logK, -mostLogK, mostLogK, ""); err != nil {
		return 0, 0, err
	}
	if len(p.complexes) == 0 {
		return 0, 0, &chem.InputError{Field: "pair", Value: "the zero value", Want: "one made by NewPair or PairOf"}
	}
	const perUnit, top = 50, 14
	var grid, values []float64
	for n := range top*perUnit + 1 {
		grid = append(grid, float64(n)/perUnit)
		values = append(values, p.LogConditional(grid[n]))
	}
	first := slices.IndexFunc(values, func(k float64) bool { return k >= logK })
	if first < 0 {
		best := slices.Max(values)
		return 0, 0, fmt.Errorf("%w: log10 K′ of %s with %s is %.1f at most, at pH %.1f; want %.1f",
			ErrUnreachable, p.metal, p.ligand, best, grid[slices.Index(values, best)], logK)
	}
	// edge returns the last pH from one to the next at which it still holds.
	edge := func(in, out int) float64 {
		pH, _ := root.Last(grid[in], grid[out], 0, func(pH float64) (bool, error) { return p.LogConditional(pH) >= logK, nil })
		return pH
	}
	low, high = 0, top
	if first > 0 {
		low = edge(first, first-1)
	}
	if fails := slices.IndexFunc(values[first:], func(k float64) bool { return !(k >= logK) }); fails > 0 {
		high = edge(first+fails-1, first+fails)
	}
	return low, high, nil
}

// Warnings tells which forms that matter at a pH are used beyond the temperature and ionic strength
// of their data.
func (p *Pair) Warnings(pH float64) []Warning {
	var out []Warning
	for _, group := range [][]form{p.free, p.loose, p.complexes} {
		each := p.log10(group, pH)
		all := logSum(each)
		for k, s := range group {
			out = warn(out, s.species, s.span, p.around.Temperature, p.around.IonicStrength, math.Pow(10, each[k]-all))
		}
	}
	return out
}
