package rust

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// DipTime is how long a part has to lie in a bath. Ranges hold about nine cases in ten.
type DipTime struct {
	Hours                 tables.Range `json:"hours"`                   // to clean; zero if the bath stops before
	BoundHours            tables.Range `json:"diffusion_bound_hours"`   // that the liquid that clings to the part takes alone
	RustDissolvedFraction float64      `json:"rust_dissolved_fraction"` // that the bath takes up before it stops

	PH    float64 `json:"ph"`
	EndPH float64 `json:"end_ph"`
	// The main chelants that no metal holds, at the start and at the end.
	FreeChelantMolPerLitre    float64 `json:"free_chelant_mol_per_l"`
	EndFreeChelantMolPerLitre float64 `json:"end_free_chelant_mol_per_l"`
	// SteelIfLeftGrams is what the cleaned area loses between the early and the late end of Hours.
	SteelIfLeftGrams tables.Range `json:"steel_lost_if_left_g"`
	Text             string       `json:"text"`
}

// Time tells how long a dip takes.
func (p *Pace) Time(b *bath.Bath, d Dip) (DipTime, error) {
	c, err := p.follow(b, d, 1)
	if err != nil {
		return DipTime{}, err
	}
	x := DipTime{
		RustDissolvedFraction: c.reached, PH: c.start.PH, EndPH: c.end.PH,
		FreeChelantMolPerLitre: freeChelant(c.start), EndFreeChelantMolPerLitre: freeChelant(c.end),
	}
	if x.FreeChelantMolPerLitre <= 0 {
		x.Text = "Never: there is no free chelant in the bath."
		return x, nil
	}
	if c.stops() {
		way := "Hold the pH with acid, brush off what you can, or take more bath."
		if d.Held {
			way = "Brush off what you can, take more bath, or work at a lower pH."
		}
		x.Text = fmt.Sprintf("Never, as it is: the bath takes up about %.0f %% of this rust and stops at pH %.1f. %s", 100*c.reached, c.end.PH, way)
		return x, nil
	}
	x.Hours = hours(p.seconds(c), p.weights, p.among)
	var bounds []float64
	for i := range p.worlds {
		bounds = append(bounds, slices.Repeat([]float64{c.bound(&p.worlds[i])}, len(p.rates))...)
	}
	x.BoundHours = hours(bounds, p.weights, 0)
	after := b.Clone()
	err = after.Dissolve(d.Oxide, unit.Mass(d.Oxide.Grams(unit.Mole(c.iron*float64(d.Area)))/1000))
	lost, err2 := after.Attack(d.Area, unit.Time(3600*min(x.Hours.High-x.Hours.Low, longestLeft)))
	if err = cmp.Or(err, err2); err != nil {
		return DipTime{}, err
	}
	x.SteelIfLeftGrams = lost
	x.Text = fmt.Sprintf("About %s; nine in ten such parts take between %s and %s. Look after %s, and take each part out when it is clean.",
		RoughTime(x.Hours.Typical), RoughTime(x.Hours.Low), RoughTime(x.Hours.High), RoughTime(x.Hours.Low))
	return x, nil
}

// longestLeft is the longest time in h that an attack on steel is reckoned for.
const longestLeft = 1e5

// RoughTime writes a time in hours as loosely as it is known: "40 minutes",
// "8 hours", "3 days", "2 months".
func RoughTime(hours float64) string {
	const nearly = 1.1 // times the most of a unit that people still say it in
	for _, u := range []struct {
		name  string
		hours float64
		steps []float64 // that people say, judgement
	}{
		{"minute", 1. / 60, []float64{1, 2, 3, 5, 10, 15, 20, 30, 40, 50}},
		{"hour", 1, []float64{1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20}},
		{"day", 24, []float64{1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12}},
		{"week", 168, []float64{2, 3, 4, 6, 8}},
		{"month", 730, []float64{2, 3, 4, 6, 9, 12, 18, 24, 30}},
	} {
		n := hours / u.hours
		if !(n <= nearly*slices.Max(u.steps)) {
			continue
		}
		apart := func(step float64) float64 { return math.Abs(math.Log(n / step)) }
		best := slices.MinFunc(u.steps, func(a, b float64) int { return cmp.Compare(apart(a), apart(b)) })
		if best == 1 {
			return "1 " + u.name
		}
		return fmt.Sprintf("%g %ss", best, u.name)
	}
	return "years"
}
