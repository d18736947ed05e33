package path

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/solution/internal/compiled"
)

// Motion is a first derivative of the state by the volume poured, or a second one,
// whose units have one more litre below the stroke.
type Motion struct {
	PH            float64   // 1/L
	IonicStrength float64   // mol/L²
	PFree         []float64 // 1/L, of −log10 of each free component
	Species       []float64 // mol/L²
	Solids        []float64 // mol/L²
}

// motion is the working room of Path.Motion.
type motion struct {
	change       equilibrium.Change
	second, push equilibrium.Response
	out          [2]Motion
}

// PHPerLitre returns the first derivative of the pH alone, 1/L.
func (p *Path) PHPerLitre() (float64, error) {
	if err := p.ready(); err != nil {
		return 0, err
	}
	d, err := p.Drift(p.rates)
	return d.PH, err
}

// rates writes how the totals change with the volume poured, mol/L².
func (p *Path) rates(out []float64) {
	for i, t := range p.Conditions.Total {
		out[i] = (p.Rate[i] - p.growth*t) / p.Litres
	}
}

// Motion returns the first and the second derivative (1/L for the first, 1/L² for
// the second, and so on) at the present point, with the growth of the volume and
// the drift of the constants with ionic strength in them. They are exact while
// the set of solids stays as it is, and are overwritten by the next call.
//
// With e = d ln c/dv, the balance Σ ν c = T differentiates to
//
//	Σ ν c e = T′    Σ ν c e′ = T″ − Σ ν c e²
//
// so that the second derivative solves the same linear equations as the first,
// for another right-hand side. Ionic strength, I = ½ Σ z² c, gets an extra ½ Σ z²
// c e² likewise, which is what push carries.
func (p *Path) Motion() (first, second *Motion, err error) {
	if err := p.ready(); err != nil {
		return nil, nil, err
	}
	q, r := &p.motion, p.Run
	q.fit(r)
	d, err := r.Drift(p.rates)
	if err != nil {
		return nil, nil, err
	}
	ionic := d.Ionic

	// what ionic strength does by itself: slope and curvature of ln K
	slope, curve := r.Medium.Slopes(r.Result.Ionic)
	clear(q.change.Total)
	q.constants(&r.Medium, slope, 1)
	if err := r.Respond(&q.change, &q.push); err != nil {
		return nil, nil, err
	}

	p.rates(q.change.Total)
	floats.Scale(-2*p.growth/p.Litres, q.change.Total)
	q.constants(&r.Medium, curve*ionic*ionic, 0)
	extra := q.bend(r, d.C)
	if err := r.Respond(&q.change, &q.second); err != nil {
		return nil, nil, err
	}
	q.addPush(r, d.C, extra)
	one, two := &q.out[0], &q.out[1]
	one.set(d.Response)
	two.set(&q.second)
	one.PH = d.PH
	two.PH = two.PFree[0] + slope*q.second.Ionic + curve*ionic*ionic
	return one, two, nil
}

// constants writes what a change of the Debye–Hückel term, and of as many mol/L in
// the linear one, does to all constants.
func (q *motion) constants(d *equilibrium.Medium, term, linear float64) {
	for j, z := range d.DZ2 {
		q.change.LnK[j] = math.Ln10 * (z*term - d.DEps[j]*linear)
	}
	for k, z := range d.DZ2S {
		q.change.LnKs[k] = math.Ln10 * (z*term - d.DEpsS[k]*linear)
	}
	for i, z := range d.CompZ2 {
		q.change.LnHeld[i] = math.Ln10 * (z*term - d.CompEps[i]*linear)
	}
}

// bend takes Σ ν c e² off the change of the totals and returns ½ Σ z² c e².
func (q *motion) bend(r *compiled.Run, first []float64) (extra float64) {
	for j, c := range r.Result.C {
		if c == 0 {
			q.change.LnK[j] = 0
			continue
		}
		e := first[j] / c
		for _, x := range r.Species[j].Coefficients {
			q.change.Total[r.Place(x.Component)] -= x.N * c * e * e
		}
		extra += 0.5 * r.Medium.Z2[j] * c * e * e
	}
	return extra
}

// addPush adds what extra ionic strength from outside does to the second derivative.
// push has been fed back once: it is the answer to a unit of I, and its own I is what
// that adds.
func (q *motion) addPush(r *compiled.Run, first []float64, extra float64) {
	q.second.Ionic += extra * (1 + q.push.Ionic)
	for i, v := range q.push.LnC {
		q.second.LnC[i] += extra * v
	}
	for k, v := range q.push.Solid {
		q.second.Solid[k] += extra * v
	}
	for j, c := range r.Result.C {
		q.second.C[j] += extra * q.push.C[j]
		if c > 0 {
			q.second.C[j] += first[j] * first[j] / c
		}
	}
}

// fit makes the room for a run.
func (q *motion) fit(r *compiled.Run) {
	n, s, k := len(r.Members), len(r.Species), len(r.Solids)
	if len(q.change.Total) == n {
		clear(q.change.LnK)
		clear(q.change.LnKs)
		clear(q.change.LnHeld)
		return
	}
	q.change = equilibrium.Change{Total: make([]float64, n), LnK: make([]float64, s), LnKs: make([]float64, k), LnHeld: make([]float64, n)}
	for i := range q.out {
		q.out[i] = Motion{PFree: make([]float64, n), Species: make([]float64, s), Solids: make([]float64, k)}
	}
}

func (x *Motion) set(r *equilibrium.Response) {
	x.IonicStrength = r.Ionic
	for i, v := range r.LnC {
		x.PFree[i] = -v / math.Ln10
	}
	copy(x.Species, r.C)
	copy(x.Solids, r.Solid)
}
