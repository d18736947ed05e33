package reading

import (
	"math"

	"example.com/chelation/tables"
)

// stir adds grams of a reagent, at its typical assay, to a mixture.
func (p *portion) stir(mix *mixture, grams float64) {
	switch p.of {
	case fromAcid:
		mix.acid += grams
	case fromLye:
		mix.base += grams * p.perGram
	case fromEDTA, fromBag:
		n := grams * p.reagent.Assay.Typical * p.salt.perGram
		mix.edta += n
		mix.base += n * (p.salt.base + p.reagent.ExcessBase.Typical)
	case fromOther:
		mix.other = append(mix.other, dose{p.axis, grams})
	}
}

// raises reports whether a reagent raises the pH of a bath near neutral, where
// half of its carbonate and the last proton of an acid salt count.
func (p *portion) raises(f *surface, target float64) bool {
	mix := f.middle(0)
	before := f.lackAt(&mix, target)
	p.stir(&mix, 1)
	return f.lackAt(&mix, target) < before
}

// need returns the grams of a reagent, at its typical assay, that bring a
// mixture to a pH, for a reagent that is to raise it (sign 1) or to lower it
// (−1); negative if it is beyond, infinite if no amount does. The base that is
// lacking falls, or rises, nearly straight with the grams.
func (f *surface) need(mix *mixture, p *portion, sign, pH float64) float64 {
	trial := *mix
	lack := func(grams float64) float64 {
		trial.edta, trial.acid, trial.base, trial.other = mix.edta, mix.acid, mix.base, mix.other[:len(mix.other):len(mix.other)]
		p.stir(&trial, grams)
		return f.lackAt(&trial, pH)
	}
	start := f.lackAt(mix, pH)
	a, fa := 0.0, start
	b := 10 * mix.edta // g per mol of EDTA: on the scale of all reagents
	for range 14 {
		fb := lack(b)
		slope := (fb - fa) / (b - a)
		if !(sign*slope < 0) || math.Abs(b) > 1e4*mix.edta { // it gives out before it gets there
			return math.Copysign(infinite, sign*start)
		}
		a, fa = b, fb
		b -= fb / slope
		if math.Abs(b-a) <= 1e-5*math.Abs(b)+1e-9 {
			break
		}
	}
	return b
}

// template is a portion of no amount yet.
func (m *Model) template(r tables.Reagent) (portion, error) {
	p := portion{reagent: r}
	return p, m.source(&p)
}
