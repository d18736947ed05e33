package reading

import (
	"math"

	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// vary is how a quantity of one bag varies about its typical value, on a scale
// that keeps it physical: [spread.LogAt] with its logarithms taken beforehand.
type vary struct {
	typical   float64
	low, high float64 // change of the logarithm per unit of the deviate, below and above
	room      float64 // of a share: what is left up to one, taken up evenly; or 0
}

// factor is how a quantity varies that cannot be negative.
func factor(low, typical, high float64) vary {
	if !(low > 0) {
		return vary{}
	}
	return vary{typical: typical, low: math.Log(typical/low) / spread.NineInTen, high: math.Log(high/typical) / spread.NineInTen}
}

// share is how a mass fraction varies. An end at one is a bound and not a
// limit of belief: cases spread evenly up to it.
func share(r tables.Range) vary {
	s := factor(r.Low, r.Typical, r.High)
	if r.High >= 1 {
		s.room = 1 - r.Typical
	}
	return s
}

// at returns the quantity at a standard normal deviate.
func (s *vary) at(z float64) float64 {
	switch {
	case z < 0:
		return s.typical * math.Exp(s.low*z)
	case s.room > 0:
		return s.typical + s.room*math.Erf(z/math.Sqrt2)
	default:
		return s.typical * math.Exp(s.high*z)
	}
}

// What is not in the tables is judgement: common practice, no source.
const (
	// LevellingError is the standard deviation of what two level spoonfuls from one
	// bag differ by, as a fraction; WeighingError that of a kitchen scale.
	LevellingError = 0.05
	WeighingError  = 0.01
	// BiasFraction is the part of the variance of a strip's error, rounding apart,
	// that stays from reading to reading: of the batch, the eye and the light.
	BiasFraction = 0.5
	// GrossFraction is the chance that a reading has nothing to do with the bath:
	// misread, mistyped, not stirred, a spoiled strip.
	GrossFraction = 0.02
	// constants is the standard deviation of the pH that the model computes,
	// for what its constants, the carbon dioxide of the air and the temperature
	// leave open.
	constants = 0.05
	// milky is the chance that a salt leaves a sediment, or the acid none.
	milky = 0.03
	// doubtful is the chance of being gross from which a reading is set aside.
	doubtful = 0.5
)

// The latent quantities that every bath has, each a standard normal deviate
// before anything is seen. Behind them stand one bias for each strip or meter
// and one error for each amount measured out.
const (
	ofAssay = iota // of the salt
	ofFreeBase
	ofPacking // of the salt in the spoon
	ofWater
	ofSetter // assay of what sets the pH
	ofSetterPacking
	ofOtherPacking // of what else is added
	ofModel
	common
)
