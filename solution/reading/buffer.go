package reading

import "sort"

// edges are where the zones begin in which something else holds the pH, each by a
// strength of its own.
var edges = [zones]float64{0, 5, 6.5, 8, 9.5, 11}

const zones = 6

// A powder that holds the pH little does so in most zones, gluconate in all above 5: the
// strengths share a deviate, with a correlation of 0.64. Judgement.
const together, apart = 0.8, 0.6

// buffer is a powder of unknown kind: the strong base in mol that takes a gram of it
// from the pH at which it starts to any other, straight within a zone.
type buffer struct{ base, slope [zones]float64 }

func zone(pH float64) int {
	return max(0, sort.Search(zones, func(k int) bool { return edges[k] > pH })-1)
}

// at returns the base at a pH, and its slope.
func (b *buffer) at(k int, pH float64) [2]float64 {
	return [2]float64{b.base[k] + b.slope[k]*(pH-edges[k]), b.slope[k]}
}

// buffer returns that of one bath.
func (m *Model) buffer(z []float64) (b buffer) {
	const millimole = 1e-3
	for k := range b.slope {
		b.slope[k] = millimole * m.doubts[ofStrength].at(together*z[ofStrength]+apart*z[ofBuffer+k])
		if k > 0 {
			b.base[k] = b.base[k-1] + b.slope[k-1]*(edges[k]-edges[k-1])
		}
	}
	start := m.doubts[ofStart].at(z[ofStart])
	from := b.at(zone(start), start)[0]
	for k := range b.base {
		b.base[k] -= from
	}
	return b
}
