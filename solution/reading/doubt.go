package reading

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/tables"
)

// The doubts of the tables that every bath is held open to.
const (
	inLabel    = iota // another salt of the same chelant
	inKind            // something else altogether
	inStrength        // of the bag
	inAlkali          // alkali in it as soda, mol per mol of chelant
	inCount           // of what was measured out
	inHeap            // of spoons
	inWater           // of the water
	inGas             // carbon dioxide in it, mmol/L
	inSetter          // the strength of what sets the pH
	inOffset          // of strips and meters
	inReading         // of a reading
	inStart           // pH of something else in water
	inBuffer          // of that, mmol/(g pH)
	doubts
)

var doubtIDs = [doubts]string{"label", "else", "strength", "alkali", "count", "spoon", "water", "gas", "reagent", "offset", "reading", "start", "buffer"}

// doubt is one of them, as a function of a standard normal deviate.
type doubt struct {
	tables.Doubt
	below, above float64 // deviates beyond which something is wrong
}

func openTo(t *tables.Tables) (all [doubts]doubt, err error) {
	for k, id := range doubtIDs {
		d := &all[k]
		if d.Doubt, err = tables.Find[tables.Doubt](t, id); err != nil {
			return all, err
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
	var part, end float64
	switch {
	case z < d.below:
		part, end = 1-distuv.UnitNormal.CDF(z)/d.Less, d.Least
	case z > d.above:
		part, end = 1-distuv.UnitNormal.CDF(-z)/d.More, d.Most
	default:
		return d.Told
	}
	if d.Told > 0 {
		return d.Told * math.Pow(end/d.Told, part)
	}
	return end * part
}
