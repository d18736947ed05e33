package reading

import (
	"math"
	"math/rand/v2"
	"sync"

	"gonum.org/v1/gonum/floats"
)

// bath is one that may be the one in the tub.
type bath struct {
	salt   *salt
	z      []float64 // its deviates
	logs   []float64 // log likelihoods of the observations
	weight float64   // those of a cloud add up to one
	copy   bool      // of another
	mix    *mixture  // at the end of the course
	pH     float64
}

// cloud is a set of baths: first those of the chelant, then those of something else. Each
// kind keeps its number, as the unlikely one may yet be what is in the bag.
type cloud struct {
	model   *Model
	course  *course
	baths   []bath
	chelant int // baths of the first kind
	streams [chunks]*rand.Rand
	stride  float64 // of the steps towards the prior
}

// prior draws a cloud from the priors, each salt in its proportion. Where something was
// seen it is larger, and what is rare gets more baths than its part, of less weight each.
func (m *Model) prior(c *course) *cloud {
	w := &cloud{model: m, course: c, stride: 0.5}
	for i := range w.streams {
		w.streams[i] = rand.New(rand.NewPCG(seed, uint64(i)))
	}
	n, parts := particles, make([]float64, len(m.salts))
	if len(c.seen) > 0 {
		n *= larger
	}
	for k, s := range m.salts {
		if parts[k] = s.prior; len(c.seen) > 0 {
			parts[k] = max(s.prior, rare)
			if s.other {
				parts[k] = strangers / (1 - strangers) * floats.Sum(parts[:k])
			}
		}
	}
	floats.Scale(1/floats.Sum(parts), parts)
	w.baths = w.room(n)
	k, sum := 0, parts[0]
	for i := range w.baths {
		for (float64(i)+0.5)/float64(n) > sum && k < len(m.salts)-1 {
			k++
			sum += parts[k]
		}
		b := &w.baths[i]
		b.salt, b.weight = &m.salts[k], m.salts[k].prior/parts[k]/float64(n)
		if !b.salt.other {
			w.chelant++
		}
	}
	w.each(func(b *bath, _ int, random *rand.Rand) {
		for l := range b.z {
			b.z[l] = random.NormFloat64()
		}
	})
	w.scale()
	return w
}

// kinds are the baths of either kind.
func (w *cloud) kinds() [2][]bath { return [2][]bath{w.baths[:w.chelant], w.baths[w.chelant:]} }

// room returns baths of one block of memory.
func (w *cloud) room(n int) []bath {
	d, rows := w.course.latents(), len(w.course.seen)
	baths, block := make([]bath, n), make([]float64, n*(d+rows))
	for i := range baths {
		baths[i].z, baths[i].logs, block = block[:d:d], block[d:d+rows:d+rows], block[d+rows:]
	}
	return baths
}

// scale makes the weights add up to one. It returns what they added up to, and what part
// of the number that is kept of each kind is in play, of that of which it is less.
func (w *cloud) scale() (sum, inPlay float64) {
	for i := range w.baths {
		sum += w.baths[i].weight
	}
	inPlay = math.Inf(1)
	for k, part := range w.kinds() {
		all, squares := 0.0, 0.0
		for i := range part {
			part[i].weight /= sum
			all += part[i].weight
			squares += part[i].weight * part[i].weight
		}
		if squares > 0 {
			inPlay = min(inPlay, all*all/squares/kept[k])
		}
	}
	return sum, inPlay
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
	var mixes [chunks]mixture
	w.each(func(b *bath, c int, _ *rand.Rand) {
		w.model.follow(w.course, b.salt, b.z, last, observations, &mixes[c], b.logs, math.Inf(-1))
	})
	evidence := 0.0
	for done := 0.0; done < 1; {
		before := make([]float64, len(w.baths))
		for i := range w.baths {
			before[i] = w.baths[i].weight
		}
		part := 1 - done
		gain, inPlay := w.weigh(before, last, part)
		for part > slowest && inPlay < 1.0/fewest {
			part /= 1.5
			gain, inPlay = w.weigh(before, last, part)
		}
		evidence, done = evidence+gain, done+part
		if done < 1 || len(w.baths) > particles {
			w.resample()
			w.move(observations, min(1, done))
		}
	}
	return evidence
}

// weigh sets the weights once a part of the last observation is in, and returns the
// logarithm of its mean likelihood and what is in play then.
func (w *cloud) weigh(before []float64, last int, part float64) (gain, inPlay float64) {
	top := math.Inf(-1)
	for i := range w.baths {
		top = max(top, part*w.baths[i].logs[last])
	}
	for i := range w.baths {
		b := &w.baths[i]
		b.weight = before[i] * math.Exp(part*b.logs[last]-top)
	}
	sum, inPlay := w.scale()
	return top + math.Log(sum), inPlay
}

const (
	// fewest is one over the part of the cloud that has to stay in play, and slowest the
	// part of an observation that is let in whatever is.
	fewest, slowest = 6, 1e-3
	// rare is the part that any salt has of the first cloud, strangers that of something
	// else, and larger how many times the cloud the first one is.
	rare, strangers, larger = 0.04, 0.25, 3
)

// kept are the numbers of baths of each kind.
var kept = [2]float64{(1 - strangers) * particles, strangers * particles}

// resample takes baths of each kind in proportion to their weights, evenly spaced, and
// makes them equal.
func (w *cloud) resample() {
	old := w.kinds()
	w.baths, w.chelant = w.room(particles), int(kept[0])
	for k, part := range w.kinds() {
		mass := 0.0
		for i := range old[k] {
			mass += old[k][i].weight
		}
		u, sum, j, last := w.streams[0].Float64(), old[k][0].weight, 0, -1
		for i := range part {
			for (float64(i)+u)/kept[k]*mass > sum && j < len(old[k])-1 {
				j++
				sum += old[k][j].weight
			}
			b, from := &part[i], &old[k][j]
			b.salt, b.weight, b.copy = from.salt, mass/kept[k], j == last
			copy(b.z, from.z)
			copy(b.logs, from.logs)
			last = j
		}
	}
}

// copies is the part of the baths that are copies of others.
func (w *cloud) copies() (part float64) {
	for i := range w.baths {
		if w.baths[i].copy {
			part += 1.0 / particles
		}
	}
	return part
}

// How the baths move.
const (
	patience = 8    // steps at the most after a resampling
	alike    = 0.15 // part of the copies from which one more is taken
	stirred  = 0.4  // part of the deviates that a step towards the prior changes
	exchange = 0.4  // how often a step tries another salt
	reaching = 2.38 // reach along a line, by the root of twice its dimensions (ter Braak 2006)
	accept   = 0.3  // share of the steps towards the prior that is to succeed
)

// move takes steps until few baths are copies of others, two at least, at a likelihood of
// which the last observation counts in part.
func (w *cloud) move(observations int, part float64) {
	last := observations - 1
	sum := func(logs []float64) float64 { return floats.Sum(logs[:last]) + part*logs[last] }
	var mixes [chunks]mixture
	trials, fixed, accepted := w.room(chunks), make([]float64, len(w.baths)*len(w.baths[0].z)), make([]float64, chunks)
	for k := 0; k < 2 || k < patience && w.copies() > alike; k++ {
		towards, d := k%2 == 0, len(w.baths[0].z)
		for i := range w.baths { // between which the lines run
			copy(fixed[i*d:], w.baths[i].z)
		}
		clear(accepted)
		w.each(func(b *bath, c int, random *rand.Rand) {
			y, prior := &trials[c], 0.0
			if y.salt = b.salt; !b.salt.other && random.Float64() < exchange {
				y.salt = w.model.pick(random.Float64() * (1 - w.model.doubts[inKind].More))
			}
			copy(y.z, b.z)
			if towards {
				keep := math.Sqrt(1 - w.stride*w.stride)
				for l := range y.z {
					if random.Float64() < stirred {
						y.z[l] = keep*b.z[l] + w.stride*random.NormFloat64()
					}
				}
			} else {
				first, n := 0, w.chelant
				if b.salt.other {
					first, n = n, len(w.baths)-n
				}
				from, to := fixed[(first+random.IntN(n))*d:], fixed[(first+random.IntN(n))*d:]
				reach := reaching / math.Sqrt(2*float64(d)) * (0.3 + random.Float64())
				for l := range y.z {
					y.z[l] = b.z[l] + reach*(from[l]-to[l])
					prior += (b.z[l]*b.z[l] - y.z[l]*y.z[l]) / 2
				}
			}
			least := math.Log(random.Float64()) - prior + sum(b.logs)
			if w.model.follow(w.course, y.salt, y.z, 0, observations, &mixes[c], y.logs, least-w.course.headroom) && sum(y.logs) > least {
				b.salt, b.copy, b.z, b.logs, y.z, y.logs = y.salt, false, y.z, y.logs, b.z, b.logs
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
