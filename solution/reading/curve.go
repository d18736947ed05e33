package reading

import (
	"cmp"
	"slices"
	"sort"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// titrant is strong base or strong acid to pour into a vessel.
type titrant struct {
	vessel   *solution.Solution
	perLitre float64 // mol of base, less than nothing being acid
}

// The ions that go with what is titrated with.
const sodium, chloride = "Na+", "Cl-"

// newTitrant takes a mol of two ions, in little water.
func newTitrant(t *tables.Tables, at unit.Temperature, sign float64, ion, counter string) (titrant, error) {
	v, err := solution.New(t, at)
	if err == nil {
		err = cmp.Or(v.AddPureWater(10*measure.Millilitre), v.AddSpecies(ion, 1), v.AddSpecies(counter, 1))
	}
	if err != nil {
		return titrant{}, err
	}
	return titrant{v, sign / float64(v.Volume()/measure.Litre)}, nil
}

// point is one of a titration: the strong base in mol that brings a vessel to a pH,
// with the exact slope, and what there is of a solid then.
type point struct{ pH, base, slope, solid float64 }

// curve is a titration, by rising pH.
type curve []point

// about returns the points on either side of a pH.
func (c curve) about(pH float64) (a, b point) {
	i := sort.Search(len(c), func(i int) bool { return c[i].pH >= pH })
	i = max(1, min(i, len(c)-1))
	return c[i-1], c[i]
}

// at returns the base at a pH within the curve, and its slope, mol per unit of pH.
func (c curve) at(pH float64) (base, slope float64) {
	a, b := c.about(pH)
	return hermite(a, b, pH)
}

// The step of a titration in pH. Cubics between points of stride are good to a few
// thousandths of a unit; what is left of a solid takes the finer steps.
const (
	stride = 0.4
	fine   = 0.1
)

// titrate pours lye into a vessel to beyond one pH, and acid to beyond another.
func titrate(v *solution.Solution, lye, sour titrant, low, high, stride float64, solid string) (curve, error) {
	c, err := pour(v, lye, high, stride, solid)
	if err != nil || c[0].pH <= low {
		return c, err
	}
	down, err := pour(v, sour, low, stride, solid)
	slices.Reverse(down)
	return append(down[:max(0, len(down)-1)], c...), err
}

// pour titrates until the pH is beyond the end.
func pour(v *solution.Solution, with titrant, end, stride float64, solid string) (c curve, err error) {
	path, _, err := v.Path(with.vessel)
	if err != nil {
		return c, err
	}
	defer path.Return()
	k := slices.Index(path.Text[len(path.Species):], solid)
	for base, last := 0.0, 0.0; ; {
		if err := path.At(base / with.perLitre); err != nil {
			return c, err
		}
		phPerLitre, err := path.PHPerLitre()
		if err != nil {
			return c, err
		}
		x := point{pH: path.PH(), base: base, slope: with.perLitre / phPerLitre}
		if k >= 0 {
			x.solid = path.Result.Solid[k] * path.Litres
		}
		c = append(c, x)
		if with.perLitre*(x.pH-end) > 0 && len(c) > 1 {
			return c, nil
		}
		step := stride * x.slope
		if last > 0 { // where the buffer gives out, it does so by the same factor again
			step *= min(1, x.slope/last)
		}
		last = x.slope
		if with.perLitre < 0 {
			step = -step
		}
		base += step
	}
}

// hermite returns the cubic through two points with their slopes, and its slope.
func hermite(p, q point, pH float64) (y, d float64) {
	h := q.pH - p.pH
	t := (pH - p.pH) / h
	rise := q.base - p.base
	a, b := h*p.slope-rise, rise-h*q.slope
	y = (1-t)*p.base + t*q.base + t*(1-t)*((1-t)*a+t*b)
	d = (rise + (1-2*t)*(a*(1-t)+b*t) + t*(1-t)*(b-a)) / h
	return y, d
}
