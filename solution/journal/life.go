package journal

import (
	"fmt"
	"strconv"
	"time"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Life is a bath together with what happened to it. The zero value is of no
// use; see [NewLife].
type Life struct {
	tables *tables.Tables
	bath   *bath.Bath // nil before it is mixed
	tally  Tally
	last   time.Time
	// reading is the last pH that was read; it counts until something is added
	// or taken up.
	reading *Event
}

// Tally sums a life up.
type Tally struct {
	Events           int       `json:"events"`
	Since            time.Time `json:"since"`
	Until            time.Time `json:"until"`
	RustGrams        float64   `json:"rust_g"`
	SteelGrams       float64   `json:"steel_g"`
	WaterLitres      float64   `json:"water_l"` // filled in since the mixing
	EvaporatedLitres float64   `json:"evaporated_l"`
	DragOutLitres    float64   `json:"drag_out_l"`
	BlendedLitres    float64   `json:"blended_in_l"` // of other baths
	Reagents         []Used    `json:"reagents"`
}

// Used is how much of a reagent went in.
type Used struct {
	Reagent   string  `json:"reagent"`
	MassGrams float64 `json:"mass_g"`
}

// NewLife returns a life before its first event.
func NewLife(t *tables.Tables) *Life { return &Life{tables: t} }

// Replay applies events one after the other.
func Replay(t *tables.Tables, events ...Event) (*Life, error) {
	l := NewLife(t)
	for i, e := range events {
		if err := l.Apply(e); err != nil {
			return nil, fmt.Errorf("event %d: %w", i+1, err)
		}
	}
	return l, nil
}

// Bath returns a copy of the bath, nil before it is mixed.
func (l *Life) Bath() *bath.Bath {
	if l.bath == nil {
		return nil
	}
	return l.bath.Clone()
}

// Tally returns what the life amounts to.
func (l *Life) Tally() Tally {
	t := l.tally
	t.Reagents = append([]Used(nil), t.Reagents...)
	return t
}

func (l *Life) clone() *Life {
	c := *l
	c.bath = l.Bath()
	c.tally = l.Tally()
	return &c
}

// Apply lets one more event happen. An event that is refused leaves the life
// as it was; the error wraps [chem.ErrInput].
func (l *Life) Apply(e Event) error {
	if err := e.check(); err != nil {
		return err
	}
	if e.At.Before(l.last) {
		return e.refuse("at", e.At.Format(time.RFC3339), "a time not before "+l.last.Format(time.RFC3339), nil)
	}
	if (e.Kind == Mixed) != (l.bath == nil) {
		return e.refuse("kind", strconv.Quote(string(e.Kind)), "mixed as the first event and no other", nil)
	}
	next := l.clone()
	if err := next.apply(e); err != nil {
		return e.refuse("event", "refused", "one that the bath allows", err)
	}
	next.last, next.tally.Until = e.At, e.At
	next.tally.Events++
	*l = *next
	return nil
}

func (l *Life) apply(e Event) error {
	volume := unit.Volume(e.VolumeLitres / 1000)
	if e.Kind != Reading {
		l.reading = nil
	}
	switch e.Kind {
	case Mixed:
		return l.mix(e)
	case Added:
		r, err := l.tables.Reagent(e.Reagent)
		if err != nil {
			return err
		}
		l.use(r, e.MassGrams)
		return l.bath.Add(r, unit.Mass(e.MassGrams/1000))
	case Watered:
		l.tally.WaterLitres += e.VolumeLitres
		w, err := l.water(e)
		if err != nil {
			return err
		}
		return l.bath.AddWater(w, volume)
	case Evaporated:
		l.tally.EvaporatedLitres += e.VolumeLitres
		return l.bath.Evaporate(volume)
	case Reading:
		l.reading = &e
		return nil
	case Dipped:
		return l.dip(e)
	case DragOut:
		l.tally.DragOutLitres += e.VolumeLitres
		return l.bath.Drain(volume)
	case Filtered:
		return l.bath.Filter()
	case Aired:
		return l.bath.Air()
	case Blended:
		return l.blend(e)
	default: // Warmed, the only other kind that check lets pass
		return l.bath.SetTemperature(chem.Celsius(*e.TemperatureC))
	}
}

func (l *Life) mix(e Event) error {
	r, err := l.tables.Reagent(e.Reagent)
	if err != nil {
		return err
	}
	w, err := l.water(e)
	if err != nil {
		return err
	}
	v, err := solution.New(l.tables, chem.Celsius(*e.TemperatureC))
	if err != nil {
		return err
	}
	if err := v.AddWater(w, unit.Volume(e.VolumeLitres/1000)); err != nil {
		return err
	}
	if err := v.Add(r, unit.Mass(e.MassGrams/1000)); err != nil {
		return err
	}
	l.use(r, e.MassGrams)
	l.tally.Since = e.At
	l.bath, err = bath.New(l.tables, v)
	return err
}

func (l *Life) dip(e Event) error {
	if rust := e.RustMass(); rust > 0 {
		o, err := bath.FindOxide(l.tables, e.Oxide)
		if err != nil {
			return err
		}
		l.tally.RustGrams += rust
		if err := l.bath.Dissolve(o, unit.Mass(rust/1000)); err != nil {
			return err
		}
	}
	l.tally.SteelGrams += e.SteelGrams
	if e.SteelGrams == 0 {
		return nil
	}
	return l.bath.Corrode(unit.Mass(e.SteelGrams / 1000))
}

// blend pours some of another bath in, or all of it; what it held (rust, steel,
// reagents) is not counted in the tally of this one.
func (l *Life) blend(e Event) error {
	other, err := Replay(l.tables, e.Bath...)
	if err != nil {
		return err
	}
	if e.At.Before(other.last) {
		return e.refuse("bath", "up to "+other.last.Format(time.RFC3339), "a life that ends no later than the blending", nil)
	}
	poured := other.Bath()
	switch rest := poured.Litres() - e.VolumeLitres; {
	case rest < -0.01*poured.Litres(): // a measuring jug
		return e.refuse("volume_l", strconv.FormatFloat(e.VolumeLitres, 'g', 4, 64), fmt.Sprintf("no more than the %.4g L of the other bath", poured.Litres()), nil)
	case rest > 0:
		if err := poured.Drain(unit.Volume(rest / 1000)); err != nil {
			return err
		}
	}
	l.tally.BlendedLitres += poured.Litres()
	return l.bath.Blend(poured)
}

// water returns the water of an event: of the tables, or by its figures.
func (l *Life) water(e Event) (tables.Water, error) {
	if e.WaterPH == 0 {
		if e.Water == "" {
			return tables.Water{}, nil
		}
		return l.tables.Water(e.Water)
	}
	u, err := l.tables.HardnessUnit("mg/L as CaCO3")
	if err != nil {
		return tables.Water{}, err
	}
	const calciumShare = 0.7 // usual in tap water: common practice, no source
	return tables.NewWater(e.Water, u.Hardness(e.HardnessMgPerLitre), calciumShare, u.Alkalinity(e.AlkalinityMgPerLitre), e.WaterPH)
}

func (l *Life) use(r tables.Reagent, grams float64) {
	for i := range l.tally.Reagents {
		if l.tally.Reagents[i].Reagent == r.ID {
			l.tally.Reagents[i].MassGrams += grams
			return
		}
	}
	l.tally.Reagents = append(l.tally.Reagents, Used{r.ID, grams})
}
