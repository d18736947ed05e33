package bath

import (
	"cmp"
	"math"
	"slices"

	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/solution/internal/spread"
)

// band returns where the bath ends, and the ends between which the constants leave it in nine
// cases in ten: the oxide's own at both ends of what is published, over which sources differ
// most, all others by exact derivatives, downwards of the logarithm of what is in solution.
func (c *contact) band(held float64) (end, low, high Limit) {
	e, ok := c.ends(held)
	if !ok {
		return end, end, end
	}
	defer e.Return()
	solid, err := c.tables.Solid(c.oxide.Species)
	formation, err2 := c.tables.Formation(c.oxide.Species)
	if c.err = cmp.Or(err, err2); c.err != nil {
		return end, end, end
	}
	end = c.reached(e)
	own := slices.Index(e.Text, c.oxide.Species) - len(e.Species)
	iron, pH := c.others(e, own)
	at := func(logK, sign float64) Limit {
		logK = formation.Constant.Log10K(c.vessel.Temperature(), 0) + formation.Steps[0].N*(logK-solid.LogK.Typical)
		var x Limit
		if err := e.shift(own, logK); err == nil && e.settled() > 0 {
			x = c.reached(e)
		} else { // not enough of the oxide
			vessel := c.vessel
			c.vessel = vessel.Clone()
			c.err = cmp.Or(c.err, c.vessel.SetConstant(c.oxide.Species, logK, 0))
			x, c.vessel = c.end(held), vessel
		}
		if sign > 0 {
			x.IronMoles = end.IronMoles + math.Hypot(x.IronMoles-end.IronMoles, spread.NineInTen*iron)
		} else {
			x.IronMoles = end.IronMoles * math.Exp(-math.Hypot(math.Log(x.IronMoles/end.IronMoles), spread.NineInTen*iron/end.IronMoles))
		}
		x.PH = end.PH + sign*math.Hypot(x.PH-end.PH, spread.NineInTen*pH)
		return x
	}
	return end, at(solid.LogK.Low, -1), at(solid.LogK.High, 1)
}

// others returns the standard uncertainties, at an end, of the iron in solution in mol and of
// the pH from all constants but that of the oxide, the solid own.
func (c *contact) others(e ending, own int) (iron, pH float64) {
	sigma := func(gradient *equilibrium.Change, err error) (sigma float64) {
		if c.err = cmp.Or(c.err, err); err != nil {
			return 0
		}
		gradient.LnKs[own] = 0
		for f, slope := range e.Slopes(gradient) {
			sigma = math.Hypot(sigma, slope*f.Sigma(c.vessel.Temperature(), e.Result.Ionic))
		}
		return sigma
	}
	return sigma(e.SolidGradient(e.iron[len(e.Species):])) * e.litres, sigma(e.Gradient(0))
}
