package bath

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/root"
)

// Limit is how much of an oxide a bath can dissolve while its pH is held.
type Limit struct {
	Oxide           string  `json:"oxide"`
	PH              float64 `json:"ph"`
	IronMoles       float64 `json:"iron_mol"` // in solution in all, what is there already included
	IronMolPerLitre float64 `json:"iron_mol_per_l"`
	// Share is iron per strong chelant; above one where citrate holds some too.
	IronPerChelant float64 `json:"iron_per_chelant"`
}

// Limit returns the iron in solution once the bath has stood over an unlimited
// amount of the oxide at a pH from 1 to 13, held with hydrochloric acid or
// sodium hydroxide, which bind no iron to speak of. No other oxide than the one
// asked about and those that come down within hours can form.
func (b *Bath) Limit(o Oxide, pH float64) (Limit, error) {
	if err := chem.Within("held pH", pH, lowestPH, highestPH, ""); err != nil {
		return Limit{}, err
	}
	var found *solution.State
	if _, err := b.over(o, func(v *solution.Solution) (*solution.State, error) {
		v.Close()
		d, err := b.hold(v, pH)
		found = d.After
		return found, err
	}); err != nil {
		return Limit{}, err
	}
	l := Limit{Oxide: o.Name, PH: pH, IronMoles: ironDissolved(found)}
	l.IronMolPerLitre = l.IronMoles / found.VolumeLitres
	if chelant := HoldingsOf(found).Strong().Total(); chelant > 0 {
		l.IronPerChelant = l.IronMoles / chelant
	}
	return l, nil
}

// Window tabulates the limit of each oxide over a span of pH: where in it the
// bath can clean at all. Limits come oxide by oxide, each with rising pH.
func (b *Bath) Window(oxides []Oxide, from, to, step float64) ([]Limit, error) {
	if err := chem.Within("first pH", from, lowestPH, highestPH, ""); err != nil {
		return nil, err
	}
	if err := chem.Within("last pH", to, from, highestPH, ""); err != nil {
		return nil, err
	}
	if err := chem.Within("step of pH", step, 0.01, 12, ""); err != nil {
		return nil, err
	}
	var out []Limit
	for _, o := range oxides {
		for i := 0; from+float64(i)*step <= to+1e-9; i++ {
			l, err := b.Limit(o, from+float64(i)*step)
			if err != nil {
				return nil, err
			}
			out = append(out, l)
		}
	}
	return out, nil
}

// exhaust returns the bath left alone over an unlimited amount of an oxide.
func (b *Bath) exhaust(o Oxide) (*solution.State, error) {
	return b.over(o, (*solution.Solution).Equilibrate)
}

// exhaustWith is exhaust with the solubility of the oxide off by so many
// standard uncertainties of its log K, at the ionic strength given.
func (b *Bath) exhaustWith(o Oxide, sigmas, ionic float64) (*solution.State, error) {
	f, err := b.tables.Formation(o.Species)
	if err != nil {
		return nil, err
	}
	t := b.vessel.Temperature()
	// A constant of formation: the larger it is, the less dissolves.
	logK := f.Constant.Log10K(t, ionic) - sigmas*f.Constant.Sigma(t, ionic)
	return b.over(o, func(v *solution.Solution) (*solution.State, error) {
		if err := v.SetConstant(o.Species, logK, ionic); err != nil {
			return nil, err
		}
		return v.Equilibrate()
	})
}

// over puts more of an oxide into the bath than it can dissolve and asks. It
// starts from a little more than the chelants could hold and doubles that until
// some is left, as the oxide itself or as the hydroxide that comes down from
// one less stable.
func (b *Bath) over(o Oxide, ask func(*solution.Solution) (*solution.State, error)) (*solution.State, error) {
	st, err := b.State()
	if err != nil {
		return nil, err
	}
	plenty := 1.5*HoldingsOf(st).Total() + 0.01*st.VolumeLitres
	const most = 8 // mol of iron per litre: a paste
	for ; plenty <= most*st.VolumeLitres; plenty *= 2 {
		v := b.vessel.Clone()
		if err := v.AddSpecies(o.Species, unit.Mole(plenty/o.IronPerFormula)); err != nil {
			return nil, err
		}
		if err := v.Allow(o.Species); err != nil {
			return nil, err
		}
		after, err := ask(v)
		if err != nil {
			return nil, err
		}
		for _, s := range after.Solids {
			if s.Moles > 0 && ironIn(after, s.Made) > 0 {
				return after, nil
			}
		}
	}
	return nil, &chem.InputError{Field: "bath", Value: fmt.Sprintf("one that dissolves more than %d mol/L of iron as %s", most, o.Name),
		Want: "a pH at which the oxide has a limit", Kind: ErrLimitless}
}

// ErrLimitless says that a bath dissolves an oxide without end, as strong acid
// does: nothing but the amount of acid limits it.
var ErrLimitless = errors.New("no limit")

// opening returns the highest pH, to a twentieth, at which the bath can hold
// iron from this oxide for a share of its strong chelant; NaN if there is none
// between 2 and 12.
func (b *Bath) opening(o Oxide, share float64) (float64, error) {
	enough := func(pH float64) (bool, error) {
		l, err := b.Limit(o, pH)
		if err != nil && errors.Is(err, ErrLimitless) {
			return true, nil
		}
		return l.IronPerChelant >= share, err
	}
	const low, high, tolerance = 2.0, 12.0, 0.05
	if ok, err := enough(low); err != nil || !ok {
		return math.NaN(), err
	}
	if ok, err := enough(high); err != nil || ok {
		return high, err
	}
	return root.Last(low, high, tolerance, enough)
}

func format(x float64) string { return strconv.FormatFloat(x, 'g', 4, 64) }
