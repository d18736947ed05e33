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
	ID string `json:"id"` // of the practice in the tables
	Do string `json:"do"`
	// TimesFaster is how many times shorter the dip gets; zero where it would never end without.
	TimesFaster tables.Range `json:"times_faster"`
	Hours       tables.Range `json:"hours"`                     // of the dip with it
	SavedHours  tables.Range `json:"hours_saved"`               // zero where TimesFaster is
	Laboratory  bool         `json:"laboratory_only,omitempty"` // seen under conditions unlike a tub's
	Why         string       `json:"why"`
	Source      string       `json:"source"`
}

// What the levers change, judgement: warm is as far as a tub is easily kept.
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
	practice string // of the tables, by which it is told
	useless  bool   // here
	bath     func(*bath.Bath) (*bath.Bath, error)
	dip      func(*Dip)
	free     float64      // times the free chelant
	rest     tables.Range // part of the rust that is left to the brush
}

// Levers weighs what would shorten a dip, the most helpful first, each by itself. One that does
// not apply (a warm bath made warm) is left out, and so is one with which the bath still stops
// too early. Help by iron(II) comes last, with the range seen in the laboratory.
func (p *Pace) Levers(b *bath.Bath, d Dip) ([]Lever, error) {
	base, err := p.follow(b, d, 1)
	if err != nil {
		return nil, err
	}
	was := p.seconds(base)
	var out []Lever
	for _, l := range slices.DeleteFunc(p.levers(d, base), func(l lever) bool { return l.useless }) {
		told, err := p.weigh(l, b, d, base, was)
		if err != nil {
			return nil, err
		}
		if told.Hours.High > 0 {
			out = append(out, told)
		}
	}
	rank := func(l Lever) float64 { // the help of a tub before that of a laboratory
		if l.Laboratory {
			return -1
		}
		return l.TimesFaster.Typical
	}
	slices.SortStableFunc(out, func(a, b Lever) int { return cmp.Compare(rank(b), rank(a)) })
	return out, nil
}

// Brushing weighs scraping and brushing before the bath alone. Its figures are zero where the
// bath stops before the rest is gone, and TimesFaster and SavedHours where it would without a brush.
func (p *Pace) Brushing(b *bath.Bath, d Dip) (Lever, error) {
	base, err := p.follow(b, d, 1)
	if err != nil {
		return Lever{}, err
	}
	return p.weigh(brushed(d), b, d, base, p.seconds(base))
}

// weigh tells of a lever, without figures where the bath does not get there with it either.
func (p *Pace) weigh(l lever, b *bath.Bath, d Dip, base *course, was []float64) (told Lever, err error) {
	x, err := tables.Find[tables.Practice](p.tables, l.practice)
	if err != nil {
		return told, err
	}
	told = Lever{ID: x.ID, Do: x.Do, Why: x.Why, Laboratory: x.ID == airless, Source: p.tables.Cited(x.Sources...)}
	if x.Note != "" {
		told.Source += "; " + x.Note
	}
	if l.dip != nil {
		l.dip(&d)
	}
	if l.bath != nil {
		if b, err = l.bath(b.Clone()); err != nil {
			return told, err
		}
	}
	var now, weights []float64
	rests, shares := gauss(l.rest)
	for i, rest := range rests {
		c, err := p.follow(b, d, 1-rest)
		if err != nil || c.stops() {
			return told, err
		}
		for k := range c.stations {
			c.stations[k].free *= cmp.Or(l.free, 1)
		}
		now = append(now, p.seconds(c)...)
		for _, w := range p.weights {
			weights = append(weights, w*shares[i])
		}
	}
	told.Hours = hours(now, weights, p.among)
	if base.stops() {
		return told, nil
	}
	ratio, saved := make([]float64, len(now)), make([]float64, len(now))
	for k := range now {
		before := was[k%len(was)]
		ratio[k] = math.Log(before / now[k])
		saved[k] = max(before-now[k], 1)
	}
	told.TimesFaster, told.SavedHours = spread.OfLogs(ratio, weights, 0), hours(saved, weights, p.among)
	return told, nil
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

// airless is the practice that only a laboratory has seen.
const airless = "airless"

func (p *Pace) levers(d Dip, base *course) []lever {
	counted := bath.HoldingsOf(base.start).Counted()
	whole, room, pH := counted.Total(), counted.Free(), base.start.PH
	held := func(d *Dip) { d.Held = true }
	return []lever{
		{practice: "warm", useless: base.temperature >= 273.15+warm-worthWarming, bath: func(b *bath.Bath) (*bath.Bath, error) { return b, b.SetTemperature(chem.Celsius(warm)) }},
		{practice: "lower-ph", useless: pH-lowerBy < lowestAdvised, bath: func(b *bath.Bath) (*bath.Bath, error) { return b.At(pH - lowerBy) }, dip: held},
		{practice: "hold-ph", useless: d.Held, dip: held},
		{practice: "move", useless: d.Motion != "" && d.Motion != Still, dip: func(d *Dip) { d.Motion = Moved }},
		{practice: "stir", useless: d.Motion == Stirred, dip: func(d *Dip) { d.Motion = Stirred }},
		brushed(d),
		{practice: "scrub", rest: p.scrubbed},
		{practice: "fresh-chelant", useless: room <= 0 || room >= worthRefreshed*whole, free: whole / room},
		{practice: "stronger", free: stronger},
		{practice: airless, useless: d.Airless, dip: func(d *Dip) { d.Airless = true }},
	}
}

func brushed(d Dip) lever {
	left := 1 - brushing[d.Rust.Adherence]
	return lever{practice: "brush-first", useless: left == 1, dip: func(d *Dip) {
		d.Layer.IronGramsPerM2, d.Layer.RustGramsPerM2 = d.Layer.IronGramsPerM2.Times(left), d.Layer.RustGramsPerM2.Times(left)
	}}
}
