package journal

import (
	"encoding/json"
	"flag"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// shop is an invented one: its bag, its acid and its tap are not quite what the tables
// have for typical, and nobody tells.
type shop struct {
	std        *tables.Tables
	draw       *rand.Rand
	told, acid tables.Reagent
	tap        tables.Water
	is         known
}

func newShop(t *testing.T, seed uint64, label, holds string) *shop {
	s := &shop{std: demo.Tables(t), draw: rand.New(rand.NewPCG(seed, 16)), told: demo.Reagent(t, label), acid: demo.Reagent(t, "citric acid")}
	var err error
	s.tap, err = s.std.Water("moderately hard tap water")
	require.NoError(t, err)
	bag, acid := demo.Reagent(t, holds), s.acid
	bag.Assay.Typical = min(1, bag.Assay.Typical*math.Exp(bagSpread*s.draw.NormFloat64()))
	bag.ExcessBase.Typical = spread.At(bag.ExcessBase, s.draw.NormFloat64())
	acid.Assay.Typical = min(1, acid.Assay.Typical*math.Exp(acidSpread*s.draw.NormFloat64()))
	s.is = known{map[string]tables.Reagent{s.told.ID: bag, acid.ID: acid}, tables.Range{Typical: math.Exp(waterSpread * s.draw.NormFloat64())}}
	return s
}

// dose is the mass in g of acid that takes 500 g of the bag in 20 L to pH 7.
func (s *shop) dose(t *testing.T, bag, acid tables.Reagent, tap tables.Water) float64 {
	v, err := solution.New(s.std, chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddWater(tap, 20*measure.Litre))
	require.NoError(t, v.Add(bag, 500*measure.Gram))
	d, err := v.Dose(acid, solution.PH(7))
	require.NoError(t, err)
	return d.MassGrams
}

// bath is the journal of a bath that gets half of a dose, and then the rest, read with a
// half-step strip (error 0.3) after each and before.
func (s *shop) bath(t *testing.T, dose float64) *Life {
	truth := &Life{tables: s.std, known: s.is}
	told := []Event{{Kind: Mixed, VolumeLitres: 20, Water: s.tap.ID, TemperatureC: number(20), Reagent: s.told.ID, MassGrams: 500, Bag: "blue"}, {Kind: Reading},
		{Kind: Added, Reagent: s.acid.ID, MassGrams: dose / 2}, {Kind: Reading}, {Kind: Added, Reagent: s.acid.ID, MassGrams: dose / 2}, {Kind: Reading},
		{Kind: Dipped, Oxide: "goethite", RustGrams: 20}, {Kind: Reading, PH: number(8), ResolutionPH: 0.5}}
	for i := range told {
		e := &told[i]
		e.At = start.Add(time.Duration(i) * time.Hour)
		if e.Kind == Reading {
			st, err := truth.Bath().State()
			require.NoError(t, err)
			e.PH, e.ResolutionPH = number(math.Round(2*(st.PH+0.3*s.draw.NormFloat64()))/2), 0.5
			continue
		}
		poured := *e
		poured.MassGrams *= 1 + 0.01*s.draw.NormFloat64()
		require.NoError(t, truth.Apply(poured))
	}
	l, err := Replay(s.std, told...)
	require.NoError(t, err)
	return l
}

// lesson is what the shop knows after so many baths, with the dose that the tables gave.
func (s *shop) lesson(t *testing.T, baths int) *Lesson {
	var lives []*Life
	for range baths {
		lives = append(lives, s.bath(t, s.dose(t, s.told, s.acid, s.tap)))
	}
	l, err := Learn("blue", lives...)
	require.NoError(t, err)
	return l
}

var shops = flag.Int("shops", 4, "that are simulated with ten baths each")

// Ten baths of a shop: the dose for the tenth, by what the nine before it taught, is nearer to
// the right one than that for the first, by the tables.
func TestTheTenthBathIsNearer(t *testing.T) {
	var first, tenth []float64
	for seed := range uint64(*shops) {
		s := newShop(t, seed, "tetrasodium EDTA", "tetrasodium EDTA")
		tap := s.tap.Times(s.is.water.Typical)
		right := s.dose(t, s.is.reagents[s.told.ID], s.is.reagents[s.acid.ID], tap)
		l := s.lesson(t, 9)
		dose := s.dose(t, l.Bag[0].Salt, l.Reagents[0], s.tap.Times(l.WaterFactor.Typical))
		require.Equal(t, 9, l.Baths)
		require.Equal(t, 27, l.Readings, "those after the first part tell nothing of the bag")
		first = append(first, math.Abs(s.dose(t, s.told, s.acid, s.tap)/right-1))
		tenth = append(tenth, math.Abs(dose/right-1))
		t.Logf("shop %d: off by %.1f %%, then by %.1f %%; bag %s %.2f", seed, 100*first[seed], 100*tenth[seed], l.Bag[0].Salt.Name, l.Bag[0].Weight)
		text, err := json.Marshal(l)
		require.NoError(t, err)
		var again Lesson
		require.NoError(t, json.Unmarshal(text, &again))
	}
	rms := func(x []float64) float64 {
		sum := 0.0
		for _, e := range x {
			sum += e * e / float64(len(x))
		}
		return math.Sqrt(sum)
	}
	t.Logf("root mean square: %.1f %%, then %.1f %%", 100*rms(first), 100*rms(tenth))
	require.Less(t, rms(tenth), rms(first)/2)
}

// A bag of the wrong salt is found out.
func TestTheBagIsNotWhatTheLabelSays(t *testing.T) {
	s := newShop(t, 3, "tetrasodium EDTA", "trisodium EDTA")
	l := s.lesson(t, 3)
	require.Contains(t, l.Bag[0].Salt.Name, "Trisodium", "%v", l.Bag[0].Weight)
}

// What spoons of a bag weigh is learned where they were weighed, and serves where they
// were not.
func TestSpoonsAreLearned(t *testing.T) {
	s := newShop(t, 1, "tetrasodium EDTA", "tetrasodium EDTA")
	l := s.bath(t, 80)
	weighed := Event{At: start, Kind: Weighed, Reagent: s.told.ID, Bag: "blue", VolumeLitres: 0.06, MassGrams: 39}
	other, err := Replay(s.std, l.events[0], weighed, l.events[1])
	require.NoError(t, err)
	lesson, err := Learn("blue", l, other)
	require.NoError(t, err)
	require.InDelta(t, 650, lesson.Bag[0].Salt.Bulk.Typical, 1e-9)
	_, err = Learn("green", l)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = Learn("", nil, &Life{})
	require.ErrorIs(t, err, chem.ErrInput)
}

// Timed dips narrow the pace, and coupons tell what steel loses.
func TestDipsAndCouponsAreLearned(t *testing.T) {
	s := newShop(t, 2, "tetrasodium EDTA", "tetrasodium EDTA")
	l := s.bath(t, 80)
	events := append(l.events[:6:6],
		Event{At: start.Add(9 * time.Hour), Kind: Dipped, Oxide: "lepidocrocite", AreaCM2: 1000, RustGramsPerM2: 60, Hours: 5},
		Event{At: start.Add(20 * time.Hour), Kind: Dipped, Oxide: "lepidocrocite", AreaCM2: 1000, RustGramsPerM2: 30, Hours: 2, PartGone: number(0.5)},
		Event{At: start.Add(40 * time.Hour), Kind: Dipped, SteelGrams: 0.05, BareSteelCM2: 50, Hours: 20})
	timed, err := Replay(s.std, events...)
	require.NoError(t, err)
	before, n, err := Pace(s.std, l)
	require.NoError(t, err)
	require.Zero(t, n)
	after, n, err := Pace(s.std, timed, timed)
	require.NoError(t, err)
	require.Equal(t, 4, n)
	d, _, err := events[6].dip(s.std)
	require.NoError(t, err)
	wide, err := before.Time(l.Bath(), d)
	require.NoError(t, err)
	narrow, err := after.Time(l.Bath(), d)
	require.NoError(t, err)
	require.Less(t, narrow.Hours.High/narrow.Hours.Low, wide.Hours.High/wide.Hours.Low/2)
	for _, e := range []Event{ // an hour, a square centimetre; and two without an area or a time
		{AreaCM2: 1000, RustGramsPerM2: 30, Hours: 1}, {AreaCM2: 1, RustGramsPerM2: 30, Hours: 2}, {RustGrams: 3, Hours: 2}, {AreaCM2: 1000, RustGramsPerM2: 30},
	} {
		e.At, e.Kind, e.Oxide = start.Add(9*time.Hour), Dipped, "lepidocrocite"
		one, err := Replay(s.std, append(l.events[:6:6], e)...)
		require.NoError(t, err)
		_, n, err := Pace(s.std, one)
		require.NoError(t, err)
		require.Equal(t, map[bool]int{true: 1}[e.AreaCM2 > 0 && e.Hours > 0], n, "%+v", e)
	}
	lesson, err := Learn("blue", timed)
	require.NoError(t, err)
	require.InDelta(t, 0.5, lesson.SteelGramsPerM2Hour.Typical, 1e-12, "0.05 g from 50 cm² in 20 h")
	unweighed, err := Replay(s.std, append(events, Event{At: start.Add(70 * time.Hour), Kind: Dipped, Oxide: "goethite", RustGrams: 5, BareSteelCM2: 80, Hours: 20})...)
	require.NoError(t, err)
	again, err := Learn("blue", unweighed)
	require.NoError(t, err)
	require.Equal(t, lesson.SteelGramsPerM2Hour, again.SteelGramsPerM2Hour, "steel that nobody weighed has not lost nothing")
}
