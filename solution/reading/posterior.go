package reading

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

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

// particles is the number of baths in the cloud: quantiles at one in twenty are
// then good to a tenth of their distance from the middle.
const particles = 1024

// chunks is the number of independent streams of deviates: fixed, so that the
// result does not depend on the number of processors.
const chunks = 4

// seed fixes the deviates, and with them every digit of a posterior on one kind
// of processor.
const seed = 0x6564746134

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
	p := &Posterior{model: m, course: c, cloud: m.prior(c, particles)}
	observations := 0
	for _, s := range c.steps {
		if s.seen() {
			observations++
			p.logs = append(p.logs, p.cloud.learn(observations))
		}
	}
	if observations > 0 { // equal weights for all that is counted
		p.cloud.resample()
		p.cloud.move(observations, 1)
	}
	p.finish(observations)
	return p, nil
}

// ready refuses a posterior that no model made.
func (p *Posterior) ready() error {
	if p.model == nil {
		return &chem.InputError{Field: "posterior", Value: "empty", Want: "one that Model.Infer returned"}
	}
	return nil
}

// cloud is a set of baths.
type cloud struct {
	model   *Model
	course  *course
	n, d    int
	salt    []int
	z       []float64 // n rows of d
	logs    []float64 // n rows of the log likelihoods of the observations
	rows    int       // length of a row of logs
	weights []float64 // they add up to one
	streams [chunks]*rand.Rand
	stride  float64 // of the steps towards the prior
}

// prior draws a cloud from the priors, each salt in its proportion.
func (m *Model) prior(c *course, n int) *cloud {
	w := &cloud{model: m, course: c, n: n, d: c.latents(), stride: 0.5}
	for _, s := range c.steps {
		if s.seen() {
			w.rows++
		}
	}
	for i := range w.streams {
		w.streams[i] = rand.New(rand.NewPCG(seed, uint64(i)))
	}
	w.salt = make([]int, n)
	w.weights = make([]float64, n)
	w.level()
	w.z = make([]float64, n*w.d)
	w.logs = make([]float64, n*w.rows)
	for i := range w.z {
		w.z[i] = w.streams[0].NormFloat64()
	}
	k, sum := 0, m.salts[0].prior
	for i := range n {
		for (float64(i)+0.5)/float64(n) > sum && k < len(m.salts)-1 {
			k++
			sum += m.salts[k].prior
		}
		w.salt[i] = k
	}
	return w
}

// each runs f over the baths, in as many goroutines as there are streams.
func (w *cloud) each(f func(i int, random *rand.Rand, mix *mixture)) {
	var wg sync.WaitGroup
	for c := range chunks {
		wg.Go(func() {
			var mix mixture
			for i := c * w.n / chunks; i < (c+1)*w.n/chunks; i++ {
				f(i, w.streams[c], &mix)
			}
		})
	}
	wg.Wait()
}

// shares runs f for 0 to n−1 in as many goroutines as there are streams.
func (p *Posterior) shares(n int, f func(i int)) {
	var wg sync.WaitGroup
	for c := range chunks {
		wg.Go(func() {
			for i := c * n / chunks; i < (c+1)*n/chunks; i++ {
				f(i)
			}
		})
	}
	wg.Wait()
}

func (w *cloud) row(i int) []float64  { return w.z[i*w.d : (i+1)*w.d] }
func (w *cloud) seen(i int) []float64 { return w.logs[i*w.rows : (i+1)*w.rows] }

// learn lets in the last of a number of observations and returns the logarithm
// of its evidence. As long as the cloud stays as good as half its number, it only
// shifts the weights.
func (w *cloud) learn(observations int) float64 {
	last := observations - 1
	w.each(func(i int, _ *rand.Rand, mix *mixture) {
		w.model.follow(w.course, &w.model.salts[w.salt[i]], w.row(i), observations, mix, w.seen(i))
	})
	evidence, trial := 0.0, make([]float64, w.n)
	for done := 0.0; done < 1; {
		part, all := w.portion(last, 1-done, trial)
		evidence += w.weigh(last, part, trial)
		w.weights, trial = trial, w.weights
		done += part
		if !all {
			w.resample()
			w.move(observations, min(1, done))
		}
	}
	return evidence
}

// weigh fills in the weights of the baths once a part of the last observation is
// in, and returns the logarithm of its mean likelihood.
func (w *cloud) weigh(last int, part float64, weights []float64) float64 {
	top := math.Inf(-1)
	for i := range weights {
		top = max(top, part*w.seen(i)[last])
	}
	sum := 0.0
	for i := range weights {
		weights[i] = w.weights[i] * math.Exp(part*w.seen(i)[last]-top)
		sum += weights[i]
	}
	for i := range weights {
		weights[i] /= sum
	}
	return top + math.Log(sum)
}

// portion returns the largest part of an observation, up to most, that leaves
// the cloud as good as half its number, and whether that is all of it.
func (w *cloud) portion(last int, most float64, weights []float64) (part float64, all bool) {
	effective := func(part float64) float64 {
		w.weigh(last, part, weights)
		sum := 0.0
		for _, x := range weights {
			sum += x * x
		}
		return 1 / sum
	}
	if effective(most) >= float64(w.n)/2 {
		return most, true
	}
	low, high := 0.0, most
	for range 12 {
		mid := (low + high) / 2
		if effective(mid) >= float64(w.n)/2 {
			low = mid
		} else {
			high = mid
		}
	}
	return max(low, 1e-3*most), false
}

// resample takes baths in proportion to their weights, evenly spaced, and makes
// them equal.
func (w *cloud) resample() {
	salt, z, logs := slices.Clone(w.salt), slices.Clone(w.z), slices.Clone(w.logs)
	u, sum, j := w.streams[0].Float64(), w.weights[0], 0
	for i := range w.n {
		for (float64(i)+u)/float64(w.n) > sum && j < w.n-1 {
			j++
			sum += w.weights[j]
		}
		w.salt[i] = salt[j]
		copy(w.row(i), z[j*w.d:(j+1)*w.d])
		copy(w.seen(i), logs[j*w.rows:(j+1)*w.rows])
	}
	w.level()
}

// level makes the weights equal.
func (w *cloud) level() {
	for i := range w.weights {
		w.weights[i] = 1 / float64(w.n)
	}
}

// moves is the number of steps that every bath takes after each resampling.
const moves = 4

// move takes the steps, at a likelihood of which the last observation counts in
// part.
func (w *cloud) move(observations int, part float64) {
	last := observations - 1
	sum := func(logs []float64) float64 {
		s := part * logs[last]
		for _, x := range logs[:last] {
			s += x
		}
		return s
	}
	proposals := make([]float64, chunks*w.d)
	trials := make([]float64, chunks*w.rows)
	accepted := make([]int, chunks)
	for k := range moves {
		fixed := slices.Clone(w.z) // the baths between which the lines run
		towards := k%2 == 0
		clear(accepted)
		w.each(func(i int, random *rand.Rand, mix *mixture) {
			c := i * chunks / w.n
			z, y, logs := w.row(i), proposals[c*w.d:(c+1)*w.d], trials[c*w.rows:(c+1)*w.rows]
			salt := w.salt[i]
			if random.Float64() < 0.4 {
				salt = w.model.pick(random.Float64())
			}
			prior := 0.0
			if towards {
				keep := math.Sqrt(1 - w.stride*w.stride)
				for l := range y {
					y[l] = keep*z[l] + w.stride*random.NormFloat64()
				}
			} else {
				a, b := random.IntN(w.n), random.IntN(w.n)
				reach := 2.38 / math.Sqrt(2*float64(w.d)) * (0.3 + random.Float64())
				for l := range y {
					y[l] = z[l] + reach*(fixed[a*w.d+l]-fixed[b*w.d+l])
					prior += (z[l]*z[l] - y[l]*y[l]) / 2
				}
			}
			w.model.follow(w.course, &w.model.salts[salt], y, observations, mix, logs)
			if math.Log(random.Float64()) < prior+sum(logs)-sum(w.seen(i)) {
				w.salt[i] = salt
				copy(z, y)
				copy(w.seen(i), logs)
				accepted[c]++
			}
		})
		if towards {
			rate := 0.0
			for _, a := range accepted {
				rate += float64(a) / float64(w.n)
			}
			w.stride = min(0.9, max(0.05, w.stride*math.Exp(rate-0.3)))
		}
	}
}

// pick returns the salt at a place in the prior from 0 to 1.
func (m *Model) pick(u float64) int {
	for k := range m.salts {
		if u -= m.salts[k].prior; u < 0 {
			return k
		}
	}
	return len(m.salts) - 1
}

// finish runs the cloud to the end of the course.
func (p *Posterior) finish(observations int) {
	w := p.cloud
	p.now = make([]mixture, w.n)
	p.pH = make([]float64, w.n)
	w.each(func(i int, _ *rand.Rand, _ *mixture) {
		p.model.follow(p.course, &p.model.salts[w.salt[i]], w.row(i), observations, &p.now[i], w.seen(i))
		p.pH[i] = p.model.surface.pH(&p.now[i]) + constants*w.row(i)[ofModel]
	})
	p.gross = make([]float64, observations)
	n := 0
	for _, s := range p.course.steps {
		if !s.seen() {
			continue
		}
		if s.kind == reads {
			b := p.course.sights[s.index].background
			for i := range w.n {
				p.gross[n] += GrossFraction * b / math.Exp(w.seen(i)[n]) / float64(w.n)
			}
		}
		n++
	}
}

// Belief is a salt with the probability that the bag holds it.
type Belief struct {
	Salt        string  `json:"salt"`
	ID          string  `json:"id"`
	Prior       float64 `json:"prior"`
	Probability float64 `json:"probability"`
}

// Salts returns the candidates, most probable first. A probability of zero is
// less than one in the size of the cloud, about 0.001.
func (p *Posterior) Salts() []Belief {
	if p.ready() != nil {
		return nil
	}
	out := make([]Belief, len(p.model.salts))
	for k, s := range p.model.salts {
		out[k] = Belief{Salt: s.reagent.Name, ID: s.reagent.ID, Prior: s.prior}
	}
	for _, k := range p.cloud.salt {
		out[k].Probability += 1 / float64(p.cloud.n)
	}
	slices.SortStableFunc(out, func(a, b Belief) int { return cmp.Compare(b.Probability, a.Probability) })
	return out
}

// PH returns the pH of the bath now: the median, and the ends between which it
// lies nine times in ten.
func (p *Posterior) PH() tables.Range { return spread.Of(p.pH) }

// ChelantMoles returns the mol of chelant in the bath, calcium bound to it or not.
func (p *Posterior) ChelantMoles() tables.Range {
	return spread.Of(p.over(p.chelant))
}

// chelant returns the mol in one bath.
func (p *Posterior) chelant(i int) float64 {
	return p.now[i].chelant + p.now[i].setter*p.model.surface.brings + p.model.surface.extra
}

// SaltGrams returns the mass in g of what first came out of the bag.
func (p *Posterior) SaltGrams() tables.Range {
	return spread.Of(p.over(func(i int) float64 {
		first, z := &p.course.more[0], p.cloud.row(i)
		return first.measured(&p.model.salts[p.cloud.salt[i]].packing, z[ofPacking], z[p.course.ofAmount(0)])
	}))
}

// Packing returns the mass in kg of a cubic metre of what is in the bag, level
// in the spoon: the same number as grams in a litre.
func (p *Posterior) Packing() tables.Range {
	return spread.Of(p.over(func(i int) float64 {
		return p.model.salts[p.cloud.salt[i]].packing.at(p.cloud.row(i)[ofPacking])
	}))
}

// over evaluates f for every bath.
func (p *Posterior) over(f func(i int) float64) []float64 {
	if p.ready() != nil {
		return nil
	}
	out := make([]float64, p.cloud.n)
	for i := range out {
		out[i] = f(i)
	}
	return out
}

// Evidence is how an observation agrees with what was known before it.
type Evidence struct {
	Event       int     `json:"event"`       // index of the event
	Probability float64 `json:"probability"` // of this observation, given those before it; a density for a spoon
	Gross       float64 `json:"gross"`       // chance that it has nothing to do with the bath
}

// Doubtful reports whether the observation is more likely gross than not: it
// contradicts the others, and the posterior has set it aside.
func (e Evidence) Doubtful() bool { return e.Gross > doubtful }

// Evidence returns one entry for each observation.
func (p *Posterior) Evidence() []Evidence {
	if p.ready() != nil {
		return nil
	}
	var out []Evidence
	for _, s := range p.course.steps {
		if s.seen() {
			n := len(out)
			event := s.event
			if s.kind == reads {
				event = p.course.sights[s.index].event
			}
			out = append(out, Evidence{event, math.Exp(p.logs[n]), p.gross[n]})
		}
	}
	return out
}

// LogEvidence returns the natural logarithm of the probability of all
// observations together. Of two setups, such as two bags, the one of higher
// evidence foretold them better.
func (p *Posterior) LogEvidence() float64 {
	sum := 0.0
	for _, x := range p.logs {
		sum += x
	}
	return sum
}
