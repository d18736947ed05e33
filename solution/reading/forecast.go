package reading

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Forecast is what can be said of a bath before anything is measured: its
// headline figures with the ranges that hold nine cases in ten, and what makes
// the ranges wide. They are those of baths of which all that is told is right.
type Forecast struct {
	PH        Figure `json:"ph"`      // before acid or base
	ReagentID string `json:"reagent"` // the acid or base that takes the bath to the target
	Reagent   string `json:"name"`
	DoseGrams Figure `json:"dose_g"` // of it from there to the target, as sold
	// FirstGrams is what may go in at once, weighed or by level spoons, where the bath
	// starts within a unit of the typical pH: no more than the typical dose, nor than what
	// takes part of the tolerated risk of an overshoot, as in [Posterior.Advise].
	FirstGrams float64 `json:"first_g"`
	// ByConstants is between what the constants alone leave that dose in nine cases in ten, if
	// bag, water and temperature were known: see [Model.ByConstants].
	ByConstants tables.Range `json:"dose_by_constants_g"`
	// NeverFraction is the share of baths that no dose takes to the target. For
	// them the dose stands at the most that dissolves.
	NeverFraction float64 `json:"never_fraction"`
	// DoubtFraction is the share of baths of which something told is wrong, see
	// [tables.Doubt]; only FirstGrams takes them in.
	DoubtFraction float64 `json:"doubt_fraction"`
	IronMoles     Figure  `json:"iron_mol"`             // that the chelant can bind, once hard water has had its share
	Cost          *Figure `json:"total_cost,omitempty"` // of bag and dose; nil without prices
}

// Figure is a quantity with its range and the causes of the range, the largest first.
type Figure struct {
	tables.Range
	Causes []Cause `json:"causes"`
}

// Cause is something that is not known of a bath.
type Cause struct {
	Name string `json:"name"`
	// Share is the part of the variance of the figure that goes with it, 0 to 1.
	// Shares add up to less than one where causes act together.
	Share  float64 `json:"share"`
	Remedy string  `json:"settled_by"` // what would settle it
}

// causes are the uncertain quantities, those of a bag and of how it is measured
// out together. A star stands for the acid or base.
var causes = []struct {
	name, remedy string
	latents      []int // behind common: that of the first amount
}{
	{"what fills the spoon", "weigh the salt", []int{ofPacking, ofHeap, common}},
	{"the strength of the bag", "dry and weigh a sample, or buy a stated assay", []int{ofAssay}},
	{"free base in the bag", "read the pH of the bath before any acid", []int{ofFreeBase}},
	{"the water", "test the water for hardness and alkalinity", []int{ofWater}},
	{"the strength of the *", "keep the * dry, or titrate it", []int{ofSetter}},
	{"what fills the spoon of *", "weigh the *", []int{ofSetterPacking}},
	{"carbon dioxide in the water", "let the water stand overnight", []int{ofGas}},
	{"the constants and the temperature", "set a pH meter with two buffers and read", []int{ofModel}},
}

// Forecast returns the spread of the headline figures over the priors, for any bath that [New]
// accepts: the ranges are finite. The dose is of the reagent of the setup that the middle of the
// baths needs, or of the one there is; a bath that is beyond the target without it needs none.
// Price tells what masses in g of bag and dose cost together; it may be nil.
func (m *Model) Forecast(price func(bag, dose float64) float64) (*Forecast, error) {
	all, err := m.Infer(nil)
	if err != nil {
		return nil, err
	}
	right, likely := m.sound()
	sigma, likeliest := 0.0, slices.MaxFunc(m.setup.Bag, func(a, b Candidate) int { return cmp.Compare(a.Weight, b.Weight) }).Salt
	f := &Forecast{DoubtFraction: 1 - likely}
	if f.ByConstants, sigma, err = m.ByConstants(likeliest, m.setter); err != nil {
		return nil, err
	}
	right.vague = math.Hypot(sigma, tempered)
	p, err := right.Infer(nil)
	if err != nil {
		return nil, err
	}
	s := &m.setup
	f.PH = p.figure(p.of(func(b *bath) float64 { return b.pH }))
	sign, setter := m.sign, m.setter
	if s.Base.ID != "" && f.PH.Typical < s.PH {
		sign, setter = 1, s.Base
		if f.ByConstants, _, err = m.ByConstants(likeliest, setter); err != nil {
			return nil, err
		}
	}
	x, err := m.template(setter)
	if err != nil {
		return nil, err
	}
	dose, never := p.needs(&x, sign, s.PH)
	made, hardness := m.basis.makeup(setter), float64(s.Water.Hardness())*float64(s.Volume/measure.Litre)
	iron, cost := make([]float64, len(dose)), make([]float64, len(dose))
	for i := range dose {
		b := &p.baths[i]
		dose[i] = max(0, dose[i])
		iron[i] = max(0, p.chelant(b)+dose[i]*m.strength(&x, b.z)*made.chelant*made.perGram-(1+b.mix.water)*hardness)
		if price != nil {
			cost[i] = price(p.bag(b), dose[i])
		}
	}
	f.ReagentID, f.Reagent, f.DoseGrams, f.NeverFraction, f.IronMoles = setter.ID, setter.Name, p.figure(dose), never, p.figure(iron)
	f.FirstGrams = min(f.DoseGrams.Typical, all.atOnce(&x, sign, f.PH.Typical))
	if price != nil {
		c := p.figure(cost)
		f.Cost = &c
	}
	return f, nil
}

// ByConstants returns the dose of an acid or base that takes the bath of a salt, as told, to the
// target, with the ends between which the constants leave it in nine cases in ten, by their exact
// derivatives at the target in a closed tub, and the standard uncertainty of the pH there. Where the
// reagent does not reach the target the dose is zero and the pH that of the bath as it is.
func (m *Model) ByConstants(salt, r tables.Reagent) (grams tables.Range, pH float64, err error) {
	if m.surface == nil {
		return grams, 0, errEmpty
	}
	v := m.surface.empty.Clone()
	mass, err := m.setup.weigh("Amount", salt, m.setup.Amount)
	if err == nil {
		err = v.Add(salt, unit.Mass(mass.Typical)*measure.Gram)
	}
	if err != nil {
		return grams, 0, err
	}
	dose, err := v.Bring(r, solution.PH(m.setup.PH))
	if err == nil {
		u, failed := v.DoseUncertainty(r)
		half := spread.NineInTen * u.Sigma
		grams, err = tables.Range{Low: max(0, dose-half), Typical: dose, High: dose + half}, failed
	}
	if err != nil && !errors.Is(err, solution.ErrUnreachable) {
		return grams, 0, err
	}
	u, err := v.Uncertainty(solution.PH(0))
	return grams, u.Sigma, err
}

// atOnce returns the grams of which the first addition takes its part of the tolerated
// risk, in baths that start as expected.
func (p *Posterior) atOnce(x *portion, sign, pH float64) float64 {
	s := &p.model.setup
	limit, _ := p.needs(x, sign, s.PH+sign*Step)
	expecting := 0.0
	for i := range limit {
		b := &p.baths[i]
		if math.Abs(b.pH-pH) > expected {
			limit[i] = 0
			continue
		}
		if expecting += b.weight; x.packing.Typical > 0 {
			limit[i] *= min(1, x.packing.Typical/p.model.level(x.packing, b.z, x.packed))
		}
	}
	return p.safe(limit, expecting*p.risk())
}

// expected is how near the first reading has to be to what is expected.
const expected = 1

// figure returns a range with its causes. The share of a cause is the part of the
// variance, of the normal scores, that lies between the means of groups of baths in
// which it is alike: a straight line would miss what is rare and far off.
func (p *Posterior) figure(x []float64) Figure {
	f := Figure{Range: spread.Of(x), Causes: []Cause{}}
	y := ranks(x)
	if y == nil {
		return f
	}
	word := "acid"
	if p.model.sign > 0 {
		word = "base"
	}
	add := func(name, remedy string, share float64) {
		if share > rank {
			f.Causes = append(f.Causes, Cause{strings.ReplaceAll(name, "*", word), share, strings.ReplaceAll(remedy, "*", word)})
		}
	}
	add("which salt is in the bag", "read the bath as it is, or weigh a level spoon", p.between(y, len(p.model.salts)+1, func(b *bath) int { return b.salt.place }))
	for _, c := range causes {
		share := 0.0
		for _, l := range c.latents {
			share += p.between(y, groups, func(b *bath) int { return int(groups * distuv.UnitNormal.CDF(b.z[l])) })
		}
		if p.model.setup.Amount.VolumeLitres == 0 && c.latents[0] == ofPacking {
			c.name, c.remedy = "the weighing of the salt", "use a finer scale"
		}
		add(c.name, c.remedy, share)
	}
	slices.SortStableFunc(f.Causes, func(a, b Cause) int { return cmp.Compare(b.Share, a.Share) })
	return f
}

// Baths are put into so many groups by a deviate; a cause of less than the rank is not
// worth a line.
const (
	groups = 12
	rank   = 0.01
)

// between is the part of the variance of scores that lies between the means of groups,
// less what chance makes of it.
func (p *Posterior) between(y []float64, groups int, group func(b *bath) int) (v float64) {
	sum, count := make([]float64, groups), make([]float64, groups)
	for i := range y {
		g := group(&p.baths[i])
		sum[g] += y[i]
		count[g]++
	}
	used := -1.0
	for k := range sum {
		v += sum[k] * sum[k] / max(1, count[k])
		used += min(1, count[k])
	}
	n := float64(len(y))
	return max(0, v/n/stat.Variance(y, nil)-used/n)
}

// ranks returns the normal scores of the ranks, ties sharing theirs; nil if all are equal.
func ranks(x []float64) []float64 {
	s, y := slices.Sorted(slices.Values(x)), make([]float64, len(x))
	if s[0] == s[len(s)-1] {
		return nil
	}
	for i, v := range x {
		below := sort.SearchFloat64s(s, v)
		upTo := sort.Search(len(s), func(j int) bool { return s[j] > v })
		y[i] = math.Sqrt2 * math.Erfinv(float64(below+upTo)/float64(len(x))-1)
	}
	return y
}
