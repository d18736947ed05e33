package reading

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/gonum/stat"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Forecast is what can be said of a bath before anything is measured: its
// headline figures with the ranges that hold nine cases in ten, and what makes
// the ranges wide.
type Forecast struct {
	PH        Figure `json:"ph"`      // before acid or base
	Reagent   string `json:"reagent"` // the acid or base that takes the bath to the target
	DoseGrams Figure `json:"dose_g"`  // of it from there to the target, as sold
	// FirstGrams is what may go in at once, weighed or by level spoons: all but half
	// the tolerated risk of the baths are then still short of the target.
	FirstGrams float64 `json:"first_g"`
	// NeverFraction is the share of baths that no dose takes to the target. For
	// them the dose stands at the most that dissolves.
	NeverFraction float64 `json:"never_fraction"`
	IronMoles     Figure  `json:"iron_mol"`       // that the chelant can bind, once hard water has had its share
	Cost          *Figure `json:"cost,omitempty"` // of bag and dose; nil without prices
}

// Figure is a quantity with its range and the causes of the range, the largest
// first.
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
	Remedy string  `json:"remedy"` // what would settle it
}

// causes are the uncertain quantities, those of a bag and of how it is measured
// out together. A star stands for the acid or base.
var causes = []struct {
	name, remedy string
	latents      []int // behind common: that of the first amount
}{
	{"what fills the spoon", "weigh the salt", []int{ofPacking, common}},
	{"the strength of the bag", "dry and weigh a sample, or buy a stated assay", []int{ofAssay}},
	{"free base in the bag", "read the pH of the bath before any acid", []int{ofFreeBase}},
	{"the water", "test the water for hardness and alkalinity", []int{ofWater}},
	{"the strength of the *", "keep the * dry, or titrate it", []int{ofSetter}},
	{"what fills the spoon of *", "weigh the *", []int{ofSetterPacking}},
	{"the constants and the temperature", "set a pH meter with two buffers and read", []int{ofModel}},
}

// Forecast returns the spread of the headline figures over the priors, for any
// bath that [New] accepts: the ranges are finite. The dose is of the reagent of the
// setup that the middle of the baths needs, or of the one there is; a bath that is
// beyond the target without it needs none. Price tells what masses in g of bag and
// dose cost together; it may be nil.
func (m *Model) Forecast(price func(bag, dose float64) float64) (*Forecast, error) {
	p, err := m.Infer(nil)
	if err != nil {
		return nil, err
	}
	s := &m.setup
	f := &Forecast{PH: p.figure(p.pH)}
	sign, setter := m.sign, m.setter
	if s.Base.ID != "" && f.PH.Typical < s.PH {
		sign, setter = 1, s.Base
	}
	x, err := m.template(setter)
	if err != nil {
		return nil, err
	}
	dose, never := p.needs(&x, sign, s.PH)
	hardness := float64(s.Water.Hardness()) * float64(s.Volume/measure.Litre)
	n := p.cloud.n
	first, iron, cost := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		z := p.cloud.row(i)
		dose[i] = max(0, dose[i])
		first[i] = dose[i]
		if x.packing.Typical > 0 {
			first[i] *= min(1, x.packing.Typical/spread.LogAt(x.packing, z[x.packed()]))
		}
		iron[i] = max(0, p.chelant(i)+dose[i]*m.strength(&x, z)*m.basis.perGram(setter)-(1+p.now[i].water)*hardness)
		if price != nil {
			cost[i] = price(p.bag(i), dose[i])
		}
	}
	f.Reagent, f.DoseGrams, f.NeverFraction, f.IronMoles = setter.Name, p.figure(dose), never, p.figure(iron)
	f.FirstGrams = spread.Rank(slices.Sorted(slices.Values(first)), s.Risk/2)
	if price != nil {
		c := p.figure(cost)
		f.Cost = &c
	}
	return f, nil
}

// figure returns a range with its causes. The share of a latent is the square of
// the correlation of ranks, which a straight line explains; that of the salt is
// the variance between the means of the salts.
func (p *Posterior) figure(x []float64) Figure {
	f := Figure{Range: spread.Of(x), Causes: []Cause{}}
	y := ranks(x)
	if y == nil {
		return f
	}
	variance := stat.Variance(y, nil)
	if len(p.model.salts) > 1 {
		f.Causes = append(f.Causes, Cause{"which salt is in the bag", p.between(y) / variance, "read the bath as it is, or weigh a level spoon"})
	}
	z := make([]float64, p.cloud.n)
	for _, c := range causes {
		share := 0.0
		for _, l := range c.latents {
			for i := range z {
				z[i] = p.cloud.row(i)[l]
			}
			r := stat.Correlation(y, z, nil)
			share += r * r
		}
		name, remedy := c.name, c.remedy
		if p.model.setup.Amount.VolumeLitres == 0 && c.latents[0] == ofPacking {
			name, remedy = "the weighing of the salt", "use a finer scale"
		}
		word := "acid"
		if p.model.sign > 0 {
			word = "base"
		}
		f.Causes = append(f.Causes, Cause{strings.ReplaceAll(name, "*", word), share, strings.ReplaceAll(remedy, "*", word)})
	}
	slices.SortStableFunc(f.Causes, func(a, b Cause) int { return cmp.Compare(b.Share, a.Share) })
	f.Causes = slices.DeleteFunc(f.Causes, func(c Cause) bool { return c.Share < noise(p.cloud.n) })
	return f
}

// noise is the square of a correlation that chance alone makes one time in a
// hundred.
func noise(n int) float64 { return 6.6 / float64(n) }

// between is the variance of the means of the salts, of scores whose mean is zero.
func (p *Posterior) between(y []float64) (v float64) {
	sum, count := make([]float64, len(p.model.salts)), make([]float64, len(p.model.salts))
	for i, k := range p.cloud.salt {
		sum[k] += y[i]
		count[k]++
	}
	for k := range sum {
		v += sum[k] * sum[k] / max(1, count[k]) / float64(len(y))
	}
	return v
}

// ranks returns the normal scores of the ranks, ties sharing theirs; nil if all
// are equal.
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
