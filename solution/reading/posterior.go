package reading

import (
	"cmp"
	"math"
	"math/rand/v2"
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
	logs  []float64 // evidence of each observation, given those before it
	gross []float64 // chance that an observation is gross; 0 where it cannot be
}

const (
	// particles is the number of baths in the cloud: quantiles at one in twenty are
	// then good to a tenth of their distance from the middle.
	particles = 800
	// chunks is the number of independent streams of deviates: fixed, so that the
	// result does not depend on the number of processors.
	chunks = 4
	// seed fixes the deviates, and with them every digit of a posterior on one kind
	// of processor.
	seed = 0x6564746134
)

// Infer returns what is known after the events. It does so anew from the priors:
// the same setup and events give the same posterior. Errors wrap [chem.ErrInput].
//
// Each observation shifts the weights of the baths, of the chelant and of something else
// apart. When that would leave few of either in play it is let in by degrees; between
// them the cloud is resampled, and every bath takes random steps that leave the posterior
// as it is, some of a part of its deviates towards the prior and some along the lines
// between other baths, until few baths are copies (sequential Monte Carlo: Del Moral,
// Doucet & Jasra 2006, J. R. Stat. Soc. B 68, 411, and Gilks & Berzuini 2001, ibid. 63,
// 127; steps: Cotter, Roberts, Stuart & White 2013, Stat. Sci. 28, 424, and ter Braak
// 2006, Stat. Comput. 16, 239).
func (m *Model) Infer(events []Event) (*Posterior, error) {
	if m.surface == nil {
		return nil, &chem.InputError{Field: "model", Value: "empty", Want: "one that New returned"}
	}
	c, err := m.compile(events)
	if err != nil {
		return nil, err
	}
	w := m.prior(c)
	p := &Posterior{cloud: w, gross: make([]float64, len(c.seen))}
	for n := range c.seen {
		p.logs = append(p.logs, w.learn(n+1))
	}
	if _, inPlay := w.scale(); len(c.seen) > 0 && inPlay < 0.5 {
		w.resample()
		w.move(len(c.seen), 1)
	}
	w.each(func(b *bath, _ int, _ *rand.Rand) {
		b.mix = new(mixture)
		m.follow(c, b.salt, b.z, len(c.seen), len(c.seen), b.mix, nil, 0)
		b.pH = m.surface.pH(b.mix) + m.astray(c, b.z, c.amounts-1)
	})
	for n, s := range c.seen {
		for i := 0; s.sight != nil && i < len(w.baths); i++ {
			p.gross[n] += s.sight.gross * s.sight.background / math.Exp(w.baths[i].logs[n]) * w.baths[i].weight
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
	out := make([]Candidate, len(p.model.salts))
	for k := range out {
		s := &p.model.salts[k]
		out[k] = Candidate{copied(s.reagent), p.share(func(b *bath) bool { return b.salt == s })}
	}
	slices.SortStableFunc(out, func(a, b Candidate) int { return cmp.Compare(b.Weight, a.Weight) })
	return out
}

// PH returns the pH of the bath now: the median, and the ends between which it
// lies nine times in ten.
func (p *Posterior) PH() tables.Range { return p.over(func(b *bath) float64 { return b.pH }) }

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
	parallel(len(x), func(_, i int) { x[i] = f(&p.baths[i]) })
	return x
}

// sorted returns values that the baths have by rising value, and the weights of these.
func (p *Posterior) sorted(x []float64) (at, weights []float64) {
	weights = make([]float64, len(x))
	for i := range x {
		weights[i] = p.baths[i].weight
	}
	at = slices.Clone(x)
	stat.SortWeighted(at, weights)
	return at, weights
}

// span returns the range of values that the baths have.
func (p *Posterior) span(x []float64) tables.Range {
	at, weights := p.sorted(x)
	rank := func(q float64) float64 { return stat.Quantile(q, stat.LinInterp, at, weights) }
	return tables.Range{Low: rank(0.05), Typical: rank(0.5), High: rank(0.95)}
}

// over returns the range of what f says of every bath.
func (p *Posterior) over(f func(b *bath) float64) tables.Range {
	if p.cloud == nil {
		return tables.Range{}
	}
	return p.span(p.of(f))
}

// share returns the share of baths that are as f says.
func (p *Posterior) share(f func(b *bath) bool) (part float64) {
	for i := range p.baths {
		if f(&p.baths[i]) {
			part += p.baths[i].weight
		}
	}
	return part
}

// Evidence is how an observation agrees with what was known before it.
type Evidence struct {
	Event       int     `json:"event_index"` // index of the event
	Probability float64 `json:"probability"` // of this observation, given those before it; a density for a spoon
	// Gross is the chance that it has nothing to do with the bath. From a half on
	// it contradicts the others, and the posterior has set it aside.
	Gross float64 `json:"gross"`
}

// Evidence returns one entry for each observation. Of two setups, such as two bags,
// the one of the higher product of probabilities foretold them better.
func (p *Posterior) Evidence() []Evidence {
	var out []Evidence
	if p.cloud != nil {
		for n, s := range p.course.seen {
			out = append(out, Evidence{s.event, math.Exp(p.logs[n]), p.gross[n]})
		}
	}
	return out
}
