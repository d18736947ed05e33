package reading

import (
	"slices"
	"sort"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// titrant is strong base or strong acid to pour into a vessel.
type titrant struct {
	reagent  tables.Reagent
	vessel   *solution.Solution
	perLitre float64 // mol of its ion
}

// newTitrant takes a mol of a reagent, in next to no water: lye makes less room of it.
func newTitrant(t *tables.Tables, at unit.Temperature, reagent, ion string) (x titrant, err error) {
	if x.reagent, err = t.Reagent(reagent); err != nil {
		return x, err
	}
	if x.vessel, err = solution.New(t, at); err != nil {
		return x, err
	}
	if err = x.vessel.AddPureWater(10 * measure.Millilitre); err != nil {
		return x, err
	}
	if err = x.vessel.AddMoles(x.reagent, 1); err != nil {
		return x, err
	}
	n, err := x.vessel.Amount(ion)
	x.perLitre = float64(n) / float64(x.vessel.Volume()/measure.Litre)
	return x, err
}

// curve is a titration: the moles of strong base that bring a vessel to each
// pH, less than nothing being strong acid, at computed points with the exact slope.
type curve struct{ pH, base, slope []float64 }

// at returns the base at a pH within the curve, and its slope, mol per unit of
// pH.
func (c *curve) at(pH float64) (base, slope float64) {
	i := max(1, min(sort.SearchFloat64s(c.pH, pH), len(c.pH)-1))
	return hermite(c.pH[i-1], c.pH[i], c.base[i-1], c.base[i], c.slope[i-1], c.slope[i], pH)
}

// newCurve pours strong base into a vessel to beyond the last pH of a grid, and
// strong acid to below the first.
func newCurve(v *solution.Solution, lye, sour titrant, grid []float64) (curve, error) {
	c, err := pour(v, lye, 1, grid[len(grid)-1])
	if err != nil || c.pH[0] <= grid[0] {
		return c, err
	}
	low, err := pour(v, sour, -1, grid[0])
	if err != nil {
		return c, err
	}
	join := func(low, high []float64) []float64 {
		slices.Reverse(low)
		return append(low[:len(low)-1], high...)
	}
	return curve{join(low.pH, c.pH), join(low.base, c.base), join(low.slope, c.slope)}, nil
}

// stride is the step of a titration in pH: cubics between points so far apart are
// good to a few thousandths of a unit.
const stride = 0.3

// pour titrates until the pH is beyond the end.
func pour(v *solution.Solution, with titrant, sign, end float64) (c curve, err error) {
	path, _, err := v.Path(with.vessel)
	if err != nil {
		return c, err
	}
	for litres, last := 0.0, 0.0; ; {
		if err := path.At(litres); err != nil {
			return c, err
		}
		first, _, err := path.Motion()
		if err != nil {
			return c, err
		}
		slope := 1 / first.PH // L per unit of pH
		c.pH = append(c.pH, path.PH())
		c.base = append(c.base, sign*with.perLitre*litres)
		c.slope = append(c.slope, sign*with.perLitre*slope)
		if sign*(path.PH()-end) > 0 && len(c.pH) > 1 {
			return c, nil
		}
		step := stride * sign * slope
		if last > 0 { // where the buffer gives out, it does so by the same factor again
			step *= min(1, sign*slope/last)
		}
		last = sign * slope
		litres += step
	}
}

// saturation writes to out, for each pH of the grid, the mol of chelant that a
// vessel dissolves of the solid acid in it; without end where all has dissolved.
func saturation(v *solution.Solution, lye titrant, solid string, chelant float64, grid, out []float64) error {
	const steps = 12 // per mole of base for each of chelant
	path, _, err := v.Path(lye.vessel)
	if err != nil {
		return err
	}
	k := slices.IndexFunc(path.Solids(), func(s chem.Species) bool { return s.String() == solid })
	var pH, held []float64
	for litres := 0.0; ; litres += chelant / steps / lye.perLitre {
		if err := path.At(litres); err != nil {
			return err
		}
		left := path.SolidConcentrations()[k] * path.Litres()
		if left == 0 {
			break
		}
		pH, held = append(pH, path.PH()), append(held, max(0, chelant-left))
	}
	for j, p := range grid {
		switch i := sort.SearchFloat64s(pH, p); {
		case i == len(pH):
		case i == 0:
			out[j] = held[0]
		default:
			t := (p - pH[i-1]) / (pH[i] - pH[i-1])
			out[j] = (1-t)*held[i-1] + t*held[i]
		}
	}
	return nil
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
