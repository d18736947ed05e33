package care

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// MetalVerdict tells whether a bath can dissolve a metal, and what drives it.
// It is a statement about equilibrium: a film of oxide may keep a metal whole
// that could dissolve, hydrogen comes off lead, tin and cadmium only under a
// force of some tenths of a volt more, and nothing here tells how fast a metal
// goes.
type MetalVerdict struct {
	Metal string `json:"metal"`
	Group string `json:"group,omitempty"` // among [tables.OutsideMaterials]
	// Potential of the metal against a trace of its ions in this bath, in V
	// against the hydrogen electrode.
	PotentialVolts float64 `json:"potential_v"`
	// Driving forces in V by water (with hydrogen gas), by the iron(III) of the
	// bath, and by air: above zero, the metal can go that way.
	WaterForceVolts float64 `json:"driving_force_water_v"`
	IronForceVolts  float64 `json:"driving_force_iron_iii_v"`
	AirForceVolts   float64 `json:"driving_force_air_v"`

	Dissolves bool `json:"dissolves"`
	Hydrogen  bool `json:"hydrogen"` // by water alone
	// Held is the part of a trace of the metal that the chelants hold, 0 to 1.
	HeldFraction float64 `json:"held_by_chelant_fraction"`
	// GramsPerMole is what a mole of chelant takes up.
	GramsPerMoleChelant float64 `json:"metal_g_per_mol_chelant"`
	Text                string  `json:"text"`
}

// A metal counts as dissolving where its potential against this much of its
// ions, in mol/L, lies below that of something that takes its electrons
// (M. Pourbaix, Atlas of Electrochemical Equilibria, 1966; from memory).
const traceOfMetal = 1e-6

// margin in V that a driving force must exceed: what the constants of the
// complexes and the potentials are sure of.
const margin = 0.03

// hydrogenForce in V is what hydrogen asks for beyond equilibrium before it
// comes off metals of high overpotential such as lead, tin and cadmium; common
// practice, no source.
const hydrogenForce = 0.5

// oxygenPotential is that of O2 + 4 H⁺ + 4 e⁻ = 2 H2O at 25 °C in V, from the
// Gibbs energy of formation of water, −237.14 kJ/mol (CODATA).
const oxygenPotential = 237.14e3 / (2 * faraday)

const (
	faraday      = 96485.33212 // C/mol, exact product of two constants of the SI
	oxygenInAir  = 0.21        // atm
	smallestFree = 1e-60       // mol/L; below it a potential means nothing
)

// Metals returns a verdict on each metal of the tables, the most readily
// dissolved first. Standard potentials are
// those of 25 °C; their temperature coefficients are some mV for the few degrees
// of a bath and are neglected.
func Metals(b *bath.Bath) ([]MetalVerdict, error) {
	v, t := b.Vessel(), b.Tables()
	for c := range t.Couples() {
		if err := v.AddSpecies(c.Oxidised.String(), unit.Mole(traceOfMetal*b.Litres())); err != nil {
			return nil, err
		}
	}
	if err := barSolids(v, t); err != nil {
		return nil, err
	}
	st, err := v.Equilibrate()
	if err != nil {
		return nil, err
	}
	nernst := math.Ln10 * chem.GasConstant * float64(st.Temperature) / faraday
	hydrogen := -nernst * st.PH
	air := oxygenPotential - nernst*st.PH + nernst/4*math.Log10(oxygenInAir)
	ferric, err := t.Couple("ferric-ferrous")
	if err != nil {
		return nil, err
	}
	byIron := ferric.PotentialVolts + nernst*(logActivity(st, ferric.Oxidised)-logActivity(st, ferric.Reduced))
	chelates := map[string]bool{}
	for _, d := range st.Species {
		chelates[d.Species.String()] = slices.ContainsFunc(d.Made, func(part solution.Content) bool { return st.Class(part.Component).Chelant() })
	}
	var out []MetalVerdict
	for c := range t.Couples() {
		if !c.Metal() {
			continue
		}
		z := float64(c.Electrons())
		e := c.PotentialVolts + nernst/z*logActivity(st, c.Oxidised)
		m := MetalVerdict{
			Metal: c.Name, Group: c.Group, PotentialVolts: e,
			WaterForceVolts: hydrogen - e, IronForceVolts: byIron - e, AirForceVolts: air - e,
			GramsPerMoleChelant: c.Reduced.Formula.MolarMass(),
		}
		m.Hydrogen = m.WaterForceVolts > margin
		m.Dissolves = max(m.WaterForceVolts, m.IronForceVolts, m.AirForceVolts) > margin
		for _, f := range st.Distribution(c.Oxidised.String()) {
			if chelates[f.Species.String()] {
				m.HeldFraction += f.Value
			}
		}
		m.Text = m.words(c)
		out = append(out, m)
	}
	slices.SortStableFunc(out, func(a, b MetalVerdict) int { return cmp.Compare(a.PotentialVolts, b.PotentialVolts) })
	return out, nil
}

// logActivity returns log10 of the activity of a bare ion.
func logActivity(st *solution.State, s chem.Species) float64 {
	z := float64(s.Formula.Charge())
	return math.Log10(max(st.Concentration(s.String()), smallestFree)) - z*z*chem.DebyeHuckel(st.IonicStrengthMolPerLitre, st.Temperature)
}

// barSolids keeps everything in solution, so that a trace counts as dissolved.
func barSolids(v *solution.Solution, t *tables.Tables) error {
	var names []string
	for s := range t.Solids() {
		names = append(names, s.Species.String())
	}
	return v.Bar(names...)
}

func (m MetalVerdict) words(c tables.Couple) string {
	text := ""
	switch {
	case m.Hydrogen && m.WaterForceVolts < hydrogenForce:
		text = fmt.Sprintf("can dissolve, in practice as air or the iron(III) of a used bath takes its electrons, with little or no hydrogen; a mole of chelant goes with %.0f g", m.GramsPerMoleChelant)
	case m.Hydrogen:
		text = fmt.Sprintf("can dissolve by itself, giving off hydrogen; a mole of chelant goes with %.0f g", m.GramsPerMoleChelant)
	case m.IronForceVolts > margin:
		text = fmt.Sprintf("can dissolve as the iron(III) of a used bath takes its electrons; a mole of chelant goes with %.0f g", m.GramsPerMoleChelant)
	case m.AirForceVolts > margin:
		text = fmt.Sprintf("can dissolve with the help of air, slowly; a mole of chelant goes with %.0f g", m.GramsPerMoleChelant)
	default:
		text = "stays whole"
	}
	if c.Note != "" {
		text += "; " + c.Note
	}
	return text
}
