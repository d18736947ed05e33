package rust

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Motion is how the liquid next to a part is renewed.
type Motion string

// The motions. Bubbling air is none of them: air ends the help of iron(II) and
// feeds the attack on steel.
const (
	Still   Motion = "still"   // the part lies there; the zero Motion counts as this
	Moved   Motion = "moved"   // lifted or turned every hour or so
	Stirred Motion = "stirred" // pumped or stirred all the time
)

// Dip is a rusty part in a bath.
type Dip struct {
	Rust    tables.Rust // kind of rust: how readily its phases dissolve
	Layer   Layer       // how much of it per area
	Area    unit.Area   // of rusty steel, all parts together
	Oxide   bath.Oxide  // that the rust counts as in equilibrium
	Held    bool        // acid holds the pH at what it is; otherwise it drifts
	Motion  Motion      // of the liquid next to the parts
	Airless bool        // iron(II) beside the rust and no oxygen: counts the full help of iron(II) seen in the laboratory
}

func (d Dip) check() error {
	switch {
	case len(d.Rust.Constituents) == 0:
		return &chem.InputError{Field: "rust", Value: "missing", Want: "a rust of the tables"}
	case d.Oxide.Species == "":
		return &chem.InputError{Field: "oxide", Value: "missing", Want: "an oxide, see FindOxide"}
	case d.Motion != "" && d.Motion != Still && d.Motion != Moved && d.Motion != Stirred:
		return &chem.InputError{Field: "motion", Value: strconv.Quote(string(d.Motion)), Want: "still, moved or stirred"}
	}
	if err := chem.Within("iron per area", d.Layer.IronGramsPerM2.Typical, 1e-3, 1e5, "g/m²"); err != nil {
		return err
	}
	return chem.Within("area", float64(d.Area), 1e-6, 1e4, "m²")
}

// DiffusionLimit returns the most iron in mol/(m² s) that chelant of a strength
// in mol/L lets go through a film of still liquid, one for one, when diffusion
// alone brings it there: D c / δ (Fick), with the diffusivity in m²/s.
//
// Through 0.5 mm at 5e-10 m²/s and 0.03 mol/L that is 3e-5 mol/(m² s), or 6 g of
// iron per square metre and hour.
func DiffusionLimit(film unit.Length, diffusivity, strength float64) (float64, error) {
	if err := chem.Within("film", 1000*float64(film), 1e-6, 1000, "mm"); err != nil {
		return 0, err
	}
	if err := chem.Within("diffusivity", diffusivity, 1e-12, 1e-7, "m²/s"); err != nil {
		return 0, err
	}
	if err := chem.Within("strength", strength, 0, 10, "mol/L"); err != nil {
		return 0, err
	}
	return diffusivity * 1000 * strength / float64(film), nil
}

// Arrhenius returns how many times faster a step of an activation energy in
// kJ/mol (0 to 300) goes at one temperature than at another.
func Arrhenius(energy float64, from, to unit.Temperature) (float64, error) {
	if err := chem.Within("activation energy", energy, 0, 300, "kJ/mol"); err != nil {
		return 0, err
	}
	for _, t := range []unit.Temperature{from, to} {
		if err := chem.Within("temperature", float64(t), 200, 500, "K"); err != nil {
			return 0, err
		}
	}
	return arrhenius(energy, float64(from), float64(to)), nil
}

func arrhenius(energy, from, to float64) float64 {
	return math.Exp(1000 * energy / chem.GasConstant * (1/from - 1/to))
}

// course is a dip on its way from all of the rust to a part of it: what the time
// depends on, apart from what is not known.
//
// The rust is taken as grains that shrink evenly, so that what is left of it goes
// with the cube of their size u, from 1 to 0 (cube-root law: A. W. Hixson & J. H.
// Crowell, Ind. Eng. Chem. 23 (1931) 923). Where nothing else changes, u falls
// evenly in time.
type course struct {
	iron        float64 // mol/m², typical
	temperature float64 // K
	readiness   float64 // ln of the rate of this rust over that of fresh orange rust, as in acid
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
	alkaline float64 // pH as it slows the rate: see slowing
	affinity float64 // 1 far from equilibrium, 0 at it
}

// stationsPerCourse is the order of the Gauss–Legendre rule; with twice as many the times
// differ by less than a thousandth, and by a hundredth where the bath only just
// gets there.
const stationsPerCourse = 12

// follow follows the bath to where a part of the rust (0 to 1) is gone.
func (p *priors) follow(b *bath.Bath, d Dip, part float64) (*course, error) {
	return p.followAt(b, d, part, stationsPerCourse)
}

func (p *priors) followAt(b *bath.Bath, d Dip, part float64, stations int) (*course, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	v := b.Vessel()
	st, err := v.Equilibrate()
	if err != nil {
		return nil, err
	}
	c := &course{
		iron: d.Layer.IronGramsPerM2.Typical / bath.IronMolarMass, temperature: float64(v.Temperature()),
		film: p.film(d.Motion), airless: d.Airless, asked: part, reached: part, start: st, end: st,
	}
	if c.readiness, err = p.readiness(d.Rust); err != nil {
		return nil, err
	}
	if part == 0 {
		return c, nil
	}
	if err := v.Allow(d.Oxide.Species); err != nil {
		return nil, err
	}
	if d.Held {
		if err := v.HoldPH(st.PH); err != nil {
			return nil, err
		}
	}
	whole := c.iron * float64(d.Area) / d.Oxide.IronPerFormula // mol of oxide
	at := 0.0
	after := func(part float64) (*solution.State, error) {
		if err := v.AddSpecies(d.Oxide.Species, unit.Mole(whole*(part-at))); err != nil {
			return nil, err
		}
		at = part
		return v.Equilibrate()
	}
	last := math.Cbrt(1 - part)
	us, ws := make([]float64, stations), make([]float64, stations)
	quad.Legendre{}.FixedLocations(us, ws, last, 1) // from 1 down, as the rust goes
	for i, u := range us {
		st, err := after(1 - u*u*u)
		if err != nil {
			return nil, err
		}
		quotient := 1.0
		for _, s := range st.Solids {
			if s.Species == d.Oxide.Species {
				quotient = math.Pow(10, s.LogSaturation/d.Oxide.IronPerFormula)
			}
		}
		c.stations = append(c.stations, station{
			weight: ws[i], square: u * u, free: 1000 * bath.HoldingsOf(st).Counted().Free() / st.VolumeLitres,
			alkaline: slowing(st.PH), affinity: 1 - quotient,
		})
	}
	if c.end, err = after(part); err != nil {
		return nil, err
	}
	for _, s := range c.end.Solids {
		if s.Species == d.Oxide.Species && s.Moles > 1e-9*whole {
			c.reached = max(0, part-s.Moles/whole)
		}
	}
	if bath.HoldingsOf(c.start).Counted().Free() <= 0 {
		c.reached = 0
	}
	return c, nil
}

// stops reports whether the bath stops before the part that was asked for.
func (c *course) stops() bool {
	if c.reached < c.asked {
		return true
	}
	for _, s := range c.stations {
		if s.affinity <= 0 || s.free <= 0 {
			return true
		}
	}
	return false
}

// slowing is the pH as a multiple of the slope that the rate has from 4 to 8:
// none below 4, twice as much above 8; 0 at pH 7.
func slowing(pH float64) float64 {
	return min(max(pH, 4), 8) - 7 + 2*max(0, pH-8)
}

// seconds returns the time that the course takes in one possible world, at each
// of the rates; rates multiply that of the world.
//
// The flux j per area of steel obeys two laws at once: the surface gives iron off
// as chelant covers it, and the film brings chelant as it is used up,
//
//	j = a θ,  θ = cₛ/(h + cₛ),  j = m (c − cₛ),  a = 3 N u² A/τ
//
// with the chelant at the surface cₛ, that of half coverage h, the film's m = D/δ,
// the iron N, the affinity A and the time τ that covered grains would take. That
// is a quadratic in j, whose root never exceeds a θ(c) nor m c.
func (c *course) seconds(w *world, rates, out []float64) {
	n := c.iron * w.layer
	tau := w.time * math.Pow(n/w.reference, w.order) * math.Exp(-w.contrast*c.readiness) *
		arrhenius(w.energy, c.temperature, referenceTemperature)
	if c.airless {
		tau /= w.catalysis
	}
	m := w.diffusivity * arrhenius(diffusionEnergy, 298.15, c.temperature) / w.of(c.film)
	for k := range out {
		out[k] = 0
	}
	for _, s := range c.stations {
		if s.affinity <= 0 || s.free <= 0 {
			for k := range out {
				out[k] = math.Inf(1)
			}
			return
		}
		slow := tau * math.Pow(10, w.slope*s.alkaline)
		for k, rate := range rates {
			t := slow / rate
			a := 3 * n * s.square * s.affinity / t
			b := w.half + s.free + a/m
			out[k] += s.weight * t / s.affinity * (b + math.Sqrt(b*b-4*a*s.free/m)) / (2 * s.free)
		}
	}
}

// bound returns the time in s for which the film alone accounts, in one world.
func (c *course) bound(w *world) float64 {
	m := w.diffusivity * arrhenius(diffusionEnergy, 298.15, c.temperature) / w.of(c.film)
	sum := 0.0
	for _, s := range c.stations {
		sum += s.weight * 3 * c.iron * w.layer * s.square / (m * s.free)
	}
	return sum
}

// diffusionEnergy in kJ/mol makes D follow T/η: the viscosity of water, 1.002
// mPa·s at 20 °C and 0.653 at 40 °C, gives 19 (arithmetic).
const diffusionEnergy = 19

const referenceTemperature = 293.15 // K, of light-rust-time in the tables
