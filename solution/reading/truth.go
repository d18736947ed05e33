package reading

import (
	"math"
	"math/rand/v2"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Truth is one bath of those that a model believes possible: every quantity that is
// held uncertain has one value. A truth that is changed is one that the model may
// not believe in.
type Truth struct {
	// Salt is what the bag holds, and Acid and Base what sets the pH: their Typical
	// assay, free base and bulk density are their own.
	Salt, Acid, Base tables.Reagent
	Water            tables.Water // likewise
	ModelPH          float64      // pH of the bath less that of the solver
}

// Draw draws a bath from the priors. The same source gives the same bath.
func (m *Model) Draw(random *rand.Rand) (Truth, error) {
	if m.surface == nil || random == nil {
		return Truth{}, &chem.InputError{Field: "model or source", Value: "empty", Want: "a model that New returned and a source of random numbers"}
	}
	k := &m.salts[m.pick(random.Float64())]
	z := make([]float64, common)
	for i := range z {
		z[i] = random.NormFloat64()
	}
	x := Truth{Salt: k.reagent, Acid: m.setup.Acid, Base: m.setup.Base, Water: scaled(m.setup.Water, math.Exp(m.water*z[ofWater])), ModelPH: constants * z[ofModel]}
	x.Salt.Assay.Typical = k.assay.at(z[ofAssay])
	x.Salt.ExcessBase.Typical = spread.At(k.reagent.ExcessBase, z[ofFreeBase])
	pack(&x.Salt, z[ofPacking])
	setter, other := &x.Acid, &x.Base
	if m.sign > 0 {
		setter, other = other, setter
	}
	setter.Assay.Typical = m.assay.at(z[ofSetter])
	pack(setter, z[ofSetterPacking])
	pack(other, z[ofOtherPacking])
	return x, nil
}

// pack gives a powder a bulk density of its own.
func pack(r *tables.Reagent, z float64) {
	if r.Form == tables.Powder && r.Bulk.Typical > 0 {
		p := packingOf(*r)
		r.Bulk.Typical = p.at(z)
	}
}
