package reading

import (
	"fmt"
	"strings"

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

// leading tells which salts are likely, in words.
func (p *Posterior) leading() string {
	var names []string
	sum := 0.0
	for _, b := range p.Salts() {
		if sum > 0.8 || len(names) == 3 {
			break
		}
		sum += b.Weight
		names = append(names, b.Salt.Name)
	}
	if sum <= 0.8 {
		return "as the bag may hold any of several salts"
	}
	return "if the bag holds " + strings.Join(names, " or ")
}

// poor is the chance of being in the window below which a finer reading is advised.
const poor = 0.6

// stop advises to leave it at that.
func (p *Posterior) stop(a *Advice) {
	s := &p.model.setup
	a.Action = Stop
	a.Why = fmt.Sprintf("The bath is at pH %s, with a chance of %.0f %% within %.1f to %.1f, where it works alike: more would change little.",
		span(a.PH), 100*a.Window, s.Low, s.High)
	if a.Window < poor {
		a.Why += " A finer strip or a meter would tell on which side of the window it may lie."
	}
}

func (p *Posterior) whyAdd(a *Advice, w *way) string {
	most := measure.FormatGrams(a.Weighed.MassGrams)
	need := measure.FormatGrams(a.NeedGrams.Low) + " to " + measure.FormatGrams(a.NeedGrams.High)
	if a.NeedGrams.Low <= 0 {
		need = "none or up to " + measure.FormatGrams(a.NeedGrams.High)
	}
	text := fmt.Sprintf("The bath is at pH %s and needs %s of %s to reach %.1f.", span(a.PH), need, a.Reagent, p.model.setup.PH)
	side := "below"
	if w.sign > 0 {
		side = "above"
	}
	if a.Weighed.MassGrams < 0.93*a.NeedGrams.Typical {
		text += fmt.Sprintf(" More than %s at once could carry it %s %.1f in one bath in %.0f; the next reading will narrow this down.", most, side, w.limit, 1/w.risk)
	} else {
		text += fmt.Sprintf(" %s is the middle of that, with a chance of %s to end %s %.1f.", most, percent(a.Weighed.Overshoot), side, w.limit)
	}
	if w.portion.open && w.portion.reagent.Carbonated() {
		text += " The pH starts lower and comes there within days, as carbon dioxide leaves: stir and wait, do not add until it shows today."
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
func (p *Posterior) flags() (out []string) {
	for n, s := range p.course.seen() {
		if p.gross[n] > doubtful {
			out = append(out, fmt.Sprintf("event %d: this reading contradicts the others (%.0f %% that it is a mistake) and has been set aside: read again", s.event+1, 100*p.gross[n]))
		}
	}
	return out
}
