package solution

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// OpenDose is a dose for a vessel that stands open. Carbonate makes carbonic acid of
// the acid it meets; as that leaves as gas, within minutes where it fizzes and within
// days through the surface, the pH climbs. So there are two doses for one target:
// what shows it today overshoots, what ends there starts below.
type OpenDose struct {
	Reagent string `json:"reagent"`
	Target  Target `json:"target"`
	// NowGrams brings the target about at once, once the bubbles are gone, and
	// NowEndPH is where that ends. Zero where ten times ForGoodGrams does not.
	NowGrams float64 `json:"now_g"`
	NowEndPH float64 `json:"now_end_ph"`
	// ForGoodGrams brings it about once the vessel agrees with the air of a room, and
	// StartPH is the pH with that just in. This is the dose to advise.
	ForGoodGrams float64 `json:"for_good_g"`
	StartPH      float64 `json:"start_ph"`
	// Gas in litres under 1 atm: what fizzes out of the dose that is for good, out of
	// that for now, and what leaves for good through the surface too.
	FizzLitres    float64 `json:"fizz_l"`
	NowFizzLitres float64 `json:"now_fizz_l"`
	GasLitres     float64 `json:"gas_l"`
}

// WorthWaiting is the one rule for gas that has yet to leave an open tub: where it moves the
// pH by this much or more the dose for good is advised and limits are those without
// it, where by less it is not spoken of. A strip tells no less: judgement.
const WorthWaiting = 0.2

// Waits reports whether the dose for good starts so far from its target that one waits.
func (x OpenDose) Waits() bool { return math.Abs(x.StartPH-x.Target.Value) >= WorthWaiting }

// PressureCO2 returns the pressure of carbon dioxide in atm that the vessel is in
// balance with: 1 and above fizzes, the air of a room has 0.0004 to 0.001.
func (s *Solution) PressureCO2() (float64, error) {
	r, err := s.settle()
	if err != nil {
		return 0, err
	}
	defer r.Return()
	henry, err := s.setting.Henry()
	if err != nil {
		return 0, err
	}
	log := henry.Constant.Log10K(s.setting.Temperature, r.Result.Ionic)
	if s.setting.Ideal {
		log = henry.Constant.Log10K(s.setting.Temperature, 0)
	}
	if k := slices.Index(r.Text, "H2CO3"); k >= 0 {
		return r.Result.C[k] / math.Pow(10, log), nil
	}
	return 0, nil
}

// Fizz lets carbon dioxide leave in bubbles down to the pressure at which it fizzes
// (fizz-pressure in [tables.Kinetic]), and returns how much left in litres at the
// vessel's temperature and 1 atm: 0 where it does not fizz.
func (s *Solution) Fizz() (litres float64, err error) {
	figure, err := s.gas("fizz-pressure")
	if err != nil {
		return 0, err
	}
	pressure, err := s.PressureCO2()
	if err != nil || pressure <= figure {
		return 0, err
	}
	return s.degas(figure)
}

// gas returns a figure of the tables on carbon dioxide.
func (s *Solution) gas(id string) (float64, error) {
	if err := s.made(); err != nil {
		return 0, err
	}
	k, err := tables.Find[tables.Kinetic](s.setting.Tables, id)
	return k.Value.Typical, err
}

// Degas brings the vessel into balance with the air of a room (room-carbon-dioxide in
// [tables.Kinetic]), as days in the open do, shuts it off again, and returns the
// carbon dioxide that left in litres, below zero where it came in.
func (s *Solution) Degas() (litres float64, err error) {
	room, err := s.gas("room-carbon-dioxide")
	if err != nil {
		return 0, err
	}
	return s.degas(room)
}

// degas brings the vessel into balance with a pressure.
func (s *Solution) degas(pressure float64) (float64, error) {
	c, err := s.component("CO3^2-")
	if err != nil {
		return 0, err
	}
	open := s.Clone()
	if err := open.Open(min(pressure, 1)); err != nil {
		return 0, err
	}
	r, err := open.settle()
	if err != nil {
		return 0, err
	}
	defer r.Return()
	left := s.amounts[c] - r.Total(r.Carbonate)*s.volume
	s.Close()
	s.add(c, -left)
	s.add(s.setting.Proton, -2*left)
	return left * molarVolume(s), nil
}

// molarVolume of a gas in L/mol at 1 atm and the vessel's temperature.
func molarVolume(s *Solution) float64 {
	const atmosphere = 101325 // Pa
	return 1000 * chem.GasConstant * float64(s.setting.Temperature) / atmosphere
}

// OpenDose returns the doses of a reagent that bring a pH about in a vessel that
// stands open: at once, and for good. Without carbonate they are the same. A target
// that cannot be reached for good gives an [*UnreachableError]: where the vessel ends
// beyond it by itself, one has only to wait.
func (s *Solution) OpenDose(r tables.Reagent, pH float64) (OpenDose, error) {
	room, err := s.gas("room-carbon-dioxide")
	if err != nil {
		return OpenDose{}, err
	}
	x := OpenDose{Reagent: r.Name, Target: PH(pH)}
	open, first := s.Clone(), s.Clone()
	first.Close()
	if err := open.Open(room); err != nil {
		return OpenDose{}, err
	}
	good, err := open.Dose(r, x.Target)
	if err != nil {
		return OpenDose{}, err
	}
	x.ForGoodGrams = good.MassGrams
	now := first.Clone()
	for range portions {
		litres, err := first.pourFizzing(r, x.ForGoodGrams/portions)
		if x.FizzLitres += litres; err != nil {
			return OpenDose{}, err
		}
	}
	var surface float64
	if x.StartPH, _, surface, err = first.atRest(); err != nil {
		return OpenDose{}, err
	}
	x.GasLitres = x.FizzLitres + surface
	return x, x.now(now, r)
}

// How a dose goes in, judgement: in so many portions, each fizzing before the next.
// More than so many times the dose that is for good nobody should take.
const portions, tooMuch = 8, 10

// leastDose in g/L is looked for where none is needed for good: judgement.
const leastDose = 0.01

// pourFizzing adds a mass in g and lets it fizz.
func (s *Solution) pourFizzing(r tables.Reagent, grams float64) (litres float64, err error) {
	if err := s.Add(r, unit.Mass(grams/1000)); err != nil {
		return 0, err
	}
	return s.Fizz()
}

// atRest returns the pH now and after the gas has left, which it lets happen.
func (s *Solution) atRest() (now, end, litres float64, err error) {
	if now, err = s.pH(); err != nil {
		return 0, 0, 0, err
	}
	if litres, err = s.Degas(); err != nil {
		return 0, 0, 0, err
	}
	end, err = s.pH()
	return now, end, litres, err
}

func (s *Solution) pH() (float64, error) {
	r, err := s.settle()
	if err != nil {
		return 0, err
	}
	defer r.Return()
	return r.PH(), nil
}

// now fills in what brings the target about in the vessel at once.
func (x *OpenDose) now(v *Solution, r tables.Reagent) error {
	added, fizzed := 0.0, 0.0
	scale := max(x.ForGoodGrams, leastDose*v.volume)
	for added <= tooMuch*scale {
		portion := max(scale, added) / portions
		left, err := v.Dose(r, x.Target)
		if err != nil && !errors.Is(err, ErrUnreachable) {
			return err
		}
		last := err == nil && left.MassGrams <= portion
		if last {
			portion = left.MassGrams
		}
		litres, err := v.pourFizzing(r, portion)
		if err != nil {
			return err
		}
		added, fizzed = added+portion, fizzed+litres
		if last {
			x.NowGrams, x.NowFizzLitres = added, fizzed
			_, x.NowEndPH, _, err = v.atRest()
			return err
		}
	}
	return nil
}
