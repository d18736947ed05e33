package bath

import (
	"cmp"
	"math"

	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// band returns where the bath ends, and between what ends the constants leave it in
// nine cases in ten. The solubility of the oxide, over which sources differ most, is
// taken at both ends of what is published; all other constants go in by the exact
// derivatives at the end, to first order in what is in solution, downwards in its
// logarithm. The two add up as independent.
func (c *contact) band(reach func() Limit) (end, low, high Limit) {
	if end = reach(); c.err != nil {
		return end, end, end
	}
	solid, err := c.tables.Solid(c.oxide.Species)
	formation, err2 := c.tables.Formation(c.oxide.Species)
	if c.err = cmp.Or(err, err2); c.err != nil {
		return end, end, end
	}
	ionic, dissolves := c.ionic, formation.Steps[0]
	own, _ := c.tables.EquilibriumAt(dissolves.Equilibrium) // of a formation there is one
	iron, pH := c.others(own.Reaction.String())
	at := func(logK, sign float64) Limit {
		c.solubility = func(v *solution.Solution) error {
			return v.SetConstant(c.oxide.Species, formation.Constant.Log10K(v.Temperature(), ionic)+dissolves.N*(logK-solid.LogK.Typical), ionic)
		}
		x := c.moved(reach)
		if sign > 0 {
			x.IronMoles = end.IronMoles + math.Hypot(x.IronMoles-end.IronMoles, spread.NineInTen*iron)
		} else {
			x.IronMoles = end.IronMoles * math.Exp(-math.Hypot(math.Log(x.IronMoles/end.IronMoles), spread.NineInTen*iron/end.IronMoles))
		}
		x.PH = end.PH + sign*math.Hypot(x.PH-end.PH, spread.NineInTen*pH)
		return x
	}
	low, high = at(solid.LogK.Low, -1), at(solid.LogK.High, 1)
	c.solubility = nil
	return end, low, high
}

// moved returns where the bath ends with another solubility of the oxide: from the end that was
// asked for last, or, where that has not enough of the oxide, from the beginning.
func (c *contact) moved(reach func() Limit) Limit {
	v := c.end.Clone()
	if c.err = cmp.Or(c.err, c.solubility(v)); c.err != nil {
		return Limit{}
	}
	if end, err := v.Equilibrate(); err == nil && left(end) {
		return c.reached(end)
	}
	last := c.end
	defer func() { c.end = last }()
	return reach()
}

// others returns the standard uncertainties, at the last end asked for, of the iron in
// solution in mol and of the pH that come from all constants but the oxide's own.
func (c *contact) others(own string) (iron, pH float64) {
	sigma := func(u solution.Uncertainty, err error) (sigma float64) {
		c.err = cmp.Or(c.err, err)
		for _, p := range u.Parts {
			if p.Reaction != own {
				sigma = math.Hypot(sigma, p.Sigma)
			}
		}
		return sigma
	}
	var metals []string
	for _, component := range c.tables.Components() {
		if component.Class == tables.IronMetal {
			metals = append(metals, component.Species.String())
		}
	}
	return sigma(c.end.SolidUncertainty(metals...)) * 1000 * float64(c.end.Volume()), sigma(c.end.Uncertainty(solution.PH(0)))
}
