package bath

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/solution/internal/grain"
	"example.com/chelation/solution/internal/stiff"
	"example.com/chelation/tables"
)

// The processes by whose extents in mol everything is reckoned.
const (
	gassing   = iota // H2CO3 leaves as CO2, through the surface or in bubbles
	airing           // O2 comes in
	corroding        // Fe of bare steel goes
	lighting         // chelant goes by light
	wasting          // chelant goes by air
	rusting          // Fe of the rust goes
	processes
)

// The figures in which worlds differ.
const (
	figureGas = iota
	figureSteel
	figureOxidation
	figureDiffusion
	figureSpoilt
	figureOxygen
	figureLight
	figureFizz
	figureFizzing
	figureRoom
	figureRust
	figures
)

// kinetics is one possible set of rates, in SI units and mol.
type kinetics struct {
	gas, oxygen  float64 // transfer velocities of CO2 and O2, m/s
	steel        float64 // of iron(III) to bare steel, m/s
	k21          float64 // m⁶/(mol² s)
	diffusion    float64 // of iron(II) over that of oxygen
	spoilt       float64 // chelant for an oxygen
	saturated    float64 // oxygen under air, mol/m³
	light        float64 // mol/(m² s)
	fizz, room   float64 // atm of CO2
	fizzing      float64 // 1/s
	rust         float64 // s
	surface, dry float64 // of the tub and of bare steel, m²
}

// way is one possible bath on its way.
type way struct {
	bath     *Bath
	parts    Parts
	deviates []float64

	size  float64            // of the grains, 1 at the start
	sum   [processes]float64 // extents up to the last event
	moved [processes]float64 // pH

	flow *flow // since the last event; nil right after one
}

// flow is a stretch of a way without events.
type flow struct {
	*compiled.Flow
	kinetics
	grains  grain.Rust
	parts   Parts
	size    float64
	y       []float64 // by active process
	active  []int
	extents []float64 // of the active processes, mol

	henry           chem.Constant
	acid            int // among the species
	ferric, ferrous int // of the tables' components, as chelant; -1 if there is none
	chelant         int
	enough, scale   float64
	oxide           tables.Formation
	free            []float64 // by species and solid: main chelant that no metal holds
	main            []int     // the main chelants among the tables' components
}

// until carries the way on from one time in s to another.
func (w *way) until(from, to float64, shares bool) (Hour, error) {
	if w.flow == nil {
		f, err := w.begin()
		if err != nil {
			return Hour{}, err
		}
		w.flow = f
	}
	f := w.flow
	if to > from && len(f.y) > 0 {
		small := slices.Repeat([]float64{1e-6 * f.scale}, len(f.y))
		if i := slices.Index(f.active, rusting); i >= 0 {
			small[i] = 1e-5
		}
		problem := stiff.Problem{Rates: f.rates, Relative: 1e-4, Absolute: small}
		seen := func(y0, y1 []float64) error {
			if f.repair(y0, y1); !shares {
				return nil
			}
			return f.attribute(y0, y1, &w.moved)
		}
		if err := problem.Integrate(to-from, f.y, seen); err != nil {
			return Hour{}, fmt.Errorf("the bath after %.4g h: %w", from/3600, err)
		}
	}
	if err := f.at(f.y); err != nil {
		return Hour{}, err
	}
	w.bath.Arrive(f.Flow)
	return w.hour(to / 3600), nil
}

// do ends the stretch with something done.
func (w *way) do(what func(*Bath, *Parts) error) error {
	if w.flow != nil {
		f := w.flow
		for i, n := range f.extents {
			w.sum[f.active[i]] += n
		}
		w.size, w.flow = f.grainSize(f.y), nil
		f.Return()
	}
	p := w.parts
	left := p.Rust.IronMoles * cube(w.size)
	p.Rust.IronMoles = left
	if err := what(w.bath, &p); err != nil {
		return err
	}
	if p.Rust.IronMoles == left { // the grains stay what they are
		p.Rust.IronMoles = w.parts.Rust.IronMoles
	} else {
		w.size = 1
	}
	w.parts = p
	return p.check()
}

func cube(x float64) float64 { return x * x * x }

// reaction returns what a process does. A destroyed chelant Lⁿ⁻ loses carbon dioxide,
// and iron(III) takes its two electrons, which oxygen takes back:
//
//	L + 2 Fe(III) + 2 H2O + m HCl = 2 Fe(II) + H2CO3 + m Cl⁻ + the rest, as acid + (m + 2 − n) H⁺
//
// Near pH 7 the rest is an idle anion, for which chloride stands in: of n − 2 charges
// where an amine has lost an arm and holds a hydrogen ion, of n − 1 otherwise.
func (b *Bath) reaction(process int, oxide Oxide, chelant string) (chem.Reaction, error) {
	switch process {
	case gassing:
		return byDegassing, nil
	case airing:
		return byAir, nil
	case corroding:
		return byIron, nil
	case rusting:
		f, err := b.tables.Formation(oxide.Species)
		part := f.Species
		part.Modifier = "on the part" // unknown to the tables, and so outside the vessel
		n := 1 / oxide.IronPerFormula
		return chem.Reaction{Terms: []chem.Term{{Coefficient: -n, Species: part}, {Coefficient: n, Species: f.Species}}}, err
	}
	c, err := b.tables.Component(chelant)
	if err != nil {
		return chem.Reaction{}, err
	}
	ligand := c.Species
	n := -float64(ligand.Formula.Charge())
	idle := n - 1
	if ligand.Formula.Count("N") > 0 {
		idle = max(0, n-2)
	}
	protons := idle + 2 - n
	atoms := map[string]float64{"H": 2 + idle - protons, "O": -1, "C": -1}
	for symbol, count := range ligand.Formula.Composition() {
		atoms[symbol] += count
	}
	text := ""
	for symbol, count := range atoms {
		if count > 0 {
			text += fmt.Sprintf("%s%g", symbol, count)
		}
	}
	rest, err := chem.ParseSpecies(text + "(s, destroyed)")
	if err != nil {
		return chem.Reaction{}, err
	}
	r := mustReaction("2 Fe3+ + 2 H2O = 2 Fe2+ + H2CO3")
	for _, x := range []chem.Term{{Coefficient: -1, Species: ligand}, {Coefficient: 1, Species: rest}, {Coefficient: -idle, Species: acidGas},
		{Coefficient: idle, Species: chloride}, {Coefficient: protons, Species: hydrogenIon}} {
		if x.Coefficient != 0 {
			r.Terms = append(r.Terms, x)
		}
	}
	return r, nil
}

var (
	byDegassing = mustReaction("H2CO3 = CO2(g, air) + H2O")

	acidGas  = must(chem.ParseSpecies("HCl(g)"))
	chloride = must(chem.ParseSpecies("Cl-"))
)

// begin makes a stretch ready.
func (w *way) begin() (*flow, error) {
	st, err := w.bath.State()
	if err != nil {
		return nil, err
	}
	f := &flow{parts: w.parts, size: w.size, chelant: -1, scale: 1e-3 * st.VolumeLitres}
	mains := HoldingsOf(st).Counted()
	most, chelant := 0.0, ""
	for _, h := range mains {
		if h.TotalMoles > most {
			most, chelant = h.TotalMoles, h.Chelant
		}
	}
	if f.kinetics, err = w.rates(st.IonicStrengthMolPerLitre); err != nil {
		return nil, err
	}
	f.choose(chelant != "")
	var reactions []chem.Reaction
	for _, process := range f.active {
		r, err := w.bath.reaction(process, f.parts.Rust.Oxide, chelant)
		if err != nil {
			return nil, err
		}
		reactions = append(reactions, r)
	}
	if f.Flow, err = w.bath.Flow(reactions...); err != nil {
		return nil, err
	}
	return f, f.look(mains, chelant, most)
}

// choose lists the processes that go on at all.
func (f *flow) choose(chelant bool) {
	goes := [processes]bool{
		gassing: f.gas > 0, airing: f.gas > 0, corroding: f.dry > 0, rusting: f.parts.Rust.IronMoles > 0,
		lighting: chelant && f.light > 0, wasting: chelant && f.gas > 0,
	}
	for process, on := range goes {
		if on {
			f.active, f.extents = append(f.active, process), append(f.extents, 0)
			start := 0.0
			if process == rusting {
				start = f.size
			}
			f.y = append(f.y, start)
		}
	}
}

// look finds what the rates ask for in the compiled problem.
func (f *flow) look(mains Holdings, chelant string, most float64) error {
	component := func(name string) int {
		i, err := f.Component(name)
		if err != nil {
			return -1
		}
		return i
	}
	f.ferric, f.ferrous, f.acid = component("Fe3+"), component("Fe2+"), slices.Index(f.Text[:len(f.Species)], "H2CO3")
	henry, err := f.Henry()
	if err != nil {
		return err
	}
	f.henry = henry.Constant
	if chelant != "" {
		f.chelant, f.enough, f.scale = component(chelant), most, most
	}
	for _, h := range mains {
		f.main = append(f.main, component(h.Chelant))
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
	if r := f.parts.Rust; r.IronMoles > 0 {
		f.oxide, err = f.Tables.Formation(r.Oxide.Species)
		f.grains = grain.Rust{Iron: r.IronMoles / (r.AreaCm2 / 1e4), Half: 1000 * r.HalfMolPerLitre, Film: cmp.Or(r.FilmMetresPerS, math.Inf(1))}
	}
	return err
}

// rates returns the figures of the tables for the bath as it stands, as this world has
// them.
func (w *way) rates(ionic float64) (kinetics, error) {
	b := w.bath
	x, err := b.Exchange()
	if err != nil {
		return kinetics{}, err
	}
	of := func(figure int, id string) float64 {
		k, e := b.tables.Kinetic(id)
		if e != nil {
			err = e
		}
		if figure < 0 {
			return k.Value.Typical
		}
		return straying(k.Value, w.deviates, figure)
	}
	t := b.Temperature()
	k := kinetics{
		steel: straying(x.SteelMetresPerS, w.deviates, figureSteel), fizz: of(figureFizz, "fizz-pressure"), room: of(figureRoom, "room-carbon-dioxide"),
		fizzing: 1 / (3600 * of(figureFizzing, "fizz-time")), diffusion: of(figureDiffusion, "iron-diffusion"), spoilt: of(figureSpoilt, "chelant-per-oxygen"),
		k21:       of(figureOxidation, "iron-oxidation") * arrhenius(of(-1, "iron-oxidation-energy"), t, chem.ReferenceTemperature),
		saturated: of(figureOxygen, "oxygen-in-water") / arrhenius(of(-1, "oxygen-energy"), t, chem.Celsius(20)) * math.Pow(10, -saltingOut*ionic),
		surface:   x.SurfaceCm2 / 1e4, dry: w.parts.BareSteelCm2 / 1e4, rust: 3600 * straying(w.parts.Rust.Hours, w.deviates, figureRust),
	}
	if b.place.Open() {
		k600 := straying(x.GasCmPerHour, w.deviates, figureGas) / 360000
		k.gas, k.oxygen = k600*swiftness(schmidtCO2, t), k600*swiftness(schmidtO2, t)
		i := max(0, slices.IndexFunc(lights, func(l light) bool { return l.Light == b.place.Light }))
		if id := lights[i].figure; id != "" && b.place.Cover != Boarded {
			k.light = of(figureLight, id) / 86400
		}
	}
	return k, err
}

// saltingOut of oxygen in L/mol, from memory: oxygen-in-water in the tables.
const saltingOut = 0.13

func (f *flow) grainSize(y []float64) float64 {
	if i := slices.Index(f.active, rusting); i >= 0 {
		return max(0, y[i])
	}
	return f.size
}

// reach sets what there is after the extents y, in which rust is told by the size of
// its grains.
func (f *flow) reach(y []float64) {
	for i, process := range f.active {
		f.extents[i] = y[i]
		if process == rusting {
			f.extents[i] = f.parts.Rust.IronMoles * (cube(f.size) - cube(max(0, y[i])))
		}
	}
	f.Go(f.extents)
}

// at brings the bath to rest after the extents y.
func (f *flow) at(y []float64) error {
	f.reach(y)
	return f.Solve()
}

// repair takes back what a step took of something beyond its end, a trace, and what of
// a process went backwards that does not; all but gas go one way. The start of the step
// lacks nothing, so that taking back leads there at worst.
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
	n := 0.0
	for j, c := range f.Result.C {
		n += f.free[j] * c
	}
	for k, c := range f.Result.Solid {
		n += f.free[len(f.Species)+k] * c
	}
	return n
}

// lightHalf is the iron(III) in mol/m³ at which half of the light is taken up near the
// surface, and lastShare the part of the chelant at which its destruction dies away:
// judgement.
const lightHalf, lastShare = 1.0, 1e-3

// rates writes the rates of the active processes: mol/s, for the grains 1/s.
func (f *flow) rates(y, dy []float64) error {
	if err := f.at(y); err != nil {
		return err
	}
	var rate [processes]float64
	volume := f.Litres / 1000 // m³
	perAtm := 1000 * math.Pow(10, f.henry.Log10K(f.Temperature, f.Result.Ionic))
	if f.acid >= 0 {
		gas := 1000 * f.Result.C[f.acid]
		rate[gassing] = f.gas*f.surface*(gas-perAtm*f.room) + f.fizzing*volume*max(0, gas-perAtm*f.fizz)
	}
	ferrous, ferric := 1000*f.DissolvedOf(f.ferrous), 1000*f.DissolvedOf(f.ferric)
	if f.oxygen > 0 && ferrous > 0 {
		rate[airing] = f.surface * f.oxygenFlux(volume/f.surface, ferrous)
	}
	rate[corroding] = f.steel * f.dry * ferric / 2
	if f.chelant >= 0 {
		left := max(0, f.Moles[f.chelant])
		there := left / (left + lastShare*f.enough)
		rate[lighting] = f.light * f.surface * there * ferric / (ferric + lightHalf)
		rate[wasting] = f.spoilt * there * rate[airing]
	}
	for i, process := range f.active {
		dy[i] = rate[process]
		if process == rusting {
			slow := f.rust * math.Pow(10, f.parts.Rust.PHSlope*grain.Slowing(f.PH()))
			dy[i] = -f.grains.Shrink(slow, math.Pow(max(0, y[i]), 2), 1000*f.freeChelant(), f.affinity())
		}
	}
	return nil
}

// affinity is 1 far from equilibrium with the oxide and 0 at it and beyond: what is
// crystalline does not grow within days, so that it takes no part in the equilibrium. It
// dies away where a last trace more would dissolve; water alone holds less than that.
func (f *flow) affinity() float64 {
	saturation := math.Ln10 * f.oxide.Constant.Log10K(f.Temperature, f.Result.Ionic) // ln Q/Ks
	for _, c := range f.oxide.Coefficients {
		saturation += c.N * f.Result.LnC[f.Place(c.Component)]
	}
	quotient := math.Exp(saturation / f.parts.Rust.Oxide.IronPerFormula)
	if quotient >= 1 {
		return 0
	}
	const trace = 1e-6 // mol/L of iron
	room := (f.DissolvedOf(f.ferric) + f.DissolvedOf(f.ferrous)) * (1/quotient - 1)
	return (1 - quotient) * room / (room + trace)
}

// oxygenFlux is the oxygen in mol/(m² s) that crosses the surface above a depth of
// liquid with so much iron(II) in mol/m³. Two laws stand behind each other: the film
// lets E k c through, where the instantaneous reaction with iron(II) that diffuses
// against it helps by E = 1 + D′ Fe/(n c); and the bulk uses up k21 Fe² c of what
// comes there.
func (k *kinetics) oxygenFlux(depth, ferrous float64) float64 {
	enhanced := 1 + k.diffusion*ferrous/((4-2*k.spoilt)*k.saturated)
	return k.saturated / (1/(enhanced*k.oxygen) + 1/(k.k21*ferrous*ferrous*depth))
}

// attribute adds to moved what each process did to the pH in a step: by the exact
// derivatives at both ends, and the rest in proportion.
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
	sum, weight := 0.0, 0.0
	for i := range f.active {
		share[i] = (slopes[0][i] + slopes[1][i]) / 2 * (extents[1][i] - extents[0][i])
		sum += share[i]
		weight += math.Abs(share[i])
	}
	for i, process := range f.active {
		moved[process] += share[i]
		if weight > 0 {
			moved[process] += (pH[1] - pH[0] - sum) * math.Abs(share[i]) / weight
		}
	}
	return nil
}

// hour records the bath.
func (w *way) hour(hours float64) Hour {
	f := w.flow
	only := func(x float64) tables.Range { return tables.Range{Low: x, Typical: x, High: x} }
	extent := w.sum
	for i, n := range f.extents {
		extent[f.active[i]] += n
	}
	free, whole := f.freeChelant()*f.Litres, 0.0
	for _, c := range f.main {
		whole += f.Moles[c]
	}
	moles := func(c int) float64 {
		if c < 0 {
			return 0
		}
		return f.Moles[c]
	}
	rust := w.parts.Rust
	h := Hour{
		Hours: hours, PH: only(f.PH()), IronIIIMoles: only(moles(f.ferric)), IronIIMoles: only(moles(f.ferrous)),
		SteelLostGrams: only(extent[corroding] * IronMolarMass), FreeMoles: only(free), BoundMoles: only(max(0, whole-free)),
		LightSpoiltMoles: only(extent[lighting]), AirSpoiltMoles: only(extent[wasting]), CO2OutMoles: only(extent[gassing]), O2InMoles: only(extent[airing]),
		PHByGas: w.moved[gassing], PHByRust: w.moved[rusting], PHBySteel: w.moved[corroding], PHByAir: w.moved[airing] + w.moved[wasting], PHByLight: w.moved[lighting],
	}
	if rust.IronMoles > 0 {
		h.RustLeftGrams = only(rust.Oxide.Grams(unit.Mole(rust.IronMoles * cube(f.grainSize(f.y)))))
	}
	return h
}
