package reading

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Forecast is what can be said of a bath before anything is measured: its
// headline figures with the ranges that hold nine cases in ten, and what makes
// the ranges wide.
type Forecast struct {
	PH        Figure  `json:"ph"`       // before acid or base
	DoseGrams Figure  `json:"dose_g"`   // of acid from there to the target, in g as sold
	SpoonsML  *Figure `json:"dose_ml"`  // the same in mL of level spoons; nil for a liquid
	IronMoles Figure  `json:"iron_mol"` // that the EDTA can bind, once hard water has had its share
	Cost      *Figure `json:"cost"`     // of bag and acid; nil without prices
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
// out together.
var causes = []struct {
	name, remedy string
	latents      []int // behind common: that of the first amount
}{
	{"what fills the spoon", "weigh the salt", []int{ofPacking, common}},
	{"the strength of the bag", "dry and weigh a sample, or buy a stated assay", []int{ofAssay}},
	{"free base in the bag", "read the pH of the bath before any acid", []int{ofFreeBase}},
	{"the water", "test the water for hardness and alkalinity", []int{ofWater}},
	{"the strength of the acid", "keep the acid dry, or titrate it", []int{ofAcid}},
	{"what fills the spoon of acid", "weigh the acid", []int{ofAcidPacking}},
	{"the constants and the temperature", "set a pH meter with two buffers and read", []int{ofModel}},
}

// Forecast returns the spread of the headline figures over the priors. Price
// tells what masses of salt and acid in g cost together; it may be nil. An acid
// salt that needs base to reach the target needs no acid.
func (m *Model) Forecast(price func(salt, acid float64) float64) (*Forecast, error) {
	p, err := m.Infer(nil)
	if err != nil {
		return nil, err
	}
	acid, err := m.template(m.setup.Acid)
	if err != nil {
		return nil, err
	}
	litres := float64(m.setup.Volume) * 1000
	hardness := float64(m.setup.Water.Hardness()) * litres
	n := p.cloud.n
	dose, spoons, iron, cost := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	p.shares(n, func(i int) {
		z := p.cloud.row(i)
		k := &m.salts[p.cloud.salt[i]]
		dose[i] = max(0, m.surface.need(&p.now[i], &acid, -1, m.setup.Target-constants*z[ofModel])) * m.assay.typical / m.assay.at(z[ofAcid])
		iron[i] = p.now[i].edta - (1+p.now[i].water)*hardness
		if acid.packing.typical > 0 {
			spoons[i] = 1000 * dose[i] / acid.packing.at(z[ofAcidPacking])
		}
		if price != nil {
			cost[i] = price(p.course.more[0].measured(&k.packing, z[ofPacking], z[common]), dose[i])
		}
	})
	f := &Forecast{PH: p.figure(p.pH), DoseGrams: p.figure(dose), IronMoles: p.figure(iron)}
	if m.setup.Acid.Form == tables.Powder && acid.packing.typical > 0 {
		s := p.figure(spoons)
		f.SpoonsML = &s
	}
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
		f.Causes = append(f.Causes, Cause{name, share, remedy})
	}
	slices.SortStableFunc(f.Causes, func(a, b Cause) int { return cmp.Compare(b.Share, a.Share) })
	f.Causes = slices.DeleteFunc(f.Causes, func(c Cause) bool { return c.Share < noise(p.cloud.n) })
	return f
}

// noise is the square of a correlation that chance alone makes one time in a
// hundred.
func noise(n int) float64 { return 6.6 / float64(n) }

// between is the variance of the means of the salts.
func (p *Posterior) between(y []float64) float64 {
	sum, count := make([]float64, len(p.model.salts)), make([]float64, len(p.model.salts))
	for i, k := range p.cloud.salt {
		sum[k] += y[i]
		count[k]++
	}
	mean, v := stat.Mean(y, nil), 0.0
	for k := range sum {
		if count[k] > 0 {
			d := sum[k]/count[k] - mean
			v += count[k] / float64(len(y)) * d * d
		}
	}
	return v
}

// ranks returns the normal scores of the ranks, ties sharing theirs; nil if all
// are equal.
func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	if x[order[0]] == x[order[len(x)-1]] {
		return nil
	}
	y := make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		score := math.Sqrt2 * math.Erfinv(float64(i+j)/float64(len(x))-1)
		for ; i < j; i++ {
			y[order[i]] = score
		}
	}
	return y
}
