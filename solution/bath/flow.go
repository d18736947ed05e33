package bath

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/solution/internal/grain"
	"example.com/chelation/tables"
)

// flow is a stretch of a way without events.
type flow struct {
	*compiled.Flow
	kinetics
	grains  grain.Rust
	rust    Rust
	size    float64   // of the grains at its start
	active  []int     // processes
	y       []float64 // by active process: its extent in mol; of rust the size of the grains
	extents []float64 // by active process, mol

	henry           chem.Constant
	acid            int // H2CO3 among the species
	ferric, ferrous int // of the tables' components, as main
	main            []int
	chelant         int // of which there is most, -1 if there is none
	scale           float64
	oxide           tables.Formation
	free            []float64 // by species and solid: main chelant that no metal holds
}

// leastScale is what extents are measured by where there is no chelant, in mol/L: some
// hundredth of what a bath has.
const leastScale = 1e-3

// begin makes a stretch ready.
func (w *way) begin() (*flow, error) {
	st, err := w.bath.State()
	if err != nil {
		return nil, err
	}
	mains := HoldingsOf(st).Counted()
	most := slices.MaxFunc(append(mains, Holding{}), func(a, b Holding) int { return cmp.Compare(a.TotalMoles, b.TotalMoles) })
	f := &flow{rust: w.parts.Rust, size: w.size, scale: cmp.Or(most.TotalMoles, leastScale*st.VolumeLitres)}
	if f.kinetics, err = w.rates(st.IonicStrengthMolPerLitre); err != nil {
		return nil, err
	}
	on := [processes]bool{gassing: f.gas > 0, airing: f.gas > 0, corroding: f.dry > 0, rusting: f.rust.IronMoles > 0}
	does := [processes]chem.Reaction{gassing: byDegassing, airing: byAir, corroding: byIron}
	if on[rusting] {
		does[rusting], err = w.bath.into(f.rust.Oxide.Species, 1/f.rust.Oxide.IronPerFormula)
	}
	if most.Chelant != "" && f.gas > 0 {
		c, err1 := w.bath.tables.Component(most.Chelant)
		r, err2 := destruction(c.Species)
		err = cmp.Or(err, err1, err2)
		on[lighting], on[wasting], does[lighting], does[wasting] = f.light > 0, true, r, r
	}
	var reactions []chem.Reaction
	for process, r := range does {
		if on[process] {
			reactions, f.active = append(reactions, r), append(f.active, process)
		}
	}
	f.y, f.extents = make([]float64, len(f.active)), make([]float64, len(f.active))
	if on[rusting] {
		f.y[len(f.y)-1] = f.size
	}
	flow, err2 := w.bath.Flow(reactions...)
	if err = cmp.Or(err, err2); err != nil {
		return nil, err
	}
	f.Flow = flow
	return f, f.look(mains, most.Chelant)
}

// look finds what the rates ask for in the compiled problem.
func (f *flow) look(mains Holdings, chelant string) error {
	var err error
	component := func(name string) int {
		i, e := f.Component(name)
		err = cmp.Or(err, e)
		return i
	}
	f.ferric, f.ferrous, f.chelant = component("Fe3+"), component("Fe2+"), -1
	f.acid = slices.Index(f.Text[:len(f.Species)], "H2CO3")
	henry, e := f.Henry()
	f.henry, err = henry.Constant, cmp.Or(err, e)
	for _, h := range mains {
		f.main = append(f.main, component(h.Chelant))
	}
	if chelant != "" {
		f.chelant = component(chelant)
	}
	for _, made := range f.Made {
		n := 0.0
		for _, x := range made {
			switch class := f.Components[x.Component].Class; {
			case slices.Contains(f.main, x.Component):
				n += x.N
			case class.Metal():
				n = math.Inf(-1)
			}
		}
		f.free = append(f.free, max(0, n))
	}
	if r := f.rust; r.IronMoles > 0 {
		f.oxide, e = f.Tables.Formation(r.Oxide.Species)
		f.grains = grain.Rust{Iron: r.IronMoles / (r.AreaCm2 / 1e4), Half: 1000 * f.half, Film: cmp.Or(r.FilmMetresPerS, math.Inf(1))}
	}
	return cmp.Or(err, e)
}

// grainSize is that after the extents y.
func (f *flow) grainSize() float64 {
	if f.rust.IronMoles == 0 {
		return f.size
	}
	return max(0, f.y[len(f.y)-1])
}

// reach sets what there is after the extents y.
func (f *flow) reach(y []float64) {
	for i, process := range f.active {
		f.extents[i] = y[i]
		if process == rusting {
			f.extents[i] = f.rust.IronMoles * (cube(f.size) - cube(max(0, y[i])))
		}
	}
	f.Go(f.extents)
}

// at brings the bath to rest after the extents y.
func (f *flow) at(y []float64) error {
	f.reach(y)
	return f.Solve()
}

// repair takes back what a step took of something beyond its end, a trace, and what of a
// process went backwards; all but gas go one way.
func (f *flow) repair(y0, y1 []float64) {
	for i, process := range f.active {
		switch process {
		case gassing:
		case rusting:
			y1[i] = min(y1[i], y0[i])
		default:
			y1[i] = max(y1[i], y0[i])
		}
	}
	const most = 50
	for range most {
		f.reach(y1)
		i, moles := f.Short()
		if i < 0 || y1[i] <= y0[i] {
			return
		}
		y1[i] = max(y0[i], y1[i]-moles)
	}
}

// freeChelant returns the main chelants that no metal holds, mol/L.
func (f *flow) freeChelant() float64 {
	n := len(f.Species)
	return floats.Dot(f.free[:n], f.Result.C) + floats.Dot(f.free[n:], f.Result.Solid)
}

// lightHalf is the iron(III) in mol/m³ at which half of the light is taken up near the surface, and
// lastShare the part of the chelant at which its destruction dies away: judgement.
const lightHalf, lastShare = 1.0, 1e-3

// rates writes the rates of the active processes: mol/s, for the grains 1/s.
func (f *flow) rates(y, dy []float64) error {
	if err := f.at(y); err != nil {
		return err
	}
	var rate [processes]float64
	volume := f.Litres / 1000 // m³
	ferrous, ferric := 1000*f.DissolvedOf(f.ferrous), 1000*f.DissolvedOf(f.ferric)
	if f.gas > 0 {
		perAtm := 1000 * math.Pow(10, f.henry.Log10K(f.Temperature, f.Result.Ionic))
		gas := 1000 * f.Result.C[f.acid]
		rate[gassing] = f.gas*f.surface*(gas-perAtm*f.room) + f.fizzing*volume*max(0, gas-perAtm*f.fizz)
		if ferrous > 0 {
			rate[airing] = f.surface * f.oxygenFlux(volume/f.surface, ferrous)
		}
	}
	rate[corroding] = f.steel * f.dry * ferric / 2
	if f.chelant >= 0 {
		left := max(0, f.Moles[f.chelant])
		there := left / (left + lastShare*f.scale)
		rate[lighting] = f.light * f.surface * there * ferric / (ferric + lightHalf)
		rate[wasting] = f.spoilt * there * rate[airing]
	}
	if f.rust.IronMoles > 0 {
		u := max(0, y[len(y)-1])
		slow := f.covered * math.Pow(10, f.slope*grain.Slowing(f.PH()))
		rate[rusting] = -f.grains.Shrink(slow, u*u, 1000*f.freeChelant(), f.affinity())
	}
	for i, process := range f.active {
		dy[i] = rate[process]
	}
	return nil
}

// affinity is 1 far from equilibrium with the oxide and 0 at it and beyond. It dies away where
// a last trace more would dissolve; water alone holds less than that.
func (f *flow) affinity() float64 {
	saturation := math.Ln10 * f.oxide.Constant.Log10K(f.Temperature, f.Result.Ionic) // ln Q/Ks
	for _, c := range f.oxide.Coefficients {
		saturation += c.N * f.Result.LnC[f.Place(c.Component)]
	}
	quotient := math.Exp(saturation / f.rust.Oxide.IronPerFormula)
	if quotient >= 1 {
		return 0
	}
	const trace = 1e-6 // mol/L of iron
	room := (f.DissolvedOf(f.ferric) + f.DissolvedOf(f.ferrous)) * (1/quotient - 1)
	return (1 - quotient) * room / (room + trace)
}

// attribute adds what each process did to the pH in a step, by the exact derivatives at both
// ends, and the rest in proportion.
func (f *flow) attribute(y0, y1 []float64, moved *[processes]float64) error {
	var pH [2]float64
	var extents, slopes [2][processes]float64
	for i, y := range [][]float64{y0, y1} {
		if err := f.at(y); err != nil {
			return err
		}
		pH[i] = f.PH()
		copy(extents[i][:], f.extents)
		if err := f.PHPerMole(slopes[i][:]); err != nil {
			return err
		}
	}
	var share [processes]float64
	for i := range f.active {
		share[i] = (slopes[0][i] + slopes[1][i]) / 2 * (extents[1][i] - extents[0][i])
	}
	rest, weight := pH[1]-pH[0]-floats.Sum(share[:]), floats.Norm(share[:], 1)
	for i, process := range f.active {
		if weight > 0 {
			moved[process] += share[i] + rest*math.Abs(share[i])/weight
		}
	}
	return nil
}
