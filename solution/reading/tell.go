package reading

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Test is something that could be found out about the bag.
type Test struct {
	Text string `json:"text"`
	// Minutes is what it takes: common practice, no source.
	Minutes float64 `json:"minutes"`
	// Bits is how much it is expected to tell of which salt is in the bag: one
	// bit halves the number of equally likely salts. Open is how much there is
	// to tell.
	Bits     float64 `json:"bits"`
	OpenBits float64 `json:"open_bits"`
}

// Tests returns what would tell the candidate salts apart, most bits per minute
// first: reading the bath as it is with each of the strips or meters at hand,
// WeighingError a level tablespoon of the bag, looking whether it dissolves, and
// reading once the next acid is in.
func (p *Posterior) Tests(strips ...tables.Strip) ([]Test, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	open := 0.0
	for _, b := range p.Salts() {
		if b.Probability > 0 {
			open -= b.Probability * math.Log2(b.Probability)
		}
	}
	var out []Test
	add := func(text string, minutes, bits float64) {
		out = append(out, Test{text, minutes, max(0, bits), open})
	}
	setter, err := p.model.template(p.model.setter)
	if err != nil {
		return nil, err
	}
	need, _ := p.needs(&setter, p.model.sign, p.model.setup.Target)
	half := roundDown(median(need) / 2) // way to the target, for the middle of the cloud
	for _, s := range strips {
		if s.Quantity != "pH" {
			return nil, &chem.InputError{Field: "Strip", Value: s.Name, Want: "a strip or meter for pH"}
		}
		now := func(i int) float64 { return p.pH[i] }
		add("read the bath with a "+s.Name, 1, p.tells(p.spectrum(s, now)))
		if half > 0 {
			w := &way{portion: setter}
			add(fmt.Sprintf("stir in %s of %s and read with a %s", mass(half), setter.reagent.Name, s.Name), 6,
				p.tells(p.spectrum(s, func(i int) float64 { var mix mixture; return p.after(w, i, half, &mix) })))
		}
	}
	if p.spoonable() {
		add("weigh a level tablespoon from the bag", 2, p.tells(p.packings()))
	}
	if len(p.course.more) == 1 {
		add("look whether the bag dissolves clear within half an hour", 5, p.tells(func(i int, chance []float64) {
			chance[0] = milky
			if p.model.salts[p.cloud.salt[i]].clear {
				chance[0] = 1 - milky
			}
			chance[1] = 1 - chance[0]
		}, 2))
	}
	slices.SortStableFunc(out, func(a, b Test) int { return cmp.Compare(b.Bits/b.Minutes, a.Bits/a.Minutes) })
	return out, nil
}

// spoonable reports whether every candidate is a powder of known packing.
func (p *Posterior) spoonable() bool {
	for _, k := range p.model.salts {
		if k.reagent.Form != tables.Powder || k.reagent.Packing().Typical == 0 {
			return false
		}
	}
	return true
}

// sampled is the number of baths of the cloud that expected information is
// reckoned with.
const sampled = 512

// spectrum returns the chances of the readings of a strip.
func (p *Posterior) spectrum(s tables.Strip, pH func(i int) float64) (func(i int, chance []float64), int) {
	spread := EyeError(s) // bias and all: a strip not used before
	width := max(s.Step, 0.05)
	bins := int(math.Ceil((s.High-s.Low)/width)) + 1
	return func(i int, chance []float64) {
		x := pH(i)
		below := 0.0
		for k := range chance {
			upTo := 1.0
			if k < bins-1 {
				upTo = distuv.UnitNormal.CDF((s.Low + (float64(k)+0.5)*width - x) / spread)
			}
			chance[k] = (1-GrossFraction)*(upTo-below) + GrossFraction/float64(bins)
			below = upTo
		}
	}, bins
}

// packings returns the chances of the masses of a level measure.
func (p *Posterior) packings() (func(i int, chance []float64), int) {
	const lowest, highest, bins = 300.0, 1500.0, 48
	width := math.Log(highest/lowest) / bins
	spread := math.Hypot(LevellingError, WeighingError)
	return func(i int, chance []float64) {
		x := math.Log(p.model.salts[p.cloud.salt[i]].packing.at(p.cloud.row(i)[ofPacking]) / lowest)
		below := 0.0
		for k := range chance {
			upTo := 1.0
			if k < bins-1 {
				upTo = distuv.UnitNormal.CDF((float64(k+1)*width - x) / spread)
			}
			chance[k] = (1-GrossFraction)*(upTo-below) + GrossFraction/bins
			below = upTo
		}
	}, bins
}

// tells returns the information in bits that an outcome gives of the salt.
func (p *Posterior) tells(chance func(i int, chance []float64), outcomes int) float64 {
	joint := make([][]float64, len(p.model.salts))
	for k := range joint {
		joint[k] = make([]float64, outcomes)
	}
	row := make([]float64, outcomes)
	for j := range sampled {
		i := j * p.cloud.n / sampled
		chance(i, row)
		for o, x := range row {
			joint[p.cloud.salt[i]][o] += x / sampled
		}
	}
	bits := 0.0
	for o := range outcomes {
		all := 0.0
		for k := range joint {
			all += joint[k][o]
		}
		for k := range joint {
			if x := joint[k][o]; x > 0 {
				salt := 0.0
				for _, y := range joint[k] {
					salt += y
				}
				bits += x * math.Log2(x/(all*salt))
			}
		}
	}
	return bits
}
