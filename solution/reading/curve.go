package reading

import (
	"slices"
	"sort"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// curve is a titration: the moles of strong base that bring a vessel to each
// pH, less than nothing being strong acid, by a spline through computed points.
type curve struct{ interp.NotAKnotCubic }

// at returns the base at a pH within the curve, and its slope, mol per unit of
// pH.
func (c *curve) at(pH float64) (base, slope float64) {
	return c.Predict(pH), c.PredictDerivative(pH)
}

// grid is the pH at which curves are compared.
var grid = func() []float64 {
	var g []float64
	for p := 2.5; p <= 12.75; p += 0.25 {
		g = append(g, p)
	}
	return g
}()

// titrate adds strong base in steps to beyond the last pH of the grid, and
// strong acid to a copy to below the first. The vessel is consumed.
func titrate(v *solution.Solution, lye, muriatic tables.Reagent) (*curve, error) {
	sour := v.Clone()
	pH, base, err := run(v, lye, 1, grid[len(grid)-1])
	if err != nil {
		return nil, err
	}
	if pH[0] > grid[0] {
		low, acid, err := run(sour, muriatic, -1, grid[0])
		if err != nil {
			return nil, err
		}
		slices.Reverse(low)
		slices.Reverse(acid)
		pH = append(low[:len(low)-1], pH...)
		base = append(acid[:len(acid)-1], base...)
	}
	c := &curve{}
	return c, c.Fit(pH, base)
}

// run titrates in steps of about a third of a unit until the pH is beyond the
// end.
func run(v *solution.Solution, titrant tables.Reagent, sign, end float64) (pH, base []float64, err error) {
	const stride = 0.3
	perGram := titrant.MolPerGram().Typical
	added, last := 0.0, 0.0
	for {
		st, err := v.Equilibrate()
		if err != nil {
			return nil, nil, err
		}
		pH = append(pH, st.PH)
		base = append(base, sign*added)
		if sign*(st.PH-end) > 0 && len(pH) > 3 {
			return pH, base, nil
		}
		slope := st.BufferCapacityMolPerLitre * st.VolumeLitres
		step := stride * slope
		if last > 0 { // where the buffer gives out, it does so by the same factor again
			step *= min(1, slope/last)
		}
		last = slope
		added += step
		if err := v.Add(titrant, unit.Mass(step/perGram/1000)); err != nil {
			return nil, nil, err
		}
	}
}

// acidSolid is EDTA as the acid, which hardly dissolves.
const acidSolid = "EDTA acid"

// saturation returns, for each pH of the grid, the mol of EDTA that a vessel
// dissolves of the solid acid in it; without end where all has dissolved.
func saturation(v *solution.Solution, lye tables.Reagent, edta float64) ([]float64, error) {
	const steps = 12 // per mole of base for each of EDTA
	dose := unit.Mole(edta / steps)
	var pH, held []float64
	for {
		st, err := v.Equilibrate()
		if err != nil {
			return nil, err
		}
		solid := 0.0
		for _, s := range st.Solids {
			if s.Name == acidSolid {
				solid = s.Moles
			}
		}
		if solid == 0 {
			break
		}
		pH = append(pH, st.PH)
		held = append(held, edta-solid)
		if err := v.AddMoles(lye, dose); err != nil {
			return nil, err
		}
	}
	out := make([]float64, len(grid))
	for j, p := range grid {
		switch i := sort.SearchFloat64s(pH, p); {
		case i == len(pH):
			out[j] = infinite
		case i == 0:
			out[j] = held[0]
		default:
			t := (p - pH[i-1]) / (pH[i] - pH[i-1])
			out[j] = (1-t)*held[i-1] + t*held[i]
		}
	}
	return out, nil
}

// hermite returns the cubic through two points with given slopes, and its slope.
func hermite(x0, x1, y0, y1, d0, d1, x float64) (y, d float64) {
	h := x1 - x0
	t := (x - x0) / h
	a, b := h*d0-(y1-y0), -h*d1+(y1-y0)
	y = (1-t)*y0 + t*y1 + t*(1-t)*((1-t)*a+t*b)
	d = ((y1 - y0) + (1-2*t)*(a*(1-t)+b*t) + t*(1-t)*(b-a)) / h
	return y, d
}
