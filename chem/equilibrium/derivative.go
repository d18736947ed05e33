package equilibrium

import (
	"math"

	"example.com/chelation/chem"
)

// A Change is a small change of the conditions, or a gradient by them; nil stands for zeros.
type Change struct {
	Total  []float64 // per component, mol/L; of held components without effect
	LnK    []float64 // per species (with a Medium: of LnK0)
	LnKs   []float64 // per solid (with a Medium: of LnKs0)
	LnHeld []float64 // per component; without effect where not held
}

// A Response is the change of the answer that follows, or the weights of a linear function of
// the answer, in which a nil slice stands for zeros.
type Response struct {
	LnC   []float64 // per component
	C     []float64 // per species, mol/L
	Solid []float64 // per solid, mol/L
	Ionic float64   // mol/L; zero without a Medium
}

// derivative is room for both directions of differentiation.
type derivative struct {
	differentiated bool      // the factors are those at the answer
	da, db         []float64 // explicit, of the constants of living species and solids
	dc             []float64 // of living species, or the weight of each
	held           []float64 // per component
	y              []float64 // unknowns
}

// Respond differentiates the last answer of w in the direction of c: exact to first order,
// from the Jacobian at the answer, with a [Medium] of the ionic strength too. The set of
// solids that are present is taken as fixed, and components that are removed stay so. It
// refuses a workspace whose last solve failed and slices of the wrong length.
func (w *Workspace) Respond(c *Change, out *Response) error {
	s, p, b, d := w.sys, &w.p, &w.b, &w.der
	if err := w.differentiable(
		vector{field: "Total", of: "component", v: c.Total}, vector{field: "LnK", of: "species", v: c.LnK},
		vector{field: "LnKs", of: "solid", v: c.LnKs}, vector{field: "LnHeld", of: "component", v: c.LnHeld},
	); err != nil {
		return err
	}
	out.LnC, out.C, out.Solid = fit(out.LnC, len(p.state)), fit(out.C, len(p.alive)), fit(out.Solid, len(p.on))
	n := p.n
	for i, st := range p.state {
		if d.held[i] = 0; st == held {
			d.held[i] = at(c.LnHeld, int32(i))
		}
	}
	moved := c.LnK != nil || c.LnHeld != nil // the constants
	for j, r := range p.spec {
		if d.da[j] = 0; moved {
			d.da[j] = at(c.LnK, r) + s.species.dot(int(r), d.held)
		}
	}
	for k, r := range p.solid {
		d.db[k] = at(c.LnKs, r) - s.solids.dot(int(r), d.held)
	}
	total := w.price[:n] // of the balances
	y := d.y[:w.unknowns()]
	clear(y)
	for i, a := range b.anchor {
		total[i] = 0
		for q, u := range b.u[i*n : i*n+n] {
			total[i] += u * at(c.Total, p.comp[q])
		}
		if a >= solidBase {
			y[i] = d.db[a-solidBase]
		} else {
			y[i] = total[i] * w.weightOf(i)
		}
	}
	if moved {
		for j := range p.spec {
			d.dc[j] = w.c[j] * d.da[j]
			if w.medium != nil {
				y[n] -= 0.5 * w.wi * p.z2[j] * d.dc[j]
			}
		}
		b.terms.sum(d.dc, w.both)
		for i := range n {
			y[i] -= w.leaning(i)
		}
	}
	w.lu.solve(y)
	clear(out.C)
	out.Ionic = 0
	if w.medium != nil {
		out.Ionic = w.ionic * y[n]
	}
	for j, r := range p.spec {
		dc := d.da[j] + p.species.dot(j, y)
		if w.medium != nil {
			dc += p.kappa[j] * y[n]
		}
		d.dc[j] = w.c[j] * dc
		out.C[r] = d.dc[j]
	}
	clear(out.Solid)
	for i, k := range b.solids {
		m := total[i]
		for j := range p.spec {
			m -= p.species.dot(j, b.u[i*n:i*n+n]) * d.dc[j]
		}
		out.Solid[p.solid[k]] = m / b.lead[i]
	}
	for i := range out.LnC {
		out.LnC[i] = d.held[i] + w.heldSlope(i)*out.Ionic
	}
	for i, k := range p.comp {
		out.LnC[k] = y[i]
	}
	return nil
}

// Gradient writes to out the derivatives, by every number of the conditions, of the linear
// function of the answer that r weighs: the transpose of [Workspace.Respond], at the same
// cost. For the gradient of pcH r.LnC is -1/ln 10 at H⁺ and zero elsewhere.
func (w *Workspace) Gradient(r *Response, out *Change) error {
	p, b, d := &w.p, &w.b, &w.der
	if err := w.differentiable(vector{field: "LnC", of: "component", v: r.LnC},
		vector{field: "C", of: "species", v: r.C}, vector{field: "Solid", of: "solid", v: r.Solid}); err != nil {
		return err
	}
	out.Total, out.LnK = fit(out.Total, len(p.state)), fit(out.LnK, len(p.alive))
	out.LnKs, out.LnHeld = fit(out.LnKs, len(p.on)), fit(out.LnHeld, len(p.state))
	n := p.n
	clear(out.Total)
	for j, k := range p.spec {
		d.dc[j] = at(r.C, k)
	}
	for i, k := range b.solids {
		v := at(r.Solid, p.solid[k]) / b.lead[i]
		if v == 0 {
			continue
		}
		u := b.u[i*n : i*n+n]
		for j := range p.spec {
			d.dc[j] -= v * p.species.dot(j, u)
		}
		for q, k := range p.comp {
			out.Total[k] += v * u[q]
		}
	}
	y := d.y[:w.unknowns()]
	for i, k := range p.comp {
		y[i] = at(r.LnC, k)
	}
	if w.medium != nil {
		y[n] = r.Ionic * w.ionic
		for i := range p.held {
			y[n] += at(r.LnC, int32(i)) * w.heldSlope(i) * w.ionic
		}
	}
	for j := range p.spec {
		d.dc[j] *= w.c[j]
		p.species.axpy(d.dc[j], j, y)
		if w.medium != nil {
			y[n] += d.dc[j] * p.kappa[j]
		}
	}
	w.lu.solveTransposed(y)
	clear(d.db)
	for i, a := range b.anchor {
		if a >= solidBase {
			d.db[a-solidBase] = y[i]
			continue
		}
		v := y[i] * w.weightOf(i)
		for q, u := range b.u[i*n : i*n+n] {
			out.Total[p.comp[q]] += v * u
		}
	}
	w.unfold(r, y, out)
	return nil
}

// unfold finishes Gradient: from the living species and solids to the constants as given.
func (w *Workspace) unfold(r *Response, y []float64, out *Change) {
	s, p, d := w.sys, &w.p, &w.der
	clear(out.LnK)
	clear(out.LnKs)
	clear(out.LnHeld)
	for i := range w.both[:2*p.n] {
		w.both[i] = y[i/2] * w.signed(i)
	}
	w.b.terms.spread(w.both, w.v)
	for j, k := range p.spec {
		v := w.v[j]
		if w.medium != nil {
			v += 0.5 * w.wi * p.z2[j] * y[p.n]
		}
		out.LnK[k] = d.dc[j] - w.c[j]*v
		s.species.axpy(out.LnK[k], int(k), out.LnHeld)
	}
	for j, k := range p.solid {
		out.LnKs[k] = d.db[j]
		s.solids.axpy(-d.db[j], int(k), out.LnHeld)
	}
	for i, st := range p.state {
		if st != held {
			out.LnHeld[i] = 0
		} else {
			out.LnHeld[i] += at(r.LnC, int32(i))
		}
	}
}

// differentiable factors the Jacobian at the answer, if there is one and the arguments fit.
func (w *Workspace) differentiable(arguments ...vector) error {
	if !w.solved {
		return &chem.InputError{Field: "workspace", Value: "one without an answer", Want: "one whose last solve has succeeded"}
	}
	err := w.sys.check(arguments...)
	if err == nil && !w.der.differentiated {
		w.refactor()
		w.der.differentiated = true
	}
	return err
}

// weightOf returns the weight of the total of balance i in F.
func (w *Workspace) weightOf(i int) float64 {
	if w.b.t[i].hi > 0 {
		return w.weight[2*i+1]
	}
	return w.weight[2*i]
}

// at returns v[i], or 0 without a v.
func at(v []float64, i int32) float64 {
	if v == nil {
		return 0
	}
	return v[i]
}

// heldSlope returns how ln of a held concentration moves with ionic strength.
func (w *Workspace) heldSlope(i int) float64 {
	if w.medium == nil {
		return 0
	}
	h := &w.p.held[i]
	slope, _ := w.medium.Slopes(w.ionic)
	return math.Ln10 * (h.dz2*slope - h.deps)
}
