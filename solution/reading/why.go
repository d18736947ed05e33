package reading

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// span writes a range of pH.
func span(r tables.Range) string {
	low, high := fmt.Sprintf("%.1f", r.Low), fmt.Sprintf("%.1f", r.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

func mass(grams float64) string { return measure.FormatMass(unit.Mass(grams / 1000)) }

// leading tells which salts are likely, in words.
func (p *Posterior) leading() string {
	var names []string
	sum := 0.0
	for _, b := range p.Salts() {
		if sum > 0.8 || len(names) == 3 {
			break
		}
		sum += b.Probability
		names = append(names, b.Salt)
	}
	if sum <= 0.8 {
		return "as the bag may hold any of several salts"
	}
	return "if the bag holds " + strings.Join(names, " or ")
}

func (p *Posterior) whyStop(a *Advice) string {
	s := &p.model.setup
	text := fmt.Sprintf("The bath is at pH %s, with a chance of %.0f %% within %.1f to %.1f, where it works alike: more would change little.",
		span(a.PH), 100*a.Window, s.Low, s.High)
	if a.Window < 0.6 {
		text += " A finer strip or a meter would tell on which side of the window it may lie."
	}
	return text
}

func (p *Posterior) whyAdd(a *Advice, w *way) string {
	most := mass(a.Weighed.MassGrams)
	need := mass(a.NeedGrams.Low) + " to " + mass(a.NeedGrams.High)
	if a.NeedGrams.Low <= 0 {
		need = "none or up to " + mass(a.NeedGrams.High)
	}
	text := fmt.Sprintf("The bath is at pH %s and needs %s of %s to reach %.1f.", span(a.PH), need, a.Reagent, p.model.setup.Target)
	side := "below"
	if w.sign > 0 {
		side = "above"
	}
	if a.Weighed.MassGrams < 0.93*a.NeedGrams.Typical {
		text += fmt.Sprintf(" More than %s at once could carry it %s %.1f in one bath in %.0f; the next reading will narrow this down.", most, side, w.limit, 1/w.risk)
	} else {
		text += fmt.Sprintf(" %s is the middle of that, with a chance of %s to end %s %.1f.", most, percent(a.Weighed.Overshoot), side, w.limit)
	}
	return text
}

func percent(x float64) string {
	if x < 0.001 {
		return "less than 0.1 %"
	}
	return fmt.Sprintf("%.1f %%", 100*x)
}

// flags names the readings that contradict the rest.
func (p *Posterior) flags() []string {
	var out []string
	n := 0
	for _, s := range p.course.steps {
		if !s.seen() {
			continue
		}
		if s.kind == reads && p.gross[n] > doubtful {
			r := p.course.sights[s.index]
			out = append(out, fmt.Sprintf("event %d: this reading contradicts the others (%.0f %% that it is a mistake) and has been set aside: read again", r.event+1, 100*p.gross[n]))
		}
		n++
	}
	return out
}
