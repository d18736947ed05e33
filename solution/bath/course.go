package bath

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Parts is what lies in a bath while hours pass.
type Parts struct {
	Rust         Rust    `json:"rust_on_parts,omitzero"`
	BareSteelCm2 float64 `json:"bare_steel_cm2,omitempty"` // clean steel that iron(III) eats
}

// Rust is what is left of the rust on all parts, and how it goes: see rust.Pace.Rust.
type Rust struct {
	Oxide     Oxide   `json:"counts_as"` // as which it counts in equilibrium
	IronMoles float64 `json:"iron_mol"`
	AreaCm2   float64 `json:"area_cm2"` // of rusty steel
	// Hours is the time in which it would go at pH 7, covered with chelant and far from equilibrium.
	Hours tables.Range `json:"hours"`
	// FilmMetresPerS is how fast chelant comes through the liquid that clings to it; zero is at once.
	FilmMetresPerS float64 `json:"film_m_per_s"`
}

func (p Parts) check() error {
	r := p.Rust
	err := cmp.Or(chem.Within("bare steel", p.BareSteelCm2, 0, 1e7, "cm²"), chem.Within("iron in the rust", r.IronMoles, 0, 1e5, "mol"))
	if err != nil || r.IronMoles == 0 {
		return err
	}
	return cmp.Or(rising("hours of the rust", r.Hours, 1e9, "h"), r.Oxide.check(), chem.Within("area of rust", r.AreaCm2, 1e-2, 1e8, "cm²"),
		chem.Within("film", r.FilmMetresPerS, 0, 1, "m/s"))
}

// Hour is a bath after some hours of a [Course]. Ranges hold nine cases in ten.
type Hour struct {
	Hours            float64      `json:"hours"` // since the start
	PH               tables.Range `json:"ph"`
	IronIIIMoles     tables.Range `json:"iron_iii_mol"` // in the bath, settled or not
	IronIIMoles      tables.Range `json:"iron_ii_mol"`
	RustLeftGrams    tables.Range `json:"rust_left_g"` // on the parts
	SteelLostGrams   tables.Range `json:"steel_lost_g"`
	FreeMoles        tables.Range `json:"free_chelant_mol"` // of the main chelants, as [Holdings.Counted]
	BoundMoles       tables.Range `json:"bound_chelant_mol"`
	LightSpoiltMoles tables.Range `json:"spoilt_by_light_mol"` // chelant destroyed
	AirSpoiltMoles   tables.Range `json:"spoilt_by_air_mol"`
	CO2OutMoles      tables.Range `json:"co2_out_mol"` // below zero: taken up
	O2InMoles        tables.Range `json:"o2_in_mol"`

	// What moved the typical pH since the start, what was done in between left out.
	PHByGas   float64 `json:"ph_by_gas"`
	PHByRust  float64 `json:"ph_by_rust"`
	PHBySteel float64 `json:"ph_by_steel"`
	PHByAir   float64 `json:"ph_by_air"`
	PHByLight float64 `json:"ph_by_light"`
}

// ranges are the figures of an hour that have one.
func (h *Hour) ranges() []*tables.Range {
	return []*tables.Range{&h.PH, &h.IronIIIMoles, &h.IronIIMoles, &h.RustLeftGrams, &h.SteelLostGrams, &h.FreeMoles,
		&h.BoundMoles, &h.LightSpoiltMoles, &h.AirSpoiltMoles, &h.CO2OutMoles, &h.O2InMoles}
}

// Course is a bath on its way through hours, in the place where it stands (see [Bath.Stand]), with
// parts in it. Beside the typical bath it follows others whose rates are drawn from their ranges.
//
//	course, err := tub.Course(bath.Parts{BareSteelCm2: 2000})
//	night, err := course.Until(12 * measure.Hour)
//	err = course.Do(func(b *bath.Bath, p *bath.Parts) error { p.BareSteelCm2 = 0; return nil })
//	day, err := course.Until(24 * measure.Hour)
//
// # What happens
//
// Carbon dioxide goes through the surface with a transfer velocity, k (c − c of the air), and
// in bubbles above the pressure at which it fizzes. Oxygen meets iron(II) in a film at the
// surface, where it is used up at once (P. V. Danckwerts, Gas-Liquid Reactions (1970),
// chapter 5), or in the bulk; a part of it takes its electrons from the chelant. Iron(III) is
// reduced at bare steel as fast as it comes there, 2 Fe(III) + Fe = 3 Fe(II). Rust goes as grains
// that shrink, slower as free chelant, pH and equilibrium let it. Light destroys the chelate
// near the surface, and frees iron(II). Elements, charge and electrons are kept.
//
// # What is not known, and what is left out
//
// Nobody has measured how fast a rust bath takes bare steel, what light does to one, what a board
// keeps out, nor how fast rust goes near pH 7: those ranges are judgement. Left out are
// bicarbonate and hydroxide that carry carbon dioxide through the film, at rest twice as fast at pH
// 7 and four times at 9; oxygen on steel itself, a tenth to a fifth of what iron(III) does; hydrogen
// from steel in acid, see [Bath.SteelAtRisk]; day, night and evaporation. What is left of a
// destroyed chelant counts as an idle anion, though it still holds some iron.
type Course struct {
	ways []*way // the typical one first
}

// Course starts a course of the bath, which stays as it is, with parts in it.
func (b *Bath) Course(p Parts) (*Course, error) { return b.follow(p, deviates()...) }

// follow starts a course in worlds with these deviates of the figures, none in the typical one.
func (b *Bath) follow(p Parts, deviates ...[]float64) (*Course, error) {
	if err := cmp.Or(b.ready(), p.check()); err != nil {
		return nil, err
	}
	c := &Course{}
	for _, z := range deviates {
		c.ways = append(c.ways, &way{bath: b.Clone(), parts: p, deviates: z, size: 1})
	}
	return c, nil
}

// ready refuses a course that Bath.Course did not start.
func (c *Course) ready() error {
	if c == nil || len(c.ways) == 0 {
		return &chem.InputError{Field: "course", Value: "missing", Want: "one that Bath.Course started"}
	}
	return nil
}

// Until carries the course on to some times since its start, in rising order.
func (c *Course) Until(times ...unit.Time) (out []Hour, err error) {
	if err := c.ready(); err != nil {
		return nil, err
	}
	all, values := make([]Hour, len(c.ways)), make([]float64, len(c.ways))
	for _, t := range times {
		if err := chem.Within("time", float64(t)/3600, c.ways[0].time/3600, mostHours, "h"); err != nil {
			return out, err
		}
		for i, w := range c.ways {
			if all[i], err = w.until(float64(t)); err != nil {
				return out, err
			}
		}
		h := all[0]
		for q, r := range h.ranges() {
			for i := range all {
				values[i] = all[i].ranges()[q].Typical
			}
			*r = around(values)
		}
		out = append(out, h)
	}
	return out, nil
}

// mostHours bounds a course: eleven years.
const mostHours = 1e5

// around gives the first, typical of some figures the range of what it is in the worlds, if any.
func around(values []float64) tables.Range {
	of, typical := spread.Of(values[min(1, len(values)-1):]), values[0]
	return tables.Range{Low: min(of.Low, typical), Typical: typical, High: max(of.High, typical)}
}

// Do does something to the bath and its parts at the time that the course has come to: acid
// goes in, a part comes out, a lid goes on. It is done to each bath that the course follows.
func (c *Course) Do(what func(*Bath, *Parts) error) error {
	if err := c.ready(); err != nil || what == nil {
		return cmp.Or(err, error(&chem.InputError{Field: "event", Value: "missing", Want: "something to do"}))
	}
	for _, w := range c.ways {
		if err := w.do(what); err != nil {
			return err
		}
	}
	return nil
}

// Pass lets some time pass for the bath with parts in it: [Course] without ranges.
func (b *Bath) Pass(p Parts, t unit.Time) (Hour, error) {
	c, err := b.follow(p, nil)
	if err != nil {
		return Hour{}, err
	}
	hours, err := c.Until(t)
	if err != nil {
		return Hour{}, err
	}
	*b = *c.ways[0].bath
	return hours[0], nil
}

// Past returns when a figure, such as the pH, passes a value in hours told, straight between
// them. A zero says not within those hours.
func Past(hours []Hour, value float64, of func(Hour) tables.Range) tables.Range {
	var when [3]float64
	for k := range when {
		above := func(h Hour) float64 { r := of(h); return [3]float64{r.Low, r.Typical, r.High}[k] - value }
		for i := 1; i < len(hours) && when[k] == 0; i++ {
			if a, b := above(hours[i-1]), above(hours[i]); a == 0 || a*b < 0 {
				when[k] = hours[i-1].Hours + (hours[i].Hours-hours[i-1].Hours)*a/(a-b)
			}
		}
	}
	x := tables.Range{Low: min(when[0], when[2]), Typical: when[1], High: max(when[0], when[2])}
	if x.Low == 0 { // one of them never passes
		x.Low, x.High = x.High, 0
	}
	return x
}

// worlds are the baths that a course follows beside the typical one, and their lattice
// generator: of all, the one that keeps the figures least correlated.
const worlds, generator = 37, 13

// deviates returns those of the figures in all ways of a course, of which the first is typical.
func deviates() [][]float64 {
	all := make([][]float64, 1+worlds)
	for i := range worlds {
		all[1+i] = make([]float64, len(figures))
		spread.Lattice(all[1+i], i, worlds, generator)
	}
	return all
}

// odd follows the bath to some hours, one figure alone off by so many standard deviations.
func (b *Bath) odd(p Parts, figure string, z float64, hours ...float64) (out []Hour, err error) {
	deviates := make([]float64, len(figures))
	deviates[slices.Index(figures, figure)] = z
	c, err := b.follow(p, deviates)
	for i := 0; err == nil && i < len(hours); i++ {
		var at []Hour
		at, err = c.Until(unit.Time(3600 * hours[i]))
		out = append(out, at...)
	}
	return out, err
}

// stray returns a figure in this world: on a scale of logarithms, unless it may be none.
func (w *way) stray(figure string, r tables.Range) float64 {
	i := slices.Index(figures, figure)
	switch {
	case w.deviates == nil || i < 0:
		return r.Typical
	case r.Low > 0:
		return spread.LogAt(r, w.deviates[i])
	}
	return math.Max(0, spread.At(r, w.deviates[i]))
}
