package reading

import (
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// course is what was done and seen, ready for the particles to follow. The first
// step is the bag into the water.
type course struct {
	steps   []*step
	seen    []*step // those that are observations
	amounts int     // measured out
	strips  []tables.Strip

	last         *sight // reading of the bath, or nil
	readings     int    // of the bath since anything else was done
	acids, bases int    // amounts that lower and raise the pH, the bag apart
	gas          bool   // whether some has yet to leave an open tub
}

// step is one of these: an amount poured, a reading, a level measure weighed, or a
// look at the bath.
type step struct {
	event   int // its number, from 1
	pour    *portion
	place   int // of the amount or of the instrument, among those of the course
	sight   *sight
	buffer  float64 // pH of what was read in the bath's place
	density float64 // kg/m³ of a level measure from the bag
	clear   bool

	gross      float64 // chance that what was seen has nothing to do with the bath
	background float64 // and of seeing it then
}

// log is the logarithm of how likely an observation is of which a part is let in, by what it is
// if it is no mistake. It widens without an end as the part gets small, so that baths find the
// way to a sharp reading from afar.
func (s *step) log(likelihood, part float64) float64 {
	return math.Log((1-s.gross)*math.Pow(likelihood, part) + s.gross*math.Pow(s.background, part))
}

// movesOn reports whether another mixture than that of an observation is observed afterwards.
func (c *course) movesOn(n int) bool {
	return n+1 < len(c.seen) && slices.ContainsFunc(c.steps[c.seen[n].event:c.seen[n+1].event], func(s *step) bool { return s.pour != nil })
}

// compile checks the events and turns them into a course.
func (m *Model) compile(events []Event) (*course, error) {
	c := &course{}
	for i, e := range append([]Event{Added{Amount: m.setup.Amount}}, events...) {
		s, err := step{}, error(&chem.InputError{Field: "kind", Value: "missing", Want: "Added, Read, Buffer, Spoon or Clarity"})
		if e != nil {
			s, err = e.compile(m, c)
		}
		if err != nil {
			return nil, fmt.Errorf("event %d: %w", i, err)
		}
		s.event, c.steps = i, append(c.steps, &s)
		switch {
		case s.pour == nil:
			c.seen = append(c.seen, &s)
		case s.pour.reagent.ID == "":
		case s.pour.raises(m.surface, m.setup.PH):
			c.bases++
		default:
			c.acids++
		}
		switch {
		case s.sight == nil:
			c.readings = 0
		case s.buffer == 0:
			c.last = s.sight
			c.readings++
		}
		c.gas = c.gas || m.setup.Open && s.pour != nil && s.pour.reagent.Carbonated()
	}
	return c, nil
}

func (e Added) compile(m *Model, c *course) (step, error) {
	p, err := m.portion(e)
	c.amounts++
	return step{pour: &p, place: c.amounts - 1}, err
}

func (e Read) compile(m *Model, c *course) (step, error) {
	r, err := newSight(e)
	background := e.Strip.Step / (e.Strip.High - e.Strip.Low + e.Strip.Step)
	return step{sight: &r, place: c.instrument(e.Strip), gross: m.doubts[inReading].More, background: background}, err
}

func (e Buffer) compile(m *Model, c *course) (step, error) {
	if err := chem.Within("buffer", e.PH, 1, 13, ""); err != nil {
		return step{}, err
	}
	s, err := e.Read.compile(m, c)
	s.buffer = e.PH
	return s, err
}

func (e Spoon) compile(m *Model, _ *course) (step, error) {
	x := float64(e.Mass) / float64(e.Volume)
	if !(e.Volume > 0 && x >= lightest && x <= heaviest) {
		return step{}, &chem.InputError{Field: "spoon", Value: fmt.Sprintf("%.4g g in %.4g mL", float64(e.Mass)*1e3, float64(e.Volume)*1e6), Want: "0.05 to 3 g per mL"}
	}
	return step{density: x, gross: m.doubts[inReading].More, background: levelling * math.Sqrt(2*math.Pi) / math.Ln10}, nil
}

// The bounds of bulk densities of powders, kg/m³: from fumed silica to iron.
const lightest, heaviest = 50, 3000

func (e Clarity) compile(_ *Model, c *course) (step, error) {
	if c.amounts > 1 {
		return step{}, &chem.InputError{Field: "clarity", Value: fmt.Sprint(bool(e)), Want: "a look before anything is added"}
	}
	return step{clear: bool(e)}, nil
}

// instrument numbers the strips and meters; one of each kind is taken to have been used throughout.
func (c *course) instrument(s tables.Strip) int {
	i := slices.IndexFunc(c.strips, func(x tables.Strip) bool { return x.ID == s.ID })
	if i < 0 {
		i, c.strips = len(c.strips), append(c.strips, s)
	}
	return i
}

// offset is the place of the first of the deviates of amounts that a pH is off by, strips
// that of the first instrument, and latents their number.
func (c *course) offset() int  { return common + c.amounts }
func (c *course) bias() int    { return common + 2*c.amounts }
func (c *course) latents() int { return c.bias() + len(c.strips) }

// astray is how far the pH of one bath is from what the model says, after one of its amounts.
func (m *Model) astray(c *course, z []float64, place int) float64 {
	return m.vague*z[ofModel] + m.amiss*z[c.offset()+place]
}

// pour adds a portion to a mixture, for a bath of salt k with deviates z; off is
// that of measuring it out.
func (m *Model) pour(mix *mixture, k *salt, z []float64, p *portion, off float64) {
	switch {
	case p.setter: // as often as a bath is brought to its pH: worked out once
		if mix.strength == 0 {
			mix.strength, mix.level = m.strength(p, z), m.level(p.packing, z, p.packed)
		}
		mix.setter += m.measured(p, mix.level, off) * mix.strength
	case p.reagent.ID != "":
		p.stir(mix, m.measured(p, m.level(p.packing, z, p.packed), off))
	default:
		grams := m.measured(p, m.level(k.packing, z, ofPacking), off)
		if !k.other {
			alkali := m.doubts[ofFreeBase].at(z[ofFreeBase])
			grams *= share(k.reagent.Assay, z[ofAssay]) * m.doubts[ofAssay].at(z[ofAssay])
			k.pour(mix, grams, spread.At(k.free, z[ofFreeBase])+alkali)
			mix.gas += alkali / 2 * grams * k.perGram / float64(m.setup.Volume) // mol/m³ are mmol/L
			return
		}
		m.pourStrange(mix, k, z, grams)
	}
}

// strength is what a gram of a portion counts for at its typical assay: only that of
// the setter is held uncertain.
func (m *Model) strength(p *portion, z []float64) float64 {
	if p.setter {
		return share(m.setter.Assay, z[ofSetter]) / m.setter.Assay.Typical * m.doubts[ofSetter].at(z[ofSetter])
	}
	return 1
}

// follow runs a bath on through the course up to and including the given number of
// observations, of which a part of the last is let in, and writes the log likelihood of each;
// all portions are poured when the number is that of all. It gives up, and returns false, once
// the likelihoods add up to no more than the least.
func (m *Model) follow(c *course, b *bath, observations int, part, least float64) bool {
	z := b.z
	if b.next == 0 {
		b.mix = mixture{water: math.Exp(m.water*z[ofWater])*m.doubts[ofWater].at(z[ofWater]) - 1, gas: m.doubts[ofGas].at(z[ofGas])}
		b.seen = 0
	}
	for ; b.next < len(c.steps); b.next++ {
		s := c.steps[b.next]
		switch {
		case s.pour != nil:
			m.pour(&b.mix, b.salt, z, s.pour, z[common+s.place])
			b.known, b.place = false, s.place
			continue
		case b.seen == observations:
			return true
		case s.sight != nil:
			is := s.buffer
			if is == 0 {
				if !b.known {
					b.pH, b.known = m.surface.pH(&b.mix)+m.astray(c, z, b.place), true
				}
				is = b.pH
			}
			x := z[c.bias()+s.place]
			b.likelihood = s.sight.likelihood(is, s.sight.bias*x+m.doubts[inOffset].at(x))
		case s.density > 0:
			x := math.Log(s.density/spread.LogAt(b.salt.packing, z[ofPacking])) / levelling
			b.likelihood = math.Exp(-x * x / 2) // to the likeliest
		default:
			b.likelihood = b.salt.looks(s.clear)
		}
		in := 1.0
		if b.seen == observations-1 {
			in = part
		}
		b.logs[b.seen] = s.log(b.likelihood, in)
		if least -= min(0, b.logs[b.seen]); least >= 0 {
			return false
		}
		b.seen++
	}
	return true
}

// looks returns the chance that the salt leaves the bath clear, or not.
func (k *salt) looks(clear bool) float64 {
	if k.other {
		return 0.5
	}
	if clear == k.clear {
		return 1 - milky
	}
	return milky
}
