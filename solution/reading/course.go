package reading

import (
	"math"

	"example.com/chelation/tables"
)

// course is what was done and seen, ready for the particles to follow.
type course struct {
	steps     []step
	more      []portion // the first is the bag into the water
	sights    []sight
	densities []float64 // kg/m³ of level measures from the bag
	strips    []tables.Strip
}

type step struct {
	kind  kind
	index int // into more, sights or densities
	clear bool
	event int
}

type kind int

const (
	pours kind = iota
	reads
	weighs
	looks
)

// seen reports whether a step is an observation.
func (s step) seen() bool { return s.kind != pours }

// instrument numbers the strips and meters; one of each kind is taken to have
// been used throughout.
func (c *course) instrument(s tables.Strip) int {
	for i := range c.strips {
		if c.strips[i].ID == s.ID {
			return i
		}
	}
	c.strips = append(c.strips, s)
	return len(c.strips) - 1
}

// latents is the number of deviates that a particle needs.
func (c *course) latents() int { return common + len(c.more) + len(c.strips) }

// ofAmount and ofBias are the places of the errors behind the common latents.
func (c *course) ofAmount(i int) int { return common + i }
func (c *course) ofBias(i int) int   { return common + len(c.more) + i }

// pour adds a portion to a mixture, for a bath of salt k with deviates z; off is
// that of measuring it out.
func (m *Model) pour(mix *mixture, k *salt, z []float64, p *portion, off float64) {
	if p.of == fromBag {
		k.pour(mix, p.measured(&k.packing, z[ofPacking], off)*k.assay.at(z[ofAssay]), z[ofFreeBase])
		return
	}
	p.stir(mix, p.measured(&p.packing, z[p.packed()], off)*m.strength(p, z))
}

// strength is what a gram of a portion counts for at its typical assay: only that of
// the setter is held uncertain.
func (m *Model) strength(p *portion, z []float64) float64 {
	if p.of == fromSetter {
		return m.assay.at(z[ofSetter]) / m.assay.typical
	}
	return 1
}

// follow runs a bath through the course up to and including the given number of
// observations, writes the log likelihood of each, and leaves the mixture as it
// was then; all portions are poured when the number is that of all.
func (m *Model) follow(c *course, k *salt, z []float64, observations int, mix *mixture, logs []float64) {
	*mix = mixture{water: math.Exp(m.water*z[ofWater]) - 1, other: mix.other[:0]}
	shift := constants * z[ofModel]
	pH, known := 0.0, false
	n := 0
	for _, s := range c.steps {
		if s.seen() && n == observations {
			return
		}
		switch s.kind {
		case pours:
			m.pour(mix, k, z, &c.more[s.index], z[c.ofAmount(s.index)])
			known = false
			continue
		case reads:
			r := &c.sights[s.index]
			if !known {
				pH, known = m.surface.pH(mix)+shift, true
			}
			logs[n] = math.Log(r.likelihood(pH, r.bias*z[c.ofBias(r.instrument)]))
		case weighs:
			x := math.Log(c.densities[s.index]/k.packing.at(z[ofPacking])) / LevellingError
			logs[n] = math.Log((1-GrossFraction)*math.Exp(-x*x/2)/(LevellingError*math.Sqrt(2*math.Pi)) + GrossFraction/math.Log(10))
		case looks:
			chance := milky
			if s.clear == k.clear {
				chance = 1 - milky
			}
			logs[n] = math.Log(chance)
		}
		n++
	}
}
