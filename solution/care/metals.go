package care

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// MetalVerdict tells whether a bath can dissolve a metal, and what drives it. It is a statement
// about equilibrium: a film of oxide may keep a metal whole, and nothing tells how fast it goes.
type MetalVerdict struct {
	Metal          string  `json:"metal"`
	PotentialVolts float64 `json:"potential_v"` // against a trace of its ions, on the scale of the hydrogen electrode
	// Driving forces by water (with hydrogen gas), by the iron(III) of the bath, and
	// by air: above zero, the metal can go that way.
	WaterForceVolts float64 `json:"driving_force_water_v"`
	IronForceVolts  float64 `json:"driving_force_iron_iii_v"`
	AirForceVolts   float64 `json:"driving_force_air_v"`

	Hydrogen bool   `json:"hydrogen"` // by water alone
	Text     string `json:"text"`
}

// A metal counts as dissolving where its potential against this much of its ions, in mol/L, lies
// below that of something that takes its electrons (M. Pourbaix, Atlas of Electrochemical
// Equilibria, 1966; from memory), by a margin in V that the constants are sure of.
const traceOfMetal, margin = 1e-6, 0.03

// hydrogenForce in V is what hydrogen asks for beyond equilibrium before it comes off metals of
// high overpotential such as lead, tin and cadmium; common practice, no source.
const hydrogenForce = 0.5

const (
	faraday         = 96485.33212 // C/mol, exact product of two constants of the SI
	oxygenInAir     = 0.21        // atm
	smallestFree    = 1e-60       // mol/L; below it a potential means nothing
	formation       = 237.14e3    // J/mol, Gibbs energy of water, taken off (CODATA)
	oxygenPotential = formation / (2 * faraday)
)

// Metals returns a verdict on each metal of the tables, the most readily dissolved first.
// Standard potentials are those of 25 °C; their temperature coefficients, some mV, are neglected.
func Metals(b *bath.Bath) ([]MetalVerdict, error) {
	if _, err := b.State(); err != nil {
		return nil, err
	}
	var err error
	v := b.Solution.Clone() // with a trace of the ions of each metal, all of it in solution
	for c := range tables.All[tables.Couple](b.Tables()) {
		err = cmp.Or(err, v.AddSpecies(c.Oxidised.String(), unit.Mole(traceOfMetal*b.Litres())))
	}
	for s := range tables.All[tables.Solid](b.Tables()) {
		err = cmp.Or(err, v.Bar(s.Species.String()))
	}
	st, err2 := v.Equilibrate()
	if err = cmp.Or(err, err2); err != nil {
		return nil, err
	}
	nernst := math.Ln10 * chem.GasConstant * float64(b.Temperature()) / faraday // V
	logActivity := func(ion chem.Species) float64 {
		free, _ := st.Concentration(ion.String()) // none where it is unknown
		z := float64(ion.Formula.Charge())
		return math.Log10(max(free, smallestFree)) - z*z*chem.DebyeHuckel(st.IonicStrengthMolPerLitre, b.Temperature())
	}
	iron, water := 0.0, -nernst*st.PH // potentials in V of what can take electrons
	air := water + oxygenPotential + nernst/4*math.Log10(oxygenInAir)
	for c := range tables.All[tables.Couple](b.Tables()) {
		if !c.Metal() && st.Class(c.Oxidised.String()) == tables.IronMetal {
			iron = c.PotentialVolts + nernst*(logActivity(c.Oxidised)-logActivity(c.Reduced))
		}
	}
	var out []MetalVerdict
	for c := range tables.All[tables.Couple](b.Tables()) {
		if c.Metal() {
			e := c.PotentialVolts + nernst/float64(c.Electrons())*logActivity(c.Oxidised)
			m := MetalVerdict{Metal: c.Name, PotentialVolts: e, WaterForceVolts: water - e, IronForceVolts: iron - e, AirForceVolts: air - e}
			m.Hydrogen = m.WaterForceVolts > margin
			m.Text = m.words(c.Note)
			out = append(out, m)
		}
	}
	slices.SortStableFunc(out, func(a, b MetalVerdict) int { return cmp.Compare(a.PotentialVolts, b.PotentialVolts) })
	return out, nil
}

func (m MetalVerdict) words(note string) string {
	text := "this bath leaves it whole"
	switch {
	case m.WaterForceVolts >= hydrogenForce:
		text = "this bath can take it by itself, with bubbles of hydrogen"
	case m.Hydrogen || m.IronForceVolts > margin:
		text = "this bath can take it, with the help of air and of the iron in a used bath"
	case m.AirForceVolts > margin:
		text = "this bath can take it where air gets in, slowly"
	}
	if note != "" {
		text = note + "; " + text
	}
	return text
}
