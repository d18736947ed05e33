package bath

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Upkeep is how to hold the pH of a bath while it works.
type Upkeep struct {
	Acid   solution.Portion `json:"acid"` // in all
	Oxide  string           `json:"oxide"`
	PH     float64          `json:"ph"`      // to be held
	PHRise float64          `json:"ph_rise"` // that is let happen before acid goes in

	AcidPerRustGram float64  `json:"acid_g_per_rust_g"` // over the whole of Doses
	RustGrams       float64  `json:"rust_g"`            // in all
	Doses           []Refill `json:"doses"`
	Stopped         string   `json:"stopped"` // why there are no more doses
}

// Refill is a dose of acid and the rust that went before it.
type Refill struct {
	RustGrams float64 `json:"rust_g"` // dissolved since the last dose
	PHFrom    float64 `json:"ph_from"`
	AcidGrams float64 `json:"acid_g"` // advised, one of the Doses
	solution.Doses
	PHTo          float64 `json:"ph_to"`
	RoomIronGrams float64 `json:"room_iron_g"` // that the free main chelants could still take up
}

// Bounds of a plan: judgement. Whoever has to add acid more often than that had
// better start lower; less than a hundredth of the chelant is not worth a dose.
const (
	mostRefills = 60
	worthADose  = 0.01
)

// Upkeep plans the acid that holds a pH: each time the rust that dissolved has raised it by
// rise (0.1 to 3), the acid that brings it back, until [PracticalShare] of the main chelants
// holds metal or the oxide dissolves no further. In an open tub that acid is the dose for good,
// and its gas leaves before the next rust.
func (b *Bath) Upkeep(acid tables.Reagent, o Oxide, pH, rise float64) (Upkeep, error) {
	c := b.contact(o)
	c.err = cmp.Or(chem.Within("pH to hold", pH, lowestPH, highestPH-1, ""), chem.Within("rise of pH", rise, 0.1, 3, ""), c.err)
	if c.err == nil {
		c.err = c.vessel.Allow(o.Species)
	}
	u, grams := Upkeep{Oxide: o.Name, PH: pH, PHRise: rise}, 0.0
	whole := c.holdings.Counted().Total()
	for c.err == nil && u.Stopped == "" {
		room := c.holdings.Counted().Free() - (1-PracticalShare)*whole // mol of iron
		switch {
		case room <= worthADose*whole:
			u.Stopped = fmt.Sprintf("%.0f %% of the chelant holds metal: time for a new bath", 100*PracticalShare)
		case len(u.Doses) == mostRefills:
			u.Stopped = fmt.Sprintf("after %d doses: start at a lower pH, or let it rise further between them", mostRefills)
		default:
			iron, ends := c.untilRise(pH+rise, room)
			if c.err == nil && ends && iron <= worthADose*whole {
				u.Stopped = fmt.Sprintf("equilibrium allows no more %s near pH %.1f", o.Name, pH)
				break
			}
			dose := c.refill(acid, iron, pH)
			if errors.Is(c.err, solution.ErrUnreachable) {
				c.err, u.Stopped = nil, fmt.Sprintf("%s does not bring the bath back to pH %.1f while rust is left in it", acid.Name, pH)
				break
			}
			u.Doses = append(u.Doses, dose)
			u.RustGrams += dose.RustGrams
			grams += dose.AcidGrams
		}
	}
	if c.err != nil {
		return Upkeep{}, c.err
	}
	u.Acid = solution.NewPortion(acid, unit.Mass(grams)*measure.Gram)
	if u.RustGrams > 0 {
		u.AcidPerRustGram = grams / u.RustGrams
	}
	return u, nil
}

// untilRise returns the iron in mol, as far as there is room, of the rust that raises the pH so
// far, and whether the oxide stops dissolving before.
func (c *contact) untilRise(pH, room float64) (iron float64, ends bool) {
	rust, err := c.oxide.reagent(c.tables)
	grams, err2 := c.vessel.Clone().Bring(rust, solution.PH(pH))
	var far *solution.UnreachableError
	switch {
	case errors.As(err2, &far) && far.Start > pH:
		return 0, false // acid first
	case errors.As(err2, &far):
		return min(c.taken(c.end(alone)).IronMoles, room), true
	}
	c.err = cmp.Or(err, err2)
	return min(grams/c.oxide.Grams(1), room), false
}

// refill dissolves rust and doses the acid that brings the pH back.
func (c *contact) refill(acid tables.Reagent, iron, pH float64) Refill {
	if c.err = cmp.Or(c.err, c.vessel.AddSpecies(c.oxide.Species, unit.Mole(iron/c.oxide.IronPerFormula))); c.err != nil {
		return Refill{}
	}
	st, err := c.vessel.Equilibrate()
	back, err2 := c.place.Dose(c.vessel, acid, pH)
	if c.err = cmp.Or(err, err2, c.vessel.Add(acid, unit.Mass(back.AdvisedGrams/1000))); c.err != nil {
		return Refill{}
	}
	if _, c.err = c.place.degas(c.vessel); c.err == nil {
		c.update(c.vessel.Equilibrate())
	}
	return Refill{c.oxide.Grams(unit.Mole(iron)), st.PH, back.AdvisedGrams, back.Doses, c.start.PH, c.holdings.Counted().Free() * IronMolarMass}
}

// Parts says after how many parts of so much rust each the acid of the plan is due, and how
// much, counted for the first dose: later ones are due after more parts.
func (u Upkeep) Parts(acid tables.Reagent, rustEach unit.Mass) (string, error) {
	each := 1000 * float64(rustEach)
	if err := chem.Within("rust on a part", each, 1e-6, 1e6, "g"); err != nil {
		return "", err
	}
	if acid.ID == "" || acid.ID != u.Acid.Reagent {
		return "", &chem.InputError{Field: "acid", Value: acid.String(), Want: "that of the plan, " + u.Acid.Name}
	}
	i := slices.IndexFunc(u.Doses, func(r Refill) bool { return r.RustGrams > 0 })
	if i < 0 {
		return "No rust dissolves before acid is added: " + u.Stopped + ".", nil
	}
	first := u.Doses[i]
	n := max(1, int(first.RustGrams/each))
	grams := u.AcidPerRustGram * each * float64(n)
	share := grams / first.AcidGrams
	doses := solution.Doses{NowGrams: share * first.NowGrams, ForGoodGrams: share * first.ForGoodGrams}
	text := fmt.Sprintf("Add %s of %s after every %s of %s of rust each, when the pH has risen from %.1f to about %.1f. %s",
		solution.NewPortion(acid, unit.Mass(grams/1000)).Text(), acid.Name, either(n > 1, fmt.Sprintf("%d parts", n), "part"),
		measure.FormatMass(rustEach), u.PH, u.PH+u.PHRise, doses.Told(u.PH, grams))
	return strings.TrimSpace(text), nil
}
