package reading

import (
	"maps"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// A surface tells what pH a bath of any candidate salt has, without solving for
// it. At a given pH all of them, with any dose of what sets the pH, ask for a
// certain amount of strong base to be electrically neutral, when the chelant is
// counted as its acid and the setter as it is; that amount grows nearly straight
// with both. So a few titration curves, computed by the solver at nine mixtures of
// chelant and setter, hold all baths between: the salts differ only in the base they
// bring along. What chelant is left as solid acid takes no base, and counts as if it
// were not there. Water and other reagents come in to first order, each by a curve
// of its own.
type surface struct {
	model *Model
	empty *solution.Solution // water with the extras, and a trace of all that may come
	lye   titrant
	sour  titrant
	grid  []float64 // pH at which curves are compared

	chelant  [nodes]float64 // mol in the vessel
	ratio    [nodes]float64 // g of the setter per mol of chelant
	invert   [nodes][nodes]float64
	brings   float64 // mol of chelant in a gram of the setter
	extra    float64 // mol of chelant in the extras
	base     []plane // by grid
	slope    []plane
	soluble  []float64        // by grid: mol of chelant that the vessel dissolves
	solubles [][nodes]float64 // and its weights
	water    axis
	others   map[string]axis
	mutex    sync.Mutex // guards others
}

const (
	nodes  = 3
	middle = nodes + 1 // the node of middling chelant and middling setter
)

// plane holds a value for each node, chelant first.
type plane [nodes * nodes]float64

// axis is a change of base and slope per unit of something.
type axis struct{ base, slope []float64 }

// mixture is what a vessel holds, in the terms of the surface.
type mixture struct {
	chelant float64 // mol, that in the setter and the extras apart
	setter  float64 // g at its typical assay
	base    float64 // mol of strong base
	water   float64 // ions in excess of the typical, as a fraction
	other   []dose
}

// dose is an amount of a reagent that has an axis of its own.
type dose struct {
	axis  axis
	grams float64 // at its typical assay
}

// Where curves are computed.
const (
	// stretch is the place of the outer Chebyshev nodes of three, cos 30°.
	stretch = 0.87
	// between and beyond are the acid or base of the middle and the last node in
	// equivalents per mol of chelant. A bath of three is far too sour or too
	// alkaline; where the target asks for more, the nodes move out.
	between, beyond = 1.2, 2.8
	// waterProbe is the change of the water at which its axis is measured.
	waterProbe = 0.5
	// otherProbe is the amount of another reagent at which its axis is measured,
	// in equivalents per mol of chelant: as much as would matter.
	otherProbe = 1.0 / 3
)

func newSurface(m *Model, lowest, highest float64) (*surface, error) {
	f := &surface{model: m, others: map[string]axis{}}
	if err := f.prepare(lowest, highest); err != nil {
		return nil, err
	}
	curves := make([]curve, nodes*nodes+1)
	last, err := f.reach(curves)
	if err != nil {
		return nil, err
	}
	errs := make([]error, len(curves)+1)
	var wg sync.WaitGroup
	for k := range errs {
		wg.Go(func() {
			switch {
			case k == last:
			case k < nodes*nodes:
				curves[k], errs[k] = f.titrate(f.empty, f.node(k), nil, 0)
			case k == nodes*nodes:
				var v *solution.Solution
				if v, errs[k] = f.filled(1 + waterProbe); errs[k] == nil {
					curves[k], errs[k] = f.titrate(v, f.node(middle), nil, 0)
				}
			default:
				errs[k] = f.dissolve()
			}
		})
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	f.base, f.slope = make([]plane, len(f.grid)), make([]plane, len(f.grid))
	for j, p := range f.grid {
		for k := range nodes * nodes {
			f.base[j][k], f.slope[j][k] = curves[k].at(p)
		}
	}
	f.water = f.difference(curves[nodes*nodes], waterProbe)
	return f, f.check()
}

// prepare fills in what the curves rest on.
func (f *surface) prepare(lowest, highest float64) (err error) {
	s := &f.model.setup
	for p := min(1.5, math.Floor(s.Target-s.Step)); p <= max(12.75, math.Ceil(s.Target+s.Step)); p += 0.25 {
		f.grid = append(f.grid, p)
	}
	mid := math.Sqrt(lowest * highest)
	out := math.Pow(highest/mid, stretch)
	f.chelant = [nodes]float64{mid / out, mid, mid * out}
	f.invert = invert3(f.functions, f.chelant)
	chelant := func(r tables.Reagent) float64 { return f.model.basis.makeup(r).chelant * r.MolPerGram().Typical }
	f.brings = chelant(f.model.setter)
	for _, x := range s.Extras {
		f.extra += float64(x.Mass/measure.Gram) * chelant(x.Reagent)
	}
	if f.lye, err = newTitrant(f.model.basis.tables, s.Temperature, "sodium-hydroxide", "Na+"); err != nil {
		return err
	}
	if f.sour, err = newTitrant(f.model.basis.tables, s.Temperature, "muriatic-acid", "Cl-"); err != nil {
		return err
	}
	f.empty, err = f.filled(1)
	return err
}

// reach places the nodes of the setter so that every candidate reaches the target
// between them, as far as what dissolves allows, and returns the node whose curve it
// has computed.
func (f *surface) reach(curves []curve) (node int, err error) {
	const node5 = middle + 1
	m := f.model
	made := m.basis.makeup(m.setter)
	perGram := made.equivalents() * m.setter.MolPerGram().Typical
	far := m.salts[0].base // of the candidate that needs most
	for _, k := range m.salts {
		if m.sign < 0 {
			far = max(far, k.base+k.free.High)
		} else {
			far = min(far, k.base+k.free.Low)
		}
	}
	for top := beyond / perGram; ; top *= 2 {
		f.ratio = [nodes]float64{0, between / beyond * top, top}
		if curves[node5], err = f.titrate(f.empty, f.node(node5), nil, 0); err != nil {
			return node5, err
		}
		base, _ := curves[node5].at(m.setup.Target)
		if m.sign*(base-far*f.chelant[1]) <= 0 || top*f.chelant[1] >= m.setup.most(m.setter) {
			return node5, nil
		}
	}
}

// check refuses a reagent that moves the pH the other way.
func (f *surface) check() error {
	mix := f.node(middle)
	before := f.lackAt(&mix, f.model.setup.Target)
	mix.setter *= 1.1
	after := f.lackAt(&mix, f.model.setup.Target)
	if f.model.sign*(after-before) < 0 {
		return nil
	}
	r, field := f.model.setup.setter()
	want := "an acid"
	if f.model.sign > 0 {
		want = "a base"
	}
	return &chem.InputError{Field: field, Value: r.String(), Want: want}
}

// difference returns the change of a curve from the middle node, per unit of
// what is n of.
func (f *surface) difference(c curve, n float64) axis {
	a := axis{make([]float64, len(f.grid)), make([]float64, len(f.grid))}
	for j, p := range f.grid {
		b, d := c.at(p)
		a.base[j], a.slope[j] = (b-f.base[j][middle])/n, (d-f.slope[j][middle])/n
	}
	return a
}

// node is the mixture at a node.
func (f *surface) node(k int) mixture {
	n := f.chelant[k/nodes]
	return mixture{chelant: n, setter: f.ratio[k%nodes] * n}
}

// filled returns a vessel of water, whose ions are so many times the typical, with
// the extras. Traces of all else that may come spare the copies of the vessel a
// model of their own.
func (f *surface) filled(ions float64) (*solution.Solution, error) {
	const trace = 1e-15 // mol
	s, b := &f.model.setup, f.model.basis
	v, err := solution.New(b.tables, s.Temperature)
	if err != nil {
		return nil, err
	}
	if err := v.AddWater(scaled(s.Water, ions), s.Volume); err != nil {
		return nil, &chem.InputError{Field: "Water", Value: s.Water.Name, Want: "an alkalinity and a pH that go together", Err: err}
	}
	for _, x := range s.Extras {
		if err := v.Add(x.Reagent, x.Mass); err != nil {
			return nil, err
		}
	}
	for _, r := range []tables.Reagent{f.model.setter, f.lye.reagent, f.sour.reagent} {
		if err := v.AddMoles(r, trace); err != nil {
			return nil, err
		}
	}
	if err := f.dissolved(v, trace); err != nil {
		return nil, err
	}
	if b.solid != "" {
		if err := v.Bar(b.solid); err != nil {
			return nil, err
		}
	}
	_, err = v.Equilibrate()
	return v, err
}

// dissolved adds chelant as its acid to a vessel, with the room that it takes up.
func (f *surface) dissolved(v *solution.Solution, moles float64) error {
	b := f.model.basis
	parts := maps.Clone(b.rest)
	parts[b.chelant], parts[proton] = 1, b.protons
	for _, name := range slices.Sorted(maps.Keys(parts)) { // one order, one result
		if err := v.AddSpecies(name, unit.Mole(moles*parts[name])); err != nil {
			return err
		}
	}
	return v.AddPureWater(unit.Volume(moles * b.litres / 1000))
}

// titrate titrates a mixture in a copy of a vessel, with grams of another reagent
// if it is given.
func (f *surface) titrate(v *solution.Solution, m mixture, other *tables.Reagent, grams float64) (curve, error) {
	v = v.Clone()
	if err := f.dissolved(v, m.chelant); err != nil {
		return curve{}, err
	}
	if err := v.Add(f.model.setter, unit.Mass(m.setter/1000)); err != nil {
		return curve{}, err
	}
	if other != nil {
		if err := v.Add(*other, unit.Mass(grams/1000)); err != nil {
			return curve{}, err
		}
	}
	return newCurve(v, f.lye, f.sour, f.grid)
}

// dissolve fills in what a vessel dissolves of the acid of the chelant.
func (f *surface) dissolve() (err error) {
	f.soluble = slices.Repeat([]float64{infinite}, len(f.grid))
	f.solubles = make([][nodes]float64, len(f.grid))
	b := f.model.basis
	if b.solid == "" {
		return nil
	}
	v, n := f.empty.Clone(), f.chelant[nodes-1]
	if err := f.dissolved(v, n); err != nil {
		return err
	}
	if err := v.Allow(b.solid); err != nil {
		return err
	}
	if err := saturation(v, f.lye, b.solid, n, f.grid, f.soluble); err != nil {
		return err
	}
	for j, n := range f.soluble {
		if n < infinite {
			f.solubles[j] = f.chelantWeights(n)
		}
	}
	return nil
}

var infinite = math.Inf(1)

// axisOf returns the axis of a reagent that is neither the setter, nor a salt of the
// chelant, nor strong base alone.
func (f *surface) axisOf(r tables.Reagent, made makeup) (axis, error) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if a, ok := f.others[r.ID]; ok {
		return a, nil
	}
	grams := otherProbe * f.chelant[1] / (made.equivalents() * r.MolPerGram().Typical)
	c, err := f.titrate(f.empty, f.node(middle), &r, grams)
	if err != nil {
		return axis{}, err
	}
	a := f.difference(c, grams)
	f.others[r.ID] = a
	return a, nil
}

// weights are those of the nodes in a mixture.
type weights struct {
	nodes   plane
	chelant float64        // mol, that in the setter included
	all     [nodes]float64 // weights of that
}

func (f *surface) weigh(m *mixture) (w weights) {
	e, r := f.chelantWeights(m.chelant), f.setterWeights(m.setter/m.chelant)
	for i := range nodes {
		for j := range nodes {
			w.nodes[i*nodes+j] = e[i] * r[j]
		}
	}
	w.chelant, w.all = m.chelant+m.setter*f.brings, e
	if f.brings > 0 {
		w.all = f.chelantWeights(w.chelant)
	}
	return w
}

// functions are those of which curves are made, along the chelant: a straight line,
// and the bend that activities and ion pairs give it.
func (f *surface) functions(x float64) [nodes]float64 {
	x = max(x/f.chelant[1], 1e-12)
	return [nodes]float64{1, x, x * math.Log(x)}
}

func (f *surface) chelantWeights(x float64) (e [nodes]float64) {
	y := f.functions(x)
	for i := range nodes {
		e[i] = f.invert[i][0] + f.invert[i][1]*y[1] + f.invert[i][2]*y[2]
	}
	return e
}

func (f *surface) setterWeights(r float64) [nodes]float64 {
	a, b, c := f.ratio[0], f.ratio[1], f.ratio[2]
	return [nodes]float64{
		(r - b) * (r - c) / ((a - b) * (a - c)),
		(r - a) * (r - c) / ((b - a) * (b - c)),
		(r - a) * (r - b) / ((c - a) * (c - b)),
	}
}

// lack returns the base that a mixture lacks to be at a pH of the grid, and capacity
// how it grows with the pH.
func (f *surface) lack(m *mixture, w *weights, j int) float64 {
	sum := m.water*f.water.base[j] - m.base + f.sum(w, j, &f.base[j])
	for _, o := range m.other {
		sum += o.grams * o.axis.base[j]
	}
	return sum
}

func (f *surface) capacity(m *mixture, w *weights, j int) float64 {
	sum := m.water*f.water.slope[j] + f.sum(w, j, &f.slope[j])
	for _, o := range m.other {
		sum += o.grams * o.axis.slope[j]
	}
	return sum
}

// sum weighs the nodes, by the chelant that dissolves.
func (f *surface) sum(w *weights, j int, row *plane) float64 {
	sum := 0.0
	for k, x := range w.nodes {
		sum += x * row[k]
	}
	if f.soluble[j] < w.chelant {
		for i, all := range w.all {
			sum += (f.solubles[j][i] - all) * row[i*nodes]
		}
	}
	return sum
}

// pH returns the pH of a mixture. Beyond the grid, where no bath is used, it
// follows the last slope.
func (f *surface) pH(m *mixture) float64 {
	w := f.weigh(m)
	low, high := 0, len(f.grid)-1
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
			return f.grid[low] - l/f.capacity(m, &w, low)
		}
	}
	if high == len(f.grid)-1 {
		if h = f.lack(m, &w, high); h <= 0 {
			return f.grid[high] - h/f.capacity(m, &w, high)
		}
	}
	dl, dh := f.capacity(m, &w, low), f.capacity(m, &w, high)
	a, b := f.grid[low], f.grid[high]
	x := a + (b-a)*l/(l-h)
	for range 30 {
		y, d := hermite(f.grid[low], f.grid[high], l, h, dl, dh, x)
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
	j := int((pH - f.grid[0]) / (f.grid[1] - f.grid[0]))
	j = max(0, min(j, len(f.grid)-2))
	y, _ := hermite(f.grid[j], f.grid[j+1], f.lack(m, &w, j), f.lack(m, &w, j+1), f.capacity(m, &w, j), f.capacity(m, &w, j+1), pH)
	return y
}

// scaled returns a water of f times the ions and the alkalinity.
func scaled(w tables.Water, f float64) tables.Water {
	w.Alkalinity *= tables.Alkalinity(f)
	w.Ions = slices.Clone(w.Ions)
	for i := range w.Ions {
		w.Ions[i].MolPerLitre *= f
	}
	return w
}

// invert3 returns the weights by which values at three nodes give the value of
// a combination of three functions anywhere: weight i is row i times the
// functions.
func invert3(functions func(float64) [nodes]float64, at [nodes]float64) (w [nodes][nodes]float64) {
	var m [nodes][nodes]float64
	for i, x := range at {
		m[i] = functions(x)
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
