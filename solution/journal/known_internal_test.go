package journal

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// What is known of a bag counts for what was told in spoons, by its own packing, 0.0148
// L to the tablespoon (NIST Handbook 44, app. C); what was weighed stays as weighed, and
// of another reagent nothing is known.
func TestSpoonsByWhatIsKnown(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	told, err := std.Reagent("citric acid")
	require.NoError(t, err)
	bag := told
	bag.Bulk.Loose, bag.Bulk.Typical, bag.Bulk.Tapped = 800, 850, 900
	bag.Assay.Typical = 0.7
	k := known{reagents: map[string]tables.Reagent{told.ID: bag}}
	r, grams := k.of(told, Event{Measure: "4 tablespoons", MassGrams: 50})
	assert.InDelta(t, 4*0.01478676*850, grams, 1e-3)
	assert.InDelta(t, 0.7, r.Assay.Typical, 1e-12)
	r, grams = k.of(told, Event{MassGrams: 50})
	assert.InDelta(t, 50, grams, 1e-12)
	assert.InDelta(t, 0.7, r.Assay.Typical, 1e-12)
	r, grams = known{}.of(told, Event{Measure: "4 tablespoons", MassGrams: 50})
	assert.InDelta(t, 50, grams, 1e-12)
	assert.InDelta(t, told.Assay.Typical, r.Assay.Typical, 1e-12)
}

// Before anything is learned nine baths in ten, 1.645 standard deviations on either
// side, have water within 15 % of what the kit says; a bag, 10 % off, holds no more than
// it can.
func TestMakingsBeforeLearning(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	salt, err := std.Reagent("tetrasodium EDTA tetrahydrate")
	require.NoError(t, err)
	acid, err := std.Reagent("citric acid")
	require.NoError(t, err)
	f := fit{told: salt, others: []tables.Reagent{acid}}
	typical := f.at(salt, []float64{0, 0, 0, 0})
	assert.InDelta(t, 1, typical.water.Typical, 1e-12)
	assert.InDelta(t, salt.Assay.Typical, typical.reagents[salt.ID].Assay.Typical, 1e-12)
	low := f.at(salt, []float64{-1, -1.645, -1.645, -1})
	assert.InDelta(t, math.Exp(-0.15), low.water.Typical, 1e-9)
	assert.InDelta(t, salt.Assay.Typical*math.Exp(-0.10), low.reagents[salt.ID].Assay.Typical, 1e-9)
	assert.InDelta(t, acid.Assay.Typical*math.Exp(-0.05), low.reagents[acid.ID].Assay.Typical, 1e-9)
	assert.InDelta(t, salt.ExcessBase.Low, low.reagents[salt.ID].ExcessBase.Typical, 1e-4)
	assert.InDelta(t, acid.Assay.Typical, f.others[0].Assay.Typical, 1e-12, "the fit's own stay as told")
	assert.LessOrEqual(t, f.at(salt, []float64{5, 0, 0, 0}).reagents[salt.ID].Assay.Typical, 1.0)
	// each of what was added goes by a deviate of its own, in the order in which it was
	lye, err := std.Reagent("lye")
	require.NoError(t, err)
	f.others = append(f.others, lye)
	two := f.at(salt, []float64{0, 0, 0.7, 0.3, -1})
	assert.InDelta(t, min(1, acid.Assay.Typical*math.Exp(0.3*0.05)), two.reagents[acid.ID].Assay.Typical, 1e-12)
	assert.InDelta(t, lye.Assay.Typical*math.Exp(-0.05), two.reagents[lye.ID].Assay.Typical, 1e-12)
}

// Bare steel loses its mass by area and time, of a small coupon and a short dip as well: 0.02 g
// of half a square centimetre in half an hour are 0.02/(0.5/10⁴)/0.5 = 800 g/(m² h). Without
// one of the three there is no rate.
func TestSteelOfASmallCoupon(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	coupon := Event{At: start.Add(20 * time.Hour), Kind: Dipped, SteelGrams: 0.02, BareSteelCM2: 0.5, Hours: 0.5}
	rate := func(spoil func(e *Event)) tables.Range {
		e := coupon
		spoil(&e)
		l, err := Replay(std, append(life()[:2], e)...)
		require.NoError(t, err)
		f := fit{lives: []*Life{l}}
		f.collect("")
		return spread.Of(f.steel)
	}
	assert.InEpsilon(t, 800, rate(func(*Event) {}).Typical, 1e-12)
	for _, spoil := range []func(e *Event){
		func(e *Event) { e.BareSteelCM2 = 0 }, func(e *Event) { e.Hours = 0 },
		func(e *Event) { e.SteelGrams, e.RustGrams, e.Oxide = 0, 1, "goethite" },
	} {
		assert.Zero(t, rate(spoil))
	}
}

// Where nothing was read nothing is learned, and all is as it was held before: nine bags in ten
// within 1.645 times 10 % of what is usual, nine waters within 15 %, and each other salt of
// that chelant by 0.03 of the one that the label tells.
func TestNothingReadNothingLearned(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	l, err := Replay(std, life()[:2]...)
	require.NoError(t, err)
	lesson, err := Learn("", l)
	require.NoError(t, err)
	require.Zero(t, lesson.Readings)
	require.Greater(t, len(lesson.Bag), 1)
	told, err := std.Reagent(life()[0].Reagent)
	require.NoError(t, err)
	whole := 1 + 0.03*float64(len(lesson.Bag)-1)
	for i, c := range lesson.Bag {
		usual, err := std.Reagent(map[bool]string{true: told.ID, false: c.Salt.ID}[i == 0])
		require.NoError(t, err)
		assert.InDelta(t, map[bool]float64{true: 1, false: 0.03}[i == 0]/whole, c.Weight, 1e-9)
		if usual.ID != c.Salt.ID {
			continue
		}
		assert.InDelta(t, usual.Assay.Typical, c.Salt.Assay.Typical, 1e-9)
		assert.InDelta(t, usual.Assay.Typical*math.Exp(-1.6449*0.10), c.Salt.Assay.Low, 1e-4)
		assert.InDelta(t, min(1, usual.Assay.Typical*math.Exp(1.6449*0.10)), c.Salt.Assay.High, 1e-4)
		assert.Equal(t, usual.Bulk, c.Salt.Bulk)
	}
	assert.InDelta(t, 1, lesson.WaterFactor.Typical, 1e-9)
	assert.InDelta(t, math.Exp(-0.15), lesson.WaterFactor.Low, 1e-4)
	assert.InDelta(t, math.Exp(0.15), lesson.WaterFactor.High, 1e-4)
	assert.Zero(t, lesson.SteelGramsPerM2Hour)
}

// How far off a reading is, by hand: in widths of √(0.07² + (0.6 r)²) for steps of r, and beyond
// about three of them less and less, 3√ln(1 + (x/3)²), with the sign of what the bath has more.
func TestMisfitByHand(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	fresh, err := Replay(std, life()[:2]...)
	require.NoError(t, err)
	st, err := fresh.Bath().State()
	require.NoError(t, err)
	told, err := std.Reagent(life()[0].Reagent)
	require.NoError(t, err)
	for _, c := range []struct{ off, step float64 }{{0.3, 0.5}, {-0.3, 0.5}, {2, 0.1}, {-1, 1}, {0, 1}} {
		read := Event{At: start.Add(2 * time.Hour), Kind: Reading, PH: number(st.PH - c.off), ResolutionPH: c.step}
		weighed := Event{At: start.Add(2 * time.Hour), Kind: Weighed, Reagent: told.ID, Bag: "blue", VolumeLitres: 0.06, MassGrams: 39}
		again := weighed
		again.VolumeLitres, again.MassGrams = 0.03, 20
		elsewhere := weighed
		elsewhere.Bag, elsewhere.MassGrams = "green", 90
		l, err := Replay(std, append(life()[:2], read, weighed, again, elsewhere, life()[2], read)...)
		require.NoError(t, err)
		f := fit{lives: []*Life{l}}
		f.collect("blue")
		require.Equal(t, 1, f.readings, "the one after the first part tells of rust")
		// two weighings: 59 g in 0.09 L, nine in ten within 1.645·0.05/√2
		width := math.Exp(1.6449 * 0.05 / math.Sqrt2)
		assert.InEpsilon(t, 59/0.09, f.bulk.Typical, 1e-12)
		assert.InEpsilon(t, 59/0.09/width, f.bulk.Loose, 1e-5)
		assert.InEpsilon(t, 59/0.09*width, f.bulk.Tapped, 1e-5)
		z := []float64{0, 0, 0, 0}
		off := make([]float64, len(z)+1)
		require.NoError(t, f.misfit(off, told, z))
		x := c.off / math.Sqrt(0.07*0.07+0.36*c.step*c.step) / 3
		assert.InDelta(t, math.Copysign(3*math.Sqrt(math.Log(1+x*x)), x), off[4], 1e-6)
		assert.Equal(t, z, off[:4])
	}
}
