package reading

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
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
	Action    Action `json:"action"`
	ReagentID string `json:"reagent,omitempty"` // what to add
	Reagent   string `json:"name,omitempty"`
	// Weighed and Spooned are the largest safe addition with a kitchen scale and with level spoons.
	// Spooned has no volume when the safe amount is less than the smallest spoon.
	Weighed *Portion `json:"weighed,omitempty"`
	Spooned *Portion `json:"spooned,omitempty"`

	PH     tables.Range `json:"ph"`        // of the bath now
	Window float64      `json:"in_window"` // chance, at the least, that the pH is within the window now
	// Need is the mass in g of the reagent from here to the target; a low end below
	// zero says that the bath may be past it already.
	NeedGrams tables.Range `json:"need_g,omitzero"`
	Why       string       `json:"why"`             // in one or two sentences
	Flags     []string     `json:"flags,omitempty"` // readings that contradict the rest
}

// Portion is an addition with what it does. Text says how to measure it out, in the
// words that [measure.ParseAmount] reads.
type Portion struct {
	Text      string       `json:"text"`
	MassGrams float64      `json:"mass_g"` // expected, of the product as sold
	PHAfter   tables.Range `json:"ph_after"`
	Overshoot float64      `json:"overshoot"` // chance that it carries the bath past the target by more than a step
}

// When another addition is worth its trouble: judgement.
const (
	// enough is the chance of a pH outside the window, on one side, at which
	// another addition is not worth its trouble.
	enough = 0.2
	// clearly is that chance once something was added that worked the other way:
	// going to and fro only adds salt.
	clearly = 0.5
	// sure is the chance of a pH within a step of the target at which a bath read once is done,
	// and fair that at which one read twice is; mostReadings end it in any case.
	sure, fair   = 0.95, 0.85
	mostReadings = 4
	// hasty is the chance of a mistake at which nothing is added on one reading.
	hasty = 0.05
	// first is the part of the tolerated risk that the first addition may take, and later
	// what each after it takes of that.
	first, later = 0.35, 0.4
	// poor is the chance of being in the window below which a finer reading is advised.
	poor = 0.6
	// strange is the share of the baths of something else that an addition may carry past the
	// limit, of each powder that the readings made so many times likelier (speaks) than it was.
	strange, speaks = 0.06, 2
	// helpless is the share of baths that no amount takes to the target from which none is advised.
	helpless = 0.5
	// mostRisk is the most of an overshoot's chance that an addition may take where the bath was
	// read twice and less would not move it.
	mostRisk = 0.1
	// least is the change of pH below which an addition is a waste of a strip.
	least = 0.1
)

// risk is the chance of an overshoot that the next addition may take.
func (p *Posterior) risk() float64 {
	risk := first * p.model.setup.Risk
	if p.course.acids+p.course.bases > 0 {
		risk *= later
	}
	return risk
}

// Advise returns the next step. An addition takes part of the chance of an overshoot
// that the setup tolerates, and never more than what brings the middle of the cloud to
// the target; of powders other than the chelant for which the readings speak it spares each,
// unlikely as they are. Nothing is added on a reading that is set aside or that shows the
// window or the other side of the target, nor on a single one that hardly fits; where nothing
// safe would move the bath, it is read again, and what two readings agree on may take more.
func (p *Posterior) Advise() (*Advice, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	s := &p.model.setup
	above, below := p.share(func(b *bath) bool { return b.pH > s.PH+Window }), p.share(func(b *bath) bool { return b.pH < s.PH-Window })
	inside := func(b *bath) bool { return math.Abs(b.pH-s.PH) <= Window }
	outside := func(b *bath) bool { return !inside(b) }
	a := &Advice{Action: Look, PH: p.PH(), Flags: p.flags()}
	for i, w := range p.favouring(outside) {
		if inside(&p.baths[i]) {
			a.Window += w
		}
	}
	read, gas, good := p.course.last, p.course.gas, tables.Range{}
	if gas {
		if good = p.forGood(); good.Typical > s.PH+Window {
			a.Flags = append(a.Flags, fmt.Sprintf("the carbon dioxide that has yet to leave: it lifts the pH towards %s within days", span(good)))
		}
	}
	near := p.share(func(b *bath) bool { return math.Abs(b.pH-s.PH) <= Step })
	done := near >= sure || near >= fair && p.course.readings > 1
	worth := func(chance float64, other int) bool {
		return !done && chance > enough && (other == 0 || chance > clearly)
	}
	switch steps := p.course.steps; {
	case read == nil || steps[len(steps)-1].pour != nil:
		a.Why = fmt.Sprintf("The bath should be at pH %s, %s: a reading tells more than adding blindly.", span(a.PH), p.leading())
	case p.gross[len(p.gross)-1] > doubtful || p.course.readings < 2 && p.gross[len(p.gross)-1] > hasty:
		a.Why = fmt.Sprintf("The last reading hardly fits what went before: the bath should be at pH %s. Stir and read again before anything is added.", span(a.PH))
	case read.value >= s.PH-Window && read.value <= s.PH+Window: // no pour on a belief that the reading speaks against
		p.stopOrRead(a, near, done)
	case above >= below && worth(above, p.course.bases) && read.value > s.PH:
		return a, p.addition(a, -1)
	case below > above && gas && good.Typical >= s.PH-Window:
		a.Why = fmt.Sprintf("The bath is at pH %s and comes to %s by itself within days, as carbon dioxide leaves: stir and wait, add nothing, and read again.", span(a.PH), span(good))
	case below > above && worth(below, p.course.acids) && read.value < s.PH:
		return a, p.addition(a, 1)
	default:
		p.stopOrRead(a, near, done)
	}
	return a, nil
}

// forGood is the pH of an open tub once the gas of the carbonates that went in has left.
func (p *Posterior) forGood() tables.Range {
	return p.over(func(b *bath) float64 {
		mix := p.model.surface.aired(b.mix, p.model.setup.PH, p.model.surface.inRoom)
		return p.pH(b, &mix)
	})
}

// addition fills in how much to add of what works in a direction.
func (p *Posterior) addition(a *Advice, sign float64) error {
	s, n, r := &p.model.setup, len(p.baths), p.model.setup.Acid
	if sign > 0 {
		r = s.Base
	}
	none := p.model.refuse(sign, r, fmt.Sprintf("a reagent that brings the bath to pH %g", s.PH))
	if r.ID == "" {
		return none
	}
	x, err := p.model.template(r)
	if err != nil {
		return err
	}
	edge, risk := s.PH+sign*Step, p.risk()
	limit, _ := p.needs(&x, sign, edge)
	target, never := p.needs(&x, sign, s.PH)
	if never >= helpless {
		return none
	}
	perGram, perLitre := make([]float64, n), make([]float64, n) // g of what the scale or the spoon says
	per := func(x, by []float64) []float64 { return floats.DivTo(make([]float64, n), x, by) }
	off := MeasuringError(measure.Amount{VolumeLitres: 1}, x.reagent.Form)
	for i := range n {
		e := deviate(i, n)
		perGram[i] = 1 + weighing*e
		perLitre[i] = p.model.level(x.packing, p.baths[i].z, x.packed) * (1 + off*e)
	}
	toLimit := per(limit, perGram)
	a.NeedGrams = p.span(per(target, perGram))
	for ; ; risk *= 2 { // read twice, the reading is worth more than the last doubt
		if grams := measure.RoundDown(min(p.safe(toLimit, risk), a.NeedGrams.Typical)); grams > 0 {
			a.Weighed = p.outcome(&x, measure.FormatGrams(grams), grams, toLimit, perGram)
		}
		if a.Weighed != nil && a.moves() >= least {
			break
		}
		if p.course.readings < 2 || risk > mostRisk {
			a.Weighed = nil
			a.Why = fmt.Sprintf("The bath is at pH %s, and no addition that is safe would move it by more than %g: read once more, with a finer strip or a meter if there is one.", span(a.PH), least)
			return nil
		}
	}
	if x.packing.Typical > 0 {
		byVolume := per(limit, perLitre)
		spoons, litres, err := spoonsWithin(x.reagent.Form, min(p.safe(byVolume, risk), p.span(per(target, perLitre)).Typical))
		if err != nil {
			return err
		}
		if litres > 0 {
			a.Spooned = p.outcome(&x, spoons, litres, byVolume, perLitre)
		}
	}
	a.Action, a.ReagentID, a.Reagent = Add, x.reagent.ID, x.reagent.Name
	a.Why = p.whyAdd(a, &x, sign, edge, risk)
	return nil
}

// moves is how far the weighed addition takes the middle of the baths, or those at an end, which
// hold no pH and are told by it from the others.
func (a *Advice) moves() float64 {
	before, after := a.PH, a.Weighed.PHAfter
	return max(math.Abs(after.Typical-before.Typical), before.Low-after.Low, after.High-before.High)
}

// stopOrRead stops, once the bath is likely within a step of the target, or was read often enough.
func (p *Posterior) stopOrRead(a *Advice, near float64, done bool) {
	s := &p.model.setup
	a.Why = fmt.Sprintf("The bath is at pH %s, within %g of the target with a chance of %.0f %%", span(a.PH), Step, 100*near)
	if !done && p.course.readings < mostReadings {
		a.Why += ": read once more, with a finer strip or a meter if there is one."
		return
	}
	a.Action = Stop
	a.Why += fmt.Sprintf(" and within %.1f to %.1f, where it works alike, with one of at least %.0f %%: more would change little.", s.PH-Window, s.PH+Window, 100*a.Window)
	if a.Window < poor {
		a.Why += " A finer strip or a meter would tell on which side of the window it may lie."
	}
}

// outcome returns what an amount does, of which one unit holds so many grams in each bath.
func (p *Posterior) outcome(x *portion, text string, amount float64, toLimit, perUnit []float64) *Portion {
	masses, after, over := make([]float64, len(toLimit)), make([]float64, len(toLimit)), 0.0
	for i, limit := range toLimit {
		b := &p.baths[i]
		masses[i] = amount * perUnit[i]
		after[i] = p.after(x, b, masses[i]*p.model.strength(x, b.z))
		if limit > 0 && limit < amount {
			over += b.weight
		}
	}
	return &Portion{Text: text, MassGrams: p.span(masses).Typical, PHAfter: p.span(after), Overshoot: over}
}

// safe returns the largest amount that carries no more than a share of all baths past the limit,
// nor more than strange of those of a powder that the readings speak for; more risk than the next
// addition may take lets that part grow by its square, as hardly anything is safe in a bath that
// holds no pH. Baths that are past it already are not its doing.
func (p *Posterior) safe(toLimit []float64, risk float64) (most float64) {
	order := make([]int, len(toLimit))
	floats.Argsort(slices.Clone(toLimit), order)
	times, left := risk/p.risk(), map[*salt]float64{} // what may yet go past of each
	part := times * times * strange
	risk = min(risk, max(mostRisk, p.risk()))
	for i := range p.baths {
		left[p.baths[i].salt] += part * p.baths[i].weight
	}
	for k, share := range left {
		if !k.other || share < part*speaks*k.prior {
			left[k] = risk
		}
	}
	for _, i := range order {
		if b := &p.baths[i]; toLimit[i] > 0 {
			risk -= b.weight
			left[b.salt] -= b.weight
			if most = toLimit[i]; min(risk, left[b.salt]) < 0 {
				break
			}
		}
	}
	return most
}

// deviate returns the i-th of n standard normal deviates that are spread evenly, in an order that
// has nothing to do with anything else: errors of an addition still to be measured out.
func deviate(i, n int) float64 {
	u := math.Mod((float64(i)+0.5)/math.Phi, 1)
	return math.Sqrt2 * math.Erfinv(2*u-1)
}

// spoonsWithin returns the spoons that hold so many litres and not more; of a liquid also
// in mL, which is not levelled.
func spoonsWithin(form tables.Form, litres float64) (spoons string, holds float64, err error) {
	for v := litres; v > 0; v *= 0.97 {
		names, volume, err := measure.Spoons(unit.Volume(v) * measure.Litre)
		if holds = float64(volume / measure.Litre); err != nil || holds <= litres*(1+1e-9) {
			names = strings.TrimPrefix(names, "about ") // it is these spoons that are meant
			if form == tables.Liquid {
				names = measure.FormatVolume(volume) + ", " + strings.Replace(names, "level ", "", 1)
			}
			return names, holds, err
		}
	}
	return "", 0, nil
}
