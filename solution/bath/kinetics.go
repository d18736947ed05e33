package bath

import (
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/grain"
)

// The processes by whose extents in mol everything is reckoned, that of rust the last.
const (
	gassing   = iota // H2CO3 leaves as CO2, through the surface or in bubbles
	airing           // O2 comes in
	corroding        // Fe of bare steel goes
	lighting         // chelant goes by light
	wasting          // chelant goes by air
	rusting          // Fe of the rust goes
	processes
)

// figures are those in which worlds differ: of the tables, but for the first two, which the
// place tells, light, which the light tells, and the hours of the rust.
var figures = []string{"gas", "steel", "iron-oxidation", "iron-diffusion", "chelant-per-oxygen", "oxygen-in-water", "light",
	"fizz-pressure", "fizz-time", "room-carbon-dioxide", "rust"}

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
	covered      float64 // s for grains under chelant at pH 7, far from equilibrium
	slope, half  float64 // of log10 of the rate of rust with pH; mol/L of chelant that covers half of it
	surface, dry float64 // of the tub and of bare steel, m²
}

// saltingOut of oxygen in L/mol, from memory: oxygen-in-water in the tables.
const saltingOut = 0.13

// rates returns the figures of the tables for the bath as it stands in this world.
func (w *way) rates(ionic float64) (kinetics, error) {
	b := w.bath
	x, err := b.Exchange()
	if err != nil {
		return kinetics{}, err
	}
	of := func(id string) float64 { return w.stray(id, b.figure(&err, id)) }
	t := b.Temperature()
	k := kinetics{
		steel: w.stray("steel", x.SteelMetresPerS), fizz: of("fizz-pressure"), room: of("room-carbon-dioxide"),
		fizzing: 1 / (3600 * of("fizz-time")), diffusion: of("iron-diffusion"), spoilt: of("chelant-per-oxygen"),
		k21:       of("iron-oxidation") * grain.Arrhenius(of("iron-oxidation-energy"), float64(chem.ReferenceTemperature), float64(t)),
		saturated: of("oxygen-in-water") / grain.Arrhenius(of("oxygen-energy"), float64(chem.Celsius(20)), float64(t)) * math.Pow(10, -saltingOut*ionic),
		slope:     of("ph-slope"), half: of("half-coverage"),
		surface: x.SurfaceCm2 / 1e4, dry: w.parts.BareSteelCm2 / 1e4, covered: 3600 * w.stray("rust", w.parts.Rust.Hours),
	}
	if b.place.Open() {
		k600 := w.stray("gas", x.GasCmPerHour) / 360000
		k.gas, k.oxygen = k600*swiftness(schmidtCO2, t), k600*swiftness(schmidtO2, t)
		if id := lights[b.place.Light]; id != "" && b.place.Cover != Boarded {
			k.light = w.stray("light", b.figure(&err, id)) / 86400
		}
	}
	return k, err
}

// oxygenFlux is the oxygen in mol/(m² s) that crosses the surface above a depth of liquid with
// so much iron(II) in mol/m³. The film lets E k c through, where the instantaneous reaction
// helps by E = 1 + D′ Fe/(n c), and behind it the bulk uses up k21 Fe² c.
func (k *kinetics) oxygenFlux(depth, ferrous float64) float64 {
	enhanced := 1 + k.diffusion*ferrous/((4-2*k.spoilt)*k.saturated)
	return k.saturated / (1/(enhanced*k.oxygen) + 1/(k.k21*ferrous*ferrous*depth))
}

// into lets so many moles of a species into the vessel from outside, or out where below zero.
func (b *Bath) into(species string, moles float64) (chem.Reaction, error) {
	f, err := b.tables.Formation(species)
	outside := f.Species
	outside.Modifier = "outside" // unknown to the tables
	return chem.Reaction{Terms: []chem.Term{{Coefficient: -moles, Species: outside}, {Coefficient: moles, Species: f.Species}}}, err
}

// destruction is that of a chelant Lⁿ⁻: it loses carbon dioxide, and iron(III) takes its
// two electrons, which oxygen takes back:
//
//	L + 2 Fe(III) + 2 H2O + m HCl = 2 Fe(II) + H2CO3 + m Cl⁻ + the rest, as acid + (m + 2 − n) H⁺
//
// Near pH 7 the rest is an idle anion, for which chloride stands in: of n − 2 charges
// where an amine has lost an arm and holds a hydrogen ion, of n − 1 otherwise.
func destruction(ligand chem.Species) (chem.Reaction, error) {
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
	r.Terms = append(r.Terms, chem.Term{Coefficient: -1, Species: ligand}, chem.Term{Coefficient: 1, Species: rest}, chem.Term{Coefficient: -idle, Species: acidGas},
		chem.Term{Coefficient: idle, Species: chloride}, chem.Term{Coefficient: protons, Species: hydrogenIon})
	r.Terms = slices.DeleteFunc(r.Terms, func(x chem.Term) bool { return x.Coefficient == 0 })
	return r, nil
}

var (
	byDegassing = mustReaction("H2CO3 = CO2(g, air) + H2O")

	acidGas  = must(chem.ParseSpecies("HCl(g)"))
	chloride = must(chem.ParseSpecies("Cl-"))
)
