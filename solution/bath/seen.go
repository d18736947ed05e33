package bath

import (
	"cmp"
	"maps"
	"slices"

	"gonum.org/v1/gonum/floats"

	"example.com/chelation/tables"
)

// Seen is what can be seen, weighed with what was computed.
type Seen struct {
	Signs  []tables.Sign `json:"signs"`
	Causes []LikelyCause `json:"causes"` // likeliest first
}

// LikelyCause is a cause with its share of the odds.
type LikelyCause struct {
	Cause Cause   `json:"cause"`
	Share float64 `json:"share"` // 0 to 1
}

// How much the computed cause counts against any other before anything is seen, and
// the share below which a cause is not told: judgement.
const trustInBooks, leastShare = 4.0, 0.05

// Seen weighs signs, by the names of [tables.Sign], with the diagnosis: each multiplies the
// odds of the causes that it speaks for (Bayes' rule, the signs taken as independent).
func (d Diagnosis) Seen(t *tables.Tables, signs ...string) (Seen, error) {
	var out Seen
	odds := map[Cause]float64{d.Cause: trustInBooks}
	for _, name := range signs {
		s, err := tables.Find[tables.Sign](t, name)
		if err != nil {
			return Seen{}, err
		}
		out.Signs = append(out.Signs, s)
		for _, x := range s.Causes {
			odds[Cause(x.Cause)] = cmp.Or(odds[Cause(x.Cause)], 1) * x.Weight
		}
	}
	all := floats.Sum(slices.Sorted(maps.Values(odds)))
	for cause, o := range odds {
		if o >= leastShare*all {
			out.Causes = append(out.Causes, LikelyCause{cause, o / all})
		}
	}
	slices.SortFunc(out.Causes, func(a, b LikelyCause) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Cause, b.Cause))
	})
	return out, nil
}
