package tables

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

func TestStripScale(t *testing.T) {
	tables := referenceTables(t)
	wide, err := tables.Strip("universal strip")
	require.NoError(t, err)
	assert.Equal(t, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14}, wide.Marks())
	narrow, err := tables.Strip("6-8 strip")
	require.NoError(t, err)
	assert.Len(t, narrow.Marks(), 11)
	assert.Equal(t, 6.6, narrow.Marks()[3])
	for s := range All[Strip](tables) {
		marks := s.Marks()
		assert.Equal(t, s.Low, marks[0], s.ID)
		assert.Equal(t, s.High, marks[len(marks)-1], s.ID)
		for _, m := range marks {
			assert.Equal(t, m, s.Read(m), "%s at %g", s.ID, m)
			assert.Equal(t, m, s.Read(m+0.4*s.Step), "%s above %g", s.ID, m)
		}
		assert.Equal(t, s.Low, s.Read(s.Low-100))
		assert.Equal(t, s.High, s.Read(s.High+1e4))
		assert.True(t, math.IsNaN(s.Read(math.NaN())))
		// Rounding to the mark is part of the reading error.
		assert.GreaterOrEqual(t, s.ReadingError, s.Step/2, s.ID)
	}
}

// The zero strip has one mark, and no call on it panics.
func TestZeroStrip(t *testing.T) {
	var none Strip
	assert.Equal(t, 0.0, none.Read(7))
	assert.Len(t, none.Marks(), 1)
}

func TestReadingOffTheScale(t *testing.T) {
	half, err := referenceTables(t).Strip("half-step pH strip")
	require.NoError(t, err)
	for _, reading := range []float64{4.5, 7, 7.3, 10} {
		assert.NoError(t, half.Check(reading))
	}
	for _, reading := range []float64{4.4, 10.1, math.NaN(), math.Inf(1)} {
		assert.ErrorIs(t, half.Check(reading), chem.ErrInput)
	}
}

func TestBadStrips(t *testing.T) {
	good := content(t, "strips.csv")
	for _, c := range []struct{ name, old, new, column string }{
		{"step does not divide", "pH,pH,6,8,0.2,0.3", "pH,pH,6,8,0.3,0.3", "step"},
		{"upside down", "pH,pH,6,8,0.2,0.3", "pH,pH,8,6,0.2,0.3", "step"},
		{"surer than its marks", "pH,pH,6,8,0.2,0.3", "pH,pH,6,8,0.2,0.05", "reading_error"},
		{"pH above 14", "pH,pH,6,8,0.2,0.3", "pH,pH,6,18,0.2,0.3", "high"},
		{"unit of pH", "pH,pH,6,8,0.2,0.3", "pH,ppm,6,8,0.2,0.3", "unit"},
		{"unit of hardness", "hardness,mg/L as CaCO3,0,300", "hardness,pounds,0,300", "unit"},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, bad, c.name)
		_, err := loadReferenceFrom(changed(t, "strips.csv", bad))
		refusedAt(t, err, "strips.csv", c.column, c.name)
	}
}
