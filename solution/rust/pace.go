package rust

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Pace is what is believed about how fast rust dissolves: at first what the literature and the
// trade allow, a range of ten times, and narrower with each part that was seen to come clean.
// It is not changed by its methods and safe for concurrent use.
//
// Grains shrink ever slower as the bath nears equilibrium, its free chelant falls and its pH
// climbs, by [tables.Kinetic] and [tables.PhaseRate]. Not in print is how the rate goes with the
// thickness of the layer, or how much of the ranking of oxides in acid holds in chelant. Pace
// carries these as a set of possible worlds, and a forecast is the share of worlds. Left out are
// light, oil and paint, and iron(III) chelate and phosphate that compete for the surface
// (Ballesteros et al. 1998, J. Colloid Interface Sci. 201, 13; Campbell & Eick 2002).
type Pace struct {
	tables   *tables.Tables
	films    map[Motion]tables.Range // m
	fresh    float64                 // mean ln rate of fresh orange rust
	stations int                     // of a course
	worlds   []world
	rates    []float64 // multiples of the rate of a world
	weights  []float64 // by world and rate; add up to one
	odd      int

	light, diffusivity, scrubbed tables.Range // h, m²/s, 1
	among                        float64      // parts, standard deviation of ln time
}

// Odd returns how many sightings were more likely a mistake than not. Two of them mean that the
// rust, its amount or the pH is another than was said.
func (p *Pace) Odd() int { return p.odd }

// world is one possible set of figures.
type world struct {
	energy    float64 // kJ/mol
	contrast  float64 // of phases, against that in acid
	order     float64 // by which the time goes with the layer
	slope     float64 // of log rate with pH
	half      float64 // chelant at half coverage, mol/m³
	layer     float64 // iron over the typical
	catalysis float64 // by iron(II)
	film      float64 // its thickness, in standard deviations
}

// What the times are known by, as light-rust-time in the tables says.
const (
	referenceRust = "fresh-orange"
	referenceIron = 30.0 // g/m²
)

// How finely belief is divided: so many worlds on a lattice whose generator, of all,
// keeps the dimensions least correlated, and rates a fifth of a standard deviation apart.
const (
	worlds        = 256
	generator     = 195
	ratesPerWorld = 41
	widest        = 4.0 // standard deviations that the rates span on either side
)

// NewPace returns what is believed before anything was seen.
func NewPace(t *tables.Tables) (*Pace, error) {
	fresh, err := t.Rust(referenceRust)
	get := func(id string) tables.Range {
		k, e := tables.Find[tables.Kinetic](t, id)
		err = cmp.Or(err, e)
		return k.Value
	}
	p := &Pace{
		tables: t, stations: stationsPerCourse, worlds: make([]world, worlds),
		light: get("light-rust-time"), diffusivity: get("diffusivity"), among: spread.LogSigma(get("part-to-part")), scrubbed: get("scrubbed-share"),
		films: map[Motion]tables.Range{"": get("film-still"), Still: get("film-still"), Moved: get("film-moved"), Stirred: get("film-stirred")},
	}
	energy, contrast, order, slope := get("activation-energy"), get("phase-contrast"), get("layer-order"), get("ph-slope")
	half, layer, catalysis := get("half-coverage"), get("layer-mass"), get("iron-ii-catalysis")
	if err != nil {
		return nil, err
	}
	if p.fresh, err = p.meanRate(fresh); err != nil {
		return nil, err
	}
	var z [8]float64
	for i := range p.worlds {
		spread.Lattice(z[:], i, worlds, generator)
		p.worlds[i] = world{
			energy: spread.At(energy, z[0]), contrast: spread.At(contrast, z[1]),
			order: spread.EvenAt(order, z[2]), slope: spread.LogAt(slope, z[3]),
			half: 1000 * spread.LogAt(half, z[4]), layer: spread.LogAt(layer, z[5]),
			catalysis: spread.LogAt(catalysis, z[6]), film: z[7],
		}
	}
	normal := make([]float64, ratesPerWorld)
	for i, z := range floats.Span(make([]float64, ratesPerWorld), -widest, widest) {
		p.rates = append(p.rates, math.Exp(spread.LogSigma(p.light)*z))
		normal[i] = math.Exp(-z * z / 2)
	}
	floats.Scale(1/(floats.Sum(normal)*worlds), normal)
	p.weights = slices.Repeat(normal, worlds)
	return p, nil
}

// Rust returns the rust of a dip as [bath.Bath.Course] takes it, with the hours believed in.
func (p *Pace) Rust(b *bath.Bath, d Dip) (bath.Rust, error) {
	c, err := p.begin(b, d, 1)
	if err != nil {
		return bath.Rust{}, err
	}
	var seconds []float64
	for i := range p.worlds {
		for _, rate := range p.rates {
			seconds = append(seconds, c.covered(&p.worlds[i])/rate)
		}
	}
	return bath.Rust{
		Oxide: d.Oxide, IronMoles: c.iron * float64(d.Area), AreaCm2: 1e4 * float64(d.Area), Hours: hours(seconds, p.weights, p.among),
		FilmMetresPerS: c.diffusivity / c.film.Typical,
	}, nil
}

// hours returns the range of times in s with weights, their logarithms smeared by a normal error.
func hours(seconds, weights []float64, sigma float64) tables.Range {
	logs := make([]float64, len(seconds))
	for i, s := range seconds {
		logs[i] = math.Log(s / 3600)
	}
	return spread.OfLogs(logs, weights, sigma)
}

// meanRate is the mean of ln rate in acid at 20 °C over the mass of a rust, of the phases that
// have one: neither the fastest nor the slowest sets the pace. A judgement.
func (p *Pace) meanRate(r tables.Rust) (float64, error) {
	sum, mass := 0.0, 0.0
	for _, c := range r.Constituents {
		x, none := tables.Find[tables.PhaseRate](p.tables, c.Phase.ID)
		if none != nil {
			continue // water, dirt, wustite
		}
		sum += c.Share.Typical * (math.Log(x.FrequencyGramsPerM2Hour) - 1000*x.ActivationEnergyKJPerMol/(chem.GasConstant*referenceTemperature))
		mass += c.Share.Typical
	}
	if mass == 0 {
		return 0, &chem.InputError{Field: "rust", Value: r.Name, Want: "a rust with a phase whose rate is known"}
	}
	return sum / mass, nil
}

// seconds returns the times of a course by world and rate.
func (p *Pace) seconds(c *course) (out []float64) {
	for i := range p.worlds {
		out = append(out, c.seconds(&p.worlds[i], p.rates)...)
	}
	return out
}

// Of an eye on a half-clean part, and of records of another part: judgement.
const (
	eye     = 0.15 // of the rust
	mistake = 0.02 // of all sightings
)

// Seen returns the pace after one more part was looked at: of the rust of a dip into a bath, a
// part from 0 (nothing) to 1 (clean) was gone after some time. Clean means by then and perhaps
// long before; anything less is taken as ± 0.15. The bath is as it was when the part went in.
//
// One sighting in fifty is allowed to be a mistake. One that the bath cannot bring about (it
// stops dissolving before) is refused: the pH or the oxide is another.
func (p *Pace) Seen(b *bath.Bath, d Dip, after unit.Time, part float64) (*Pace, error) {
	if err := cmp.Or(chem.Within("part of the rust gone", part, 0, 1, ""), chem.Within("time", float64(after)/3600, 0.01, 1e5, "h")); err != nil {
		return nil, err
	}
	least := 1.0
	if part < 1 {
		least = max(0, part-eye)
	}
	low, err := p.follow(b, d, least)
	if err != nil {
		return nil, err
	}
	if low.stops() {
		return nil, &chem.InputError{Field: "part of the rust gone", Value: fmt.Sprintf("%.4g", part), Want: fmt.Sprintf("at most %.2f, where the bath stops dissolving %s: the pH, the oxide or the amount of rust is another", low.reached, d.Oxide.Name)}
	}
	early := p.seconds(low)
	late := slices.Repeat([]float64{math.Inf(1)}, len(early)) // clean it may stay for ever
	if part < 1 {
		high, err := p.follow(b, d, min(1, part+eye))
		if err != nil {
			return nil, err
		}
		late = p.seconds(high)
	}
	next := *p
	next.weights = slices.Clone(p.weights)
	passed := func(seconds float64) float64 {
		return distuv.UnitNormal.CDF(math.Log(float64(after)/seconds) / p.among)
	}
	for k := range next.weights {
		next.weights[k] *= mistake + (1-mistake)*(passed(early[k])-passed(late[k]))
	}
	sum := floats.Sum(next.weights)
	if sum < 2*mistake { // half of it is the mistake
		next.odd++
	}
	floats.Scale(1/sum, next.weights)
	return &next, nil
}
