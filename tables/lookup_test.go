package tables

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

// The first three distances are those that textbooks print.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3},
		{"saturday", "sunday", 3},
		{"flaw", "lawn", 2},
		{"", "abc", 3},
		{"same", "same", 0},
	} {
		assert.Equal(t, c.want, distance(c.a, c.b), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, distance(c.b, c.a), "%s %s", c.b, c.a)
	}
}

func TestCatalogueKeepsNamesApart(t *testing.T) {
	c := catalogue[int]{kind: "thing"}
	require.Empty(t, c.add(1, "one", "First thing", "uno"))
	assert.Equal(t, "UNO", c.add(2, "two", "Second thing", "UNO"))
	one, err := c.find("Uno")
	require.NoError(t, err)
	assert.Equal(t, 1, one)
	c.alias(1, "uno")
	one, err = c.find("uno")
	require.NoError(t, err)
	assert.Equal(t, 1, one)
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
		var missing *NotFoundError
		require.True(t, errors.As(err, &missing))
		assert.Equal(t, "reagent", missing.Kind)
		assert.Equal(t, name, missing.Name)
		assert.Contains(t, missing.Near, want, name)
		assert.LessOrEqual(t, len(missing.Near), 6)
	}
	_, err := tables.Reagent("quartz")
	assert.EqualError(t, err, `no reagent is called "quartz"`)
	_, err = tables.Water("distiled water")
	assert.EqualError(t, err, `no water is called "distiled water"; did you mean "Distilled water"?`)
	_, err = tables.Reagent("")
	assert.ErrorIs(t, err, ErrNotFound)
}
