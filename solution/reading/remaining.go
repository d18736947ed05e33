package reading

import (
	"cmp"
	"math"
	"slices"
)

// remaining returns how many additions are still to come on average, the first
// being the one advised. Baths of the cloud in turn are taken for the truth and
// followed: a reading, the advice on a smaller cloud, the next addition.
func (p *Posterior) remaining(w *way, first float64, toLimit, toTarget []float64) float64 {
	const truths, members, most = 24, 160, 8
	s := &p.model.setup
	sight := p.course.sights[len(p.course.sights)-1]
	strip := p.course.strips[sight.instrument]
	bias := p.course.ofBias(sight.instrument)
	pick := func(k, of int) int { return k * p.cloud.n / of }

	// The needs are in grams from here, so a course is one cumulated mass.
	order := func(x []float64) []int {
		o := make([]int, members)
		for j := range o {
			o[j] = pick(j, members)
		}
		slices.SortFunc(o, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
		return o
	}
	byLimit, byTarget := order(toLimit), order(toTarget)

	counts := make([]float64, truths)
	p.shares(truths, func(k int) {
		truth := pick(k, truths) + p.cloud.n/truths/2
		weight := make([]float64, p.cloud.n) // of the members alone
		pH := make([]float64, p.cloud.n)
		for j := range members {
			weight[pick(j, members)] = 1.0 / members
		}
		grams, risk := first, w.risk
		var mix mixture
		for n := 1; ; n++ {
			counts[k] = float64(n)
			if n == most {
				return
			}
			seen := strip.Read(p.after(w, truth, grams, &mix) + sight.bias*p.cloud.row(truth)[bias] + sight.spread*deviate(k*most+n, truths*most))
			r, err := p.model.sight(Read{strip, seen})
			if err != nil {
				return
			}
			total, beyond := 0.0, 0.0
			for j := range members {
				i := pick(j, members)
				pH[i] = p.after(w, i, grams, &mix)
				weight[i] *= r.likelihood(pH[i], r.bias*p.cloud.row(i)[bias])
				total += weight[i]
				if w.sign < 0 && pH[i] > s.High || w.sign > 0 && pH[i] < s.Low {
					beyond += weight[i]
				}
			}
			if beyond <= enough*total {
				return
			}
			risk /= 2
			next := math.Min(weighted(byLimit, toLimit, weight, grams, risk*total), weighted(byTarget, toTarget, weight, math.Inf(-1), total/2))
			if !(next > grams) {
				return
			}
			grams = next
		}
	})
	sum := 0.0
	for _, c := range counts {
		sum += c
	}
	return sum / truths
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
