package journal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
}
