package recipe

import (
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// Outlook is what a planned bath will do with fresh rust, taken as lepidocrocite.
type Outlook struct {
	Oxide string `json:"oxide"`
	// Alone is what the bath takes when nobody holds its pH, which then climbs to
	// EndPH; Held what it takes when acid holds the pH.
	Alone bath.Capacity `json:"takes_left_alone"`
	EndPH float64       `json:"end_ph"`
	Held  bath.Capacity `json:"takes_when_held"`
	// Light is how long a few parts with light fresh rust take in the bath as it
	// lies still and its pH is held: 30 g of iron per m² (0.03 mm) on 50 cm² for each litre.
	Light rust.DipTime `json:"light_rust"`
}

// Outlook mixes the recipe and tells what it takes and how long. Errors are those
// of [Recipe.Plan].
func (r Recipe) Outlook(t *tables.Tables) (*Outlook, error) {
	b, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	o, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		return nil, err
	}
	x := &Outlook{Oxide: o.Name}
	if x.Alone, x.EndPH, err = b.LeftAlone(o); err != nil {
		return nil, err
	}
	if x.Held, err = b.Held(o, r.PH); err != nil {
		return nil, err
	}
	light, layer, err := rust.Light(t)
	if err != nil {
		return nil, err
	}
	pace, err := rust.NewPace(t)
	if err != nil {
		return nil, err
	}
	x.Light, err = pace.Time(b, rust.Dip{Rust: light, Layer: layer, Area: unit.Area(0.005 * b.Litres()), Oxide: o, Held: true})
	return x, err
}
