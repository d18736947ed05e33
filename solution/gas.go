package solution

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// Doses are the two figures of a dose for one target.
type Doses struct {
	NowGrams     float64 `json:"now_g"`      // brings it about at once
	ForGoodGrams float64 `json:"for_good_g"` // once what gas leaves in the air of a room has left
}

// Told writes the figures for a pH in one line, with the one advised; nothing where they are the
// same to a reader, in ounces at least, none for now where no dose of the reagent shows the pH
// today.
func (d Doses) Told(pH, advisedGrams float64) string {
	now, good := measure.FormatGrams(d.NowGrams), measure.FormatGrams(d.ForGoodGrams)
	if measure.Customary(now) == measure.Customary(good) {
		return ""
	}
	if d.NowGrams == 0 {
		now = "none"
	}
	return fmt.Sprintf("Doses for pH %.1f: now %s, for good %s, advised %s.", pH, now, good, measure.FormatGrams(advisedGrams))
}

// OpenDose is a dose for a vessel that stands open, where acid makes carbonate a gas that leaves,
// within minutes as it fizzes and within days through the surface, and the pH climbs: what shows
// the target today overshoots, what ends there starts below. Gas that would come in takes months
// and is not waited for. Gas is told in litres under 1 atm.
type OpenDose struct {
	ReagentID     string  `json:"reagent"`
	Reagent       string  `json:"name"`
	Target        Target  `json:"target"`
	Doses                 // now: once the bubbles are gone; zero where ten times the dose for good does not reach the target
	NowEndPH      float64 `json:"now_end_ph"` // where the dose for now ends; zero where that is
	StartPH       float64 `json:"start_ph"`   // with the dose for good just in
	FizzLitres    float64 `json:"fizz_l"`     // out of the dose for good
	NowFizzLitres float64 `json:"now_fizz_l"` // out of that for now
	GasLitres     float64 `json:"gas_l"`      // for good, through the surface too
}

// visible is how far the pH on the way is off for a strip to tell: judgement.
const visible = 0.2

// Waits reports whether the dose for good starts so far from its target that one has to be told to
// wait.
func (x OpenDose) Waits() bool { return math.Abs(x.StartPH-x.Target.Value) >= visible }

// PressureCO2 returns the pressure of carbon dioxide in atm that the vessel is in balance with: 1
// and above fizzes, the air of a room has 0.0004 to 0.001.
func (s *Solution) PressureCO2() (float64, error) {
	r, err := s.Solve()
	if err != nil {
		return 0, err
	}
	defer r.Return()
	henry, err := s.setting.Henry()
	if err != nil {
		return 0, err
	}
	k, ionic := slices.Index(r.Text, "H2CO3"), r.Result.Ionic
	if k < 0 {
		return 0, nil
	}
	if s.setting.Ideal {
		ionic = 0
	}
	return r.Result.C[k] / math.Pow(10, henry.Constant.Log10K(s.setting.Temperature, ionic)), nil
}

// Fizz lets carbon dioxide leave in bubbles down to the pressure at which it fizzes (fizz-pressure in
// [tables.Kinetic]), and returns how much left in litres at the vessel's temperature and 1 atm.
func (s *Solution) Fizz() (litres float64, err error) { return s.degas("fizz-pressure", true) }

func (s *Solution) gas(id string) (float64, error) {
	if err := s.made(); err != nil {
		return 0, err
	}
	k, err := tables.Find[tables.Kinetic](s.setting.Tables, id)
	return k.Value.Typical, err
}

// Degas brings the vessel into balance with the air of a room (room-carbon-dioxide in
// [tables.Kinetic]), as days in the open do, shuts it off again, and returns the carbon dioxide
// that left in litres, below zero where it came in.
func (s *Solution) Degas() (litres float64, err error) { return s.degas("room-carbon-dioxide", false) }

// degas brings the vessel into balance with a pressure of the tables; in bubbles only if it has more.
func (s *Solution) degas(figure string, inBubbles bool) (litres float64, err error) {
	pressure, err := s.gas(figure)
	if err != nil {
		return 0, err
	}
	if inBubbles {
		if now, err := s.PressureCO2(); err != nil || now <= pressure {
			return 0, err
		}
	}
	c, err := s.component("CO3^2-")
	if err != nil {
		return 0, err
	}
	open := s.Clone()
	if err := open.Open(min(pressure, 1)); err != nil {
		return 0, err
	}
	r, err := open.Solve()
	if err != nil {
		return 0, err
	}
	defer r.Return()
	left := s.amounts[c] - r.Total(r.Carbonate)*s.volume
	s.Close()
	s.add(c, -left)
	s.add(s.setting.Proton, -2*left)
	return left * chem.MolarVolume(s.setting.Temperature), nil
}

// OpenDose returns the doses of a reagent that bring a pH about in a vessel that stands open.
// Without carbonate they are the same. A target that cannot be reached for good gives an
// [*UnreachableError]: where the vessel ends beyond it by itself, one has only to wait.
func (s *Solution) OpenDose(r tables.Reagent, pH float64) (OpenDose, error) {
	room, err := s.gas("room-carbon-dioxide")
	if err != nil {
		return OpenDose{}, err
	}
	x := OpenDose{ReagentID: r.ID, Reagent: r.Name, Target: PH(pH)}
	open, first := s.Clone(), s.Clone()
	first.Close()
	if err := open.Open(room); err != nil {
		return OpenDose{}, err
	}
	x.ForGoodGrams, err = open.Bring(r, x.Target)
	shut := first.Clone()
	if grams, failed := shut.Bring(r, x.Target); failed == nil {
		if pressure, failed := shut.PressureCO2(); failed == nil && pressure < room { // it would take up gas
			x.ForGoodGrams, err = grams, nil
		}
	}
	if err != nil {
		return OpenDose{}, err
	}
	now := first.Clone()
	if x.FizzLitres, err = first.AddFizzing(r, unit.Mass(x.ForGoodGrams/1000)); err != nil {
		return OpenDose{}, err
	}
	x.StartPH, err = first.pH()
	surface, failed := first.Degas()
	if err = cmp.Or(err, failed); err != nil {
		return OpenDose{}, err
	}
	x.GasLitres = x.FizzLitres + max(surface, 0)
	return x, x.now(now, r)
}

// How a dose goes in, judgement.
const (
	portions  = 8    // each fizzing before the next
	tooMuch   = 10   // times the dose that is for good: more nobody should take
	leastDose = 0.01 // g/L that is looked for where none is needed for good
	closely   = 1e-8 // pH that a dose for now may miss
)

// AddFizzing adds a mass of a reagent and lets it fizz, of a carbonate in eight portions, each of
// which fizzes before the next. It returns the carbon dioxide that left in litres.
func (s *Solution) AddFizzing(r tables.Reagent, mass unit.Mass) (litres float64, err error) {
	n := 1 // what else makes it fizz drives out as much whatever the portions
	if r.Carbonated() {
		n = portions
	}
	for range n {
		part, err := 0.0, s.Add(r, mass/unit.Mass(n))
		if err == nil {
			part, err = s.Fizz()
		}
		if err != nil {
			return 0, err
		}
		litres += part
	}
	return litres, nil
}

func (s *Solution) pH() (float64, error) {
	r, err := s.Solve()
	if err != nil {
		return 0, err
	}
	defer r.Return()
	return r.PH(), nil
}

// now fills in what brings the target about in the vessel at once.
func (x *OpenDose) now(v *Solution, r tables.Reagent) error {
	var in *Solution
	off := func(grams float64) (pH float64, err error) {
		in = v.Clone()
		if x.NowFizzLitres, err = in.AddFizzing(r, unit.Mass(grams/1000)); err == nil {
			pH, err = in.pH()
		}
		return pH - x.Target.Value, err
	}
	grams, err := v.Clone().Bring(r, x.Target)
	switch {
	case err == nil:
	case !errors.Is(err, ErrUnreachable):
		return err
	case !r.Carbonated():
		return nil
	default: // gas that leaves takes it further
		grams = x.ForGoodGrams
	}
	least := leastDose * v.volume
	miss, err := off(grams)
	if err == nil && math.Abs(miss) > closely {
		var start float64
		found := false
		if start, err = off(0); err == nil {
			grams, found, err = root.From(off, math.Abs(start)/max(grams, least), tooMuch*max(x.ForGoodGrams, least), closely)
		}
		if err != nil || !found {
			x.NowFizzLitres = 0
			return err
		}
		_, err = off(grams)
	}
	if err != nil {
		return err
	}
	x.NowGrams = grams
	x.NowEndPH, err = in.pH()
	litres, failed := in.Degas()
	if err = cmp.Or(err, failed); err == nil && litres >= 0 { // what comes in takes months
		x.NowEndPH, err = in.pH()
	}
	return err
}
