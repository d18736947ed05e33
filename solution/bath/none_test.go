package bath_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// A chelant of which there is none is not told: it neither holds anything nor counts as a main one.
func TestChelantOfWhichThereIsNone(t *testing.T) {
	b := plainTub(t, bath.Place{}, map[string]float64{"citric acid": 100})
	require.NoError(t, b.AddSpecies("edta4-", 0))
	h, err := b.Holdings()
	require.NoError(t, err)
	require.Len(t, h, 1)
	assert.Equal(t, "cit3-", h[0].Chelant)
	assert.Equal(t, h, h.Counted())
}

// A bath that has dissolved of an oxide what it can says so and not that it takes about 0 g more:
// held at its own pH it takes no more either, and a pH lower by one lets it.
func TestBathThatTakesNoMore(t *testing.T) {
	o := demo.Oxide(t, "goethite")
	b, err := demo.Mix(t, demo.Recipe(t)).At(7)
	require.NoError(t, err)
	taken, pH, err := b.LeftAlone(o)
	require.NoError(t, err)
	require.NoError(t, b.Dissolve(o, 0.999*measure.Gram*unit.Mass(taken.RustGrams)))
	d, err := b.Diagnose(o, pH)
	require.NoError(t, err)
	require.Equal(t, bath.Working, d.Cause, d.Text)
	assert.True(t, strings.HasSuffix(d.Text, "it takes no more rust (goethite) to speak of; a lower pH would let it."), d.Text)
	d, err = b.Diagnose(o, pH-0.006)
	require.NoError(t, err)
	require.Greater(t, d.After.IronMoles, 2*d.Now.IronMoles)
	require.Less(t, d.After.RustGrams, 1.0)
	assert.NotContains(t, d.Text, "is held", "next to nothing more")
	lower, err := b.Held(o, pH-1)
	require.NoError(t, err)
	assert.Greater(t, lower.RustGrams, 5.0)
}

// Where gas goes so fast that it is gone in minutes the wait is told as those minutes: then the
// course of the bath is within a tenth of the target.
func TestArrivalInMinutes(t *testing.T) {
	soda := demo.Reagent(t, "washing soda")
	for _, cmPerHour := range []float64{300, 1000} {
		fast := bath.Place{Cover: bath.Bubbled, GasCmPerHour: tables.Range{Low: cmPerHour, Typical: cmPerHour, High: cmPerHour}}
		b := plainTub(t, fast, map[string]float64{"disodium EDTA": 500})
		d, err := b.OpenDose(soda, 7)
		require.NoError(t, err)
		require.NoError(t, b.Add(soda, measure.Gram*unit.Mass(d.ForGoodGrams)))
		h, err := b.Pass(bath.Parts{}, measure.Day*unit.Time(d.DaysTo.Typical))
		require.NoError(t, err)
		assert.Less(t, 24*d.DaysTo.Typical, 1.0, "%g cm/h", cmPerHour)
		assert.InDelta(t, 6.9, h.PH.Typical, 0.01, "%g cm/h", cmPerHour)
	}
}

// What has settled as acid is free: of a soured bath that holds no iron the chelant that is free is
// all of it but what hardness holds.
func TestSettledAcidIsFree(t *testing.T) {
	b, err := demo.Mix(t, demo.Recipe(t)).At(1.5)
	require.NoError(t, err)
	h, err := b.Holdings()
	require.NoError(t, err)
	edta := h.Of("edta4-")
	require.Greater(t, edta.SettledMoles, 0.5*edta.TotalMoles)
	assert.InEpsilon(t, edta.TotalMoles-edta.HardnessMoles, h.Counted().Free(), 1e-9)
}
