package reading

import (
	"math"
	"math/rand/v2"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Draw draws a bath about which all that is told is right, to try advice on: a setup in which every
// quantity that is held uncertain has one value. Its bag holds one salt; Typical assay, free base
// and bulk density of that, of acid and base, and the water are those of the bath, whose pH is off
// by so much from that of the solver. The same source gives the same bath.
func (m *Model) Draw(random *rand.Rand) (bath Setup, off float64, err error) {
	if m.surface == nil || random == nil {
		return bath, 0, &chem.InputError{Field: "model or source", Value: "empty", Want: "a model that New returned and a source of random numbers"}
	}
	bath = m.Setup()
	k := pick(m.salts, random.Float64()*m.told)
	z := make([]float64, common)
	for i := range z {
		z[i] = random.NormFloat64()
	}
	pack := func(r *tables.Reagent, z float64) {
		if r.Form == tables.Powder && r.Bulk.Typical > 0 {
			r.Bulk.Typical = spread.LogAt(packing(*r), z)
		}
	}
	salt, setter, other := tables.Copy(k.reagent), &bath.Acid, &bath.Base
	if m.sign > 0 {
		setter, other = other, setter
	}
	salt.Assay.Typical, salt.ExcessBase.Typical = share(salt.Assay, z[ofAssay]), spread.At(k.reagent.ExcessBase, z[ofFreeBase])
	setter.Assay.Typical = share(setter.Assay, z[ofSetter])
	pack(&salt, z[ofPacking])
	pack(setter, z[ofSetterPacking])
	pack(other, z[ofOtherPacking])
	bath.Bag, bath.Water = []Candidate{{salt, 1}}, bath.Water.Times(math.Exp(m.water*z[ofWater]))
	return bath, constants * z[ofModel], nil
}
