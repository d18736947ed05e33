package equilibrium_test

import (
	"math"
	"math/rand/v2"

	"example.com/chelation/chem/equilibrium"
)

// A problem is a system with conditions it can meet.
type problem struct {
	System     *equilibrium.System
	Species    [][]float64
	Solids     [][]float64
	Conditions equilibrium.Conditions
	linked     bool // not any totals can be met
}

// baths draws a problem from a fixed set of systems of the shape of a chelant
// bath: component 0 is H⁺, then metals, then ligands. For each it draws
// which components are there, their totals over 12 decades, the sign of the
// H⁺ total, constants up to 5 log units off, and which solids may form.
type baths struct {
	systems []*problem
}

// newBaths prepares count systems of 3 to 12 components.
func newBaths(rng *rand.Rand, count int) *baths {
	b := new(baths)
	for range count {
		b.systems = append(b.systems, system(rng))
	}
	return b
}

func system(rng *rand.Rand) *problem {
	metals, ligands := 1+rng.IntN(7), 1+rng.IntN(4)
	n := 1 + metals + ligands
	p := new(problem)
	add := func(lnK float64, entries ...float64) {
		row := make([]float64, n)
		for e := 0; e < len(entries); e += 2 {
			row[int(entries[e])] += entries[e+1]
		}
		for _, have := range p.Species {
			same := true
			for i := range row {
				same = same && row[i] == have[i]
			}
			if same {
				return
			}
		}
		p.Species = append(p.Species, row)
		p.Conditions.LnK = append(p.Conditions.LnK, lnK*math.Ln10)
	}
	for i := range n {
		add(0, float64(i), 1)
	}
	add(-14, 0, -1)
	protons := make([]int, ligands)
	steps := make([][]float64, ligands)
	for l := range ligands {
		y := float64(1 + metals + l)
		protons[l] = rng.IntN(6)
		var k float64
		for h := range protons[l] {
			k += 11 * (1 - float64(h)/6) * (0.5 + 0.5*rng.Float64())
			steps[l] = append(steps[l], k)
			add(k, y, 1, 0, float64(h+1))
		}
	}
	for m := range metals {
		x := float64(1 + m)
		acid := 2 + 10*rng.Float64() // first hydrolysis
		k := 0.0
		for h := range 1 + rng.IntN(4) {
			k -= acid + float64(h)*rng.Float64()*2
			add(k, x, 1, 0, -float64(h+1))
		}
		if rng.IntN(3) == 0 {
			add(-2*acid+2*rng.Float64(), x, 2, 0, -2)
		}
		if rng.IntN(6) == 0 {
			add(-4*acid+3*rng.Float64(), x, 3, 0, -4)
		}
		for l := range ligands {
			y := float64(1 + metals + l)
			strong := 26 * rng.Float64()
			add(strong, x, 1, y, 1)
			if protons[l] > 1 && rng.IntN(2) == 0 {
				add(strong+1+3*rng.Float64(), x, 1, y, 1, 0, 1)
			}
			if rng.IntN(2) == 0 {
				add(strong-4-8*rng.Float64(), x, 1, y, 1, 0, -1)
			}
			if rng.IntN(4) == 0 {
				add(2*strong-12-4*rng.Float64(), x, 2, y, 2, 0, -2)
			}
			if rng.IntN(3) == 0 {
				add(strong+10*rng.Float64(), x, 1, y, 2)
			}
		}
		// hydroxide, and a salt of the first ligand
		charge := float64(1 + rng.IntN(3))
		row := make([]float64, n)
		row[int(x)], row[0] = 1, -charge
		p.Solids = append(p.Solids, row)
		p.Conditions.LnKs = append(p.Conditions.LnKs, (charge*acid-2+3*rng.Float64())*math.Ln10)
		if rng.IntN(2) == 0 {
			row := make([]float64, n)
			row[int(x)], row[1+metals] = 1, 1
			p.Solids = append(p.Solids, row)
			p.Conditions.LnKs = append(p.Conditions.LnKs, -8*rng.Float64()*math.Ln10)
		}
		if rng.IntN(6) == 0 { // a second, competing form of the hydroxide
			p.Solids = append(p.Solids, append([]float64(nil), p.Solids[len(p.Solids)-1]...))
			p.Conditions.LnKs = append(p.Conditions.LnKs, p.Conditions.LnKs[len(p.Conditions.LnKs)-1]+rng.NormFloat64())
		}
	}
	for l := range ligands { // sparingly soluble acid
		if protons[l] > 1 {
			row := make([]float64, n)
			row[1+metals+l], row[0] = 1, float64(protons[l]-1)
			p.Solids = append(p.Solids, row)
			p.Conditions.LnKs = append(p.Conditions.LnKs, (-steps[l][protons[l]-2]-3*rng.Float64())*math.Ln10)
		}
	}
	s, err := equilibrium.New(n, p.Species, p.Solids)
	if err != nil {
		panic(err)
	}
	p.System = s
	return p
}

// draw fills c with random conditions for one of the systems.
func (b *baths) draw(rng *rand.Rand, c *equilibrium.Conditions) *problem {
	p := b.systems[rng.IntN(len(b.systems))]
	n := len(p.Species[0])
	c.LnK = append(c.LnK[:0], p.Conditions.LnK...)
	c.LnKs = append(c.LnKs[:0], p.Conditions.LnKs...)
	c.Total = append(c.Total[:0], make([]float64, n)...)
	c.Held = nil
	for j := n; j < len(c.LnK); j++ {
		c.LnK[j] += (rng.Float64()*10 - 5) * math.Ln10
	}
	for k := range c.LnKs {
		if rng.IntN(2) == 0 {
			c.LnKs[k] = math.Inf(1)
		} else {
			c.LnKs[k] += (rng.Float64()*10 - 5) * math.Ln10
		}
	}
	decade := func() float64 { return math.Pow(10, -12*rng.Float64()) }
	for i := range n {
		if rng.IntN(5) > 0 {
			c.Total[i] = decade()
		}
	}
	switch rng.IntN(5) {
	case 0: // exact equivalence
		if n > 2 {
			i, k := 1+rng.IntN(n-1), 1+rng.IntN(n-1)
			c.Total[i] = c.Total[k]
		}
	case 1:
		c.Total[0] = 0
	case 2, 3:
		c.Total[0] = -c.Total[0]
	}
	if rng.IntN(8) == 0 { // one component held
		c.Held, c.LnHeld = make([]bool, n), make([]float64, n)
		i := rng.IntN(n)
		c.Held[i], c.LnHeld[i] = true, math.Log(decade())
	}
	return p
}
