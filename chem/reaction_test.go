package chem

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseReaction(t *testing.T) {
	for _, text := range []string{
		"Fe3+ + edta4- = Fe(edta)-",
		"Fe(OH)3(s, ferrihydrite) + 3 H+ = Fe3+ + 3 H2O",
		"0.5 Fe2O3(s, hematite) + 3 H+ = Fe3+ + 1.5 H2O",
		"Na4(edta)·4H2O = 4 Na+ + edta4- + 4 H2O",
		"CO2(g) + H2O = H2CO3",
	} {
		r, err := shop.ParseReaction(text)
		require.NoError(t, err)
		assert.NoError(t, r.Check())
		assert.Equal(t, text, r.String(), "text is canonical")
	}
	half, err := shop.ParseReaction("1/2 Fe2O3(s) + 3H+ = Fe3+ + 3/2 H2O")
	require.NoError(t, err)
	assert.NoError(t, half.Check())
}

func TestDeltaZ2(t *testing.T) {
	for text, want := range map[string]float64{
		"Fe3+ + edta4- = Fe(edta)-":           1 - 9 - 16,
		"edta4- + H+ = Hedta3-":               9 - 16 - 1,
		"2 Fe3+ + 2 H2O = Fe2(OH)2^4+ + 2 H+": 16 + 2 - 18,
		"CaCO3(s, calcite) = Ca2+ + CO3^2-":   8,
	} {
		r, err := shop.ParseReaction(text)
		require.NoError(t, err)
		assert.Equal(t, want, r.DeltaZ2(), text)
	}
}

func TestBadReactions(t *testing.T) {
	for _, text := range []string{
		"", "Fe3+", "Fe3+ = ", " = Fe3+", "Fe3+ + = Fe2+", "0 H+ = H+", "-1 H+ = H+", "1/0 H+ = H2O", "a/2 H+ = H2O",
		"1/b H2O = H+", "12 = H2O", "Fe3+ + Fe3+ = Fe2+", "H+ = H2O = OH-", "Xy+ = H+",
	} {
		_, err := shop.ParseReaction(text)
		assert.ErrorIs(t, err, ErrInput, "%q", text)
	}
	_, err := ParseReaction("Fe3+ + edta4- = Fe(edta)-")
	assert.EqualError(t, err, `reaction is "Fe3+ + edta4- = Fe(edta)-": want a chemical formula where formula is "edta4-" (byte 0: unknown abbreviation "edta"; elements start with a capital letter)`)
	for text, imbalance := range map[string]string{
		"Fe3+ + edta4- = Fe(edta)":            "charge +1",
		"Fe(OH)3(s) + 3 H+ = Fe3+ + 2 H2O":    "H -2, O -1",
		"Ca2+ + CO3^2- = CaCO3(s) + 0.001 Fe": "Fe +0.001",
	} {
		r, err := shop.ParseReaction(text)
		require.NoError(t, err)
		err = r.Check()
		assert.ErrorIs(t, err, ErrInput)
		assert.ErrorContains(t, err, imbalance)
	}
}

func FuzzParseReaction(f *testing.F) {
	f.Add("Fe(OH)3(s, ferrihydrite) + 3 H+ = Fe3+ + 3 H2O")
	f.Add("1/2 Fe2O3(s) + 3H+ = Fe3+ + 3/2 H2O")
	f.Add("1000000 C = B") // a coefficient is written as it is read, without an exponent
	f.Fuzz(func(t *testing.T, text string) {
		r, err := shop.ParseReaction(text)
		if err != nil {
			require.ErrorIs(t, err, ErrInput)
			return
		}
		again, err := shop.ParseReaction(r.String())
		require.NoError(t, err, "%q as %q", text, r)
		require.Equal(t, r.String(), again.String())
	})
}
