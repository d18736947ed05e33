package reading

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Action is what to do next.
type Action string

// The actions.
const (
	Look Action = "read" // take a reading first
	Add  Action = "add"  // stir something in
	Stop Action = "stop" // the pH is good enough
)

// Advice is the next step, and why.
type Advice struct {
	Action  Action `json:"action"`
	Reagent string `json:"reagent,omitempty"` // what to add
	// Weighed and Spooned are the largest safe addition with a kitchen scale and
	// with level spoons. Spooned has no volume when the safe amount is less than
	// the smallest spoon.
	Weighed *Portion `json:"weighed,omitempty"`
	Spooned *Portion `json:"spooned,omitempty"`

	PH     tables.Range `json:"ph"`        // of the bath now
	Window float64      `json:"in_window"` // chance that the pH is within the window now
	// Need is the mass in g of the reagent from here to the target; a low end below
	// zero says that the bath may be past it already.
	NeedGrams tables.Range `json:"need_g"`
	Steps     float64      `json:"steps_left"`      // additions to come, this one included, on average
	Why       string       `json:"why"`             // in one or two sentences
	Flags     []string     `json:"flags,omitempty"` // readings that contradict the rest
}

// Portion is an addition with what it does.
type Portion struct {
	Text         string       `json:"text"`
	MassGrams    float64      `json:"mass_g"`             // expected, of the product as sold
	VolumeLitres float64      `json:"volume_l,omitempty"` // of level spoons
	PHAfter      tables.Range `json:"ph_after"`
	Overshoot    float64      `json:"overshoot"` // chance that it carries the bath past the target by more than a step
}

// Amount returns the addition as it is measured out.
func (p Portion) Amount() measure.Amount {
	if p.VolumeLitres > 0 {
		return measure.AmountOfVolume(unit.Volume(p.VolumeLitres) * measure.Litre)
	}
	return measure.AmountOfMass(unit.Mass(p.MassGrams) * measure.Gram)
}

// When another addition is worth its trouble: judgement.
const (
	// enough is the chance of a pH outside the window, on one side, at which
	// another addition is not worth its trouble.
	enough = 0.2
	// clearly is that chance once something was added that worked the other way:
	// going to and fro only adds salt.
	clearly = 0.5
	// least is the change of pH below which an addition is a waste of a strip.
	least = 0.1
)

// way is the direction of the next addition with what it is made of.
type way struct {
	sign    float64 // −1 to lower the pH
	limit   float64 // pH not to pass
	portion portion
	risk    float64 // chance of passing the limit that this addition may take
}

// way returns the direction in which a reagent of the setup works.
func (p *Posterior) way(sign float64) (w way, err error) {
	s := &p.model.setup
	acid, base := p.additions()
	w = way{sign: sign, limit: s.Target + sign*s.Step}
	field, r, before := "Acid", s.Acid, acid
	if sign > 0 {
		field, r, before = "Base", s.Base, base
	}
	if r.ID == "" {
		return w, &chem.InputError{Field: field, Value: r.String(), Want: fmt.Sprintf("a reagent that brings the bath to pH %g", s.Target)}
	}
	w.risk = s.Risk / math.Pow(2, float64(before+1))
	w.portion, err = p.model.template(r)
	return w, err
}

// Advise returns the next step. The chance of an overshoot that it takes is half
// of what the setup tolerates for the first addition in a direction, and half of
// what is left for each after that, so that the course as a whole keeps to the
// tolerance. It never adds more than what brings the middle of the cloud to the
// target.
func (p *Posterior) Advise() (*Advice, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	s := &p.model.setup
	a := &Advice{PH: p.PH(), Flags: p.flags()}
	above, below := p.chance(func(pH float64) bool { return pH > s.High }), p.chance(func(pH float64) bool { return pH < s.Low })
	a.Window = 1 - above - below
	last := p.course.steps[len(p.course.steps)-1]
	if last.kind == pours && len(p.course.more) > 1 || len(p.course.sights) == 0 {
		a.Action = Look
		a.Why = fmt.Sprintf("The bath should be at pH %s, %s: a reading tells more than adding blindly.", span(a.PH), p.leading())
		return a, nil
	}
	if p.lastIsDoubtful() {
		a.Action = Look
		a.Why = fmt.Sprintf("The last reading contradicts what went before; without it the bath should be at pH %s. Stir and read again before anything is added.", span(a.PH))
		return a, nil
	}
	acid, base := p.additions()
	worth := func(chance float64, other int) bool {
		if other > 0 {
			return chance > clearly
		}
		return chance > enough
	}
	sign := 1.0
	switch {
	case above >= below && worth(above, base):
		sign = -1
	case below > above && worth(below, acid):
	default:
		a.Action = Stop
		a.Why = p.whyStop(a)
		return a, nil
	}
	w, err := p.way(sign)
	if err != nil {
		return nil, err
	}
	return a, p.addition(a, &w)
}

// lastIsDoubtful reports whether the last event is a reading that was set aside.
// A second one in a row is no mistake of the eye, and asking again does not help.
func (p *Posterior) lastIsDoubtful() bool {
	steps, gross := p.course.steps, p.gross
	setAside := func(back int) bool {
		s, g := len(steps)-back, len(gross)-back
		return s >= 0 && g >= 0 && steps[s].kind == reads && gross[g] > doubtful
	}
	return setAside(1) && !setAside(2)
}

// additions counts what went in to lower and to raise the pH, more from the bag
// apart.
func (p *Posterior) additions() (acid, base int) {
	for _, x := range p.course.more[1:] {
		switch {
		case x.of == fromBag:
		case x.raises(p.model.surface, p.model.setup.Target):
			base++
		default:
			acid++
		}
	}
	return acid, base
}

// addition fills in how much to add.
func (p *Posterior) addition(a *Advice, w *way) error {
	n := p.cloud.n
	x, target := w.portion, p.model.setup.Target
	toLimit, _ := p.needs(&x, w.sign, w.limit) // g
	toTarget, never := p.needs(&x, w.sign, target)
	if never >= 0.5 {
		field := "Acid"
		if w.sign > 0 {
			field = "Base"
		}
		return &chem.InputError{Field: field, Value: x.reagent.Name, Want: fmt.Sprintf("a reagent that brings the bath to pH %g", target)}
	}
	byVolume, aim := make([]float64, n), make([]float64, n) // L
	perLitre := make([]float64, n)                          // g
	off := LevellingError
	if x.reagent.Form == tables.Liquid {
		off = WeighingError
	}
	for i := range n {
		e := deviate(i, n)
		if x.packing.typical > 0 {
			perLitre[i] = x.packing.at(p.cloud.row(i)[x.packed()]) * (1 + off*e)
			byVolume[i], aim[i] = toLimit[i]/perLitre[i], toTarget[i]/perLitre[i]
		}
		toLimit[i] /= onScale(e)
		toTarget[i] /= onScale(e)
	}
	a.NeedGrams = spread.Of(toTarget)
	a.Action, a.Reagent = Add, x.reagent.Name

	grams := roundDown(math.Min(safe(toLimit, w.risk), median(toTarget)))
	if grams > 0 {
		a.Weighed = p.outcome(w, grams, toLimit, func(i int) float64 { return grams * onScale(deviate(i, n)) })
		a.Weighed.Text = mass(grams)
	}
	if perLitre[0] > 0 {
		m, err := spoonsWithin(math.Min(safe(byVolume, w.risk), median(aim)))
		if err != nil {
			return err
		}
		if litres := m.VolumeLitres; litres > 0 {
			a.Spooned = p.outcome(w, litres, byVolume, func(i int) float64 { return litres * perLitre[i] })
			a.Spooned.Text, a.Spooned.VolumeLitres = m.Text, litres
		}
	}
	if moved := a.Weighed; moved == nil || math.Abs(moved.PHAfter.Typical-a.PH.Typical) < least {
		a.Weighed, a.Spooned, a.Reagent = nil, nil, ""
		p.halt(a)
		return nil
	}
	a.Steps = p.remaining(w, a.Weighed.MassGrams, toLimit, toTarget)
	a.Why = p.whyAdd(a, w)
	return nil
}

// halt is the advice where nothing that is safe would change much: one more
// reading, unless that was the last that was done.
func (p *Posterior) halt(a *Advice) {
	steps := p.course.steps
	if n := len(steps); n > 1 && steps[n-1].kind == reads && steps[n-2].kind == reads {
		a.Action = Stop
		a.Why = p.whyStop(a)
		return
	}
	a.Action = Look
	a.Why = fmt.Sprintf("The bath is at pH %s, and no addition that is safe would move it by more than %g: read once more, with a finer strip or a meter if there is one.", span(a.PH), least)
}

// onScale is what a scale makes of a gram.
func onScale(e float64) float64 { return 1 + WeighingError*e }

// outcome returns what an amount does: grams tells its mass in each bath.
func (p *Posterior) outcome(w *way, amount float64, toLimit []float64, grams func(int) float64) *Portion {
	n := p.cloud.n
	masses, after, over := make([]float64, n), make([]float64, n), 0.0
	p.shares(n, func(i int) {
		var mix mixture
		masses[i] = grams(i)
		after[i] = p.after(w, i, masses[i]*p.model.strength(&w.portion, p.cloud.row(i)), &mix)
	})
	for _, x := range toLimit {
		if x > 0 && x < amount {
			over += 1 / float64(n)
		}
	}
	return &Portion{MassGrams: median(masses), PHAfter: spread.Of(after), Overshoot: over}
}

// safe returns the largest amount that carries no more than a share of all baths
// past the limit. Baths that are past it already are not its doing.
func safe(toLimit []float64, risk float64) float64 {
	var ahead []float64
	for _, x := range toLimit {
		if x > 0 {
			ahead = append(ahead, x)
		}
	}
	if len(ahead) == 0 {
		return 0
	}
	slices.Sort(ahead)
	return spread.Rank(ahead, risk*float64(len(toLimit))/float64(len(ahead)))
}

func median(x []float64) float64 { return spread.Rank(slices.Sorted(slices.Values(x)), 0.5) }

// deviate returns the i-th of n standard normal deviates that are spread evenly,
// in an order that has nothing to do with anything else: errors of an addition
// still to be measured out.
func deviate(i, n int) float64 {
	const golden = 0.6180339887498949
	u := math.Mod((float64(i)+0.5)*golden, 1)
	return math.Sqrt2 * math.Erfinv(2*u-1)
}

// chance returns the share of baths whose pH is as f says.
func (p *Posterior) chance(f func(pH float64) bool) float64 {
	n := 0
	for _, x := range p.pH {
		if f(x) {
			n++
		}
	}
	return float64(n) / float64(len(p.pH))
}

// roundDown keeps two significant digits of an amount in g, but no less than a
// tenth of a gram.
func roundDown(g float64) float64 {
	if !(g > 0) || math.IsInf(g, 0) {
		return 0
	}
	step := math.Max(0.1, math.Pow(10, math.Floor(math.Log10(g))-1))
	return math.Floor(g/step+1e-9) * step
}

// spoonsWithin returns the spoons that hold so many litres and not more.
func spoonsWithin(litres float64) (measure.Measured, error) {
	if !(litres > 0) {
		return measure.Measured{}, nil
	}
	for v := litres; ; v *= 0.97 {
		m, err := measure.Spoons(unit.Volume(v) * measure.Litre)
		if err != nil || m.VolumeLitres <= litres*(1+1e-9) {
			m.Text = strings.TrimPrefix(m.Text, "about ") // it is these spoons that are meant
			return m, err
		}
	}
}
