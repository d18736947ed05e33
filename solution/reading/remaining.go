package reading

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// How a course is followed to its end.
const (
	truths  = 24  // baths taken for the truth
	members = 160 // baths of the smaller cloud
	longest = 8   // additions
)

// remaining returns how many additions are still to come on average, the first
// being the one advised. Baths of the cloud in turn are taken for the truth and
// followed: a reading, the advice on a smaller cloud, the next addition. The needs
// are in grams from here, so a course is one cumulated mass.
func (p *Posterior) remaining(w *way, first float64, toLimit, toTarget []float64) float64 {
	last := p.course.sighted()
	strip := p.course.strips[last.place]
	order := func(x []float64) []int {
		o := make([]int, members)
		for j := range o {
			o[j] = j * p.cloud.n / members
		}
		slices.SortFunc(o, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
		return o
	}
	byLimit, byTarget := order(toLimit), order(toTarget)
	counts := make([]float64, truths)
	parallel(truths, func(_, k int) {
		truth := k*p.cloud.n/truths + p.cloud.n/truths/2
		weight := make([]float64, p.cloud.n) // of the members alone
		for _, i := range byLimit {
			weight[i] = 1.0 / members
		}
		grams, risk := first, w.risk
		for n := 1; ; n++ {
			counts[k] = float64(n)
			if n == longest {
				return
			}
			var mix mixture
			seen := strip.Read(p.after(w, truth, grams, &mix) + p.course.bias(last, p.cloud.row(truth)) + last.sight.spread*deviate(k*longest+n, truths*longest))
			total, beyond := p.reweigh(w, last, Read{strip, seen}, grams, byLimit, weight)
			if beyond <= enough*total {
				return
			}
			risk /= 2
			next := min(weighted(byLimit, toLimit, weight, grams, risk*total), weighted(byTarget, toTarget, weight, math.Inf(-1), total/2))
			if !(next > grams) {
				return
			}
			grams = next
		}
	})
	return stat.Mean(counts, nil)
}

// reweigh lets the members of the smaller cloud see a reading after so many grams, and
// returns the sum of their weights, and that of those which are still on this side of
// the window.
func (p *Posterior) reweigh(w *way, like *step, seen Read, grams float64, members []int, weight []float64) (total, beyond float64) {
	r, err := newSight(seen)
	if err != nil {
		return 0, 0
	}
	var mix mixture
	for _, i := range members {
		pH := p.after(w, i, grams, &mix)
		weight[i] *= r.likelihood(pH, p.course.bias(like, p.cloud.row(i)))
		total += weight[i]
		if w.sign < 0 && pH > p.model.setup.High || w.sign > 0 && pH < p.model.setup.Low {
			beyond += weight[i]
		}
	}
	return total, beyond
}

// after returns the pH of one bath of the cloud once grams, at the typical
// assay, are in.
func (p *Posterior) after(w *way, i int, grams float64, mix *mixture) float64 {
	now := &p.now[i]
	*mix = *now
	mix.other = now.other[:len(now.other):len(now.other)]
	w.portion.stir(mix, grams)
	return p.model.surface.pH(mix) + constants*p.cloud.row(i)[ofModel]
}

// weighted returns the value at which the weights of the values above a floor
// add up to a sum, in the given order.
func weighted(order []int, x, weight []float64, floor, sum float64) float64 {
	for _, i := range order {
		if x[i] <= floor {
			continue
		}
		if sum -= weight[i]; sum <= 0 {
			return x[i]
		}
	}
	return math.Inf(1)
}
