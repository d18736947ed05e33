package reading

import "math"

// sites is how many protons something else takes up that are told apart: those of carbonate
// are two, of citrate three.
const sites = 3

// buffer is a powder of unknown kind: the salt of an acid that gives off its protons one by
// one, as many of each.
type buffer struct {
	perGram float64        // mol of acid
	acidity [sites]float64 // constants, mol/L
	before  float64        // strong base in mol that a gram has taken up where it starts
}

// at returns the strong base in mol that takes a gram from the pH at which it starts to a
// concentration of hydrogen ions, and how that grows with the pH.
func (b *buffer) at(hydrogen float64) [2]float64 {
	base, slope := -b.before, 0.0
	for _, k := range b.acidity {
		given := k / (k + hydrogen)
		base += b.perGram * given
		slope += b.perGram * math.Ln10 * given * (1 - given)
	}
	return [2]float64{base, slope}
}

// buffer returns that of one bath.
func (m *Model) buffer(z []float64) buffer {
	const millimole = 1e-3
	b := buffer{perGram: millimole * m.doubts[ofStrength].at(z[ofStrength])}
	for k := range b.acidity {
		b.acidity[k] = hydrogen(m.doubts[ofSite].at(z[ofSite+k]))
	}
	b.before = b.at(hydrogen(m.doubts[ofStart].at(z[ofStart])))[0]
	return b
}

// hydrogen is the concentration of hydrogen ions at a pH, mol/L.
func hydrogen(pH float64) float64 { return math.Exp(-math.Ln10 * pH) }
