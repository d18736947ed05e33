package reading

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"sort"
	"sync"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// A surface tells what pH a bath of any candidate salt has, without solving for it. At a given pH
// all of them, with any dose of what sets the pH, ask for a certain amount of strong base to be
// electrically neutral, when the chelant is counted as its acid and the setter as it is; that
// amount grows nearly straight with both. So a few titration curves, computed by the solver at nine
// mixtures of chelant and setter, hold all baths between: the salts differ only in the base they
// bring along. What chelant is left as solid acid takes no base, and counts as if it were not
// there. Water and other reagents come in to first order, each by a curve of its own.
type surface struct {
	model     *Model
	empty     *solution.Solution // water with the extras, and a trace of all that may come
	lye, sour titrant
	grid      []float64 // pH at which curves are compared, every quarter

	chelant [nodes]float64 // mol in the vessel
	ratio   [nodes]float64 // g of the setter per mol of chelant
	brings  float64        // mol of chelant in a gram of the setter
	water   float64        // carbon dioxide in all forms of the typical water, mmol/L
	inRoom  kept           // in an open vessel
	fizzed  kept           // in any
	extra   float64        // mol of chelant in the extras
	// aftermath is the strong base in mol that a gram of the setter leaves as its gas goes.
	aftermath float64

	planes    [2][]plane   // base and slope, by grid
	soluble   []float64    // by grid: mol of chelant that the vessel dissolves
	saturated [2][]float64 // and the base that it then asks for
	ions, gas *axis
	others    map[string]*axis
	mutex     sync.Mutex // guards others
}

// The columns of a plane: the nodes, chelant first, and the water alone.
const (
	nodes     = 3
	bare      = nodes     // the node of middling chelant and no setter
	middle    = nodes + 1 // of middling setter
	most      = middle + 1
	ofNothing = nodes * nodes
	columns   = ofNothing + 1
)

// plane holds a value for each column.
type plane [columns]float64

// axis is the change of base and of slope per unit of something, by grid, and the mol of
// strong base that is left of a unit of carbonate once its gas has gone.
type axis struct {
	of  [2][]float64
	lye float64
}

// mixture is what a vessel holds, in the terms of the surface.
type mixture struct {
	chelant float64 // mol, that in the setter and the extras apart
	setter  float64 // g at its typical assay
	base    float64 // mol of strong base
	water   float64 // ions in excess of the typical, as a fraction
	gas     float64 // carbon dioxide in excess, mmol in a litre of water
	strange bool    // whether the bag was no salt of the chelant but these powders, one or two
	powders [2]dose
	other   []dose

	strength, level float64 // of the setter, once it is known
}

// dose is an amount of a reagent that has an axis of its own.
type dose struct {
	*axis
	grams float64 // at its typical assay
}

// aired is a mixture out of which the gas has gone of which so much is kept at the target: that
// of the carbonates, and of the water.
func (f *surface) aired(m mixture, pH float64, at kept) mixture {
	doses, soda := m.other, false
	m.other = nil
	for _, d := range doses {
		if m.base += d.grams * d.lye; d.lye == 0 {
			m.other = append(m.other, d)
		}
		soda = soda || d.grams*d.lye > 0
	}
	for i, d := range m.powders {
		if d.axis != nil && d.lye > 0 {
			m.base, m.powders[i], soda = m.base+d.grams*d.lye, dose{}, true
		}
	}
	if f.aftermath > 0 && m.setter > 0 {
		m.base, m.setter, soda = m.base+m.setter*f.aftermath, 0, true
	}
	stays := at.acid + (at.all-at.acid)*math.Pow(10, pH-f.model.setup.PH) // hydrogen carbonate
	if off := stays - f.water*(1+m.water) - m.gas; soda || off < 0 {
		m.gas += off
	}
	return m
}

// kept is what stays dissolved of carbon dioxide at the target, mmol/L: as carbonic acid, and
// in all.
type kept struct{ acid, all float64 }

// air fills in what carbon dioxide there is in the water, and what stays of it in the air of a
// room and where it fizzes.
func (f *surface) air() error {
	n, err := f.empty.Amount(carbonate)
	f.water = float64(n) / float64(f.empty.Volume()) // mol/m³ are mmol/L
	keeps := func(pressure string, chelant float64) (k kept) {
		x, err2 := tables.Find[tables.Kinetic](f.model.basis.tables, pressure)
		v := f.empty.Clone()
		if err = cmp.Or(err, err2, f.fill(v, chelant), v.Open(x.Value.Typical), v.HoldPH(f.model.setup.PH)); err != nil {
			return k
		}
		var st *solution.State
		if st, err = v.Equilibrate(); err != nil {
			return k
		}
		k.acid, err = st.Concentration("H2CO3")
		for _, share := range st.Components {
			if share.Species == carbonate {
				k.all = share.TotalMolPerLitre
			}
		}
		return kept{1000 * k.acid, 1000 * k.all}
	}
	f.inRoom, f.fizzed = keeps("room-carbon-dioxide", 0), keeps("fizz-pressure", f.chelant[1])
	return err
}

// Where curves are computed.
const (
	quarter = 0.25 // of the grid
	// sourest and alkaline bound the grid of the common targets.
	sourest, alkaline = 1.5, 12.75
	// stretch is the place of the outer ones of three Chebyshev nodes, cos 30°.
	stretch = 0.87
	// between and beyond are the acid or base of the middle and the last node in
	// equivalents per mol of chelant. A bath of three is far too sour or too
	// alkaline; where the target asks for more, the nodes move out.
	between, beyond = 1.2, 2.8
	// waterProbe is the change of the water at which its axis is measured.
	waterProbe = 0.5
	// gasProbe is the carbon dioxide at which its axis is measured, mmol/L.
	gasProbe = 1
	// otherProbe is the amount of another reagent at which its axis is measured,
	// in equivalents per mol of chelant: as much as would matter.
	otherProbe = 1.0 / 3
)

func newSurface(m *Model, lowest, highest float64) (*surface, error) {
	f := &surface{model: m, others: map[string]*axis{}}
	if err := f.prepare(lowest, highest); err != nil {
		return nil, err
	}
	last, err := f.reach()
	for k := 0; k < columns && err == nil; k++ {
		c := last
		if k != most {
			c, err = f.curve(f.empty, f.node(k))
		}
		for j := 0; j < len(f.grid) && err == nil; j++ {
			f.planes[0][j][k], f.planes[1][j][k] = c.at(f.grid[j])
		}
	}
	if err != nil {
		return nil, err
	}
	harder, err := f.filled(1 + waterProbe)
	if err != nil {
		return nil, err
	}
	gassy, n := f.empty.Clone(), unit.Mole(gasProbe*float64(m.setup.Volume)) // mmol/L are mol/m³
	if err := cmp.Or(gassy.AddSpecies(carbonate, n), gassy.AddSpecies(proton, 2*n)); err != nil {
		return nil, err
	}
	var errs [3]error
	f.ions, errs[0] = f.axis(harder, waterProbe)
	f.gas, errs[1] = f.axis(gassy, gasProbe)
	errs[2] = f.dissolve()
	return f, cmp.Or(append(errs[:], f.check())...)
}

// axis titrates the middle node in a vessel, with other reagents: so many units of what
// makes the difference.
func (f *surface) axis(v *solution.Solution, units float64, also ...weighed) (*axis, error) {
	c, err := f.curve(v, f.node(middle), also...)
	if err != nil {
		return nil, err
	}
	a := &axis{}
	for j, p := range f.grid {
		base, slope := c.at(p)
		a.of[0] = append(a.of[0], (base-f.planes[0][j][middle])/units)
		a.of[1] = append(a.of[1], (slope-f.planes[1][j][middle])/units)
	}
	return a, nil
}

// prepare fills in what the curves rest on.
func (f *surface) prepare(lowest, highest float64) error {
	s, b := &f.model.setup, f.model.basis
	for p := min(sourest, math.Floor(s.PH-Step)); p <= max(alkaline, math.Ceil(s.PH+Step)); p += quarter {
		f.grid = append(f.grid, p)
	}
	f.planes = [2][]plane{make([]plane, len(f.grid)), make([]plane, len(f.grid))}
	mid := math.Sqrt(lowest * highest)
	out := math.Pow(highest/mid, stretch)
	f.chelant = [nodes]float64{mid / out, mid, mid * out}
	made := b.makeup(f.model.setter)
	f.brings, f.aftermath = made.chelant*made.perGram, made.aired()
	for _, x := range f.model.extras {
		made := b.makeup(x.reagent)
		f.extra += x.grams * made.chelant * made.perGram
	}
	var errs [3]error
	f.lye, errs[0] = newTitrant(b.tables, s.Temperature, 1, sodium, "OH-")
	f.sour, errs[1] = newTitrant(b.tables, s.Temperature, -1, chloride, proton)
	if f.empty, errs[2] = f.filled(1); errs[2] == nil {
		errs[2] = f.air()
	}
	return cmp.Or(errs[:]...)
}

// reach places the nodes of the setter so that every candidate reaches the target between them, as
// far as what dissolves allows, and returns the curve of the node of most setter.
func (f *surface) reach() (c curve, err error) {
	m, made := f.model, f.model.basis.makeup(f.model.setter)
	far := m.salts[0].base // of the candidate that needs most
	for _, k := range m.salts {
		if m.sign < 0 {
			far = max(far, k.base+k.free.High)
		} else {
			far = min(far, k.base+k.free.Low)
		}
	}
	for top := beyond / made.equivalents(); ; top *= 2 {
		f.ratio = [nodes]float64{0, between / beyond * top, top}
		if c, err = f.curve(f.empty, f.node(most)); err != nil {
			return nil, err
		}
		base, _ := c.at(m.setup.PH)
		if m.sign*(base-far*f.chelant[1]) <= 0 || top*f.chelant[1] >= m.setup.most(m.setter) {
			return c, nil
		}
	}
}

// check refuses a setter that moves the pH the other way.
func (f *surface) check() error {
	if x := (portion{setter: true}); x.raises(f, f.model.setup.PH) == (f.model.sign > 0) {
		return nil
	}
	return f.model.refuse(f.model.sign, f.model.setter, map[float64]string{1: "a base", -1: "an acid"}[f.model.sign])
}

// refuse refuses the reagent that is to raise or to lower the pH.
func (m *Model) refuse(sign float64, r tables.Reagent, want string) error {
	field := "Acid"
	if sign > 0 {
		field = "Base"
	}
	return &chem.InputError{Field: field, Value: r.String(), Want: want}
}

// node is the mixture at a node, nothing beyond.
func (f *surface) node(k int) mixture {
	if k >= ofNothing {
		return mixture{}
	}
	n := f.chelant[k/nodes]
	return mixture{chelant: n, setter: f.ratio[k%nodes] * n}
}

// trace, in mol or g, of what may come spares the copies of a vessel a model of their own.
const trace = 1e-15

// filled returns a vessel of water, whose ions are so many times the typical, with the extras.
func (f *surface) filled(ions float64) (*solution.Solution, error) {
	s, b := &f.model.setup, f.model.basis
	v, err := solution.New(b.tables, s.Temperature)
	if err != nil {
		return nil, err
	}
	if err := v.AddWater(s.Water.Times(ions), s.Volume); err != nil {
		return nil, &chem.InputError{Field: "Water", Value: s.Water.Name, Want: "an alkalinity and a pH that go together", Err: err}
	}
	also := append([]weighed{{f.model.setter, trace}}, f.model.extras...)
	if err := cmp.Or(v.AddSpecies(sodium, trace), v.AddSpecies(chloride, trace), f.fill(v, trace, also...), v.Bar(b.barred...)); err != nil {
		return nil, err
	}
	_, err = v.Equilibrate()
	return v, err
}

// fill adds chelant as its acid to a vessel, with the room that it takes up, and reagents.
func (f *surface) fill(v *solution.Solution, chelant float64, also ...weighed) error {
	b := f.model.basis
	parts := maps.Clone(b.rest)
	parts[b.chelant], parts[proton] = 1, b.protons
	for _, name := range slices.Sorted(maps.Keys(parts)) { // one order, one result
		if err := v.AddSpecies(name, unit.Mole(chelant*parts[name])); err != nil {
			return err
		}
	}
	for _, x := range also {
		if err := v.Add(x.reagent, unit.Mass(x.grams)*measure.Gram); err != nil {
			return err
		}
	}
	return v.AddPureWater(unit.Volume(chelant*b.litres) * measure.Litre)
}

// curve titrates a mixture in a copy of a vessel, with other reagents.
func (f *surface) curve(v *solution.Solution, m mixture, also ...weighed) (curve, error) {
	v = v.Clone()
	if err := f.fill(v, m.chelant, append(also, weighed{f.model.setter, m.setter})...); err != nil {
		return nil, err
	}
	return titrate(v, f.lye, f.sour, f.grid[0], f.grid[len(f.grid)-1], stride, "")
}

// dissolve titrates a vessel in which the acid of the chelant may be solid, if there is
// such a solid, and fills in what dissolves of the chelant and what base it asks for.
func (f *surface) dissolve() error {
	var c curve
	if solid := f.model.basis.solid; solid != "" {
		v := f.empty.Clone()
		if err := cmp.Or(v.Allow(solid), f.fill(v, f.chelant[nodes-1])); err != nil {
			return err
		}
		var err error
		if c, err = titrate(v, f.lye, f.sour, f.grid[0], neutral, fine, solid); err != nil {
			return err
		}
	}
	f.saturate(slices.DeleteFunc(c, func(x point) bool { return x.solid == 0 }))
	return nil
}

// neutral is a pH at which no acid of a chelant is left as a solid.
const neutral = 7

// saturate fills in what the vessel dissolves of the chelant, without end where no
// solid is left of the most that there is.
func (f *surface) saturate(c curve) {
	all := f.chelant[nodes-1]
	for _, p := range f.grid {
		n, base, slope := math.Inf(1), 0.0, 0.0
		if len(c) > 1 {
			a, b := c.about(p)
			t := (p - a.pH) / (b.pH - a.pH)
			// It grows by the same factor from step to step.
			if x := math.Pow(all+f.extra-a.solid, 1-t)*math.Pow(all+f.extra-b.solid, t) - f.extra; x < all {
				n = x
				base, slope = hermite(a, b, p)
			}
		}
		f.soluble, f.saturated[0], f.saturated[1] = append(f.soluble, n), append(f.saturated[0], base), append(f.saturated[1], slope)
	}
}

// axisOf returns the axis of a reagent that is neither the setter, nor a salt of the
// chelant, nor strong base alone.
func (f *surface) axisOf(r tables.Reagent) (*axis, error) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if a, ok := f.others[r.ID]; ok {
		return a, nil
	}
	made := f.model.basis.makeup(r)
	grams := otherProbe * f.chelant[1] / made.equivalents()
	a, err := f.axis(f.empty, grams, weighed{r, grams})
	if err != nil {
		return nil, err
	}
	a.lye, f.others[r.ID] = made.aired(), a
	return a, nil
}

// lagrange returns the weights by which values at three places give that of the
// parabola through them at x.
func lagrange(at [nodes]float64, x float64) (w [nodes]float64) {
	a, b, c := x-at[0], x-at[1], x-at[2]
	ab, bc, ca := at[0]-at[1], at[1]-at[2], at[2]-at[0]
	scale := -1 / (ab * bc * ca)
	return [nodes]float64{b * c * bc * scale, c * a * ca * scale, a * b * ab * scale}
}

// weights are those of the columns in a mixture.
type weights struct {
	plane
	all   float64        // mol of chelant, that in the setter included
	total [nodes]float64 // weights of that
}

func (f *surface) weigh(m *mixture) (w weights) {
	if m.strange { // straight in what chelant and setter are added to it
		n, g := m.chelant/f.chelant[1], m.setter/(f.ratio[2]*f.chelant[1])
		w.plane[ofNothing], w.plane[bare], w.plane[most] = 1-n, n-g, g
		return w
	}
	e, r := lagrange(f.chelant, m.chelant), lagrange(f.ratio, m.setter/m.chelant)
	for k := range ofNothing {
		w.plane[k] = e[k/nodes] * r[k%nodes]
	}
	w.all, w.total = m.chelant+m.setter*f.brings, e
	if f.brings > 0 {
		w.total = lagrange(f.chelant, w.all)
	}
	return w
}

// value returns, at a pH of the grid, the base that a mixture asks for (of 0) or how
// that grows with the pH (1), by the chelant that dissolves.
func (f *surface) value(of int, m *mixture, w *weights, j int) float64 {
	row, sum := &f.planes[of][j], m.water*f.ions.of[of][j]+m.gas*f.gas.of[of][j]
	for i := range m.other {
		sum += m.other[i].grams * m.other[i].of[of][j]
	}
	if m.strange {
		for i := range m.powders {
			if o := &m.powders[i]; o.axis != nil {
				sum += o.grams * o.of[of][j]
			}
		}
		return sum + w.plane[ofNothing]*row[ofNothing] + w.plane[bare]*row[bare] + w.plane[most]*row[most]
	}
	for k := range ofNothing {
		sum += w.plane[k] * row[k]
	}
	if f.soluble[j] < w.all {
		sum += f.saturated[of][j]
		for i, x := range w.total {
			sum -= x * row[i*nodes]
		}
	}
	return sum
}

// lack returns the base in mol that a mixture lacks to be at a pH of the grid.
func (f *surface) lack(m *mixture, w *weights, j int) float64 { return f.value(0, m, w, j) - m.base }

// point returns that with its slope.
func (f *surface) point(m *mixture, w *weights, j int) point {
	return point{pH: f.grid[j], base: f.lack(m, w, j), slope: f.value(1, m, w, j)}
}

// pH returns the pH of a mixture. Beyond the grid, where no bath is used, it follows the last
// slope.
func (f *surface) pH(m *mixture) float64 {
	w := f.weigh(m)
	j := max(1, sort.Search(len(f.grid)-1, func(j int) bool { return f.lack(m, &w, j) >= 0 }))
	a, b := f.point(m, &w, j-1), f.point(m, &w, j)
	switch {
	case a.base >= 0:
		return a.pH - a.base/a.slope
	case b.base < 0:
		return b.pH - b.base/b.slope
	}
	x := a.pH + (b.pH-a.pH)*a.base/(a.base-b.base)
	for range refinements {
		y, d := hermite(a, b, x)
		x = max(a.pH, min(x-y/d, b.pH))
	}
	return x
}

// refinements are steps of Newton from the straight line between two points of the grid: they leave
// a ten-thousandth of a unit at most, so that no search with an end of its own is wanted.
const refinements = 2

// lackAt returns the base in mol that a mixture lacks to be at any pH of the
// grid's range; it is negative when there is too much.
func (f *surface) lackAt(m *mixture, pH float64) float64 {
	w := f.weigh(m)
	j := max(0, min(int((pH-f.grid[0])/quarter), len(f.grid)-2))
	y, _ := hermite(f.point(m, &w, j), f.point(m, &w, j+1), pH)
	return y
}
