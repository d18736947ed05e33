package path

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"example.com/chelation/chem/equilibrium"
)

// PHPerLitre returns the first derivative of the pH by the volume poured, 1/L, as [Path.Motion] does.
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

// Motion returns the first and the second derivative by the volume poured, 1/L and 1/L², of the pH
// for component 0, of −log10 of the free concentration for others, with the growth of the volume
// and the drift of the constants with ionic strength in them. They are exact while the set of
// solids stays as it is.
//
// With e = d ln c/dv, the balance Σ ν c = T differentiates to
//
//	Σ ν c e = T′    Σ ν c e′ = T″ − Σ ν c e²
//
// so that the second derivative solves the same linear equations as the first, for another
// right-hand side. Ionic strength, I = ½ Σ z² c, gets an extra ½ Σ z² c e² likewise, which moves
// the constants as if it came from outside.
func (p *Path) Motion(component int) (slope, bend float64, err error) {
	if err := p.ready(); err != nil {
		return 0, 0, err
	}
	d, err := p.Drift(p.rates)
	if err != nil {
		return 0, 0, err
	}
	n, m := len(p.Members), &p.Medium
	c := equilibrium.Change{Total: make([]float64, n), LnK: make([]float64, len(p.Species)), LnKs: make([]float64, len(p.Solids)), LnHeld: make([]float64, n)}
	p.rates(c.Total)
	floats.Scale(-2*p.growth/p.Litres, c.Total)
	extra, of := 0.0, p.Result.C
	for j, f := range p.Species {
		if of[j] == 0 {
			continue
		}
		bent := d.C[j] * d.C[j] / of[j]
		for _, x := range f.Coefficients {
			c.Total[p.Place(x.Component)] -= x.N * bent
		}
		extra += 0.5 * m.Z2[j] * bent
	}
	ionic, lnC, pH := d.Ionic, d.LnC[component], d.PH
	one, two := m.Slopes(p.Result.Ionic)
	term := two*ionic*ionic + one*extra // of Debye and Hückel
	constants := func(out, dz2, deps []float64) {
		for i, z := range dz2 {
			out[i] = math.Ln10 * (z*term - deps[i]*extra)
		}
	}
	constants(c.LnK, m.DZ2, m.DEps)
	constants(c.LnKs, m.DZ2S, m.DEpsS)
	constants(c.LnHeld, m.CompZ2, m.CompEps)
	var r equilibrium.Response
	if err := p.Respond(&c, &r); err != nil {
		return 0, 0, err
	}
	slope, bend = -lnC/math.Ln10, -r.LnC[component]/math.Ln10
	if component == 0 {
		slope, bend = pH, bend+one*r.Ionic+term
	}
	return slope, bend, nil
}
