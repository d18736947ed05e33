package journal

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"example.com/chelation/chem"
)

// Kind is what happened.
type Kind string

// The kinds of events, with the fields of [Event] that each needs.
const (
	Mixed      Kind = "mixed"      // Litres of Water at TemperatureC, Grams of the chelant Reagent; the first event and no other
	Added      Kind = "added"      // Grams of Reagent
	Watered    Kind = "watered"    // Litres of Water, or of pure water if it is not named
	Evaporated Kind = "evaporated" // Litres of pure water
	Reading    Kind = "reading"    // PH, with Resolution of the strip or meter
	Dipped     Kind = "dipped"     // Rust in g of Oxide, or Area times RustPerArea; Steel is bare metal lost as well
	DragOut    Kind = "drag-out"   // Litres of bath that left on the parts or in a bucket
	Filtered   Kind = "filtered"   // what had settled was taken out
	Aired      Kind = "aired"      // stirred in air until all iron(II) had turned
	Warmed     Kind = "warmed"     // to TemperatureC
	Blended    Kind = "blended"    // Litres of another bath poured in, whose life so far is Bath
)

// Event is one line of a journal. Fields that its kind does not need stay
// empty, and are refused otherwise.
type Event struct {
	At   time.Time `json:"at"`
	Kind Kind      `json:"kind"`
	Note string    `json:"note,omitempty"`

	VolumeLitres         float64  `json:"volume_l,omitempty"`
	Water                string   `json:"water,omitempty"` // in the tables, or a name for the next three
	HardnessMgPerLitre   float64  `json:"hardness_mg_per_l_caco3,omitempty"`
	AlkalinityMgPerLitre float64  `json:"alkalinity_mg_per_l_caco3,omitempty"`
	WaterPH              float64  `json:"water_ph,omitempty"`
	TemperatureC         *float64 `json:"temperature_c,omitempty"`

	Reagent   string  `json:"reagent,omitempty"` // in the tables
	MassGrams float64 `json:"mass_g,omitempty"`

	PH         *float64 `json:"ph,omitempty"`
	Resolution float64  `json:"ph_resolution,omitempty"` // 1 for a strip of whole units

	Oxide          string  `json:"oxide,omitempty"` // in the tables
	RustGrams      float64 `json:"rust_g,omitempty"`
	Area           float64 `json:"area_m2,omitempty"`
	RustGramsPerM2 float64 `json:"rust_g_per_m2,omitempty"`
	SteelGrams     float64 `json:"steel_g,omitempty"`

	Bath []Event `json:"bath,omitempty"` // oldest first, from its mixing on
}

// RustMass returns the rust that went in, in g: as weighed, or area times rust
// per area.
func (e Event) RustMass() float64 {
	if e.RustGrams > 0 {
		return e.RustGrams
	}
	return e.Area * e.RustGramsPerM2
}

// refuse is an error about a field of the event.
func (e Event) refuse(field, value, want string, err error) error {
	return &chem.InputError{Field: string(e.Kind) + ": " + field, Value: value, Want: want, Err: err}
}

// field is one field of an event for checking.
type field struct {
	name      string
	value     float64
	present   bool
	low, high float64
}

// needs tells which fields each kind must have and which it may have.
var needs = map[Kind]struct{ must, may []string }{
	Mixed:      {[]string{"volume_l", "water", "temperature_c", "reagent", "mass_g"}, []string{"hardness_mg_per_l_caco3", "alkalinity_mg_per_l_caco3", "water_ph"}},
	Added:      {[]string{"reagent", "mass_g"}, nil},
	Watered:    {[]string{"volume_l"}, []string{"water", "hardness_mg_per_l_caco3", "alkalinity_mg_per_l_caco3", "water_ph"}},
	Evaporated: {[]string{"volume_l"}, nil},
	Reading:    {[]string{"ph", "ph_resolution"}, nil},
	Dipped:     {nil, []string{"oxide", "rust_g", "area_m2", "rust_g_per_m2", "steel_g"}},
	DragOut:    {[]string{"volume_l"}, nil},
	Filtered:   {},
	Aired:      {},
	Warmed:     {[]string{"temperature_c"}, nil},
	Blended:    {[]string{"volume_l", "bath"}, nil},
}

// check refuses fields that are missing, out of range or out of place.
func (e Event) check() error {
	need, ok := needs[e.Kind]
	if !ok {
		return e.refuse("kind", strconv.Quote(string(e.Kind)), "a kind of event that this package knows", nil)
	}
	if e.At.IsZero() {
		return e.refuse("at", "missing", "a time", nil)
	}
	deref := func(p *float64) float64 {
		if p == nil {
			return 0
		}
		return *p
	}
	fields := []field{
		{"volume_l", e.VolumeLitres, e.VolumeLitres != 0, 1e-6, 1e5},
		{"water", 0, e.Water != "", 0, 0},
		{"hardness_mg_per_l_caco3", e.HardnessMgPerLitre, e.HardnessMgPerLitre != 0, 0, 5000},
		{"alkalinity_mg_per_l_caco3", e.AlkalinityMgPerLitre, e.AlkalinityMgPerLitre != 0, 0, 5000},
		{"water_ph", e.WaterPH, e.WaterPH != 0, 4, 11},
		{"temperature_c", deref(e.TemperatureC), e.TemperatureC != nil, 0, 100},
		{"reagent", 0, e.Reagent != "", 0, 0},
		{"mass_g", e.MassGrams, e.MassGrams != 0, 1e-6, 1e8},
		{"ph", deref(e.PH), e.PH != nil, 0, 14},
		{"ph_resolution", e.Resolution, e.Resolution != 0, 0.001, 3},
		{"oxide", 0, e.Oxide != "", 0, 0},
		{"rust_g", e.RustGrams, e.RustGrams != 0, 1e-6, 1e8},
		{"area_m2", e.Area, e.Area != 0, 1e-6, 1e5},
		{"rust_g_per_m2", e.RustGramsPerM2, e.RustGramsPerM2 != 0, 1e-6, 1e5},
		{"steel_g", e.SteelGrams, e.SteelGrams != 0, 1e-6, 1e8},
		{"bath", 0, len(e.Bath) > 0, 0, 0},
	}
	contains := func(list []string, name string) bool {
		for _, s := range list {
			if s == name {
				return true
			}
		}
		return false
	}
	for _, f := range fields {
		must, may := contains(need.must, f.name), contains(need.may, f.name)
		number := f.low != 0 || f.high != 0
		value := strconv.FormatFloat(f.value, 'g', -1, 64)
		if !number {
			value = "given"
		}
		switch {
		case must && !f.present:
			return e.refuse(f.name, "missing", "it, for an event of this kind", nil)
		case f.present && !must && !may:
			return e.refuse(f.name, value, "nothing, for an event of this kind", nil)
		case f.present && number && !(f.value >= f.low && f.value <= f.high):
			return e.refuse(f.name, value, fmt.Sprintf("a number from %g to %g", f.low, f.high), nil)
		}
	}
	if e.Kind == Dipped {
		byMass, byArea := e.RustGrams > 0, e.Area > 0 && e.RustGramsPerM2 > 0
		switch {
		case byMass && (e.Area > 0 || e.RustGramsPerM2 > 0):
			return e.refuse("rust_g", strconv.FormatFloat(e.RustGrams, 'g', -1, 64), "either the rust by weight or area and rust per area", nil)
		case !byMass && !byArea && e.SteelGrams == 0:
			return e.refuse("rust_g", "missing", "rust by weight, or area and rust per area, or steel lost", nil)
		case !byArea && (e.Area > 0) != (e.RustGramsPerM2 > 0):
			return e.refuse("area_m2", strconv.FormatFloat(e.Area, 'g', -1, 64), "area and rust per area together", nil)
		case (byMass || byArea) && e.Oxide == "":
			return e.refuse("oxide", "missing", "the oxide that the rust counts as", nil)
		}
	}
	if custom := e.HardnessMgPerLitre != 0 || e.AlkalinityMgPerLitre != 0 || e.WaterPH != 0; custom {
		if e.Water == "" || e.AlkalinityMgPerLitre == 0 || e.WaterPH == 0 {
			return e.refuse("water", strconv.Quote(e.Water), "a name, an alkalinity and a pH along with a hardness", nil)
		}
	}
	if math.IsNaN(e.VolumeLitres) {
		return e.refuse("volume_l", "NaN", "a number", nil)
	}
	return nil
}
