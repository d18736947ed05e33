package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// plainEvents are an event of every kind that a life takes, but the first and what rewrites.
func plainEvents() []Event {
	after := start.Add(20 * time.Hour)
	return []Event{
		{Kind: Added, At: after, Reagent: "citric acid", MassGrams: 5}, {Kind: Watered, At: after, VolumeLitres: 1}, {Kind: Evaporated, At: after, VolumeLitres: 1},
		{Kind: Watered, At: after, VolumeLitres: 1, Water: "well", HardnessMgPerLitre: 100, AlkalinityMgPerLitre: 80, WaterPH: 7.5},
		{Kind: Reading, At: after, PH: number(8), ResolutionPH: 0.5}, {Kind: Dipped, At: after, Oxide: "goethite", RustGrams: 1, SteelGrams: 0.1, Hours: 3, PartGone: number(0.5)},
		{Kind: Dipped, At: after, Oxide: "goethite", AreaCM2: 100, RustGramsPerM2: 40}, {Kind: DragOut, At: after, VolumeLitres: 0.1}, {Kind: Filtered, At: after},
		{Kind: Noted, At: after, Note: "cloudy"}, {Kind: Weighed, At: after, VolumeLitres: 0.015, MassGrams: 12, Reagent: "citric acid"}, {Kind: Aired, At: after},
		{Kind: Warmed, At: after, TemperatureC: number(30)}, {Kind: Stood, At: after, Cover: bath.Lidded, SurfaceCM2: 1000, BareSteelCM2: 500},
	}
}

// field is a field of an event by its name in JSON.
func withField(t *testing.T, e Event, name string, value any) (out Event) {
	t.Helper()
	text, err := json.Marshal(e)
	require.NoError(t, err)
	var fields map[string]any
	require.NoError(t, json.Unmarshal(text, &fields))
	if fields[name] = value; value == nil {
		delete(fields, name)
	}
	text, err = json.Marshal(fields)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &out))
	return out
}

// The numbers of an event keep to what a tub in a shed can hold, be and see: the ends are
// taken, a thousandth beyond is refused by the name of the field.
func TestEdgesOfEvents(t *testing.T) {
	spans := map[string][2]float64{
		"volume_l": {1e-6, 1e5}, "mass_g": {1e-6, 1e8}, "temperature_c": {0, 100}, "hardness_mg_per_l_caco3": {0, 5000}, "alkalinity_mg_per_l_caco3": {0, 5000},
		"water_ph": {4, 11}, "ph": {0, 14}, "ph_resolution": {0.001, 3}, "rust_g": {1e-6, 1e8}, "area_cm2": {1e-2, 1e9}, "rust_g_per_m2": {1e-6, 1e5},
		"steel_g": {1e-6, 1e8}, "hours": {0.01, 1e5}, "part_gone": {0, 1}, "surface_cm2": {1, 1e7}, "bare_steel_cm2": {1e-2, 1e7},
	}
	met := map[string]bool{}
	for _, e := range append(plainEvents(), Event{Kind: Dipped, SteelGrams: 1, At: start, BareSteelCM2: 100, Hours: 2}) {
		text, err := json.Marshal(e)
		require.NoError(t, err)
		var fields map[string]any
		require.NoError(t, json.Unmarshal(text, &fields))
		for name, value := range fields {
			if _, number := value.(float64); !number {
				continue
			}
			span, known := spans[name]
			require.True(t, known, name)
			met[name] = true
			l, err := Replay(demo.Tables(t), life()...)
			require.NoError(t, err)
			refused := func(x float64) bool {
				err := l.clone().Apply(withField(t, e, name, x))
				return err != nil && strings.HasPrefix(err.Error(), string(e.Kind)+": "+name+" is ") && strings.Contains(err.Error(), " to ")
			}
			beyond := 1e-3 * (span[1] - span[0])
			require.False(t, span[0] > 0 && refused(span[0]), "%s: %s", e.Kind, name)
			require.False(t, refused(span[1]), "%s: %s", e.Kind, name)
			require.True(t, refused(span[1]+beyond), "%s: %s", e.Kind, name)
			if span[0] != 0 {
				require.True(t, refused(span[0]-1e-3*span[0]), "%s: %s", e.Kind, name)
			} else {
				require.True(t, refused(-beyond), "%s: %s", e.Kind, name)
			}
		}
	}
	require.Len(t, met, len(spans))
}

// Every kind is taken as it stands; without a field that it needs, or with one that is
// another kind's, it is refused by the name of that field.
func TestFieldsOfEveryKind(t *testing.T) {
	l, err := Replay(demo.Tables(t), life()...)
	require.NoError(t, err)
	foreign := map[string]any{"volume_l": 1, "mass_g": 1, "temperature_c": 20, "ph": 7, "ph_resolution": 1, "rust_g": 1, "area_cm2": 100, "cover": "lidded", "number": 1, "reagent": "citric acid", "measure": "2 tbsp"}
	may := map[Kind]string{
		Added: "reagent mass_g measure bag", Watered: "volume_l water hardness_mg_per_l_caco3 alkalinity_mg_per_l_caco3 water_ph", Evaporated: "volume_l", Reading: "ph ph_resolution",
		Dipped: "oxide rust_g area_cm2 rust_g_per_m2 steel_g hours part_gone rust_kind bare_steel_cm2", DragOut: "volume_l", Weighed: "volume_l mass_g reagent bag",
		Warmed: "temperature_c", Stood: "cover light surface_cm2 bare_steel_cm2",
	}
	must := map[Kind]string{
		Added: "reagent mass_g", Watered: "volume_l", Evaporated: "volume_l", Reading: "ph ph_resolution", DragOut: "volume_l", Noted: "note",
		Weighed: "volume_l mass_g reagent", Warmed: "temperature_c", Stood: "cover",
	}
	for _, e := range plainEvents() {
		require.NoError(t, l.clone().Apply(e), "%+v", e)
		for _, name := range strings.Fields(must[e.Kind]) {
			require.ErrorContains(t, l.clone().Apply(withField(t, e, name, nil)), string(e.Kind)+": "+name+" is missing")
		}
		for name, value := range foreign {
			if !slices.Contains(strings.Fields(may[e.Kind]), name) {
				require.ErrorContains(t, l.clone().Apply(withField(t, e, name, value)), string(e.Kind)+": "+name+" is given")
			}
		}
	}
	// a water of one's own is named, with alkalinity and pH; its hardness may be nothing
	well := plainEvents()[3]
	for _, lacking := range []string{"water", "alkalinity_mg_per_l_caco3", "water_ph"} {
		require.ErrorContains(t, l.clone().Apply(withField(t, well, lacking, nil)), "watered: water is ")
	}
	require.NoError(t, l.clone().Apply(withField(t, well, "hardness_mg_per_l_caco3", nil)))
	// rewriting wants the number of an event that there is, and one event in its place
	for _, bad := range []Event{
		{Kind: Struck, Number: 6, Note: "no"}, {Kind: Struck, Number: -1, Note: "no"}, {Kind: Struck, Number: 2}, {Kind: Struck, Note: "no"},
		{Kind: Amended, Number: 2, Note: "no"}, {Kind: Amended, Number: 2, Note: "no", As: []Event{{Kind: Struck, At: start, Number: 1, Note: "x"}}},
		{Kind: Amended, Number: 2, Note: "no", As: []Event{life()[1], life()[1]}}, {Kind: Amended, Number: 2, Note: "no", As: []Event{{Kind: Added, At: start}}},
	} {
		bad.At = start
		require.ErrorIs(t, l.clone().Apply(bad), chem.ErrInput, "%+v", bad)
	}
	require.NoError(t, l.clone().Apply(Event{Kind: Struck, At: start, Number: 5, Note: "misread"}))
}

// What is asked about: a powder from 0.4 kg and a liquid from 3 kg to a litre on, ten
// times that is refused whoever is sure; half as much again as the tub was filled with;
// a pH below 1 or above 13; more rust than the free chelant takes, one iron for each.
func TestWhereDoubtBegins(t *testing.T) {
	l, err := Replay(demo.Tables(t), life()[:2]...)
	require.NoError(t, err)
	litres := l.Bath().Litres()
	h, err := l.Bath().Holdings()
	require.NoError(t, err)
	goethite := 88.852 * h.Counted().Free() // g, of FeO(OH)
	at := start.Add(2 * time.Hour)
	held := 0.0 // g of powder that it holds already
	for _, p := range l.Tally().Reagents {
		held += p.MassGrams
	}
	for name, c := range map[string]struct {
		event Event
		field string
		limit float64
	}{
		"powder": {Event{Kind: Added, Reagent: "citric acid", MassGrams: 1}, "mass_g", 400 * litres},
		"liquid": {Event{Kind: Added, Reagent: "vinegar", MassGrams: 1}, "mass_g", 3000 * litres},
		"water":  {Event{Kind: Watered, VolumeLitres: 1}, "volume_l", 30 - litres},
		"rust":   {Event{Kind: Dipped, Oxide: "goethite", RustGrams: 1}, "rust_g", goethite},
		"steel":  {Event{Kind: Dipped, SteelGrams: 1}, "steel_g", 55.845 * h.Counted().Free()},
		"high":   {Event{Kind: Reading, PH: number(1), ResolutionPH: 1}, "ph", 13},
		"low":    {Event{Kind: Reading, PH: number(1), ResolutionPH: 1}, "ph", -1},
	} {
		c.event.At = at
		doubt := func(x float64) error { return l.doubt(withField(t, c.event, c.field, x)) }
		limit := math.Abs(c.limit)
		beyond := math.Copysign(1e-4, c.limit)
		room := limit
		if name == "powder" {
			room -= held
		}
		require.NoError(t, doubt(room*(1-beyond)), name)
		require.ErrorIs(t, doubt(room*(1+beyond)), ErrDoubtful, name)
		if c.field == "mass_g" {
			require.ErrorIs(t, doubt(9.999*limit), ErrDoubtful, name)
			err := doubt(10.001 * limit)
			require.ErrorIs(t, err, chem.ErrInput, name)
			require.NotErrorIs(t, err, ErrDoubtful, name)
		}
	}
	// a jug may say a hundredth more than the other bath held, which is then all of it
	other := life()
	full, err := Replay(demo.Tables(t), other...)
	require.NoError(t, err)
	there := full.Bath().Litres()
	pour := func(part float64) (float64, error) {
		next := l.clone()
		err := next.Apply(Event{Kind: Blended, At: at, VolumeLitres: part * there, Bath: other})
		return next.Bath().Litres() - l.Bath().Litres(), err
	}
	for part, want := range map[float64]float64{0.5: 0.5, 1: 1, 1.0099: 1} {
		got, err := pour(part)
		require.NoError(t, err)
		require.InEpsilon(t, want*there, got, 1e-9)
	}
	_, err = pour(1.0101)
	require.ErrorIs(t, err, chem.ErrInput)
}

// Ten times what so much water dissolves, to the gram, is still asked about: 0.4 kg to each of
// 20 litres are 8 kg, which are no question yet, and 80 kg may be sure.
func TestDoubtToTheGram(t *testing.T) {
	for grams, doubtful := range map[float64]bool{8000: false, 8000.001: true, 80e3: true} {
		e := life()[0]
		e.MassGrams = grams
		l, err := Replay(demo.Tables(t))
		require.NoError(t, err)
		err = l.doubt(e)
		require.Equal(t, doubtful, errors.Is(err, ErrDoubtful), "%g g: %v", grams, err)
		require.Equal(t, doubtful, err != nil, "%g g: %v", grams, err)
	}
}

// Rust is by weight or by area and rust per area, however little of each: half a square
// centimetre with half a gram to the square metre holds 0.5·10⁻⁴·0.5 g.
func TestLittleRust(t *testing.T) {
	l, err := Replay(demo.Tables(t), life()...)
	require.NoError(t, err)
	little := Event{At: start.Add(20 * time.Hour), Kind: Dipped, Oxide: "goethite", AreaCM2: 0.5, RustGramsPerM2: 0.5}
	for _, c := range []struct {
		name   string
		value  any
		refuse string
	}{
		{"note", "a screw", ""}, {"area_cm2", nil, "area and rust per area together"}, {"rust_g_per_m2", nil, "area and rust per area together"},
		{"rust_g", 0.5, "either the rust by weight"}, {"oxide", nil, "the oxide that the rust counts as"},
	} {
		next := l.clone()
		err := next.Apply(withField(t, little, c.name, c.value))
		if c.refuse != "" {
			require.ErrorContains(t, err, c.refuse, c.name)
			continue
		}
		require.NoError(t, err)
		require.InDelta(t, 0.5e-4*0.5, next.Tally().RustGrams-l.Tally().RustGrams, 1e-12)
	}
	for _, e := range []Event{{RustGrams: 0.5, Oxide: "goethite"}, {SteelGrams: 0.5}} {
		e.At, e.Kind = little.At, Dipped
		require.NoError(t, l.clone().Apply(e))
	}
	require.ErrorContains(t, l.clone().Apply(Event{At: little.At, Kind: Dipped, Oxide: "goethite"}), "rust_g is missing")
}

// A report counts what was told: the tally by addition, the settled by weight, and a
// reading that lies off by more than its resolution, above or below, is believed and said.
func TestReportByAddition(t *testing.T) {
	std, o := demo.Tables(t), demo.Oxide(t, "lepidocrocite")
	events := append(life()[:4], Event{Kind: Added, At: start.Add(18 * time.Hour), Reagent: "citric acid", MassGrams: 7}, Event{Kind: Watered, At: start.Add(19 * time.Hour), VolumeLitres: 0.2},
		Event{Kind: Evaporated, At: start.Add(20 * time.Hour), VolumeLitres: 0.5}, Event{Kind: DragOut, At: start.Add(21 * time.Hour), VolumeLitres: 0.1},
		Event{Kind: Dipped, At: start.Add(22 * time.Hour), Oxide: "goethite", AreaCM2: 500, RustGramsPerM2: 60})
	l, err := Replay(std, events...)
	require.NoError(t, err)
	r, err := l.Report(o, 7)
	require.NoError(t, err)
	y := r.Tally
	require.Equal(t, 9, y.Events)
	for name, pair := range map[string][2]float64{
		"rust": {24 + 0.05*60, y.RustGrams}, "steel": {0.5, y.SteelGrams},
		"salt": {500, y.Reagents[0].MassGrams}, "acid": {90, y.Reagents[1].MassGrams}, "volume": {l.Bath().Litres(), r.VolumeLitres},
	} {
		require.InDelta(t, pair[0], pair[1], 1e-9, name)
	}
	require.Len(t, y.Reagents, 2)
	require.Empty(t, r.Notes)
	require.Nil(t, r.ReadPH)
	st, err := l.Bath().State()
	require.NoError(t, err)
	require.InDelta(t, st.PH, r.PH, 1e-12)
	for off, word := range map[float64]string{0.79: "", -0.79: "", 0.9: "0.9 above", -0.9: "0.9 below"} {
		next := l.clone()
		require.NoError(t, next.Apply(Event{Kind: Reading, At: start.Add(23 * time.Hour), PH: number(r.PH + off), ResolutionPH: 0.8}))
		told, err := next.Report(o, 7)
		require.NoError(t, err)
		require.InDelta(t, r.PH+off, *told.ReadPH, 1e-12)
		require.InDelta(t, r.PH, told.PH, 1e-12)
		if word == "" {
			require.Empty(t, told.Notes)
			continue
		}
		require.Len(t, told.Notes, 1)
		require.Contains(t, told.Notes[0], word+" what the events lead to")
		require.Contains(t, told.Notes[0], map[bool]string{true: "more rust dissolved", false: "more acid went in"}[off > 0])
	}
	// beyond what strips and meters tell, a reading is not believed
	next := l.clone()
	require.NoError(t, next.Apply(Event{Kind: Reading, At: start.Add(23 * time.Hour), PH: number(13.5), ResolutionPH: 1}))
	told, err := next.Report(o, 7)
	require.NoError(t, err)
	require.Contains(t, told.Notes[0], "goes by the events")
	require.Equal(t, r.Capacities, told.Capacities)
	// what settles is told: two moles of lye make ferric hydroxide of what iron there is
	alkaline := l.clone()
	require.NoError(t, alkaline.Apply(Event{Kind: Added, At: start.Add(23 * time.Hour), Reagent: "lye", MassGrams: 900}))
	told, err = alkaline.Report(o, 7)
	require.NoError(t, err)
	st, err = alkaline.Bath().State()
	require.NoError(t, err)
	settled := 0
	for _, s := range st.Solids {
		if s.Moles > 0 {
			settled++
			require.Contains(t, strings.Join(told.Notes, " "), s.Name+" has settled")
		}
	}
	require.Positive(t, settled)
}

// Clocks: an event dated before the one above it is told with how long before, one more
// than two years after it with how long after; two years and less is a pause.
func TestClocksAreTold(t *testing.T) {
	std := demo.Tables(t)
	notes := func(later time.Duration) []string {
		l, err := Replay(std, life()[0], Event{Kind: Noted, At: start.Add(later), Note: "looked at it"})
		require.NoError(t, err)
		return l.doubts()
	}
	const year = 365 * 24 * time.Hour
	require.Empty(t, notes(time.Minute))
	require.Empty(t, notes(2*year))
	require.Contains(t, notes(2*year + time.Hour)[0], "2 years after the one above it")
	require.Contains(t, notes(-3 * time.Hour)[0], "3 hours before the one above it")
	require.Contains(t, notes(-5 * year)[0], "5 years before the one above it")
	require.Contains(t, notes(-time.Hour)[0], fmt.Sprintf("Event 2 is dated %s", start.Add(-time.Hour).Format(dateTime)))
	l, err := Replay(std, append(life(), Event{Kind: Struck, At: start.Add(20 * time.Hour), Number: 3, Note: "never"})...)
	require.NoError(t, err)
	require.Empty(t, l.doubts())
}

// A reading is believed until something is added or taken up; a note and a weighed spoon
// are nothing of that.
func TestHowLongAReadingIsBelieved(t *testing.T) {
	read := Event{Kind: Reading, At: start.Add(19 * time.Hour), PH: number(8.1), ResolutionPH: 0.1}
	for _, e := range plainEvents() {
		l, err := Replay(demo.Tables(t), append(life()[:4], read, e)...)
		require.NoError(t, err)
		r, err := l.Report(demo.Oxide(t, "lepidocrocite"), 7)
		require.NoError(t, err)
		require.Equal(t, e.Kind == Reading || e.Kind == Noted || e.Kind == Weighed, r.ReadPH != nil, e.Kind)
	}
	// a hardness beside a water of the tables is half a water of one's own
	l, err := Replay(demo.Tables(t), life()...)
	require.NoError(t, err)
	require.ErrorContains(t, l.Apply(Event{Kind: Watered, At: start.Add(20 * time.Hour), VolumeLitres: 1, Water: "hard tap water", HardnessMgPerLitre: 100}), "watered: water is ")
}

// One event gone from the end is told as much as three, and a file that is mended keeps
// what follows an event that is about a lost one.
func TestOneEventLost(t *testing.T) {
	for lost := 1; lost <= 3; lost++ {
		path := filepath.Join(t.TempDir(), "tub.jsonl")
		write(t, path, life())
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		lines := strings.SplitAfter(string(text), "\n")
		require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines[:len(life())-lost], "")), 0o600))
		_, err = Open(demo.Tables(t), path)
		require.ErrorIs(t, err, ErrDamage)
		require.ErrorContains(t, err, fmt.Sprintf("%d more events that were confirmed", lost))
	}
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	events := append(life(), Event{Kind: Struck, At: start.Add(20 * time.Hour), Number: 4, Note: "nothing was lost"},
		Event{Kind: Noted, At: start.Add(21 * time.Hour), Note: "yellow by now"}, Event{Kind: Evaporated, At: start.Add(22 * time.Hour), VolumeLitres: 0.5})
	write(t, path, events)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(text), `"volume_l":0.3`, `"volume_l":0.4`, 1)), 0o600))
	mended := filepath.Join(t.TempDir(), "mended.jsonl")
	told, err := Repair(demo.Tables(t), path, mended)
	require.NoError(t, err)
	require.NotEmpty(t, told)
	j, err := Open(demo.Tables(t), mended)
	require.NoError(t, err)
	var kinds []Kind
	for _, e := range j.Events() {
		kinds = append(kinds, e.Kind)
	}
	require.Equal(t, []Kind{Mixed, Added, Dipped, Reading, Noted, Evaporated}, kinds, "but the drag-out and what struck it out")
}

// A lesson is about the salts of the told chelant in the told form, likely ones first, and
// about each other reagent once; what it learned lies within its range.
func TestLessonsHangTogether(t *testing.T) {
	s := newShop(t, 5, "tetrasodium EDTA", "tetrasodium EDTA")
	one := s.bath(t, s.dose(t, s.told, s.acid, s.tap))
	more := append(slices.Clone(one.events[:2]), Event{Kind: Added, At: one.events[1].At, Reagent: s.told.ID, MassGrams: 20, Bag: "blue"},
		Event{Kind: Added, At: one.events[1].At, Reagent: s.acid.ID, MassGrams: 1})
	two, err := Replay(s.std, append(more, one.events[2:]...)...)
	require.NoError(t, err)
	l, err := Learn("blue", one, two)
	require.NoError(t, err)
	sum, last, n := 0.0, 1.0, 0
	for _, c := range l.Bag {
		require.Equal(t, s.told.Form, c.Salt.Form)
		require.True(t, s.told.Chelant.Equal(c.Salt.Chelant), c.Salt.Name)
		require.LessOrEqual(t, c.Weight, last)
		last = c.Weight
		sum += c.Weight
		within(t, c.Salt.Assay.Low, c.Salt.Assay.Typical, c.Salt.Assay.High)
		if told, err := s.std.Reagent(c.Salt.ID); err == nil && told.ExcessBase.High > told.ExcessBase.Low {
			within(t, c.Salt.ExcessBase.Low, c.Salt.ExcessBase.Typical, c.Salt.ExcessBase.High)
		}
	}
	require.InDelta(t, 1, sum, 1e-9)
	for r := range tables.All[tables.Reagent](s.std) {
		if r.Form == s.told.Form && r.Chelant.Equal(s.told.Chelant) {
			n++
		}
	}
	require.LessOrEqual(t, len(l.Bag), n)
	require.Len(t, l.Reagents, 1, "the acid, once, and not the salt itself")
	require.Equal(t, s.acid.ID, l.Reagents[0].ID)
	within(t, l.Reagents[0].Assay.Low, l.Reagents[0].Assay.Typical, l.Reagents[0].Assay.High)
	within(t, l.WaterFactor.Low, l.WaterFactor.Typical, l.WaterFactor.High)
	require.Equal(t, 2, l.Baths)
	// a chelant that is sold as one salt alone teaches too
	nta := []Event{{Kind: Mixed, At: start, VolumeLitres: 10, Water: "moderately hard tap water", TemperatureC: number(20), Reagent: "trisodium NTA", MassGrams: 200, Bag: "nta"},
		{Kind: Reading, At: start.Add(time.Hour), PH: number(11), ResolutionPH: 1}}
	alone, err := Replay(s.std, nta...)
	require.NoError(t, err)
	l, err = Learn("nta", alone)
	require.NoError(t, err)
	require.Len(t, l.Bag, 1)
	require.InDelta(t, 1, l.Bag[0].Weight, 1e-9)
}

func within(t *testing.T, low, typical, high float64) {
	t.Helper()
	require.True(t, low <= typical && typical <= high && low < high, "%g, %g, %g", low, typical, high)
}
