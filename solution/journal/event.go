package journal

import (
	"cmp"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
)

// Kind is what happened.
type Kind string

// The kinds of events, with the fields of [Event] that each needs.
const (
	Mixed      Kind = "mixed"      // VolumeLitres of Water at TemperatureC, MassGrams of the chelant Reagent; the first event and no other
	Added      Kind = "added"      // MassGrams of Reagent
	Watered    Kind = "watered"    // VolumeLitres of Water, or of pure water if it is not named
	Evaporated Kind = "evaporated" // VolumeLitres of pure water
	Reading    Kind = "reading"    // PH, with ResolutionPH of the strip or meter
	Dipped     Kind = "dipped"     // RustGrams of Oxide, or AreaCM2 times RustGramsPerM2; SteelGrams is bare metal lost as well, of BareSteelCM2 in Hours
	DragOut    Kind = "drag-out"   // VolumeLitres of bath that left on the parts or in a bucket
	Filtered   Kind = "filtered"   // what had settled was taken out
	Aired      Kind = "aired"      // stirred in air until all iron(II) had turned
	Warmed     Kind = "warmed"     // to TemperatureC
	Stood      Kind = "stood"      // since the event before, under Cover; BareSteelCM2 of clean steel was in it
	Noted      Kind = "noted"      // nothing but a Note
	Weighed    Kind = "weighed"    // level spoons of VolumeLitres of Reagent from the Bag weigh MassGrams
	Struck     Kind = "struck"     // the event of that Number never happened; Note says why
	Amended    Kind = "amended"    // the event of that Number was As; Note says why
	Blended    Kind = "blended"    // VolumeLitres of another bath poured in, whose life so far is Bath
)

// Event is one line of a journal; a field that its kind does not need is refused.
type Event struct {
	At   time.Time `json:"at"`
	Kind Kind      `json:"kind"`
	Note string    `json:"note,omitempty"`
	Sure bool      `json:"sure,omitempty"` // however hard it is to believe, see [ErrDoubtful]

	VolumeLitres         float64  `json:"volume_l,omitempty"`
	Water                string   `json:"water,omitempty"` // in the tables, or a name for the next three
	HardnessMgPerLitre   float64  `json:"hardness_mg_per_l_caco3,omitempty"`
	AlkalinityMgPerLitre float64  `json:"alkalinity_mg_per_l_caco3,omitempty"`
	WaterPH              float64  `json:"water_ph,omitempty"`
	TemperatureC         *float64 `json:"temperature_c,omitempty"`

	Reagent   string  `json:"reagent,omitempty"` // in the tables
	MassGrams float64 `json:"mass_g,omitempty"`
	Measure   string  `json:"measure,omitempty"` // with which the mass was measured out, such as "2 tbsp"
	Bag       string  `json:"bag,omitempty"`     // that it came from, by the name that the shop gives it

	PH           *float64 `json:"ph,omitempty"`
	ResolutionPH float64  `json:"ph_resolution,omitempty"` // 1 for a strip of whole units

	Oxide          string  `json:"oxide,omitempty"` // in the tables
	RustGrams      float64 `json:"rust_g,omitempty"`
	AreaCM2        float64 `json:"area_cm2,omitempty"`
	RustGramsPerM2 float64 `json:"rust_g_per_m2,omitempty"`
	SteelGrams     float64 `json:"steel_g,omitempty"`

	Hours    float64  `json:"hours,omitempty"`     // that the part lay in the bath
	PartGone *float64 `json:"part_gone,omitempty"` // of its rust, 0 to 1; all, where it is not said
	RustKind string   `json:"rust_kind,omitempty"` // in the tables; fresh orange rust, where it is not said

	Cover        bath.Cover `json:"cover,omitempty"` // with Light and surface as bath.Place
	Light        bath.Light `json:"light,omitempty"`
	SurfaceCM2   float64    `json:"surface_cm2,omitempty"`
	BareSteelCM2 float64    `json:"bare_steel_cm2,omitempty"`

	Bath []Event `json:"bath,omitempty"` // oldest first, from its mixing on

	Number int     `json:"number,omitempty"` // of an earlier event, from 1
	As     []Event `json:"as,omitempty"`     // the one that stands for it
}

// clone copies what the event points to, too.
func (e Event) clone() Event {
	for _, p := range []**float64{&e.TemperatureC, &e.PH, &e.PartGone} {
		if *p != nil {
			*p = new(**p)
		}
	}
	for _, list := range []*[]Event{&e.Bath, &e.As} {
		*list = slices.Clone(*list)
		for i, x := range *list {
			(*list)[i] = x.clone()
		}
	}
	return e
}

// Rust returns the rust that went in: as weighed, or area times rust per area.
func (e Event) Rust() unit.Mass {
	squareMetres := unit.Area(e.AreaCM2) * measure.SquareCentimetre / measure.SquareMetre
	return unit.Mass(cmp.Or(e.RustGrams, e.RustGramsPerM2*float64(squareMetres))) * measure.Gram
}

// refuse is an error about a field of the event.
func (e Event) refuse(field, value, want string) error {
	return &chem.InputError{Field: string(e.Kind) + ": " + field, Value: value, Want: want}
}

// needs tells which fields each kind must have, and which it may have.
var needs = map[Kind][2]string{
	Mixed:      {"volume_l water temperature_c reagent mass_g", testedWater + " measure bag"},
	Added:      {"reagent mass_g", "measure bag"},
	Watered:    {"volume_l", "water " + testedWater},
	Evaporated: {"volume_l"},
	Reading:    {"ph ph_resolution"},
	Dipped:     {"", "oxide rust_g area_cm2 rust_g_per_m2 steel_g hours part_gone rust_kind bare_steel_cm2"},
	DragOut:    {"volume_l"},
	Filtered:   {},
	Noted:      {"note"},
	Weighed:    {"volume_l mass_g reagent", "bag"},
	Aired:      {},
	Warmed:     {"temperature_c"},
	Stood:      {"cover", "light surface_cm2 bare_steel_cm2"},
	Blended:    {"volume_l bath"},
	Struck:     {"number note"},
	Amended:    {"number as note"},
}

const testedWater = "hardness_mg_per_l_caco3 alkalinity_mg_per_l_caco3 water_ph"

// spans are what a tub in a shed can hold, be and see, and no typing error: judgement.
var spans = map[string][2]float64{
	"volume_l": {1e-6, 1e5}, "mass_g": {1e-6, 1e8}, "temperature_c": {0, 100},
	"hardness_mg_per_l_caco3": {0, 5000}, "alkalinity_mg_per_l_caco3": {0, 5000}, "water_ph": {4, 11},
	"ph": {0, 14}, "ph_resolution": {0.001, 3},
	"rust_g": {1e-6, 1e8}, "area_cm2": {1e-2, 1e9}, "rust_g_per_m2": {1e-6, 1e5}, "steel_g": {1e-6, 1e8},
	"hours": {0.01, 1e5}, "part_gone": {0, 1}, "surface_cm2": {1, 1e7}, "bare_steel_cm2": {1e-2, 1e7},
}

// check refuses fields that are missing, out of range or out of place.
func (e Event) check() error {
	need, ok := needs[e.Kind]
	if !ok {
		return &chem.InputError{Field: "kind", Value: chem.Echo(string(e.Kind)), Want: "one of " + strings.ReplaceAll(strings.Trim(fmt.Sprint(slices.Sorted(maps.Keys(needs))), "[]"), " ", ", ")}
	}
	if e.At.IsZero() {
		return e.refuse("at", "missing", "a time")
	}
	must, may := strings.Fields(need[0]), strings.Fields(need[1]+" at kind note sure")
	v := reflect.ValueOf(e)
	for i := range v.NumField() {
		name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		value, given := reflect.Indirect(v.Field(i)), !v.Field(i).IsZero()
		switch must := slices.Contains(must, name); {
		case must && !given:
			return e.refuse(name, "missing", "it, for an event of this kind")
		case given && !must && !slices.Contains(may, name):
			return e.refuse(name, "given", "nothing, for an event of this kind")
		case given && value.CanFloat():
			if err := chem.Within(string(e.Kind)+": "+name, value.Float(), spans[name][0], spans[name][1], ""); err != nil {
				return err
			}
		}
	}
	tested := e.HardnessMgPerLitre != 0 || e.AlkalinityMgPerLitre != 0 || e.WaterPH != 0
	switch area, rust := e.AreaCM2 > 0, e.Rust() > 0; {
	case tested && (e.Water == "" || e.AlkalinityMgPerLitre == 0 || e.WaterPH == 0):
		return e.refuse("water", chem.Echo(e.Water), "a name, an alkalinity and a pH along with a hardness")
	case e.Number < 0:
		return e.refuse("number", strconv.Itoa(e.Number), "that of an earlier event, from 1")
	case area != (e.RustGramsPerM2 > 0):
		return e.refuse("area_cm2", fmt.Sprintf("%.4g", e.AreaCM2), "area and rust per area together")
	case area && e.RustGrams > 0:
		return e.refuse("rust_g", fmt.Sprintf("%.4g", e.RustGrams), "either the rust by weight or area and rust per area")
	case e.Kind == Dipped && !rust && e.SteelGrams == 0:
		return e.refuse("rust_g", "missing", "rust by weight, or area and rust per area, or steel lost")
	case rust && e.Oxide == "":
		return e.refuse("oxide", "missing", "the oxide that the rust counts as")
	case e.Kind == Amended && (len(e.As) != 1 || e.As[0].Kind == Struck || e.As[0].Kind == Amended):
		return e.refuse("as", fmt.Sprintf("%d events", len(e.As)), "one that says what happened")
	case e.Kind == Amended:
		return e.As[0].check()
	}
	return nil
}
