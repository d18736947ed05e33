package bath

import (
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
	end = reach()
	iron, pH := c.others()
	solid, formation := c.formed()
	if c.err != nil {
		return end, end, end
	}
	ionic := c.ionic
	at := func(logK, sign float64) Limit {
		c.solubility = func(v *solution.Solution) error {
			step := formation.Steps[0] // dissolves the oxide
			k := formation.Constant.Log10K(v.Temperature(), ionic) + step.N*(logK-solid.LogK.Typical)
			return v.SetConstant(c.oxide.Species, k, ionic)
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
	if c.err = c.solubility(v); c.err != nil {
		return Limit{}
	}
	if end, err := v.Equilibrate(); err == nil && left(end) {
		return c.reached(end)
	}
	last := c.end
	defer func() { c.end = last }()
	return reach()
}

// formed returns the oxide as the tables have it.
func (c *contact) formed() (solid tables.Solid, f tables.Formation) {
	if c.err == nil {
		solid, c.err = c.tables.Solid(c.oxide.Species)
	}
	if c.err == nil {
		f, c.err = c.tables.Formation(c.oxide.Species)
	}
	return solid, f
}

// others returns the standard uncertainties, at the last end asked for, of the iron in
// solution in mol and of the pH that come from all constants but the oxide's own.
func (c *contact) others() (iron, pH float64) {
	_, f := c.formed()
	if c.err != nil {
		return 0, 0
	}
	own, _ := c.tables.EquilibriumAt(f.Steps[0].Equilibrium)
	sigma := func(u solution.Uncertainty, err error) (sigma float64) {
		c.err = err
		for _, p := range u.Parts {
			if p.Reaction != own.Reaction.String() {
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
	iron = sigma(c.end.SolidUncertainty(metals...)) * 1000 * float64(c.end.Volume())
	if c.err == nil {
		pH = sigma(c.end.Uncertainty(solution.PH(0)))
	}
	return iron, pH
}
