package reading

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Test is something that could be found out about the bag.
type Test struct {
	Text string `json:"text"`
	// Minutes is what it takes: common practice, no source.
	Minutes float64 `json:"minutes"`
	// Bits is how much it is expected to tell of which salt is in the bag: one bit halves the
	// number of equally likely salts. OpenBits is how much there is to tell.
	Bits     float64 `json:"bits"`
	OpenBits float64 `json:"open_bits"`
}

// What the tests take, in minutes: common practice, no source.
const toRead, toStir, toWeigh, toWatch = 1, 6, 2, 5

// Tests returns what would tell the candidate salts apart, most bits per minute first: reading the
// bath as it is with each of the strips or meters at hand, weighing a level tablespoon of the bag,
// looking whether it dissolves, and reading once half of what is needed is in.
func (p *Posterior) Tests(strips ...tables.Strip) ([]Test, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	var beliefs []float64
	for _, b := range p.Salts() {
		beliefs = append(beliefs, b.Weight)
	}
	open := stat.Entropy(beliefs) / math.Ln2
	var out []Test
	gross := p.model.doubts[inReading].More
	add := func(text string, minutes float64, outcome func(b *bath) []float64) {
		out = append(out, Test{text, minutes, p.tells(outcome), open})
	}
	setter, err := p.model.template(p.model.setter)
	if err != nil {
		return nil, err
	}
	need, _ := p.needs(&setter, p.model.sign, p.model.setup.PH)
	half := measure.RoundDown(p.span(need).Typical / 2) // way to the target, for the middle of the cloud
	for _, s := range strips {
		if _, err := newSight(Read{s, s.Low}); err != nil {
			return nil, err
		}
		width := max(s.Step, 0.05) // a strip not used before: bias and all
		deviation := Misreading(s)
		marks := scale{s.Low - width/2, width, int(math.Ceil((s.High-s.Low)/width)) + 1, deviation, gross}
		add("read the bath with a "+s.Name, toRead, func(b *bath) []float64 { return marks.chances(b.pH) })
		if half > 0 {
			add(fmt.Sprintf("stir in %s of %s and read with a %s", measure.FormatGrams(half), setter.reagent.Name, s.Name), toStir,
				func(b *bath) []float64 { return marks.chances(p.after(&setter, b, half)) })
		}
	}
	if !slices.ContainsFunc(p.model.salts, func(k salt) bool { return !k.other && (k.reagent.Form != tables.Powder || k.packing.Typical == 0) }) {
		const lowest, highest, bins = 300, 1500, 48 // kg/m³
		masses := scale{math.Log(lowest), math.Log(float64(highest)/lowest) / bins, bins, math.Hypot(levelling, weighing), gross}
		add("weigh a level tablespoon from the bag", toWeigh, func(b *bath) []float64 { return masses.chances(math.Log(p.packing(b))) })
	}
	if p.course.amounts == 1 {
		add("look whether the bag dissolves clear within half an hour", toWatch, func(b *bath) []float64 { return []float64{b.salt.looks(true), b.salt.looks(false)} })
	}
	slices.SortStableFunc(out, func(a, b Test) int { return cmp.Compare(b.Bits/b.Minutes, a.Bits/a.Minutes) })
	return out, nil
}

// scale is what an observation is read on: bins of one width, the first and the last
// open, with a normal error.
type scale struct {
	low, width float64
	bins       int
	deviation  float64
	gross      float64
}

// chances returns those of the bins at a value, gross readings included.
func (s *scale) chances(x float64) []float64 {
	out, below := make([]float64, s.bins), 0.0
	for k := range out {
		upTo := 1.0
		if k < s.bins-1 {
			upTo = distuv.UnitNormal.CDF((s.low + float64(k+1)*s.width - x) / s.deviation)
		}
		out[k] = (1-s.gross)*(upTo-below) + s.gross/float64(s.bins)
		below = upTo
	}
	return out
}

// tells returns the information in bits that an outcome gives of the salt: what the
// two hold apart less what they hold together.
func (p *Posterior) tells(chances func(b *bath) []float64) float64 {
	salts := make([]float64, len(p.model.salts)+1)
	var outcomes, both []float64
	for i := range p.baths {
		b := &p.baths[i]
		row := chances(b)
		if both == nil {
			outcomes, both = make([]float64, len(row)), make([]float64, len(row)*len(salts))
		}
		salts[b.salt.place] += b.weight
		for o, x := range row {
			outcomes[o] += x * b.weight
			both[b.salt.place*len(row)+o] += x * b.weight
		}
	}
	return max(0, stat.Entropy(salts)+stat.Entropy(outcomes)-stat.Entropy(both)) / math.Ln2
}
