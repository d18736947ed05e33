package reading

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"gonum.org/v1/gonum/floats"

	"example.com/chelation/solution/internal/root"
)

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
	for range c.seen() {
		w.rows++
	}
	for i := range w.streams {
		w.streams[i] = rand.New(rand.NewPCG(seed, uint64(i)))
	}
	w.salt = make([]int, n)
	w.weights = make([]float64, n)
	w.z = make([]float64, n*w.d)
	w.logs = make([]float64, n*w.rows)
	for i := range w.z {
		w.z[i] = w.streams[0].NormFloat64()
	}
	// Rare salts get more baths than their part, of less weight each.
	parts := make([]float64, len(m.salts))
	for k, s := range m.salts {
		parts[k] = max(s.prior, rare)
	}
	floats.Scale(1/floats.Sum(parts), parts)
	k, sum := 0, parts[0]
	for i := range n {
		for (float64(i)+0.5)/float64(n) > sum && k < len(m.salts)-1 {
			k++
			sum += parts[k]
		}
		w.salt[i], w.weights[i] = k, m.salts[k].prior/parts[k]/float64(n)
	}
	floats.Scale(1/floats.Sum(w.weights), w.weights)
	return w
}

// each runs f over the baths, in as many goroutines as there are streams.
func (w *cloud) each(f func(i int, random *rand.Rand, mix *mixture)) {
	mixes := make([]mixture, chunks)
	parallel(w.n, func(c, i int) { f(i, w.streams[c], &mixes[c]) })
}

// parallel runs f for 0 to n−1 in chunks.
func parallel(n int, f func(c, i int)) {
	var wg sync.WaitGroup
	for c := range chunks {
		wg.Go(func() {
			for i := c * n / chunks; i < (c+1)*n/chunks; i++ {
				f(c, i)
			}
		})
	}
	wg.Wait()
}

func (w *cloud) row(i int) []float64  { return w.z[i*w.d : (i+1)*w.d] }
func (w *cloud) seen(i int) []float64 { return w.logs[i*w.rows : (i+1)*w.rows] }

// learn lets in the last of a number of observations and returns the logarithm
// of its evidence. As long as the cloud stays as good as one in fewest of its number, it only
// shifts the weights.
func (w *cloud) learn(observations int) float64 {
	last := observations - 1
	w.each(func(i int, _ *rand.Rand, mix *mixture) {
		w.model.follow(w.course, &w.model.salts[w.salt[i]], w.row(i), last, observations, mix, w.seen(i), math.Inf(-1))
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
	for i := range weights {
		weights[i] = w.weights[i] * math.Exp(part*w.seen(i)[last]-top)
	}
	sum := floats.Sum(weights)
	floats.Scale(1/sum, weights)
	return top + math.Log(sum)
}

// portion returns the largest part of an observation, up to most, that leaves
// the cloud as good as one in fewest of its number, and whether that is all of it.
func (w *cloud) portion(last int, most float64, weights []float64) (part float64, all bool) {
	enough := func(part float64) (bool, error) {
		w.weigh(last, part, weights)
		return floats.Dot(weights, weights) <= fewest/float64(w.n), nil
	}
	if all, _ := enough(most); all {
		return most, true
	}
	part, _ = root.Last(0, most, most/fineness, enough)
	return max(part, most/slowest), false
}

// The part of an observation is found to one in fineness of what is left of it, and
// is no less than one in slowest.
const fineness, slowest = 4096, 1000

// fewest is one over the part of the cloud that has to stay in play, and rare the part
// that any salt has of it at first.
const fewest, rare = 8, 0.04

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
	for i := range w.weights {
		w.weights[i] = 1 / float64(w.n)
	}
}

// How the baths move.
const (
	moves    = 2    // steps of every bath after each resampling
	exchange = 0.4  // how often a step tries another salt
	reaching = 2.38 // reach along a line, by the root of twice its dimensions (ter Braak 2006)
	accept   = 0.3  // share of the steps towards the prior that is to succeed
)

// move takes the steps, at a likelihood of which the last observation counts in
// part.
func (w *cloud) move(observations int, part float64) {
	last := observations - 1
	sum := func(logs []float64) float64 { return floats.Sum(logs[:last]) + part*logs[last] }
	proposals := make([]float64, chunks*w.d)
	trials := make([]float64, chunks*w.rows)
	accepted := make([]float64, chunks)
	for k := range moves {
		fixed := slices.Clone(w.z) // the baths between which the lines run
		towards := k%2 == 0
		clear(accepted)
		w.each(func(i int, random *rand.Rand, mix *mixture) {
			c := i * chunks / w.n
			z, y, logs := w.row(i), proposals[c*w.d:(c+1)*w.d], trials[c*w.rows:(c+1)*w.rows]
			salt := w.salt[i]
			if random.Float64() < exchange {
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
				reach := reaching / math.Sqrt(2*float64(w.d)) * (0.3 + random.Float64())
				for l := range y {
					y[l] = z[l] + reach*(fixed[a*w.d+l]-fixed[b*w.d+l])
					prior += (z[l]*z[l] - y[l]*y[l]) / 2
				}
			}
			least := math.Log(random.Float64()) - prior + sum(w.seen(i))
			if w.model.follow(w.course, &w.model.salts[salt], y, 0, observations, mix, logs, least-w.course.headroom) && sum(logs) > least {
				w.salt[i] = salt
				copy(z, y)
				copy(w.seen(i), logs)
				accepted[c]++
			}
		})
		if towards {
			w.stride = min(0.9, max(0.05, w.stride*math.Exp(floats.Sum(accepted)/float64(w.n)-accept)))
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
