package recipe_test

import (
	"fmt"
	"log"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
)

// A litre over a square metre, as a bath of 25 g/L: 3.6 g of rust each round (arithmetic
// from the capacity of the tub), and what takes a tub takes as many rounds more.
func TestSheet(t *testing.T) {
	std := demo.Tables(t)
	b := demo.Mix(t, demo.Recipe(t))
	o := demo.Oxide(t, "lepidocrocite")
	_, layer, err := rust.Light(std)
	require.NoError(t, err)
	s, err := recipe.Wet(b, o, 7, layer, 2*measure.SquareMetre)
	require.NoError(t, err)
	c, err := b.Capacities(o, 7)
	require.NoError(t, err)
	require.InDelta(t, 2*c.Practical.RustGrams/b.Litres(), s.RustGrams.Typical, 1e-9)
	require.GreaterOrEqual(t, s.Rounds.Typical*s.RustGrams.Typical, 2*layer.RustGramsPerM2.Typical)
	require.InDelta(t, 3, s.WetHours.Typical, 1e-9) // 0.3 of 1 L/m² at 0.1 L/(m² h)
	require.Equal(t, s, laws.ThroughJSON(t, s))
	_, err = recipe.Wet(b, o, 7, layer, 0)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = recipe.Wet(&bath.Bath{}, o, 7, layer, 1)
	require.ErrorIs(t, err, chem.ErrInput)
}

// Water alone takes nothing in practice, and no number of rounds is told.
func TestSheetOfWater(t *testing.T) {
	v, err := solution.New(demo.Tables(t), chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(measure.Litre))
	b, err := bath.New(demo.Tables(t), v)
	require.NoError(t, err)
	_, layer, err := rust.Light(demo.Tables(t))
	require.NoError(t, err)
	s, err := recipe.Wet(b, demo.Oxide(t, "lepidocrocite"), 7, layer, 1)
	require.NoError(t, err)
	require.Zero(t, s.RustGrams)
	require.Zero(t, s.Rounds)
}

// A vise of 24 cm in a tub of 25 cm: half under with 2 cm over, and turned.
func ExampleTub_Half() {
	base := [2]unit.Length{0.50, 0.35}
	tub := recipe.Tub{Bottom: base, Rim: base, Height: 0.25}
	part := recipe.SteelPart(12*measure.Kilogram, 24*measure.Centimetre)
	whole, err := tub.Cover(part, measure.Centimetre)
	if err != nil {
		log.Fatal(err)
	}
	half, err := tub.Half(part, 2*measure.Centimetre)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f L in the place of %.1f L\n", half.BathLitres, whole.BathLitres)
	// Output: 23.6 L in the place of 42.2 L
}
