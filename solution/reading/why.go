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

// What is said in words: judgement.
const (
	named     = 0.8   // probability, beyond which the salts named are all that matter
	mostSalts = 3     // that a sentence names
	hardly    = 0.001 // a chance that is told as less
	middling  = 0.93  // of what the bath needs: from there on an addition is the middle of it
)

// leading tells which salts are likely, in words.
func (p *Posterior) leading() string {
	var names []string
	sum := 0.0
	for _, b := range p.Salts() {
		if sum > named || len(names) == mostSalts {
			break
		}
		sum += b.Weight
		names = append(names, b.Salt.Name)
	}
	if sum <= named {
		return "as the bag may hold any of several salts"
	}
	return "if the bag holds " + strings.Join(names, " or ")
}

// whyAdd tells why an addition that works in a direction is no larger.
func (p *Posterior) whyAdd(a *Advice, x *portion, sign, edge, risk float64) string {
	most := measure.FormatGrams(a.Weighed.MassGrams)
	need := measure.FormatGrams(a.NeedGrams.Low) + " to " + measure.FormatGrams(a.NeedGrams.High)
	if a.NeedGrams.Low <= 0 {
		need = "none or up to " + measure.FormatGrams(a.NeedGrams.High)
	}
	text := fmt.Sprintf("The bath is at pH %s and needs %s of %s to reach %.1f.", span(a.PH), need, a.Reagent, p.model.setup.PH)
	side := "below"
	if sign > 0 {
		side = "above"
	}
	if a.Weighed.MassGrams < middling*a.NeedGrams.Typical {
		text += fmt.Sprintf(" More than %s at once could carry it %s %.1f in one bath in %.0f; the next reading will narrow this down.", most, side, edge, 1/risk)
	} else {
		chance := fmt.Sprintf("%.1f %%", 100*a.Weighed.Overshoot)
		if a.Weighed.Overshoot < hardly {
			chance = "less than 0.1 %"
		}
		text += fmt.Sprintf(" %s is the middle of that, with a chance of %s to end %s %.1f.", most, chance, side, edge)
	}
	if x.open && x.reagent.Carbonated() {
		text += " The pH starts lower and comes there within days, as carbon dioxide leaves: stir and wait, do not add until it shows today."
	}
	return text
}

// flags names the readings that contradict the rest.
func (p *Posterior) flags() (out []string) {
	for n, s := range p.course.seen {
		if p.gross[n] > doubtful {
			out = append(out, fmt.Sprintf("event %d: this reading contradicts the others (%.0f %% that it is a mistake) and has been set aside: read again", s.event, 100*p.gross[n]))
		}
	}
	return out
}
