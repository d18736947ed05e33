package reading

import (
	"math"
	"math/rand/v2"
	"sync"

	"gonum.org/v1/gonum/floats"

	"example.com/chelation/solution/internal/root"
)

// bath is one that may be the one in the tub.
type bath struct {
	salt   *salt
	z      []float64 // its deviates
	logs   []float64 // log likelihoods of the observations
	weight float64   // those of a cloud add up to one
	mix    mixture   // at the end of the course
	pH     float64
}

// cloud is a set of baths.
type cloud struct {
	model   *Model
	course  *course
	baths   []bath
	streams [chunks]*rand.Rand
	stride  float64 // of the steps towards the prior
}

// prior draws a cloud from the priors, each salt in its proportion.
func (m *Model) prior(c *course, n int) *cloud {
	w := &cloud{model: m, course: c, stride: 0.5}
	for i := range w.streams {
		w.streams[i] = rand.New(rand.NewPCG(seed, uint64(i)))
	}
	w.baths = w.room(n)
	// Rare salts get more baths than their part, of less weight each.
	parts := make([]float64, len(m.salts))
	for k, s := range m.salts {
		parts[k] = max(s.prior, rare)
	}
	floats.Scale(1/floats.Sum(parts), parts)
	k, sum := 0, parts[0]
	for i := range w.baths {
		b := &w.baths[i]
		for l := range b.z {
			b.z[l] = w.streams[0].NormFloat64()
		}
		for (float64(i)+0.5)/float64(n) > sum && k < len(m.salts)-1 {
			k++
			sum += parts[k]
		}
		b.salt, b.weight = &m.salts[k], m.salts[k].prior/parts[k]/float64(n)
	}
	w.scale()
	return w
}

// room returns baths of one block of memory.
func (w *cloud) room(n int) []bath {
	d, rows := w.course.latents(), len(w.course.seen)
	baths, block := make([]bath, n), make([]float64, n*(d+rows))
	for i := range baths {
		baths[i].z, baths[i].logs, block = block[:d:d], block[d:d+rows:d+rows], block[d+rows:]
	}
	return baths
}

// scale makes the weights add up to one, and returns what they added up to and the sum of
// their squares: one over the number of baths in play.
func (w *cloud) scale() (sum, squares float64) {
	for i := range w.baths {
		sum += w.baths[i].weight
	}
	for i := range w.baths {
		b := &w.baths[i]
		b.weight /= sum
		squares += b.weight * b.weight
	}
	return sum, squares
}

// each runs f over the baths, in as many goroutines as there are streams.
func (w *cloud) each(f func(b *bath, chunk int, random *rand.Rand)) {
	parallel(len(w.baths), func(c, i int) { f(&w.baths[i], c, w.streams[c]) })
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

// learn lets in the last of a number of observations and returns the logarithm
// of its evidence. As long as the cloud stays as good as one in fewest of its number, it only
// shifts the weights.
func (w *cloud) learn(observations int) float64 {
	last := observations - 1
	w.each(func(b *bath, _ int, _ *rand.Rand) {
		w.model.follow(w.course, b.salt, b.z, last, observations, &b.mix, b.logs, math.Inf(-1))
	})
	evidence, before := 0.0, make([]float64, len(w.baths))
	for done := 0.0; done < 1; {
		for i := range w.baths {
			before[i] = w.baths[i].weight
		}
		enough := func(part float64) (bool, error) {
			_, squares := w.weigh(before, last, part)
			return squares <= fewest/float64(len(w.baths)), nil
		}
		part := 1 - done
		all, _ := enough(part)
		if !all {
			part, _ = root.Last(0, part, part/fineness, enough)
			part = max(part, (1-done)/slowest)
		}
		gain, _ := w.weigh(before, last, part)
		evidence += gain
		done += part
		if !all {
			w.resample()
			w.move(observations, min(1, done))
		}
	}
	return evidence
}

// weigh sets the weights once a part of the last observation is in, and returns the
// logarithm of its mean likelihood and the sum of their squares.
func (w *cloud) weigh(before []float64, last int, part float64) (gain, squares float64) {
	top := math.Inf(-1)
	for i := range w.baths {
		top = max(top, part*w.baths[i].logs[last])
	}
	for i := range w.baths {
		b := &w.baths[i]
		b.weight = before[i] * math.Exp(part*b.logs[last]-top)
	}
	sum, squares := w.scale()
	return top + math.Log(sum), squares
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
	n, old := len(w.baths), w.baths
	w.baths = w.room(n)
	u, sum, j := w.streams[0].Float64(), old[0].weight, 0
	for i := range w.baths {
		for (float64(i)+u)/float64(n) > sum && j < n-1 {
			j++
			sum += old[j].weight
		}
		b := &w.baths[i]
		b.salt, b.weight = old[j].salt, 1/float64(n)
		copy(b.z, old[j].z)
		copy(b.logs, old[j].logs)
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
	trials := w.room(chunks)
	accepted := make([]float64, chunks)
	for k := range moves {
		fixed := w.room(len(w.baths)) // between which the lines run
		for i := range fixed {
			copy(fixed[i].z, w.baths[i].z)
		}
		towards := k%2 == 0
		clear(accepted)
		w.each(func(b *bath, c int, random *rand.Rand) {
			y := &trials[c]
			if y.salt = b.salt; random.Float64() < exchange {
				y.salt = w.model.pick(random.Float64())
			}
			prior := 0.0
			if towards {
				keep := math.Sqrt(1 - w.stride*w.stride)
				for l := range y.z {
					y.z[l] = keep*b.z[l] + w.stride*random.NormFloat64()
				}
			} else {
				from, to := fixed[random.IntN(len(fixed))].z, fixed[random.IntN(len(fixed))].z
				reach := reaching / math.Sqrt(2*float64(len(y.z))) * (0.3 + random.Float64())
				for l := range y.z {
					y.z[l] = b.z[l] + reach*(from[l]-to[l])
					prior += (b.z[l]*b.z[l] - y.z[l]*y.z[l]) / 2
				}
			}
			least := math.Log(random.Float64()) - prior + sum(b.logs)
			if w.model.follow(w.course, y.salt, y.z, 0, observations, &y.mix, y.logs, least-w.course.headroom) && sum(y.logs) > least {
				b.salt, b.z, b.logs, y.z, y.logs = y.salt, y.z, y.logs, b.z, b.logs
				accepted[c]++
			}
		})
		if towards {
			w.stride = min(0.9, max(0.05, w.stride*math.Exp(floats.Sum(accepted)/float64(len(w.baths))-accept)))
		}
	}
}

// pick returns the salt at a place in the prior from 0 to 1.
func (m *Model) pick(u float64) *salt {
	for k := range m.salts {
		if u -= m.salts[k].prior; u < 0 {
			return &m.salts[k]
		}
	}
	return &m.salts[len(m.salts)-1]
}
