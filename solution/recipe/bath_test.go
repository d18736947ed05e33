package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

func TestRefusedRecipes(t *testing.T) {
	for name, change := range map[string]func(*recipe.Recipe){
		"Volume":      func(r *recipe.Recipe) { r.Volume = 0 },
		"Chelant":     func(r *recipe.Recipe) { r.Chelant = demo.Reagent(t, "lye") },
		"Acid":        func(r *recipe.Recipe) { r.Acid = tables.Reagent{} },
		"PH":          func(r *recipe.Recipe) { r.PH = 13 },
		"Temperature": func(r *recipe.Recipe) { r.Temperature = 20 },
		"Amount":      func(r *recipe.Recipe) { r.Amount = measure.AmountOfMass(50) },
		"Extras":      func(r *recipe.Recipe) { r.Extras = []recipe.Extra{{Mass: 1}} },
	} {
		t.Run(name, func(t *testing.T) {
			r := demo.Recipe(t)
			change(&r)
			for _, err := range []error{
				func() error { _, err := r.Plan(demo.Tables(t)); return err }(),
				func() error { _, err := r.Mix(demo.Tables(t)); return err }(),
				func() error { _, err := r.Scale(0.001); return err }(),
			} {
				var e *chem.InputError
				require.ErrorAs(t, err, &e)
				require.ErrorIs(t, err, chem.ErrInput)
				require.Equal(t, name, e.Field)
			}
		})
	}
	r := demo.Recipe(t)
	r.Acid, r.PH = demo.Reagent(t, "lye"), 7
	_, err := r.Mix(demo.Tables(t))
	require.ErrorIs(t, err, solution.ErrUnreachable)
	require.ErrorIs(t, err, chem.ErrInput)
}

func TestUnknownMaterial(t *testing.T) {
	r := demo.Recipe(t)
	r.Materials = []string{"zink"}
	_, err := r.Plan(demo.Tables(t))
	require.ErrorIs(t, err, tables.ErrNotFound)
	require.ErrorContains(t, err, "zinc")
}
