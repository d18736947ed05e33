package reading

import "math"

// raises reports whether a reagent raises the pH of a bath near neutral, where
// half of its carbonate and the last proton of an acid salt count.
func (p *portion) raises(f *surface, target float64) bool {
	mix := f.node(middle)
	before := f.lackAt(&mix, target)
	p.stir(&mix, 1)
	return f.lackAt(&mix, target) < before
}

// need returns the grams of a reagent, at its typical assay, that bring a mixture to a pH, for a
// reagent that is to raise it (sign 1) or to lower it (−1), and whether there are any: no more than
// the most that makes sense, less than nothing when the mixture is beyond. The base that is lacking
// falls, or rises, nearly straight with the grams.
func (f *surface) need(mix *mixture, p *portion, sign, pH float64) (grams float64, reached bool) {
	const steps, agreement = 14, 1e-5
	lack := func(grams float64) float64 {
		trial := p.stirred(mix, grams)
		if p.open {
			trial = f.aired(trial, pH, f.inRoom)
		}
		lack := f.lackAt(&trial, pH)
		if !p.open && p.reagent.Carbonated() { // what fizzes, if it does
			trial = f.aired(trial, pH, f.fizzed)
			lack = min(lack, f.lackAt(&trial, pH))
		}
		return lack
	}
	start := lack(0)
	most := f.model.setup.most(p.reagent)
	a, fa := 0.0, start
	b := 10 * f.chelant[1] // g per mol of chelant: on the scale of all reagents
	for range steps {
		fb := lack(b)
		slope := (fb - fa) / (b - a)
		if !(sign*slope < 0) || math.Abs(b) > most { // it gives out before it gets there
			return math.Copysign(most, sign*start), false
		}
		a, fa = b, fb
		b -= fb / slope
		if math.Abs(b-a) <= agreement*math.Abs(b)+1e-9 {
			break
		}
	}
	return max(-most, min(b, most)), true
}

// needs returns, for every bath of the cloud, the grams of a reagent of its own
// strength from here to a pH, and the share of baths that no amount takes there.
func (p *Posterior) needs(x *portion, sign, pH float64) (grams []float64, never float64) {
	grams = p.of(func(b *bath) float64 {
		g, reached := p.model.surface.need(&b.mix, x, sign, pH-p.model.astray(p.course, b.z, p.course.amounts-1))
		switch {
		case reached:
			g /= p.model.strength(x, b.z)
		case g > 0:
			never += b.weight
		}
		return g
	})
	return grams, never
}

// pH returns that of a mixture in one bath of the cloud.
func (p *Posterior) pH(b *bath, mix *mixture) float64 {
	return p.model.surface.pH(mix) + p.model.astray(p.course, b.z, p.course.amounts-1)
}

// after returns it once grams, at the typical assay, are in.
func (p *Posterior) after(x *portion, b *bath, grams float64) float64 {
	mix := x.stirred(&b.mix, grams)
	return p.pH(b, &mix)
}
