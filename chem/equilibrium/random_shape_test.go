package equilibrium_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"example.com/chelation/chem/equilibrium"
)

// anyShape makes a system of no particular chemistry: 2 to 40 components, up to 600
// species of up to four of them, up to 8 solids, some of which depend on others.
// Every component is a species of its own, and component 0 has one that counts it
// negatively, so that any totals can be met.
func anyShape(rng *rand.Rand) *problem {
	u := rng.Float64()
	n := 2 + int(39*u*u)
	p := new(problem)
	seen := map[string]bool{}
	add := func(row []float64) {
		if key := fmt.Sprint(row); !seen[key] {
			seen[key] = true
			p.Species = append(p.Species, row)
		}
	}
	for i := range n {
		row := make([]float64, n)
		row[i] = 1
		add(row)
	}
	row := make([]float64, n)
	row[0] = -1
	add(row)
	for range rng.IntN(min(600, 15*n) - n) {
		add(mixture(rng, n, true))
	}
	for range rng.IntN(9) {
		row := mixture(rng, n, false)
		if k := len(p.Solids); k > 0 && rng.IntN(3) == 0 { // of the same composition as others, together or alone
			row = make([]float64, n)
			for range 1 + rng.IntN(2) {
				for i, v := range p.Solids[rng.IntN(k)] {
					row[i] += v
				}
			}
		}
		p.Solids = append(p.Solids, row)
	}
	s, err := equilibrium.New(n, p.Species, p.Solids)
	if err != nil {
		panic(err)
	}
	p.System = s
	return p
}

// mixture draws a row of two to four components, one coefficient in six beyond 1; component 0 and
// now and then another one is released where the first is taken up.
func mixture(rng *rand.Rand, n int, release bool) []float64 {
	row := make([]float64, n)
	count := func() float64 {
		if rng.IntN(6) > 0 {
			return 1
		}
		return float64(2 + rng.IntN(2))
	}
	row[1+rng.IntN(n-1)] = count()
	for range 1 + rng.IntN(3) {
		i := rng.IntN(n)
		switch {
		case row[i] != 0:
		case i == 0, release && rng.IntN(8) == 0:
			row[i] = float64(rng.IntN(8) - 4)
		default:
			row[i] = count()
		}
	}
	return row
}

// fromAnswer fills c with conditions whose answer is drawn first: each component
// at a scale of its own, down to 1e-14 mol/L, and no species above 1 mol/L.
func (p *problem) fromAnswer(rng *rand.Rand, c *equilibrium.Conditions) {
	n := len(p.Species[0])
	x, scale := make([]float64, n), make([]float64, n)
	for i := range n {
		scale[i] = -3 * rng.Float64()
		if rng.IntN(4) == 0 {
			scale[i] = -14 * rng.Float64()
		}
		x[i] = math.Ln10 * (scale[i] - 12*rng.Float64())
	}
	p.linked = true
	c.Held, c.LnHeld = nil, nil
	c.Total = append(c.Total[:0], make([]float64, n)...)
	c.LnK, c.LnKs = c.LnK[:0], c.LnKs[:0]
	for j, row := range p.Species {
		least, law := 0.0, 0.0
		for i, v := range row {
			if v != 0 {
				least = min(least, scale[i])
				law += v * x[i]
			}
		}
		y := law // of a component by itself
		if j >= n {
			y = math.Ln10 * (least - 4*rng.Float64())
		}
		c.LnK = append(c.LnK, y-law)
		for i, v := range row {
			c.Total[i] += v * math.Exp(y)
		}
	}
	for _, row := range p.Solids {
		amount, over, least := 0.0, math.Ln10*3*rng.Float64(), 0.0
		law := 0.0
		for i, v := range row {
			if v != 0 {
				law += v * x[i]
				least = min(least, scale[i])
			}
		}
		if rng.IntN(2) == 0 {
			amount, over = math.Pow(10, least-3*rng.Float64()), 0
		}
		c.LnKs = append(c.LnKs, law+over)
		for i, v := range row {
			c.Total[i] += v * amount
		}
	}
}

// fromConstants fills c with constants over 26 decades and totals over 14, some of
// them equal to all digits. With such constants a species may well exceed
// what water holds.
func (p *problem) fromConstants(rng *rand.Rand, c *equilibrium.Conditions) {
	n := len(p.Species[0])
	p.linked = false
	c.Held, c.LnHeld = nil, nil
	c.LnK, c.LnKs, c.Total = c.LnK[:0], c.LnKs[:0], c.Total[:0]
	for j := range p.Species {
		k := 0.0
		switch {
		case j == n:
			k = -14
		case j > n:
			k = 26*rng.Float64() - 6
		}
		c.LnK = append(c.LnK, k*math.Ln10)
	}
	for range p.Solids {
		c.LnKs = append(c.LnKs, -20*math.Ln10*rng.Float64())
	}
	for range n {
		c.Total = append(c.Total, math.Pow(10, -14*rng.Float64()))
	}
	for range rng.IntN(3) { // exact equivalence
		c.Total[rng.IntN(n)] = c.Total[rng.IntN(n)]
	}
	c.Total[0] *= float64(rng.IntN(3) - 1)
}
