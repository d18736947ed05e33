package tables

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

func TestPlain(t *testing.T) {
	for _, same := range [][]string{
		{"Na₄EDTA·4 H₂O", "na4edta.4h2o", "NA4EDTA 4H2O"},
		{"aluminium sulphate", "Aluminium Sulfate"},
		{"SO4(2-)", "SO4^2-", "SO₄²⁻"},
		{"very-hard tap", "Very hard (tap)"},
	} {
		for _, other := range same[1:] {
			assert.Equal(t, plain(same[0]), plain(other))
		}
	}
	assert.NotEqual(t, plain("Co2+"), plain("CO2"))
	assert.NotEqual(t, plain("Fe(OH)2"), plain("Fe(OH)2+"))
}

func TestCatalogueKeepsNamesApart(t *testing.T) {
	var c catalogue[Entry]
	k, _ := c.add(Entry{ID: "one", Name: "First thing", Synonyms: []string{"uno"}})
	require.Equal(t, -1, k)
	k, taken := c.add(Entry{ID: "two", Name: "Second thing", Synonyms: []string{"UNO"}})
	assert.Equal(t, "UNO", taken)
	assert.Equal(t, 2, k)
	one, err := c.find("thing", "Uno")
	require.NoError(t, err)
	assert.Equal(t, "one", one.ID)
	c.alias(1, "uno")
	one, err = c.find("thing", "uno")
	require.NoError(t, err)
	assert.Equal(t, "one", one.ID)
}

func TestNotFound(t *testing.T) {
	tables := referenceTables(t)
	for name, want := range map[string]string{
		"citrik acid":     "Citric acid, anhydrous",
		"vinegr":          "Vinegar, 5 % acidity",
		"bakeing soda":    "Sodium bicarbonate",
		"tetrasodum edta": "Tetrasodium EDTA tetrahydrate",
		"EDTA":            "Disodium EDTA dihydrate", // of many
	} {
		_, err := tables.Reagent(name)
		require.ErrorIs(t, err, ErrNotFound)
		var missing *chem.InputError
		require.ErrorAs(t, err, &missing)
		assert.Equal(t, "reagent", missing.Field)
		assert.Equal(t, chem.Echo(name), missing.Value)
		assert.Contains(t, missing.Want, chem.Echo(want), name)
		assert.LessOrEqual(t, strings.Count(missing.Want, `"`), 2*6)
	}
	_, err := tables.Reagent("quartz")
	assert.EqualError(t, err, `reagent is "quartz": want a name of the tables`)
	_, err = tables.Water("distiled water")
	assert.EqualError(t, err, `water is "distiled water": want a name of the tables, such as "Distilled water"`)
	_, err = tables.Reagent("")
	assert.ErrorIs(t, err, ErrNotFound)
}
