package reading

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Posterior is what is known of a bath after the events of its course: a cloud
// of baths, each of some weight. Its quantities follow from counting them.
type Posterior struct {
	*cloud
	gross []float64 // chance that an observation is gross; 0 where it cannot be
}

const (
	// particles is the number of baths of the chelant, strangers that of something else:
	// quantiles at one in twenty are then good to a tenth of their distance from the middle.
	particles, strangers = 600, 200
	// noAccount are the odds of a kind from which on its baths are not moved, and worn is the
	// part of it in play below which it is renewed at the end.
	noAccount, worn = 1e-3, 0.5
	// seed fixes the deviates, and with them every digit of a posterior on one kind of processor.
	seed = 0x6564746134
)

// errEmpty refuses the zero model.
var errEmpty error = &chem.InputError{Field: "model", Value: "empty", Want: "one that New returned"}

// Infer returns what is known after the events. It does so anew from the priors:
// the same setup and events give the same posterior. Errors wrap [chem.ErrInput].
//
// Each observation shifts the weights of the baths, of the chelant and of something else apart.
// When that would leave few in play it is let in by degrees; between them the cloud is resampled,
// and every bath takes random steps that leave the posterior as it is, some of a part of its
// deviates towards the prior and some along the lines between other baths, until few baths are
// copies (sequential Monte Carlo: Del Moral, Doucet & Jasra 2006, J. R. Stat. Soc. B 68, 411, and
// Gilks & Berzuini 2001, ibid. 63, 127; steps: Cotter, Roberts, Stuart & White 2013, Stat. Sci. 28,
// 424, and ter Braak 2006, Stat. Comput. 16, 239).
func (m *Model) Infer(events []Event) (*Posterior, error) {
	if m.surface == nil {
		return nil, errEmpty
	}
	c, err := m.compile(events)
	if err != nil {
		return nil, err
	}
	kinds := [2]*cloud{m.prior(c, m.salts, particles), m.prior(c, m.strangers, strangers)}
	for n := range c.seen {
		least := max(kinds[0].evidence, kinds[1].evidence) + math.Log(noAccount)
		for _, w := range kinds {
			w.learn(n+1, w.evidence > least)
		}
	}
	top := max(kinds[0].evidence, kinds[1].evidence)
	for _, kind := range kinds {
		if _, inPlay := kind.scale(); len(c.seen) > 0 && inPlay < worn {
			kind.resample()
			kind.move(len(c.seen), 1, false)
		}
		for i := range kind.baths {
			kind.baths[i].weight *= math.Exp(kind.evidence - top)
		}
	}
	w := &cloud{model: m, course: c, baths: slices.Concat(kinds[0].baths, kinds[1].baths)}
	p := &Posterior{cloud: w, gross: make([]float64, len(c.seen))}
	w.scale()
	for i := range w.baths {
		b := &w.baths[i]
		if m.follow(c, b, len(c.seen), 1, math.Inf(-1)); !b.known {
			b.pH = p.pH(b, &b.mix)
		}
	}
	for n, s := range c.seen {
		for i := 0; s.sight != nil && i < len(w.baths); i++ {
			p.gross[n] += s.gross * s.background / math.Exp(w.baths[i].logs[n]) * w.baths[i].weight
		}
	}
	return p, nil
}

// ready refuses a posterior that no model made.
func (p *Posterior) ready() error {
	if p.cloud == nil {
		return &chem.InputError{Field: "posterior", Value: "empty", Want: "one that Model.Infer returned"}
	}
	return nil
}

// Salts returns the candidates with their probabilities, most probable first: what is
// known of the bag, to begin with another time. A probability of zero is less than one
// in the size of the cloud, about 0.001.
func (p *Posterior) Salts() []Candidate {
	if p.cloud == nil {
		return nil
	}
	out := make([]Candidate, len(p.model.salts), len(p.model.salts)+1)
	for k, s := range p.model.salts {
		out[k].Salt = tables.Copy(s.reagent)
	}
	if p.model.strangers != nil {
		out = append(out, Candidate{Salt: tables.Reagent{Entry: tables.Entry{Name: "something else"}}})
	}
	for _, b := range p.baths {
		out[b.salt.place].Weight += b.weight
	}
	slices.SortStableFunc(out, func(a, b Candidate) int { return cmp.Compare(b.Weight, a.Weight) })
	return out
}

// PH returns the pH of the bath now: the median, and the ends between which it lies nine times
// in ten, once it was read for all odds of the doubts within their factors ([tables.Doubt]).
func (p *Posterior) PH() tables.Range {
	r := p.over(func(b *bath) float64 { return b.pH })
	if p.cloud != nil && p.course.last != nil {
		pH := p.of(func(b *bath) float64 { return b.pH })
		r.Low = min(r.Low, quantiles(pH, p.favouring(func(b *bath) bool { return b.pH < r.Low })).Low)
		r.High = max(r.High, quantiles(pH, p.favouring(func(b *bath) bool { return b.pH > r.High })).High)
	}
	return r
}

// chelant returns the mol in one bath, calcium bound to it or not.
func (p *Posterior) chelant(b *bath) float64 {
	return b.mix.chelant + b.mix.setter*p.model.surface.brings + p.model.surface.extra
}

// packing returns the grams in a level litre of what is in the bag, in one bath.
func (p *Posterior) packing(b *bath) float64 { return spread.LogAt(b.salt.packing, b.z[ofPacking]) }

// bag returns the mass in g of what first came out of it, in one bath.
func (p *Posterior) bag(b *bath) float64 {
	return p.model.measured(p.course.steps[0].pour, p.model.level(b.salt.packing, b.z, ofPacking), b.z[common])
}

// of returns what f says of every bath.
func (p *Posterior) of(f func(b *bath) float64) []float64 {
	x := make([]float64, len(p.baths))
	for i := range x {
		x[i] = f(&p.baths[i])
	}
	return x
}

// weights returns those of the baths.
func (p *Posterior) weights() []float64 { return p.of(func(b *bath) float64 { return b.weight }) }

// span returns the range of values that the baths have.
func (p *Posterior) span(x []float64) tables.Range { return quantiles(x, p.weights()) }

// quantiles returns the range of weighted values.
func quantiles(x, weights []float64) tables.Range {
	order := make([][2]float64, len(x))
	for i := range x {
		order[i] = [2]float64{x[i], weights[i]}
	}
	slices.SortFunc(order, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	at, by := make([]float64, len(x)), make([]float64, len(x))
	for i, o := range order {
		at[i], by[i] = o[0], o[1]
	}
	rank := func(q float64) float64 { return stat.Quantile(q, stat.LinInterp, at, by) }
	return tables.Range{Low: rank(0.05), Typical: rank(0.5), High: rank(0.95)}
}

// over returns the range of what f says of every bath.
func (p *Posterior) over(f func(b *bath) float64) tables.Range {
	if p.cloud == nil {
		return tables.Range{}
	}
	return p.span(p.of(f))
}
