package rust

import (
	"cmp"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Lever is something that changes how long a dip takes.
type Lever struct {
	ID string `json:"id"`
	Do string `json:"do"`
	// TimesFaster is how many times shorter the dip gets; 1 is no change. Zero where
	// the bath would never finish without it.
	TimesFaster tables.Range `json:"times_faster"`
	Hours       tables.Range `json:"hours"`       // of the dip with it
	SavedHours  tables.Range `json:"hours_saved"` // zero where TimesFaster is
	// Laboratory marks a help that was seen under conditions unlike a tub's.
	Laboratory bool   `json:"laboratory_only,omitempty"`
	Why        string `json:"why"`
	Source     string `json:"source"`
}

// What the levers change, judgement: warm is as far as a tub is easily kept and
// gives off no more than it must.
const (
	warm           = 35.0 // °C
	worthWarming   = 5.0  // °C below that from which it is weighed
	stronger       = 1.5  // times the free chelant
	lowestAdvised  = 5.0  // pH
	lowerBy        = 1.0
	worthRefreshed = 0.9 // free part of the chelant below which fresh chelant is weighed
)

// lever is a dip that is changed in some respect; what is zero stays as it is.
type lever struct {
	Lever
	useless bool // here
	bath    func(*bath.Bath) (*bath.Bath, error)
	dip     func(*Dip)
	free    float64      // times the free chelant
	rest    tables.Range // part of the rust that is left to the brush
}

// Levers weighs what would shorten a dip, the most helpful first, each by itself:
// warmth, lower pH, holding the pH, motion, brushing first and between dips, fresh
// chelant, and a stronger bath. A lever that does not apply (a warm bath made
// warm) is left out, and so is one with which the bath still stops too early. Help
// by iron(II) comes last, with the range seen in the laboratory.
func (p *Pace) Levers(b *bath.Bath, d Dip) ([]Lever, error) {
	base, err := p.follow(b, d, 1)
	if err != nil {
		return nil, err
	}
	was := p.seconds(base)
	var out []Lever
	for _, l := range p.levers(d, base) {
		if l.useless {
			continue
		}
		works, err := p.weigh(&l, b, d, base, was)
		if err != nil {
			return nil, err
		}
		if works {
			out = append(out, l.Lever)
		}
	}
	slices.SortStableFunc(out, func(a, b Lever) int { return cmp.Compare(b.rank(), a.rank()) })
	return out, nil
}

// rank puts the help of a tub before that of a laboratory.
func (l Lever) rank() float64 {
	if l.Laboratory {
		return -1
	}
	return l.TimesFaster.Typical
}

// Brushing weighs scraping and brushing before the bath alone: days saved as a
// range. Its figures are zero where the bath stops before the rest is gone, too,
// and TimesFaster and SavedHours where it would stop without a brush.
func (p *Pace) Brushing(b *bath.Bath, d Dip) (Lever, error) {
	base, err := p.follow(b, d, 1)
	if err != nil {
		return Lever{}, err
	}
	l := brushed(d)
	_, err = p.weigh(&l, b, d, base, p.seconds(base))
	return l.Lever, err
}

// weigh fills in the figures of a lever, and reports whether the bath gets there
// with it.
func (p *Pace) weigh(l *lever, b *bath.Bath, d Dip, base *course, was []float64) (bool, error) {
	if l.dip != nil {
		l.dip(&d)
	}
	if l.bath != nil {
		var err error
		if b, err = l.bath(b.Clone()); err != nil {
			return false, err
		}
	}
	var now, weights []float64
	rests, shares := gauss(l.rest)
	for i, rest := range rests {
		c, err := p.follow(b, d, 1-rest)
		if err != nil || c.stops() {
			return false, err
		}
		for k := range c.stations {
			c.stations[k].free *= cmp.Or(l.free, 1)
		}
		now = append(now, p.seconds(c)...)
		for _, w := range p.weights {
			weights = append(weights, w*shares[i])
		}
	}
	l.Hours = hours(now, weights, p.among)
	if base.stops() {
		return true, nil
	}
	ratio, saved := make([]float64, len(now)), make([]float64, len(now))
	for k := range now {
		before := was[k%len(was)]
		ratio[k] = math.Log(before / now[k])
		saved[k] = max(before-now[k], 1)
	}
	l.TimesFaster, l.SavedHours = spread.OfLogs(ratio, weights, 0), hours(saved, weights, p.among)
	return true, nil
}

// gauss returns three values of a range with their weights, nothing for no range:
// Gauss–Hermite quadrature (M. Abramowitz & I. A. Stegun, Handbook of Mathematical
// Functions, 25.4.46, table 25.10).
func gauss(r tables.Range) (values, weights []float64) {
	if r.High == 0 {
		return []float64{0}, []float64{1}
	}
	z := math.Sqrt(3)
	return []float64{spread.LogAt(r, -z), r.Typical, spread.LogAt(r, z)}, []float64{1. / 6, 2. / 3, 1. / 6}
}

// levers lists them all.
func (p *Pace) levers(d Dip, base *course) []lever {
	counted := bath.HoldingsOf(base.start).Counted()
	whole, room, pH := counted.Total(), counted.Free(), base.start.PH
	return []lever{{
		useless: base.temperature >= 273.15+warm-worthWarming,
		bath:    func(b *bath.Bath) (*bath.Bath, error) { return b, b.SetTemperature(chem.Celsius(warm)) }, Lever: Lever{
			ID: "warm", Do: "Warm the bath to 35 °C.",
			Why:    "Each iron that leaves has to climb an activation energy. Bare steel is attacked faster as well, so look sooner.",
			Source: "Sidhu et al. 1981, Clays Clay Miner. 29, 269, and Cornell et al. 1976, J. Inorg. Nucl. Chem. 38, 563, in acid",
		}}, {
		useless: pH-lowerBy < lowestAdvised,
		bath:    func(b *bath.Bath) (*bath.Bath, error) { return b.At(pH - lowerBy) }, dip: func(d *Dip) { d.Held = true }, Lever: Lever{
			ID: "lower-ph", Do: "Bring it a pH unit lower and keep it there.",
			Why:    "Hydrogen ions help chelant to leave the surface with its iron. They attack bare steel more, too; springs, files and blades should stay at 7 or above.",
			Source: "Rueda, Grassi & Blesa 1985, J. Colloid Interface Sci. 106, 243 (from memory); Campbell & Eick 2002, Clays Clay Miner. 50, 336",
		}}, {
		useless: d.Held, dip: func(d *Dip) { d.Held = true }, Lever: Lever{
			ID: "hold-ph", Do: "Hold the pH with a little acid as it climbs.",
			Why:    "Dissolving rust takes up hydrogen ions; the climb slows it and stops it in the end.",
			Source: "computed: Bath.Drift",
		}}, {
		useless: d.Motion != "" && d.Motion != Still, dip: func(d *Dip) { d.Motion = Moved }, Lever: Lever{
			ID: "move", Do: "Lift or turn the parts every hour or so.",
			Why:    "In a still bath chelant reaches the part by diffusion only. Motion also evens out the pH beside the rust, which is not in these figures.",
			Source: "Fick's law; thickness of the film: judgement",
		}}, {
		useless: d.Motion == Stirred, dip: func(d *Dip) { d.Motion = Stirred }, Lever: Lever{
			ID: "stir", Do: "Pump or stir it all the time, without bubbling air.",
			Why:    "The same, as far as it goes: then the surface alone sets the pace.",
			Source: "Fick's law; thickness of the film: judgement",
		}}, brushed(d), {
		rest: p.scrubbed, Lever: Lever{
			ID: "scrub", Do: "Scrub between dips, and brush off what has come loose.",
			Why:    "The last third holds on longest in the bath and least under a brush.",
			Source: tables.CommonPractice,
		}}, {
		useless: room <= 0 || room >= worthRefreshed*whole, free: whole / room, Lever: Lever{
			ID: "fresh-chelant", Do: "Take fresh chelant.",
			Why:    "Part of what is in this bath holds metal already.",
			Source: "computed: Bath.Holdings",
		}}, {
		free: stronger, Lever: Lever{
			ID: "stronger", Do: "Make it half as strong again, at the same pH.",
			Why: "Hardly faster: some mmol/L of free chelant cover the rust, and from there on the surface sets the pace. " +
				"What more chelant does is take more rust, and feed a still film better.",
			Source: "Rueda, Grassi & Blesa 1985 (from memory). Against it: hematite in a mixture with EDTA went faster up to 55 mmol/L. " +
				"That half as strong again is not visibly faster: " + tables.CommonPractice,
		}}, {
		useless: d.Airless, dip: func(d *Dip) { d.Airless = true }, Lever: Lever{
			ID: "airless", Do: "Keep air out: cover the bath, do not bubble.", Laboratory: true,
			Why:    "At most so much: iron(II) beside the rust helps while no oxygen turns it back. How much of that a covered tub gets, nobody has measured.",
			Source: "Biswakarma et al. 2019, Environ. Sci. Technol. 53, 88: 7 to 31 times, in 0.05 mmol/L EDTA",
		}}}
}

// brushed is a dip after a brush.
func brushed(d Dip) lever {
	left := 1 - brushing[d.Rust.Adherence]
	return lever{useless: left == 1, dip: func(d *Dip) {
		d.Layer.IronGramsPerM2, d.Layer.RustGramsPerM2 = d.Layer.IronGramsPerM2.Times(left), d.Layer.RustGramsPerM2.Times(left)
	}, Lever: Lever{
		ID: "brush", Do: "Scrape and brush before the bath.",
		Why:    "What comes off dry need not dissolve, and saves chelant as well.",
		Source: tables.CommonPractice,
	}}
}
