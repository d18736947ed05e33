package bath

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Upkeep is how to hold the pH of a bath while it works.
type Upkeep struct {
	Acid   string  `json:"acid_name"`
	Oxide  string  `json:"oxide"`
	PH     float64 `json:"ph"`      // to be held
	PHRise float64 `json:"ph_rise"` // that is let happen before acid goes in

	AcidPerRustGram float64  `json:"acid_g_per_rust_g"` // over the whole of Doses
	AcidGrams       float64  `json:"acid_g"`            // in all
	RustGrams       float64  `json:"rust_g"`            // in all
	Doses           []Refill `json:"doses"`
	// Stopped tells why there are no more doses.
	Stopped string `json:"stopped"`
}

// Refill is a dose of acid and the rust that went before it.
type Refill struct {
	RustGrams float64 `json:"rust_g"` // dissolved since the last dose
	PHFrom    float64 `json:"ph_from"`
	AcidGrams float64 `json:"acid_g"`
	PHTo      float64 `json:"ph_to"`
	// RoomIronGrams is the iron that the free main chelants could still take up.
	RoomIronGrams float64 `json:"room_iron_g"`
}

// Bounds of a plan: judgement. Whoever has to add acid more often than that had
// better start lower; less than a hundredth of the chelant is not worth a dose.
const (
	mostRefills = 60
	worthADose  = 0.01
)

// Upkeep plans the acid that holds a pH: each time the rust that dissolved has
// raised it by rise (0.1 to 3), the acid that brings it back, until
// [PracticalShare] of the main chelants holds metal or the oxide dissolves no
// further. Where even a rise cannot come about any more, the plan stops and
// says so.
//
// The amounts depend on the pH and not only on the rust: near pH 7.5 nothing
// in the bath holds the pH and little rust moves it far; below 6.5 citrate and
// Hedta³⁻ hold it.
func (b *Bath) Upkeep(acid tables.Reagent, o Oxide, pH, rise float64) (Upkeep, error) {
	if err := cmp.Or(chem.Within("pH to hold", pH, lowestPH, highestPH-1, ""), chem.Within("rise of pH", rise, 0.1, 3, "")); err != nil {
		return Upkeep{}, err
	}
	k := keeper{contact: b.contact(o), acid: acid, Upkeep: Upkeep{Acid: acid.Name, Oxide: o.Name, PH: pH, PHRise: rise}}
	if k.err = cmp.Or(k.err, k.vessel.Allow(o.Species)); k.err == nil {
		k.whole = k.holdings.Counted().Total()
		k.rust, k.err = o.reagent(b.tables)
	}
	for k.err == nil && k.Stopped == "" {
		if dose := k.refill(); k.err == nil && k.Stopped == "" {
			k.Doses = append(k.Doses, dose)
			k.RustGrams += dose.RustGrams
			k.AcidGrams += dose.AcidGrams
		}
	}
	if k.err != nil {
		return Upkeep{}, k.err
	}
	if k.RustGrams > 0 {
		k.AcidPerRustGram = k.AcidGrams / k.RustGrams
	}
	return k.Upkeep, nil
}

// keeper is a bath on its way through doses of acid; its contact moves along.
type keeper struct {
	*contact
	Upkeep
	acid, rust tables.Reagent // rust: the oxide
	whole      float64        // mol of the main chelants at the start
}

// refill dissolves rust until the pH has risen and doses the acid that brings it
// back, or tells why that ends.
func (k *keeper) refill() Refill {
	rust := k.rustUntilRise()
	if k.err != nil || k.Stopped != "" {
		return Refill{}
	}
	var back solution.Dose
	if k.err = k.vessel.AddSpecies(k.oxide.Species, unit.Mole(rust/k.oxide.MolarMassGramsPerMole)); k.err == nil {
		back, k.err = k.vessel.Dose(k.acid, solution.PH(k.PH))
	}
	if errors.Is(k.err, solution.ErrUnreachable) {
		k.err, k.Stopped = nil, fmt.Sprintf("%s does not bring the bath back to pH %.1f while rust is left in it", k.acid.Name, k.PH)
		return Refill{}
	}
	if k.err == nil {
		k.update(back.After, k.vessel.Add(k.acid, back.Mass()))
	}
	if k.err != nil {
		return Refill{}
	}
	return Refill{rust, back.Before.PH, back.MassGrams, k.start.PH, k.holdings.Counted().Free() * IronMolarMass}
}

// rustUntilRise returns the rust in g that raises the pH as far as is let, or as
// much as dissolves and there is room for.
func (k *keeper) rustUntilRise() float64 {
	room := k.holdings.Counted().Free() - (1-PracticalShare)*k.whole // mol of iron
	switch {
	case room <= worthADose*k.whole:
		k.Stopped = fmt.Sprintf("%.0f %% of the chelant holds metal: time for a new bath", 100*PracticalShare)
		return 0
	case len(k.Doses) == mostRefills:
		k.Stopped = fmt.Sprintf("after %d doses: start at a lower pH, or let it rise further between them", mostRefills)
		return 0
	}
	d, err := k.vessel.Dose(k.rust, solution.PH(k.PH+k.PHRise))
	var far *solution.UnreachableError
	switch {
	case errors.As(err, &far) && far.Start > k.PH+k.PHRise:
		return 0 // acid first
	case errors.As(err, &far): // the oxide stops dissolving before
		moles := min(k.taken(k.leftAlone()).IronMoles, room)
		if moles <= worthADose*k.whole {
			k.Stopped = fmt.Sprintf("equilibrium allows no more %s near pH %.1f", k.oxide.Name, k.PH)
		}
		return k.oxide.Grams(unit.Mole(moles))
	}
	k.err = err
	return min(d.MassGrams, k.oxide.Grams(unit.Mole(room)))
}

// Parts says after how many parts of so much rust each the acid of the plan is due,
// and how much, counted for the first dose: later ones are due after more parts. A
// part that alone raises the pH beyond what was allowed counts as one.
func (u Upkeep) Parts(acid tables.Reagent, rustEach unit.Mass) (string, error) {
	each := 1000 * float64(rustEach)
	if err := chem.Within("rust on a part", each, 1e-6, 1e6, "g"); err != nil {
		return "", err
	}
	if acid.ID == "" || acid.Name != u.Acid {
		return "", &chem.InputError{Field: "acid", Value: acid.String(), Want: "that of the plan, " + u.Acid}
	}
	i := slices.IndexFunc(u.Doses, func(r Refill) bool { return r.RustGrams > 0 })
	if i < 0 {
		return "No rust dissolves before acid is added: " + u.Stopped + ".", nil
	}
	n := max(1, int(u.Doses[i].RustGrams/each))
	text := "part"
	if n > 1 {
		text = fmt.Sprintf("%d parts", n)
	}
	due := solution.NewPortion(acid, unit.Mass(u.AcidPerRustGram*each*float64(n)/1000))
	return fmt.Sprintf("Add %s of %s after every %s of %s of rust each, when the pH has risen from %.1f to about %.1f.",
		due.Text(), u.Acid, text, measure.FormatMass(rustEach), u.PH, u.PH+u.PHRise), nil
}
