package rust

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/grain"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// course is a dip on its way from all of the rust to a part of it: what the time depends on,
// apart from what is not known. Grains whose size u falls are the rust, see package grain.
type course struct {
	iron        float64 // mol/m², typical
	temperature float64 // K
	readiness   float64 // ln of the rate of this rust over that of fresh orange rust, as in acid
	light       float64 // s for light fresh rust
	diffusivity float64 // m²/s
	film        tables.Range
	airless     bool
	stations    []station
	asked       float64 // part of the rust to go
	reached     float64 // part of it that the bath dissolves before it stops; asked, if it does not
	start, end  *solution.State
}

// station is one node of the integral over u.
type station struct {
	weight   float64 // du
	square   float64 // u²
	free     float64 // mol of free chelant per m³
	alkaline float64 // pH as it slows the rate: see grain.Slowing
	affinity float64 // 1 far from equilibrium, 0 at it
}

// stationsPerCourse is the order of the Gauss–Legendre rule; with twice as many the times differ
// by less than a thousandth, and by a hundredth where the bath only just gets there.
const stationsPerCourse = 12

// settledTrace is the part of the rust whose solid is no rounding.
const settledTrace = 1e-9

// follow follows the bath to where a part of the rust (0 to 1) is gone.
func (p *Pace) follow(b *bath.Bath, d Dip, part float64) (*course, error) {
	c, err := p.begin(b, d, part)
	if err != nil || part == 0 {
		return c, err
	}
	v := b.Solution.Clone()
	if d.Held {
		err = v.HoldPH(c.start.PH)
	}
	if err = cmp.Or(err, v.Allow(d.Oxide.Species)); err != nil {
		return nil, err
	}
	whole := c.iron * float64(d.Area) / d.Oxide.IronPerFormula // mol of oxide
	at := 0.0
	after := func(part float64) (*solution.State, error) {
		err := v.AddSpecies(d.Oxide.Species, unit.Mole(whole*(part-at)))
		if at = part; err != nil {
			return nil, err
		}
		return v.Equilibrate()
	}
	us, ws := make([]float64, p.stations), make([]float64, p.stations)
	quad.Legendre{}.FixedLocations(us, ws, math.Cbrt(1-part), 1) // from 1 down, as the rust goes
	for i, u := range us {
		st, err := after(1 - u*u*u)
		if err != nil {
			return nil, err
		}
		quotient := math.Pow(10, lying(st, d.Oxide).LogSaturation/d.Oxide.IronPerFormula)
		c.stations = append(c.stations, station{
			weight: ws[i], square: u * u, free: 1000 * freeChelant(st), alkaline: grain.Slowing(st.PH), affinity: 1 - quotient,
		})
	}
	if c.end, err = after(part); err != nil {
		return nil, err
	}
	if left := lying(c.end, d.Oxide).Moles / whole; left > settledTrace {
		c.reached = max(0, part-left)
	}
	if freeChelant(c.start) <= 0 {
		c.reached = 0
	}
	return c, nil
}

// begin is a course before anything has dissolved.
func (p *Pace) begin(b *bath.Bath, d Dip, part float64) (*course, error) {
	if p == nil || p.tables == nil {
		return nil, &chem.InputError{Field: "pace", Value: "missing", Want: "one made by NewPace"}
	}
	film, ok := p.films[d.Motion]
	if !ok {
		return nil, &chem.InputError{Field: "motion", Value: chem.Echo(string(d.Motion)), Want: "still, moved or stirred"}
	}
	rate, err := p.meanRate(d.Rust)
	st, err2 := b.State()
	if err = cmp.Or(d.check(), err, err2); err != nil {
		return nil, err
	}
	temperature := float64(b.Temperature())
	return &course{
		iron: d.Layer.IronGramsPerM2.Typical / bath.IronMolarMass, temperature: temperature, readiness: rate - p.fresh,
		light: 3600 * p.light.Typical, diffusivity: p.diffusivity.Typical * grain.Diffusion(diffusionTemperature, temperature),
		film: film, airless: d.Airless, asked: part, reached: part, start: st, end: st,
	}, nil
}

// lying returns what lies of an oxide in a state, nothing and at equilibrium if it is not there.
func lying(st *solution.State, o bath.Oxide) solution.Solid {
	for _, s := range st.Solids {
		if s.Species == o.Species {
			return s
		}
	}
	return solution.Solid{}
}

// freeChelant returns the main chelants that no metal holds, in mol/L.
func freeChelant(st *solution.State) float64 {
	return bath.HoldingsOf(st).Counted().Free() / st.VolumeLitres
}

// stops reports whether the bath stops before the part that was asked for.
func (c *course) stops() bool {
	return c.reached < c.asked || slices.ContainsFunc(c.stations, station.stands)
}

func (s station) stands() bool { return s.affinity <= 0 || s.free <= 0 }

// seconds returns the time that the course takes in one world at multiples of its rate.
func (c *course) seconds(w *world, rates []float64) []float64 {
	out, tau := make([]float64, len(rates)), c.covered(w)
	grains := grain.Rust{Iron: c.iron * w.layer, Half: w.half, Film: c.through(w)}
	for _, s := range c.stations {
		if s.stands() {
			return slices.Repeat([]float64{math.Inf(1)}, len(rates))
		}
		slow := tau * math.Pow(10, w.slope*s.alkaline)
		for k, rate := range rates {
			out[k] += s.weight / grains.Shrink(slow/rate, s.square, s.free, s.affinity)
		}
	}
	return out
}

// covered returns the time in s that grains covered with chelant take at pH 7, far from equilibrium.
func (c *course) covered(w *world) float64 {
	tau := c.light * math.Pow(c.iron*w.layer*bath.IronMolarMass/referenceIron, w.order) * math.Exp(-w.contrast*c.readiness) *
		grain.Arrhenius(w.energy, c.temperature, referenceTemperature)
	if c.airless {
		tau /= w.catalysis
	}
	return tau
}

// through returns how fast the film lets chelant through, D/δ in m/s.
func (c *course) through(w *world) float64 { return c.diffusivity / spread.LogAt(c.film, w.film) }

// bound returns the time in s for which the film alone accounts.
func (c *course) bound(w *world) float64 {
	sum := 0.0
	for _, s := range c.stations {
		sum += s.weight * 3 * c.iron * w.layer * s.square / (c.through(w) * s.free)
	}
	return sum
}

// Temperatures in K of the tables' diffusivity and light-rust-time.
const diffusionTemperature, referenceTemperature = 298.15, 293.15
