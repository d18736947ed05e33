package care

import (
	"fmt"
	"slices"

	"example.com/chelation/tables"
)

// Advice is something to do with its reason.
type Advice struct {
	Stage  tables.Stage `json:"stage"`
	Do     string       `json:"do"`
	Why    string       `json:"why"`
	Source string       `json:"source"`
	Called bool         `json:"called_for,omitempty"` // by this bath or these parts; others hold for every bath
}

// What advice is called for from.
const (
	hot          = 45   // °C: it scalds
	sour         = 6.5  // pH: steel gives off hydrogen
	worthTelling = 0.05 // of the chelant, lost to hardness: judgement
)

// Practice returns how to work with a bath, before, during and after. A material that stays out
// is told first.
func (w Work) Practice(t *tables.Tables) ([]Advice, error) {
	calls := map[string]bool{"hot": w.TemperatureC >= hot, "sour": w.PH > 0 && w.PH < sour, "hard-water": w.HardnessFraction > worthTelling}
	parts, err := w.Parts(t)
	if err != nil {
		return nil, err
	}
	var out []Advice
	for _, p := range parts {
		m, err := t.Material(p.Material)
		if err != nil {
			return nil, err
		}
		for _, name := range append(m.Groups, m.ID) {
			calls[name] = true
		}
		if p.Admission == tables.StaysOut {
			out = append(out, Advice{tables.Before, "Keep out of this bath: " + p.Material + ".", p.Does + " " + p.Do, t.Cited(p.Sources...), true})
		}
	}
	for x := range tables.All[tables.Practice](t) {
		if len(x.When) == 0 || slices.ContainsFunc(x.When, func(s string) bool { return calls[s] }) {
			if slices.Contains(x.When, "hard-water") && w.HardnessFraction > 0 {
				x.Why = fmt.Sprintf("Hardness holds %.1f %% of the chelant. %s", 100*w.HardnessFraction, x.Why)
			}
			out = append(out, Advice{x.Stage, x.Do, x.Why, t.Cited(x.Sources...), len(x.When) > 0})
		}
	}
	return out, nil
}
