package reading

import (
	"math"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// share is how a mass fraction varies: as [spread.LogAt], but an end at one is a
// bound and not a limit of belief, and cases spread evenly up to it.
func share(r tables.Range, z float64) float64 {
	if r.High >= 1 && z > 0 {
		return r.Typical + (1-r.Typical)*math.Erf(z/math.Sqrt2)
	}
	return spread.LogAt(r, z)
}

// packing returns the range of the mass in a level measure, g/L. Liquids have none to speak of.
func packing(r tables.Reagent) tables.Range {
	d := r.Packing()
	if r.Form == tables.Liquid {
		return tables.Range{Low: d.Typical, Typical: d.Typical, High: d.Typical}
	}
	return tables.Range{Low: d.Loose, Typical: d.Typical, High: d.Tapped}
}

// What is not among the doubts of the tables is judgement: common practice, no source.
const (
	// levelling is the standard deviation of what two level spoonfuls from one
	// bag differ by, as a fraction; weighing that of a kitchen scale.
	levelling = 0.05
	weighing  = 0.01
	// constants is the standard deviation of the pH that the model computes, for what its
	// constants, the carbon dioxide of the air and the temperature leave open, where
	// unsettled comes on top of it; a forecast takes what the constants say themselves.
	constants = 0.05
	// tempered is that for the temperature alone.
	tempered = 0.03
	// unsettled is that of the pH after each amount, beyond it: what is not yet mixed or
	// dissolved, gas on its way, and what is in the bag besides.
	unsettled = 0.15
	// biasFraction is the part of the variance of a strip's error, rounding apart,
	// that stays from reading to reading: of the batch, the eye and the light.
	biasFraction = 0.5
	// milky is the chance that a salt leaves a sediment, or the acid none.
	milky = 0.03
	// doubtful is the chance of being gross from which a reading is set aside.
	doubtful = 0.5
)

// MeasuringError returns the standard deviation of measuring out an amount of what
// comes in a form, as a fraction: liquids are poured as well as they are weighed.
func MeasuringError(a measure.Amount, form tables.Form) float64 {
	if a.VolumeLitres == 0 || form == tables.Liquid {
		return weighing
	}
	return levelling
}

// The latent quantities that every bath has, each a standard normal deviate
// before anything is seen. Behind them stand one error for each amount measured out, what
// the pH after it is off by, and one bias for each strip or meter.
const (
	ofAssay = iota // of the salt
	ofFreeBase
	ofPacking // of the salt in the spoon
	ofWater
	ofSetter // assay of what sets the pH
	ofSetterPacking
	ofOtherPacking // of what else is added
	ofModel
	ofGas   // carbon dioxide in the water, mmol/L
	ofHeap  // of spoons
	ofBlend // one powder of a blend, the other, and the part of the one
	common  = ofBlend + 3
)
