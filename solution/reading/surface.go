package reading

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// A surface tells what pH a bath of any candidate salt has, without solving for
// it. At a given pH all of them, with any dose of acid, ask for a certain amount
// of strong base to be electrically neutral, when the EDTA is counted as H4edta
// and the acid as it is; that amount grows nearly straight with both. So a few
// titration curves, computed by the solver at nine mixtures of EDTA and acid,
// hold all baths between: the salts differ only in the base they bring along.
// What EDTA is left as solid acid takes no base, and counts as if it were not there.
// Water and other reagents come in to first order, each by a curve of its own.
type surface struct {
	setup    *Setup
	tables   *tables.Tables
	edtaAcid tables.Reagent
	lye      tables.Reagent
	muriatic tables.Reagent

	edta     [nodes]float64 // mol in the vessel
	ratio    [nodes]float64 // g of acid per mol of EDTA
	invert   [nodes][nodes]float64
	base     [][nodes * nodes]float64 // by grid and node
	slope    [][nodes * nodes]float64
	soluble  []float64        // by grid: mol of EDTA that the vessel dissolves
	solubles [][nodes]float64 // and its weights
	water    axis
	others   map[string]axis
	mutex    sync.Mutex // guards others
}

const nodes = 3

// axis is a change of base and slope per unit of something.
type axis struct{ base, slope []float64 }

// mixture is what a vessel holds, in the terms of the surface.
type mixture struct {
	edta  float64 // mol
	acid  float64 // g at its typical assay
	base  float64 // mol of strong base
	water float64 // ions in excess of the typical, as a fraction
	other []dose
}

// dose is an amount of a reagent that has an axis of its own.
type dose struct {
	axis  axis
	grams float64 // at its typical assay
}

func newSurface(t *tables.Tables, s *Setup, lowest, highest float64) (*surface, error) {
	f := &surface{setup: s, tables: t, others: map[string]axis{}}
	var err error
	for _, r := range []struct {
		to *tables.Reagent
		id string
	}{{&f.edtaAcid, "edta-acid"}, {&f.lye, "sodium-hydroxide"}, {&f.muriatic, "muriatic-acid"}} {
		if *r.to, err = t.Reagent(r.id); err != nil {
			return nil, err
		}
	}
	protons := protonsPerGram(s.Acid)
	// Chebyshev nodes in the logarithm for EDTA; acid from none to three
	// protons per EDTA, beyond which the bath is far too sour.
	mid := math.Sqrt(lowest * highest)
	stretch := math.Pow(highest/mid, 0.87)
	f.edta = [nodes]float64{mid / stretch, mid, mid * stretch}
	f.ratio = [nodes]float64{0, 1.2 / protons, 2.8 / protons}
	f.invert = invert3(func(x float64) [nodes]float64 { return [nodes]float64{1, x, x * math.Log(x)} }, f.edta)

	const waters, solid = nodes * nodes, nodes*nodes + 1
	curves := make([]*curve, solid+1)
	errs := make([]error, len(curves))
	var wg sync.WaitGroup
	for k := range curves {
		wg.Go(func() {
			switch k {
			case waters:
				curves[k], errs[k] = f.curve(f.middle(waterProbe), nil, 0)
			case solid:
				var v *solution.Solution
				if v, errs[k] = f.vessel(mixture{edta: f.edta[nodes-1]}); errs[k] == nil {
					f.soluble, errs[k] = saturation(v, f.lye, f.edta[nodes-1])
				}
			default:
				n := f.edta[k/nodes]
				curves[k], errs[k] = f.curve(mixture{edta: n, acid: f.ratio[k%nodes] * n}, nil, 0)
			}
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	f.base = make([][nodes * nodes]float64, len(grid))
	f.slope = make([][nodes * nodes]float64, len(grid))
	for j, p := range grid {
		for k := range nodes * nodes {
			f.base[j][k], f.slope[j][k] = curves[k].at(p)
		}
	}
	f.solubles = make([][nodes]float64, len(grid))
	for j, n := range f.soluble {
		if n < infinite {
			f.solubles[j] = f.edtaWeights(n)
		}
	}
	f.water = f.difference(curves[waters], waterProbe)
	return f, nil
}

// waterProbe is the change of the water at which its axis is measured.
const waterProbe = 0.5

var infinite = math.Inf(1)

// difference returns the change of a curve from the middle node, per unit of
// what is n of.
func (f *surface) difference(c *curve, n float64) axis {
	const middle = nodes*1 + 1
	a := axis{make([]float64, len(grid)), make([]float64, len(grid))}
	for j, p := range grid {
		b, d := c.at(p)
		a.base[j], a.slope[j] = (b-f.base[j][middle])/n, (d-f.slope[j][middle])/n
	}
	return a
}

// middle is the mixture at the middle node.
func (f *surface) middle(water float64) mixture {
	return mixture{edta: f.edta[1], acid: f.ratio[1] * f.edta[1], water: water}
}

// vessel holds a mixture whose EDTA starts out as the acid.
func (f *surface) vessel(m mixture) (*solution.Solution, error) {
	v, err := solution.New(f.tables, f.setup.Temperature)
	if err != nil {
		return nil, err
	}
	if err := v.AddWater(scaled(f.setup.Water, 1+m.water), f.setup.Volume); err != nil {
		return nil, &chem.InputError{Field: "Water", Value: f.setup.Water.Name, Want: "an alkalinity and a pH that go together", Err: err}
	}
	if err := v.AddMoles(f.edtaAcid, unit.Mole(m.edta)); err != nil {
		return nil, err
	}
	return v, v.Add(f.setup.Acid, unit.Mass(m.acid/1000))
}

// curve titrates a mixture, with grams of another reagent if it is given, of
// which nothing may come down as solid acid.
func (f *surface) curve(m mixture, other *tables.Reagent, grams float64) (*curve, error) {
	v, err := f.vessel(m)
	if err != nil {
		return nil, err
	}
	if other != nil {
		if err := v.Add(*other, unit.Mass(grams/1000)); err != nil {
			return nil, err
		}
	}
	if err := v.Bar(acidSolid); err != nil {
		return nil, err
	}
	return titrate(v, f.lye, f.muriatic)
}

// axisOf returns the axis of a reagent that is neither the acid, nor EDTA, nor
// strong base alone.
func (f *surface) axisOf(r tables.Reagent) (axis, error) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if a, ok := f.others[r.ID]; ok {
		return a, nil
	}
	// As much as would matter: a third of an equivalent per EDTA.
	grams := f.edta[1] / 3 / max(math.Abs(protonsPerGram(r)), math.Abs(strongBasePerGram(r)), 1e-3)
	c, err := f.curve(f.middle(0), &r, grams)
	if err != nil {
		return axis{}, err
	}
	a := f.difference(c, grams)
	f.others[r.ID] = a
	return a, nil
}

// weigh returns the weight of each node in a mixture.
func (f *surface) weigh(m *mixture) (w [nodes * nodes]float64) {
	e, r := f.edtaWeights(m.edta), f.acidWeights(m.acid/m.edta)
	for i := range nodes {
		for j := range nodes {
			w[i*nodes+j] = e[i] * r[j]
		}
	}
	return w
}

func (f *surface) edtaWeights(x float64) (e [nodes]float64) {
	y := x * math.Log(x)
	for i := range nodes {
		e[i] = f.invert[i][0] + f.invert[i][1]*x + f.invert[i][2]*y
	}
	return e
}

func (f *surface) acidWeights(r float64) [nodes]float64 {
	a, b, c := f.ratio[0], f.ratio[1], f.ratio[2]
	return [nodes]float64{
		(r - b) * (r - c) / ((a - b) * (a - c)),
		(r - a) * (r - c) / ((b - a) * (b - c)),
		(r - a) * (r - b) / ((c - a) * (c - b)),
	}
}

// lack returns the base that a mixture lacks to be at a pH of the grid.
func (f *surface) lack(m *mixture, w *[nodes * nodes]float64, j int) float64 {
	sum := m.water*f.water.base[j] - m.base + f.sum(m, w, j, &f.base[j])
	for _, o := range m.other {
		sum += o.grams * o.axis.base[j]
	}
	return sum
}

// sum weighs the nodes, by the EDTA that dissolves.
func (f *surface) sum(m *mixture, w *[nodes * nodes]float64, j int, row *[nodes * nodes]float64) float64 {
	sum := 0.0
	for k, x := range w {
		sum += x * row[k]
	}
	if f.soluble[j] < m.edta {
		for i := range nodes {
			all := w[i*nodes] + w[i*nodes+1] + w[i*nodes+2] // weights of acid add up to one
			sum += (f.solubles[j][i] - all) * row[i*nodes]
		}
	}
	return sum
}

func (f *surface) capacity(m *mixture, w *[nodes * nodes]float64, j int) float64 {
	sum := m.water*f.water.slope[j] + f.sum(m, w, j, &f.slope[j])
	for _, o := range m.other {
		sum += o.grams * o.axis.slope[j]
	}
	return sum
}

// pH returns the pH of a mixture. Beyond the grid, where no bath is used, it
// follows the last slope.
func (f *surface) pH(m *mixture) float64 {
	w := f.weigh(m)
	low, high := 0, len(grid)-1
	l, h := math.NaN(), math.NaN()
	for high-low > 1 {
		mid := (low + high) / 2
		if x := f.lack(m, &w, mid); x < 0 {
			low, l = mid, x
		} else {
			high, h = mid, x
		}
	}
	if low == 0 {
		if l = f.lack(m, &w, low); l >= 0 {
			return grid[low] - l/f.capacity(m, &w, low)
		}
	}
	if high == len(grid)-1 {
		if h = f.lack(m, &w, high); h <= 0 {
			return grid[high] - h/f.capacity(m, &w, high)
		}
	}
	dl, dh := f.capacity(m, &w, low), f.capacity(m, &w, high)
	a, b := grid[low], grid[high]
	x := a + (b-a)*l/(l-h)
	for range 30 {
		y, d := hermite(grid[low], grid[high], l, h, dl, dh, x)
		if y < 0 {
			a = x
		} else {
			b = x
		}
		next := x - y/d
		if !(next > a && next < b) {
			next = (a + b) / 2
		}
		if math.Abs(next-x) < 1e-6 {
			return next
		}
		x = next
	}
	return x
}

// lackAt returns the base in mol that a mixture lacks to be at any pH of the
// grid's range; it is negative when there is too much.
func (f *surface) lackAt(m *mixture, pH float64) float64 {
	w := f.weigh(m)
	j := int((pH - grid[0]) / (grid[1] - grid[0]))
	j = max(0, min(j, len(grid)-2))
	y, _ := hermite(grid[j], grid[j+1], f.lack(m, &w, j), f.lack(m, &w, j+1), f.capacity(m, &w, j), f.capacity(m, &w, j+1), pH)
	return y
}

// protonsPerGram returns the mol of H⁺ that a gram of a reagent brings, less
// those that its own base takes up.
func protonsPerGram(r tables.Reagent) float64 {
	for species, n := range r.Components() {
		if species.String() == "H+" {
			return n * r.MolPerGram().Typical
		}
	}
	return 0
}

// strongBasePerGram returns the mol of alkali metal that a gram of a reagent
// brings.
func strongBasePerGram(r tables.Reagent) float64 {
	sum := 0.0
	for species, n := range r.Components() {
		switch species.String() {
		case "Na+", "K+":
			sum += n * r.MolPerGram().Typical
		}
	}
	return sum
}

// scaled returns a water of f times the ions and the alkalinity.
func scaled(w tables.Water, f float64) tables.Water {
	w.Alkalinity *= tables.Alkalinity(f)
	ions := make([]tables.Ion, len(w.Ions))
	for i, ion := range w.Ions {
		ions[i] = tables.Ion{Species: ion.Species, MolPerLitre: ion.MolPerLitre * f}
	}
	w.Ions = ions
	return w
}

// invert3 returns the weights by which values at three nodes give the value of
// a combination of three functions anywhere: weight i is row i times the
// functions.
func invert3(basis func(float64) [nodes]float64, at [nodes]float64) (w [nodes][nodes]float64) {
	var m [nodes][nodes]float64
	for i, x := range at {
		m[i] = basis(x)
	}
	cofactor := func(i, j int) float64 {
		a, b, c, d := (i+1)%nodes, (i+2)%nodes, (j+1)%nodes, (j+2)%nodes
		return m[a][c]*m[b][d] - m[a][d]*m[b][c]
	}
	det := 0.0
	for j := range nodes {
		det += m[0][j] * cofactor(0, j)
	}
	for i := range nodes {
		for j := range nodes {
			w[i][j] = cofactor(i, j) / det
		}
	}
	return w
}
