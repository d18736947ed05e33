package bath

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Upkeep is how to hold the pH of a bath while it works.
type Upkeep struct {
	Acid   string  `json:"acid"`
	Oxide  string  `json:"oxide"`
	PH     float64 `json:"ph"`      // to be held
	PHRise float64 `json:"ph_rise"` // that is let happen before acid goes in

	// PerGram is the acid for a gram of rust, over the whole of Doses.
	AcidPerRustGram float64  `json:"acid_g_per_rust_g"`
	AcidGrams       float64  `json:"acid_g"` // in all
	RustGrams       float64  `json:"rust_g"` // in all
	Doses           []Refill `json:"doses"`
	// Stopped tells why there are no more doses.
	Stopped string `json:"stopped"`

	reagent tables.Reagent // for spoons; empty once it has been through JSON
}

// Refill is a dose of acid and the rust that went before it.
type Refill struct {
	RustGrams float64 `json:"rust_g"` // dissolved since the last dose
	PHFrom    float64 `json:"ph_from"`
	AcidGrams float64 `json:"acid_g"`
	PHTo      float64 `json:"ph_to"`
	// Room is the iron that free strong chelant could still take up.
	RoomIronGrams float64 `json:"room_iron_g"`
}

// mostRefills bounds a plan; whoever has to add acid more often than that had
// better start lower.
const mostRefills = 60

// Upkeep plans the acid that holds a pH: each time the rust that dissolved has
// raised it by rise (0.1 to 3), the acid that brings it back, until
// [PracticalShare] of the strong chelant holds metal or the oxide dissolves no
// further. Where even a rise cannot come about any more, the plan stops and
// says so.
//
// The amounts depend on the pH and not only on the rust: near pH 7.5 nothing
// in the bath holds the pH and little rust moves it far; below 6.5 citrate and
// Hedta³⁻ hold it.
func (b *Bath) Upkeep(acid tables.Reagent, o Oxide, pH, rise float64) (Upkeep, error) {
	if err := chem.Within("pH to hold", pH, lowestPH, highestPH-1, ""); err != nil {
		return Upkeep{}, err
	}
	if err := chem.Within("rise of pH", rise, 0.1, 3, ""); err != nil {
		return Upkeep{}, err
	}
	u := Upkeep{Acid: acid.Name, Oxide: o.Name, PH: pH, PHRise: rise, reagent: acid}
	v := b.vessel.Clone()
	if err := v.Allow(o.Species); err != nil {
		return Upkeep{}, err
	}
	st, err := v.Equilibrate()
	if err != nil {
		return Upkeep{}, err
	}
	whole := HoldingsOf(st).Counted().Total()
	room := func(st *solution.State) float64 { return HoldingsOf(st).Counted().Free() - (1-PracticalShare)*whole }
	for len(u.Doses) < mostRefills {
		if room(st) <= 0.01*whole {
			u.Stopped = fmt.Sprintf("%.0f %% of the chelant holds metal: time for a new bath", 100*PracticalShare)
			break
		}
		d, err := v.Dose(o.rust, solution.PH(pH+rise))
		var far *solution.UnreachableError
		grams := d.MassGrams
		switch {
		case errors.As(err, &far) && far.Start > pH+rise:
			grams = 0 // acid first
		case errors.As(err, &far):
			// The oxide stops dissolving before the pH has risen that far.
			end, err := (&Bath{b.tables, v, b.co2}).exhaust(o)
			if err != nil {
				return Upkeep{}, err
			}
			grams = o.Grams(min(ironDissolved(end)-ironDissolved(st), room(st)))
			if o.moles(grams) <= 0.01*whole {
				u.Stopped = fmt.Sprintf("equilibrium allows no more %s near pH %.1f", o.Name, pH)
			}
		case err != nil:
			return Upkeep{}, err
		default:
			grams = min(grams, o.Grams(room(st)))
		}
		if u.Stopped != "" {
			break
		}
		if err := v.AddSpecies(o.Species, unit.Mole(grams/o.MolarMass)); err != nil {
			return Upkeep{}, err
		}
		back, err := v.Dose(acid, solution.PH(pH))
		if errors.Is(err, solution.ErrUnreachable) {
			u.Stopped = fmt.Sprintf("%s does not bring the bath back to pH %.1f while rust is left in it", acid.Name, pH)
			break
		}
		if err != nil {
			return Upkeep{}, err
		}
		if err := v.Add(acid, back.Mass()); err != nil {
			return Upkeep{}, err
		}
		st = back.After
		u.Doses = append(u.Doses, Refill{grams, back.Before.PH, back.MassGrams, st.PH, max(0, HoldingsOf(st).Counted().Free()) * IronMolarMass})
		u.RustGrams += grams
		u.AcidGrams += back.MassGrams
	}
	if u.Stopped == "" {
		u.Stopped = fmt.Sprintf("after %d doses: start at a lower pH, or let it rise further between them", mostRefills)
	}
	if u.RustGrams > 0 {
		u.AcidPerRustGram = u.AcidGrams / u.RustGrams
	}
	return u, nil
}

// Parts says after how many parts of so much rust in g each acid is due, and how
// much, counted for the first dose: later ones are due after more parts. A part
// that alone raises the pH beyond what was allowed counts as one.
func (u Upkeep) Parts(rustEach float64) (string, error) {
	if err := chem.Within("rust on a part", rustEach, 1e-6, 1e6, "g"); err != nil {
		return "", err
	}
	i := 0
	for i < len(u.Doses) && u.Doses[i].RustGrams == 0 {
		i++
	}
	if i == len(u.Doses) {
		return "No rust dissolves before acid is added: " + u.Stopped + ".", nil
	}
	n := max(1, int(u.Doses[i].RustGrams/rustEach))
	text := "part"
	if n > 1 {
		text = fmt.Sprintf("%d parts", n)
	}
	acid := solution.NewPortion(u.reagent, unit.Mass(u.AcidPerRustGram*rustEach*float64(n)/1000))
	return fmt.Sprintf("Add %s of %s after every %s of %s of rust each, when the pH has risen from %.1f to about %.1f.",
		acid.Text(), u.Acid, text, measure.FormatMass(unit.Mass(rustEach/1000)), u.PH, u.PH+u.PHRise), nil
}
