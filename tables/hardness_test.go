package tables

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// One unit in mg/L as CaCO3. The definitions are from memory, the figures follow
// by arithmetic with the IUPAC 2021 atomic weights.
func TestHardnessUnits(t *testing.T) {
	tables := referenceTables(t)
	for symbol, want := range map[string]float64{
		"ppm":    1,
		"°dH":    17.848,
		"°fH":    10,
		"°e":     14.254, // 64.79891 mg in 4.54609 L
		"gpg":    17.118,
		"mmol/L": 100.087,
		"meq/L":  50.043,
	} {
		u, err := Find[HardnessUnit](tables, symbol)
		require.NoError(t, err)
		h := u.Hardness(1)
		assert.InDelta(t, want, h.CaCO3(), 0.01, symbol)
		assert.InDelta(t, 1, float64(h)/u.MolPerLitre, 1e-14, symbol)
		// Alkalinity and hardness of calcium bicarbonate agree in all units but
		// mmol/L, which counts acid: 1 mmol/L is 50.04 mg/L.
		if symbol != "mmol/L" {
			assert.InDelta(t, want, u.Alkalinity(1).CaCO3(), 0.01, symbol)
		} else {
			assert.InDelta(t, 50.043, u.Alkalinity(1).CaCO3(), 0.01, symbol)
		}
	}
}

// Worked figures of titration standards: ASTM D1126, 12.5 mL of 0.01 mol/L EDTA
// to 50 mL of water are 250 mg/L as CaCO3 and 5.00 meq/L (from memory); ISO 6059,
// 12.35 mL to 50 mL are 2.47 mmol/L (from memory). Standard Methods 2340 B: 80 mg/L
// Ca and 24 mg/L Mg are 298.6 mg/L (factors seen).
func TestHardnessByTitration(t *testing.T) {
	tables := referenceTables(t)
	meq, err := Find[HardnessUnit](tables, "meq/L")
	require.NoError(t, err)
	astm := Hardness(12.5 * 0.01 / 50)
	assert.InDelta(t, 250, astm.CaCO3(), 0.5)
	assert.InDelta(t, 5.00, float64(astm)/meq.MolPerLitre, 0.01)
	mmol, err := Find[HardnessUnit](tables, "mmol/L")
	require.NoError(t, err)
	assert.InDelta(t, 2.47, 12.35*0.01/50/mmol.MolPerLitre, 0.005)
	both := Hardness(0.080/calcium.Formula.MolarMass() + 0.024/magnesium.Formula.MolarMass())
	assert.InDelta(t, 298.6, both.CaCO3(), 0.3)
}

// Limits of the classes: USGS, from memory but the last (seen).
func TestHardnessClass(t *testing.T) {
	tables := referenceTables(t)
	for text, want := range map[string]string{
		"0 ppm": "soft", "60 ppm": "soft", "61 ppm": "moderately hard", "120 ppm": "moderately hard",
		"121 ppm": "hard", "180 ppm": "hard", "181 ppm": "very hard", "30 °dH": "very hard",
	} {
		h, err := tables.ParseHardness(text)
		require.NoError(t, err)
		assert.Equal(t, want, h.Class(), text)
	}
}

func TestParseHardness(t *testing.T) {
	tables := referenceTables(t)
	for text, want := range map[string]float64{ // mg/L as CaCO3
		"120 ppm":             120,
		"120ppm":              120,
		" 150 mg/L as CaCO3 ": 150,
		"7 gpg":               119.83,
		"7 grains":            119.83,
		"6.7 °dH":             119.58,
		"6.7dH":               119.58,
		"12 °fH":              120,
		"1.2 mmol/L":          120.10,
		"2.4 meq/L":           120.10,
		".5 mM":               50.04,
		"0 ppm":               0,
	} {
		h, err := tables.ParseHardness(text)
		require.NoError(t, err)
		assert.InDelta(t, want, h.CaCO3(), 0.01, text)
	}
	a, err := tables.ParseAlkalinity("2.4 mmol/L")
	require.NoError(t, err)
	assert.InDelta(t, 2.4e-3, float64(a), 1e-12)
	a, err = tables.ParseAlkalinity("5 dKH")
	require.NoError(t, err)
	assert.InDelta(t, 89.24, a.CaCO3(), 0.01)

	for _, text := range []string{
		"", "120", "ppm", "-1 ppm", "1..2 ppm", "1,5 dH", "3 xx", "1e9 gpg", "NaN ppm", "Inf ppm", "1e400 ppm", "20 mol/L", "5000000 ppm", "70 F",
	} {
		h, err := tables.ParseHardness(text)
		require.ErrorIs(t, err, chem.ErrInput, text)
		assert.ErrorContains(t, err, "hardness or alkalinity is "+chem.Echo(text))
		assert.Zero(t, h)
	}
	_, err = tables.ParseHardness("7 gpgg")
	assert.ErrorIs(t, err, ErrNotFound)
	assert.ErrorContains(t, err, `want a unit such as "grain per US gallon"`)
	_, err = tables.ParseHardness("7 xx")
	assert.EqualError(t, err, `hardness or alkalinity is "7 xx": want a unit such as ppm, gpg, °dH or mmol/L`)
}

func FuzzParseHardness(f *testing.F) {
	tables := referenceTables(f)
	for _, s := range []string{"120 ppm", "7 gpg", "6.7 °dH", "1.2 mmol/L", "", "+.5 mM", "1-2 ppm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		h, err := tables.ParseHardness(s)
		if err != nil {
			require.ErrorIs(t, err, chem.ErrInput)
			require.Zero(t, h)
			return
		}
		require.True(t, h >= 0 && h <= maxHardness, "%q gives %g mol/L", s, float64(h))
	})
}

func ExampleTables_ParseHardness() {
	tables, err := Standard()
	if err != nil {
		fmt.Println(err)
		return
	}
	h, err := tables.ParseHardness("7 gpg")
	if err != nil {
		fmt.Println(err)
		return
	}
	degrees, err := Find[HardnessUnit](tables, "°dH")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%v, %.1f °dH, %s\n", h, float64(h)/degrees.MolPerLitre, h.Class())
	// Output: 120 mg/L as CaCO3, 6.7 °dH, moderately hard
}
