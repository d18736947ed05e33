package chem_test

import (
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// row is a line of elements.csv.
type row struct{ weight, uncertainty, low, high float64 }

// rows returns the lines of elements.csv by symbol.
func rows(t *testing.T) map[string]row {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(chem.ElementRows)).ReadAll()
	require.NoError(t, err)
	all := map[string]row{}
	for _, cells := range lines[1:] {
		var x [4]float64
		for k, cell := range cells[3:] {
			if cell != "" {
				x[k], err = strconv.ParseFloat(cell, 64)
				require.NoError(t, err)
			}
		}
		all[cells[1]] = row{x[0], x[1], x[2], x[3]}
	}
	require.Len(t, all, 118)
	return all
}

func TestElements(t *testing.T) {
	printed := rows(t)
	var without []string
	intervals := 0
	for i, e := range chem.Elements() {
		assert.Equal(t, i+1, e.Number)
		assert.NotEmpty(t, e.Name)
		got, ok := chem.LookupElement(e.Symbol)
		assert.True(t, ok)
		assert.Equal(t, e, got)
		x := printed[e.Symbol]
		assert.Equal(t, x.weight, e.Weight, e.Symbol)
		if e.Weight == 0 {
			without = append(without, e.Symbol)
			assert.Zero(t, x.uncertainty)
			continue
		}
		assert.Positive(t, x.uncertainty, e.Symbol)
		if x.high > 0 {
			intervals++
			assert.Less(t, x.low, x.high, e.Symbol)
			// The abridged value with its uncertainty covers the interval, but for
			// the rounding of its last digit (the report, section on table 2).
			digit := lastDigit(e.Weight)
			assert.LessOrEqual(t, e.Weight-x.uncertainty, x.low+digit/2, e.Symbol)
			assert.GreaterOrEqual(t, e.Weight+x.uncertainty, x.high-digit/2, e.Symbol)
		}
	}
	// The report gives an interval for 14 elements: H Li B C N O Mg Si S Cl Ar
	// Br Tl Pb. Technetium, promethium, polonium to actinium and everything from
	// neptunium on have no standard atomic weight: 118 − 84 = 34.
	assert.Equal(t, 14, intervals)
	assert.Len(t, without, 34)
	assert.Equal(t, []string{"Tc", "Pm", "Po", "At", "Rn", "Fr", "Ra", "Ac", "Np"}, without[:9])

	_, ok := chem.LookupElement("fe")
	assert.False(t, ok)
}

func lastDigit(x float64) float64 {
	for d := 1.0; ; d /= 10 {
		if r := math.Round(x / d); math.Abs(x-r*d) < 1e-9 {
			return d
		}
	}
}

// Atomic masses of the only stable isotope fix the weight of a monoisotopic
// element. Rounded masses from the 2020 atomic mass evaluation (Wang et al.,
// Chinese Physics C 45, 030003), from memory.
func TestMonoisotopicWeights(t *testing.T) {
	for symbol, mass := range map[string]float64{
		"Be": 9.0121831, "F": 18.9984032, "Na": 22.9897693, "Al": 26.9815384, "P": 30.9737620,
		"Sc": 44.9559083, "Mn": 54.9380439, "Co": 58.9331936, "As": 74.9215946, "Y": 88.9058380,
		"Nb": 92.9063732, "Rh": 102.9054988, "I": 126.9044719, "Cs": 132.9054520, "Pr": 140.9076601,
		"Tb": 158.9253547, "Ho": 164.9303288, "Tm": 168.9342191, "Au": 196.9665687, "Bi": 208.9803991,
	} {
		e, ok := chem.LookupElement(symbol)
		require.True(t, ok)
		assert.InDelta(t, mass, e.Weight, rows(t)[symbol].uncertainty, symbol)
		assert.InDelta(t, mass, e.Weight, 0.5*lastDigit(e.Weight)+1e-9, symbol)
	}
}
