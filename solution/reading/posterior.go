package reading

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Posterior is what is known of a bath after the events of its course: a cloud
// of baths, all equally credible, none like another. Its quantities follow from
// counting them.
type Posterior struct {
	model  *Model
	course *course
	cloud  *cloud
	now    []mixture // of each bath of the cloud, at the end of the course
	pH     []float64
	logs   []float64 // evidence of each observation, given those before it
	gross  []float64 // chance that an observation is gross; 0 where it cannot be
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
// Each observation shifts the weights of the baths. When that would leave less
// than half of the cloud in play it is let in by degrees; between them the cloud
// is resampled, and every bath takes random steps that leave the posterior as it
// is, some drawn towards the prior and some along the lines between other baths (sequential Monte Carlo: Del Moral, Doucet & Jasra
// 2006, J. R. Stat. Soc. B 68, 411; steps: Cotter, Roberts, Stuart & White
// 2013, Stat. Sci. 28, 424, and ter Braak 2006, Stat. Comput. 16, 239).
func (m *Model) Infer(events []Event) (*Posterior, error) {
	if m.surface == nil {
		return nil, &chem.InputError{Field: "model", Value: "empty", Want: "one that New returned"}
	}
	c, err := m.compile(events)
	if err != nil {
		return nil, err
	}
	w := m.prior(c, particles)
	p := &Posterior{model: m, course: c, cloud: w, now: make([]mixture, w.n), pH: make([]float64, w.n), gross: make([]float64, w.rows)}
	for n := range w.rows {
		p.logs = append(p.logs, w.learn(n+1))
	}
	few := floats.Dot(w.weights, w.weights) > 2/float64(w.n)
	w.resample() // equal weights for all that is counted
	if few {
		w.move(w.rows, 1)
	}
	w.each(func(i int, _ *rand.Rand, _ *mixture) {
		m.follow(c, &m.salts[w.salt[i]], w.row(i), w.rows, w.rows, &p.now[i], nil, 0)
		p.pH[i] = m.surface.pH(&p.now[i]) + constants*w.row(i)[ofModel]
	})
	for n, s := range c.seen() {
		for i := range w.n {
			if s.sight != nil {
				p.gross[n] += s.sight.gross * s.sight.background / math.Exp(w.seen(i)[n]) / float64(w.n)
			}
		}
	}
	return p, nil
}

// ready refuses a posterior that no model made.
func (p *Posterior) ready() error {
	if p.model == nil {
		return &chem.InputError{Field: "posterior", Value: "empty", Want: "one that Model.Infer returned"}
	}
	return nil
}

// Salts returns the candidates with their probabilities, most probable first: what is
// known of the bag, to begin with another time. A probability of zero is less than one
// in the size of the cloud, about 0.001.
func (p *Posterior) Salts() []Candidate {
	if p.model == nil {
		return nil
	}
	out := make([]Candidate, len(p.model.salts))
	for k, s := range p.model.salts {
		out[k].Salt = copied(s.reagent)
	}
	for _, k := range p.cloud.salt {
		out[k].Weight += 1 / float64(p.cloud.n)
	}
	slices.SortStableFunc(out, func(a, b Candidate) int { return cmp.Compare(b.Weight, a.Weight) })
	return out
}

// PH returns the pH of the bath now: the median, and the ends between which it
// lies nine times in ten.
func (p *Posterior) PH() tables.Range { return p.over(func(i int) float64 { return p.pH[i] }) }

// ChelantMoles returns the mol of chelant in the bath, calcium bound to it or not.
func (p *Posterior) ChelantMoles() tables.Range { return p.over(p.chelant) }

// chelant returns the mol in one bath.
func (p *Posterior) chelant(i int) float64 {
	return p.now[i].chelant + p.now[i].setter*p.model.surface.brings + p.model.surface.extra
}

// packing returns the grams in a level litre of what is in the bag, in one bath.
func (p *Posterior) packing(i int) float64 {
	return spread.LogAt(p.model.salts[p.cloud.salt[i]].packing, p.cloud.row(i)[ofPacking])
}

// bag returns the mass in g of what first came out of it, in one bath.
func (p *Posterior) bag(i int) float64 {
	z := p.cloud.row(i)
	return p.model.measured(p.course.steps[0].pour, p.model.level(p.model.salts[p.cloud.salt[i]].packing, z, ofPacking), z[common])
}

// over returns the range of what f says of every bath.
func (p *Posterior) over(f func(i int) float64) tables.Range {
	if p.model == nil {
		return tables.Range{}
	}
	x := make([]float64, p.cloud.n)
	for i := range x {
		x[i] = f(i)
	}
	return spread.Of(x)
}

// Evidence is how an observation agrees with what was known before it.
type Evidence struct {
	Event       int     `json:"event"`       // index of the event
	Probability float64 `json:"probability"` // of this observation, given those before it; a density for a spoon
	// Gross is the chance that it has nothing to do with the bath. From a half on
	// it contradicts the others, and the posterior has set it aside.
	Gross float64 `json:"gross"`
}

// Evidence returns one entry for each observation. Of two setups, such as two bags,
// the one of the higher product of probabilities foretold them better.
func (p *Posterior) Evidence() []Evidence {
	var out []Evidence
	if p.model != nil {
		for n, s := range p.course.seen() {
			out = append(out, Evidence{s.event, math.Exp(p.logs[n]), p.gross[n]})
		}
	}
	return out
}
