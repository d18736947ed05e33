package rust

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Pace is what is believed about how fast rust dissolves: at first what the
// literature and the trade allow, which is a range of ten times, and narrower
// with each part that was seen to come clean. It is not changed by its methods and
// safe for concurrent use.
//
//	pace, err := bath.NewPace(t)
//	time, err := pace.Time(tub, dip)           // "a day; 5 hours to 4 days"
//	pace, err = pace.Seen(tub, dip, 24*hour, 1) // clean after a day
//	levers, err := pace.Levers(tub, dip)       // what would shorten it
//
// # The model
//
// Iron goes from grains of rust at a rate that grows with the part of their
// surface that free chelant covers, with warmth and with falling pH, and dies
// away near equilibrium; the liquid that clings to the part lets chelant through
// only so fast, and that caps it (see [DiffusionLimit]). Meanwhile the bath
// changes: free chelant falls, and the pH climbs unless it is held. All figures
// with their sources are [tables.Kinetic] and [tables.PhaseRate].
//
// # What is not known
//
// The rate of real rust near pH 7 and 20 °C is in no paper; nor is how it goes
// with the thickness of the layer, or how much of the ranking of oxides in acid
// holds in chelant. Pace carries these as a set of possible worlds, and a forecast
// is the share of worlds. What is left out: light, iron(III) chelate and
// phosphate that compete for the surface (Ballesteros et al. 1998, J. Colloid
// Interface Sci. 201, 13; Campbell & Eick 2002), oil and paint on the rust.
type Pace struct {
	priors  *priors
	worlds  []world
	rates   []float64 // multiples of the rate of a world
	weights []float64 // by world and rate; add up to one
	odd     int
}

// Odd returns how many sightings were more likely a mistake than not, given what
// was believed before them: those move a forecast little. Two of them mean that
// the rust, its amount or the pH is another than was said.
func (p *Pace) Odd() int { return p.odd }

// world is one possible set of figures.
type world struct {
	time        float64 // s for light fresh rust, before rates
	reference   float64 // mol/m² of that rust
	energy      float64 // kJ/mol
	contrast    float64
	order       float64
	slope       float64
	half        float64 // mol/m³
	layer       float64
	catalysis   float64
	diffusivity float64
	spread      float64 // of the film, in standard deviations
}

// of returns a film of the world in m.
func (w *world) of(film tables.Range) float64 { return spread.LogAt(film, w.spread) }

// priors are the figures of the tables.
type priors struct {
	tables  *tables.Tables
	figures map[string]tables.Range
	fresh   float64 // mean ln rate of fresh orange rust
}

const (
	referenceRust = "fresh-orange"
	referenceIron = 30.0 // g/m², of light-rust-time in the tables
	worlds        = 256
	ratesPerWorld = 41
	widest        = 4.0 // standard deviations that the rates span on either side
)

// NewPace returns what is believed before anything was seen.
func NewPace(t *tables.Tables) (*Pace, error) {
	p := &priors{tables: t, figures: map[string]tables.Range{}}
	for k := range t.Kinetics() {
		p.figures[k.ID] = k.Value
	}
	for _, id := range []string{
		"light-rust-time", "activation-energy", "phase-contrast", "layer-order", "ph-slope", "half-coverage", "layer-mass",
		"part-to-part", "iron-ii-catalysis", "diffusivity", "film-still", "film-moved", "film-stirred", "scrubbed-share",
	} {
		if _, err := t.Kinetic(id); err != nil {
			return nil, err
		}
	}
	fresh, err := t.Rust(referenceRust)
	if err != nil {
		return nil, err
	}
	if p.fresh, err = p.meanRate(fresh); err != nil {
		return nil, err
	}
	out := &Pace{priors: p, worlds: make([]world, worlds)}
	get := func(id string) tables.Range { return p.figures[id] }
	for i := range out.worlds {
		z := scattered(i)
		out.worlds[i] = world{
			time: 3600 * get("light-rust-time").Typical, reference: referenceIron / bath.IronMolarMass,
			energy: spread.At(get("activation-energy"), z[0]), contrast: spread.At(get("phase-contrast"), z[1]),
			order: spread.EvenAt(get("layer-order"), z[2]), slope: spread.LogAt(get("ph-slope"), z[3]),
			half: 1000 * spread.LogAt(get("half-coverage"), z[4]), layer: spread.LogAt(get("layer-mass"), z[5]),
			catalysis: spread.LogAt(get("iron-ii-catalysis"), z[6]), diffusivity: get("diffusivity").Typical, spread: z[7],
		}
	}
	light := get("light-rust-time")
	sigma := spread.LogSigma(light)
	total := 0.0
	normal := make([]float64, ratesPerWorld)
	for k := range normal {
		z := widest * (2*float64(k)/(ratesPerWorld-1) - 1)
		out.rates = append(out.rates, math.Exp(sigma*z))
		normal[k] = math.Exp(-z * z / 2)
		total += normal[k]
	}
	for range out.worlds {
		for _, w := range normal {
			out.weights = append(out.weights, w/total/worlds)
		}
	}
	return out, nil
}

// film returns the film of a motion in m.
func (p *priors) film(m Motion) tables.Range {
	if m == "" {
		m = Still
	}
	return p.figures["film-"+string(m)]
}

// readiness returns ln of the rate of a rust over that of fresh orange rust.
func (p *priors) readiness(r tables.Rust) (float64, error) {
	mean, err := p.meanRate(r)
	return mean - p.fresh, err
}

// meanRate is the mean of ln rate in acid at 20 °C over the mass of a rust, of
// the phases that have one: its phases hold each other together, so that neither
// the fastest nor the slowest sets the pace. A judgement.
func (p *priors) meanRate(r tables.Rust) (float64, error) {
	sum, mass := 0.0, 0.0
	for _, c := range r.Constituents {
		x, err := p.tables.PhaseRate(c.Phase.ID)
		if errors.Is(err, tables.ErrNotFound) {
			continue // water, dirt, wustite
		}
		if err != nil {
			return 0, err
		}
		sum += c.Share.Typical * (math.Log(x.FrequencyGramsPerM2Hour) - 1000*x.ActivationEnergyKJPerMol/(chem.GasConstant*referenceTemperature))
		mass += c.Share.Typical
	}
	if mass == 0 {
		return 0, &chem.InputError{Field: "rust", Value: r.Name, Want: "a rust with a phase whose rate is known"}
	}
	return sum / mass, nil
}

// scattered returns the i-th of the points that stand for independent normal
// variables: a lattice i (1, a, a², ...)/n modulo 1 (N. M. Korobov, Dokl. Akad.
// Nauk SSSR 124 (1959) 1207), shifted by half a step, so that in each dimension
// alone the points are evenly spaced. Of all a, 195 keeps the dimensions least
// correlated for n = 256. So a forecast is the same each time.
func scattered(i int) (z [8]float64) {
	const generator = 195
	for d, k := 0, i; d < len(z); d, k = d+1, k*generator%worlds {
		z[d] = distuv.UnitNormal.Quantile((float64(k) + 0.5) / worlds)
	}
	return z
}

// seconds returns the times of a course by world and rate.
func (p *Pace) seconds(c *course) []float64 {
	out := make([]float64, len(p.weights))
	n := len(p.rates)
	for i := range p.worlds {
		c.seconds(&p.worlds[i], p.rates, out[i*n:(i+1)*n])
	}
	return out
}

// partToPart is the standard deviation of ln time among parts.
func (p *Pace) partToPart() float64 { return spread.LogSigma(p.priors.figures["part-to-part"]) }

// Of an eye on a half-clean part, and of records that have nothing to do with
// the part: judgement.
const (
	eye     = 0.15 // of the rust
	mistake = 0.02 // of all sightings
)

// Seen returns the pace after one more part was looked at: of the rust of a dip
// into a bath, a part from 0 (nothing) to 1 (clean) was gone after some time.
// Clean means that it was so by then and perhaps long before; anything less is
// taken as ± 0.15. The bath is the one that the part went into, as it was then.
// What was seen at two times on one part may go in twice.
//
// One sighting in fifty is allowed to be a mistake, so that a single odd one does
// not bend the rest. One that the bath cannot bring about (it stops dissolving
// before) is refused: the pH or the oxide is another.
func (p *Pace) Seen(b *bath.Bath, d Dip, after unit.Time, part float64) (*Pace, error) {
	if err := chem.Within("part of the rust gone", part, 0, 1, ""); err != nil {
		return nil, err
	}
	if err := chem.Within("time", float64(after)/3600, 0.01, 1e5, "h"); err != nil {
		return nil, err
	}
	least := 1.0
	if part < 1 {
		least = max(0, part-eye)
	}
	low, err := p.priors.follow(b, d, least)
	if err != nil {
		return nil, err
	}
	if low.stops() {
		return nil, &chem.InputError{Field: "part of the rust gone", Value: fmt.Sprintf("%g", part), Want: fmt.Sprintf("at most %.2f, where the bath stops dissolving %s: the pH, the oxide or the amount of rust is another", low.reached, d.Oxide.Name)}
	}
	early := p.seconds(low)
	var late []float64
	if part < 1 {
		high, err := p.priors.follow(b, d, min(1, part+eye))
		if err != nil {
			return nil, err
		}
		late = p.seconds(high)
	}
	next := *p
	next.weights = make([]float64, len(p.weights))
	sigma, at := p.partToPart(), math.Log(float64(after))
	sum := 0.0
	for k, w := range p.weights {
		chance := distuv.UnitNormal.CDF((at - math.Log(early[k])) / sigma)
		if late != nil {
			chance -= distuv.UnitNormal.CDF((at - math.Log(late[k])) / sigma)
		}
		next.weights[k] = w * (mistake + (1-mistake)*chance)
		sum += next.weights[k]
	}
	if sum < 2*mistake { // half of it is the mistake
		next.odd++
	}
	for k := range next.weights {
		next.weights[k] /= sum
	}
	return &next, nil
}
