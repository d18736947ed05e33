package reading

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/tables"
)

// The doubts that every bath is held open to: of those of its latent quantities that
// have one, and of these.
const (
	inLabel   = common + iota // another salt of the same chelant
	inKind                    // something else altogether
	inBlend                   // and that a blend of two powders
	inCount                   // of what was measured out
	inOffset                  // of strips and meters
	inReading                 // of a reading
	doubts
)

var doubtIDs = [doubts]string{
	ofAssay: "strength", ofFreeBase: "alkali", ofWater: "water", ofSetter: "reagent", ofGas: "gas", ofHeap: "spoon",
	inLabel: "label", inKind: "else", inBlend: "blend", inCount: "count", inOffset: "offset", inReading: "reading",
}

// doubt is one of the tables, as a function of a standard normal deviate.
type doubt struct {
	tables.Doubt
	below, above float64 // deviates beyond which something is wrong
}

func openTo(t *tables.Tables) (all [doubts]doubt, err error) {
	for k, id := range doubtIDs {
		d := &all[k]
		if id != "" {
			if d.Doubt, err = tables.Find[tables.Doubt](t, id); err != nil {
				return all, err
			}
		}
		d.below, d.above = distuv.UnitNormal.Quantile(d.Less), distuv.UnitNormal.Quantile(1-d.More)
	}
	return all, nil
}

// wrong reports whether a deviate stands for something wrong.
func (d *doubt) wrong(z float64) bool { return z < d.below || z > d.above }

// at returns the factor or the excess at a deviate: what is told, or beyond it evenly
// as far as it goes, of a factor by its logarithm.
func (d *doubt) at(z float64) float64 {
	if !d.wrong(z) {
		return d.Told
	}
	part, end := 1-distuv.UnitNormal.CDF(z)/d.Less, d.Least
	if z > d.above {
		part, end = 1-distuv.UnitNormal.CDF(-z)/d.More, d.Most
	}
	if d.Told > 0 {
		return d.Told * math.Pow(end/d.Told, part)
	}
	return end * part
}
