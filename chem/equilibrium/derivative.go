package equilibrium

import (
	"errors"
	"math"
)

// ErrUnsolved is returned by the derivatives of a workspace whose last solve
// failed or that has not solved anything.
var ErrUnsolved = errors.New("equilibrium: no answer to differentiate")

// A Change is a small change of the conditions, or the gradient of something
// with respect to them. A nil slice stands for zeros.
type Change struct {
	Total  []float64 // per component, mol/L; of held components without effect
	LnK    []float64 // per species (with a Medium: of LnK0)
	LnKs   []float64 // per solid (with a Medium: of LnKs0)
	LnHeld []float64 // per component; without effect where not held
}

// A Response is the change of the answer that follows from a change of the
// conditions, or the weights of a linear function of the answer. In weights a nil
// slice stands for zeros.
type Response struct {
	LnC   []float64 // per component
	C     []float64 // per species, mol/L
	Solid []float64 // per solid, mol/L
	Total []float64 // per component, mol/L; the implied total where held
	Ionic float64   // mol/L; zero without a Medium
}

// derivative is what both directions of differentiation need.
type derivative struct {
	current  bool      // chol belongs to the present answer
	chol     []float64 // of ν diag(c) νᵀ in the frame in use
	dt, da   []float64 // unknown components, living species
	db       []float64 // living solids
	off      []float64
	ts       []float64 // per slot
	e        []float64 // per species: d ln c
	y        []float64
	held     []float64
	unit     Response // with a Medium: the answer's derivative by I at constant input
	unitSum  float64  // ½ Σ z² dc/dI
	gradient Change   // scratch of Uncertainty
	weight   Response
}

func (d *derivative) init(s *System) {
	n, m, k := s.components, s.Species(), s.Solids()
	f := func(n int) []float64 { return make([]float64, n) }
	*d = derivative{
		chol: f(n * n), dt: f(n), da: f(m), db: f(k), off: f(n), ts: f(n), e: f(m), y: f(n), held: f(n),
	}
	d.unit.fit(s)
	d.gradient.fit(s)
	d.weight.fit(s)
}

func (r *Response) fit(s *System) {
	r.LnC, r.C = fit(r.LnC, s.components), fit(r.C, s.Species())
	r.Solid, r.Total = fit(r.Solid, s.Solids()), fit(r.Total, s.components)
}

func (c *Change) fit(s *System) {
	c.Total, c.LnK = fit(c.Total, s.components), fit(c.LnK, s.Species())
	c.LnKs, c.LnHeld = fit(c.LnKs, s.Solids()), fit(c.LnHeld, s.components)
}

// Respond differentiates the last answer of w in the direction of change:
// exact to first order, from the Hessian at the answer and without finite
// differences; after a solve with a [Medium], through the loop on ionic
// strength too. The set of solids that are present is taken as fixed.
// Components that are removed stay so: their derivatives are zero. It fails
// with [ErrUnsolved] or an [*InputError] for a slice of the wrong length.
func (w *Workspace) Respond(change *Change, out *Response) error {
	if err := w.differentiable(change, nil); err != nil {
		return err
	}
	out.fit(w.sys)
	w.tangent(change, 0, out)
	if w.medium != nil {
		di := w.halfZ2(out.C) / (1 - w.der.unitSum)
		u := &w.der.unit
		axpy(di, u.LnC, out.LnC)
		axpy(di, u.C, out.C)
		axpy(di, u.Solid, out.Solid)
		axpy(di, u.Total, out.Total)
		out.Ionic = di
	}
	return nil
}

// Gradient writes to out the derivatives, by every number of the conditions, of
// the linear function of the answer that weight describes: the transpose of
// [Workspace.Respond], at the same cost. For the gradient of pcH,
// for one, weight.LnC is -1/ln 10 at H⁺ and zero elsewhere.
func (w *Workspace) Gradient(weight *Response, out *Change) error {
	if err := w.differentiable(nil, weight); err != nil {
		return err
	}
	out.fit(w.sys)
	kappa := 0.0
	if w.medium != nil {
		u := &w.der.unit
		kappa = (dot(weight.LnC, u.LnC) + dot(weight.C, u.C) + dot(weight.Solid, u.Solid) + dot(weight.Total, u.Total) + weight.Ionic) / (1 - w.der.unitSum)
	}
	w.adjoint(weight, kappa, out)
	return nil
}

// Uncertainty returns the standard uncertainty, to first order, of the linear
// function of the answer that weight describes, from the standard
// uncertainties of the conditions in sigma, taken as independent.
func (w *Workspace) Uncertainty(weight *Response, sigma *Change) (float64, error) {
	if err := w.differentiable(sigma, weight); err != nil {
		return 0, err
	}
	g := &w.der.gradient
	if err := w.Gradient(weight, g); err != nil {
		return 0, err
	}
	var sum float64
	add := func(g, s []float64) {
		for i, v := range s {
			if v != 0 {
				sum += g[i] * g[i] * v * v
			}
		}
	}
	add(g.Total, sigma.Total)
	add(g.LnK, sigma.LnK)
	add(g.LnKs, sigma.LnKs)
	add(g.LnHeld, sigma.LnHeld)
	return math.Sqrt(sum), nil
}

// BufferCapacity returns -dT/d(log10 c) of component i, mol/L per decade: for
// H⁺ the strong base that raises pcH by one (Van Slyke 1922, J. Biol. Chem.
// 52, 525), all solids and the change of ionic strength counted in. For a held
// component it is infinite, for one that is absent zero.
func (w *Workspace) BufferCapacity(i int) (float64, error) {
	if i < 0 || i >= w.sys.components {
		return 0, &InputError{Field: "component", Index: -1, Value: float64(i), Want: "the index of a component"}
	}
	switch {
	case !w.solved:
		return 0, ErrUnsolved
	case w.p.state[i] == held:
		return math.Inf(1), nil
	case w.p.state[i] != unknown:
		return 0, nil
	}
	weight := &w.der.weight
	clear(weight.LnC)
	weight.LnC[i] = 1
	if err := w.Gradient(&Response{LnC: weight.LnC}, &w.der.gradient); err != nil {
		return 0, err
	}
	return math.Ln10 / w.der.gradient.Total[i], nil
}

func dot(a, b []float64) float64 {
	var s float64
	for i, v := range a {
		s += v * b[i]
	}
	return s
}

func axpy(f float64, x, y []float64) {
	for i, v := range x {
		y[i] += f * v
	}
}

// differentiable checks the arguments and factors the Hessian.
func (w *Workspace) differentiable(c *Change, r *Response) error {
	if !w.solved {
		return ErrUnsolved
	}
	s := w.sys
	bad := func(field string, v []float64, n int) error {
		if len(v) != n && v != nil {
			return &InputError{Field: field, Index: -1, Value: float64(len(v)), Want: "one value per component, species or solid, or nil"}
		}
		return nil
	}
	var err error
	if c != nil {
		err = errors.Join(bad("Total", c.Total, s.components), bad("LnK", c.LnK, s.Species()), bad("LnKs", c.LnKs, s.Solids()), bad("LnHeld", c.LnHeld, s.components))
	}
	if r != nil {
		err = errors.Join(err, bad("LnC", r.LnC, s.components), bad("C", r.C, s.Species()), bad("Solid", r.Solid, s.Solids()), bad("Total", r.Total, s.components))
	}
	if err != nil {
		return err
	}
	d := &w.der
	if d.current {
		return nil
	}
	n := w.f.n
	h := d.chol[:n*n]
	w.hessian(h)
	factor(h, h, n)
	d.current = true
	if w.medium != nil {
		w.tangent(&Change{}, 1, &d.unit)
		d.unitSum = w.halfZ2(d.unit.C)
	}
	return nil
}

func (w *Workspace) halfZ2(c []float64) float64 { return 0.5 * dot(c, w.medium.Z2) }

// tangent is the forward direction at constant I, plus dI times the
// explicit dependence on I.
func (w *Workspace) tangent(c *Change, dI float64, out *Response) {
	s, p, f, d := w.sys, &w.p, w.f, &w.der
	n := f.slots
	// the conditions, folded like the problem
	for i, st := range p.state {
		d.held[i] = 0
		if st == held {
			if c.LnHeld != nil {
				d.held[i] = c.LnHeld[i]
			}
			if dI != 0 && w.heldActivity {
				d.held[i] += dI * w.medium.heldSlope(i, w.ionic)
			}
		}
	}
	for i, k := range p.comp[:p.n] {
		d.dt[i] = 0
		if c.Total != nil {
			d.dt[i] = c.Total[k]
		}
	}
	for j, r := range p.spec[:p.species.len()] {
		v := s.species.dotHeld(r, d.held)
		if c.LnK != nil {
			v += c.LnK[r]
		}
		if dI != 0 {
			v += dI * w.medium.speciesSlope(int(r), w.ionic)
		}
		d.da[j] = v
	}
	for k, r := range p.solid[:p.solids.len()] {
		v := -s.solids.dotHeld(r, d.held)
		if c.LnKs != nil {
			v += c.LnKs[r]
		}
		if dI != 0 {
			v += dI * w.medium.solidSlope(int(r), w.ionic)
		}
		d.db[k] = v
	}
	// to the frame
	for i := range n {
		switch a := f.anchor[i]; {
		case a < 0:
			d.off[i] = 0
		case a >= solidBase:
			d.off[i] = -d.db[a-solidBase]
		default:
			d.off[i] = d.da[a]
		}
	}
	clear(d.ts[:n])
	base := (p.species.len() + p.solids.len()) * n
	for i := range n {
		axpy(d.dt[i], f.v[base+i*n:base+i*n+n], d.ts[:n])
	}
	y := d.y[:f.n]
	for r, i := range f.free[:f.n] {
		y[r] = d.ts[i]
	}
	m := &f.species
	for j := range m.len() {
		a := d.da[j] - dot(f.v[j*n:j*n+n], d.off)
		d.e[j] = a
		a *= w.c[j]
		for e := m.start[j]; e < m.start[j+1]; e++ {
			y[m.index[e]] -= m.coef[e] * a
		}
	}
	lower(d.chol, y, f.n)
	upper(d.chol, y, f.n)
	clear(out.C)
	for j := range m.len() {
		for e := m.start[j]; e < m.start[j+1]; e++ {
			d.e[j] += m.coef[e] * y[m.index[e]]
		}
		dc := w.c[j] * d.e[j]
		out.C[p.spec[j]] = dc
		for i, v := range f.v[j*n : j*n+n] {
			d.ts[i] -= v * dc
		}
	}
	clear(out.Solid)
	step := d.off[:n]
	for i := range step {
		step[i] = -step[i]
		if a := f.anchor[i]; a >= solidBase {
			out.Solid[p.solid[a-solidBase]] = d.ts[i]
		}
	}
	for r, i := range f.free[:f.n] {
		step[i] += y[r]
	}
	// and back
	copy(out.LnC, d.held)
	for i, k := range p.comp[:p.n] {
		out.LnC[k] = dot(f.v[base+i*n:base+i*n+n], step)
	}
	clear(out.Total)
	s.species.addTo(out.Total, w.size, out.C)
	s.solids.addTo(out.Total, w.size, out.Solid)
	out.Ionic = 0
}

func (m *rows) dotHeld(r int32, held []float64) float64 {
	var v float64
	for e := m.start[r]; e < m.start[r+1]; e++ {
		v += m.coef[e] * held[m.index[e]]
	}
	return v
}

// adjoint is the transpose of tangent with dI = 0; kappa adds kappa·½z² to the
// weights of the species.
func (w *Workspace) adjoint(r *Response, kappa float64, out *Change) {
	s, p, f, d := w.sys, &w.p, w.f, &w.der
	n, m := f.slots, &f.species
	base := (p.species.len() + p.solids.len()) * n
	at := func(v []float64, i int32) float64 {
		if v == nil {
			return 0
		}
		return v[i]
	}
	weighTotal := func(m *rows, r int32, total []float64) float64 {
		if total == nil {
			return 0
		}
		return m.dotHeld(r, total)
	}
	y, off, ts := d.y[:f.n], d.off[:n], d.ts[:n]
	clear(off)
	clear(ts)
	for i, k := range p.comp[:p.n] {
		if x := at(r.LnC, k); x != 0 {
			axpy(-x, f.v[base+i*n:base+i*n+n], off)
		}
	}
	for q, i := range f.free[:f.n] {
		y[q] = -off[i]
	}
	for i := range n {
		if a := f.anchor[i]; a >= solidBase {
			k := p.solid[a-solidBase]
			ts[i] = at(r.Solid, k) + weighTotal(&s.solids, k, r.Total)
		}
	}
	for j := range m.len() {
		k := p.spec[j]
		v := at(r.C, k) + weighTotal(&s.species, k, r.Total)
		if kappa != 0 {
			v += kappa * 0.5 * w.medium.Z2[k]
		}
		v = w.c[j] * (v - dot(f.v[j*n:j*n+n], ts))
		d.e[j] = v
		for e := m.start[j]; e < m.start[j+1]; e++ {
			y[m.index[e]] += m.coef[e] * v
		}
	}
	lower(d.chol, y, f.n)
	upper(d.chol, y, f.n)
	for q, i := range f.free[:f.n] {
		ts[i] = y[q]
	}
	for j := range m.len() {
		a := d.e[j]
		for e := m.start[j]; e < m.start[j+1]; e++ {
			a -= w.c[j] * m.coef[e] * y[m.index[e]]
		}
		d.da[j] = a
		axpy(-a, f.v[j*n:j*n+n], off)
	}
	clear(d.db)
	for i := range n {
		switch a := f.anchor[i]; {
		case a >= solidBase:
			d.db[a-solidBase] -= off[i]
		case a >= 0:
			d.da[a] += off[i]
		}
	}
	clear(out.Total)
	for i, k := range p.comp[:p.n] {
		out.Total[k] = dot(f.v[base+i*n:base+i*n+n], ts)
	}
	clear(out.LnK)
	clear(out.LnKs)
	clear(out.LnHeld)
	for i, st := range p.state {
		if st == held {
			out.LnHeld[i] = at(r.LnC, int32(i))
		}
	}
	hold := func(m *rows, r int32, g float64) {
		for e := m.start[r]; e < m.start[r+1]; e++ {
			if i := m.index[e]; p.state[i] == held {
				out.LnHeld[i] += g * m.coef[e]
			}
		}
	}
	for j, k := range p.spec[:p.species.len()] {
		out.LnK[k] = d.da[j]
		hold(&s.species, k, d.da[j])
	}
	for j, k := range p.solid[:p.solids.len()] {
		out.LnKs[k] = d.db[j]
		hold(&s.solids, k, -d.db[j])
	}
}
