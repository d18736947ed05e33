package reading

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// bath is one that may be the one in the tub.
type bath struct {
	salt       *salt
	z          []float64 // its deviates
	logs       []float64 // log likelihoods of the observations
	weight     float64   // those of a cloud add up to one
	likelihood float64   // of the last observation, unless that is a mistake
	copy       bool      // of another

	next, seen, place int // step of the course that comes, observations, and the last amount till then
	mix               mixture
	pH                float64
	known             bool // whether that is of the mixture
}

// cloud is a set of baths, of the chelant or of something else. Each kind has one of its
// own, as the unlikely one may yet be what is in the bag.
type cloud struct {
	model    *Model
	course   *course
	size     int
	baths    []bath
	spare    []bath  // room that a resampling left
	evidence float64 // logarithm of how likely the kind was, times that of what was seen
	random   *rand.Rand
	stride   float64 // of the steps towards the prior
	kinds    []salt  // of what the bag may hold, and how likely all of them
	chance   float64
}

// prior draws a cloud from the priors of a kind, each salt in its proportion. Where something was
// seen it is larger, and what is rare gets more baths than its part, of less weight each.
func (m *Model) prior(c *course, kinds []salt, size int) *cloud {
	w := &cloud{model: m, course: c, kinds: kinds, size: size, stride: 0.5, random: rand.New(rand.NewPCG(seed, 0))}
	parts := make([]float64, len(kinds))
	for k, s := range kinds {
		w.chance += s.prior
		if parts[k] = s.prior; len(c.seen) > 0 && !s.other {
			parts[k] = max(s.prior, rare)
		}
	}
	if w.evidence = math.Log(w.chance); w.chance == 0 {
		return w
	}
	if len(c.seen) > 0 {
		size *= larger
	} else {
		size += size / 3
	}
	floats.Scale(1/floats.Sum(parts), parts)
	w.baths = w.room(size)
	k, sum := 0, parts[0]
	for i := range w.baths {
		for (float64(i)+0.5)/float64(size) > sum && k < len(kinds)-1 {
			k++
			sum += parts[k]
		}
		b := &w.baths[i]
		b.salt, b.weight = &kinds[k], kinds[k].prior/parts[k]
		for l := range b.z {
			b.z[l] = w.random.NormFloat64()
		}
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

// scale makes the weights add up to one. It returns what they added up to, and what part of
// the size is in play.
func (w *cloud) scale() (sum, inPlay float64) {
	for i := range w.baths {
		sum += w.baths[i].weight
	}
	squares := 0.0
	for i := range w.baths {
		b := &w.baths[i]
		b.weight /= sum
		squares += b.weight * b.weight
	}
	return sum, 1 / squares / float64(w.size)
}

// share returns the share of baths that are as f says.
func (w *cloud) share(f func(b *bath) bool) (part float64) {
	for i := range w.baths {
		if f(&w.baths[i]) {
			part += w.baths[i].weight
		}
	}
	return part
}

// learn lets in the last of a number of observations. As long as the cloud stays as good as
// one in fewest of its size, or is of no account, it only shifts the weights.
func (w *cloud) learn(observations int, counts bool) {
	last := observations - 1
	for i := range w.baths {
		w.model.follow(w.course, &w.baths[i], observations, 0, math.Inf(-1))
	}
	for done := 0.0; done < 1; {
		before := make([]float64, len(w.baths))
		for i := range w.baths {
			before[i] = w.baths[i].weight
		}
		part := 1 - done
		gain, inPlay := w.weigh(before, last, 1)
		for counts && part > slowest && inPlay < 1.0/fewest {
			part /= 1.5
			gain, inPlay = w.weigh(before, last, done+part)
		}
		done, w.evidence = done+part, w.evidence+gain
		for i := range w.baths {
			b := &w.baths[i]
			b.logs[last] = w.course.seen[last].log(b.likelihood, done)
		}
		if done < 1 || len(w.baths) > w.size && w.course.movesOn(last) {
			w.resample()
			if counts {
				w.move(observations, done, part < 1)
			}
		}
	}
}

// weigh sets the weights once so much of the last observation is in, and returns the
// logarithm of the mean of what that adds to its likelihood and what is in play then.
func (w *cloud) weigh(before []float64, last int, done float64) (gain, inPlay float64) {
	for i := range w.baths {
		b := &w.baths[i]
		b.weight = before[i] * math.Exp(w.course.seen[last].log(b.likelihood, done)-b.logs[last])
	}
	sum, inPlay := w.scale()
	return math.Log(sum), inPlay
}

const (
	// fewest is one over the part of the cloud that has to stay in play, and slowest the
	// part of an observation that is let in whatever is.
	fewest, slowest = 4, 1e-3
	// rare is the part that any salt has of the first cloud, and larger how many times the
	// cloud the first one is.
	rare, larger = 0.04, 3
)

// resample takes baths in proportion to their weights, evenly spaced, and makes them equal.
func (w *cloud) resample() {
	old := w.baths
	if w.baths = w.spare; w.spare == nil {
		w.baths = w.room(w.size)
	}
	w.spare = old[:w.size]
	u, sum, j, last := w.random.Float64(), old[0].weight, 0, -1
	for i := range w.baths {
		for (float64(i)+u)/float64(w.size) > sum && j < len(old)-1 {
			j++
			sum += old[j].weight
		}
		b, z, logs := &w.baths[i], w.baths[i].z, w.baths[i].logs
		copy(z, old[j].z)
		copy(logs, old[j].logs)
		*b = old[j]
		b.z, b.logs, b.weight, b.copy, b.mix.other = z, logs, 1/float64(w.size), j == last, slices.Clip(b.mix.other)
		last = j
	}
}

// How the baths move.
const (
	patience = 8    // steps at the most after a resampling
	alike    = 0.3  // part of the copies from which one more is taken
	stirred  = 0.4  // part of the deviates that a step towards the prior changes
	exchange = 0.4  // how often a step tries another salt
	reaching = 2.38 // reach along a line, by the root of twice its dimensions (ter Braak 2006)
	accept   = 0.3  // share of the steps towards the prior that is to succeed
)

// move takes steps until few baths are copies of others, two at least where an observation is let in
// by degrees, at a likelihood of which the last counts in part.
func (w *cloud) move(observations int, part float64, byDegrees bool) {
	sum := func(logs []float64) float64 { return floats.Sum(logs[:observations]) }
	y, n, d := &w.room(1)[0], len(w.baths), len(w.baths[0].z)
	for k := 0; byDegrees && k < 2 || k < patience && w.share(func(b *bath) bool { return b.copy }) > alike; k++ {
		accepted, keep := 0, math.Sqrt(1-w.stride*w.stride)
		for i := range w.baths {
			b, prior := &w.baths[i], 0.0
			if y.salt, y.copy, y.next = b.salt, false, 0; w.random.Float64() < exchange {
				y.salt = pick(w.kinds, w.random.Float64()*w.chance)
			}
			copy(y.z, b.z)
			if k%2 == 0 {
				for l := range y.z {
					if w.random.Float64() < stirred {
						y.z[l] = keep*b.z[l] + w.stride*w.random.NormFloat64()
					}
				}
			} else {
				from, to := w.baths[w.random.IntN(n)].z, w.baths[w.random.IntN(n)].z
				reach := reaching / math.Sqrt(2*float64(d)) * (0.3 + w.random.Float64())
				for l := range y.z {
					y.z[l] = b.z[l] + reach*(from[l]-to[l])
					prior += (b.z[l]*b.z[l] - y.z[l]*y.z[l]) / 2
				}
			}
			least := math.Log(w.random.Float64()) - prior + sum(b.logs)
			if w.model.follow(w.course, y, observations, part, least) && sum(y.logs) > least {
				y.weight = b.weight
				*b, *y = *y, *b
				accepted++
			}
		}
		if k%2 == 0 {
			w.stride = min(0.9, max(0.05, w.stride*math.Exp(float64(accepted)/float64(n)-accept)))
		}
	}
}

// pick returns the salt at a place in the prior from 0 to 1.
func pick(salts []salt, u float64) *salt {
	for k := range salts {
		if u -= salts[k].prior; u < 0 {
			return &salts[k]
		}
	}
	return &salts[len(salts)-1]
}
