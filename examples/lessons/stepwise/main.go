// Command stepwise neutralises a bath step by step.
//
// From pH 11 to 7 the same spoon of acid does very different things. Down to
// pH 8.5 a proton has somewhere to go, onto edta4-. Then all of it is Hedta3-,
// whose next proton goes on near pH 6; in between hardly anything takes acid
// up, and the pH falls through the window that one aims for.
//
// So the acid goes in at two paces: most of it at once, which stops well above
// the target, then spoons, with a reading after each. The buffer capacity in
// the table is the acid in mol/L that moves the pH by one.
package main

import (
	"fmt"
	"io"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

func main() { cli.Main("stepwise", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("stepwise", "neutralises a bath step by step.", out)
	asked := cli.Recipe(f)
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r := asked(t, in)
	if in.Err != nil {
		return in.Err
	}
	plan, err := r.Plan(t)
	if err != nil {
		return err
	}
	tub, err := mix(t, r, plan)
	if err != nil {
		return err
	}

	l := &cli.Lesson{Table: cli.Table{
		Title:   fmt.Sprintf("%s into %s", r.Acid.Name, r.Chelant.Name),
		Columns: []string{"step", "added_g", "acid_g", "ph", "ph_per_g", "buffer_capacity_mol_per_l"},
	}}
	total := 0.0
	look := func(step int, grams float64) error {
		total += grams
		st, slope, err := tub.Response(r.Acid)
		if err != nil {
			return err
		}
		l.Add(step, grams, total, st.PH, slope, st.BufferCapacityMolPerLitre)
		return nil
	}
	if err := look(0, 0); err != nil {
		return err
	}
	step := 0
	for _, s := range plan.Steps {
		for range s.Times {
			if err := tub.Add(r.Acid, s.Portion.Mass()); err != nil {
				return err
			}
			step++
			if err := look(step, s.Portion.MassGrams); err != nil {
				return err
			}
		}
	}
	for _, s := range plan.Steps {
		l.Remark("%s", s.Text)
	}
	l.Remark("The whole dose by reckoning is %.1f g; what bags and water vary by makes that %.0f to %.0f g, so the last of it goes by the strip and not by the scale.",
		plan.Acid.MassGrams, plan.Acid.MassLowGrams, plan.Acid.MassHighGrams)
	return l.Write(out, format)
}

// mix makes up the bath without its acid.
func mix(t *tables.Tables, r recipe.Recipe, plan *recipe.Plan) (*solution.Solution, error) {
	tub, err := solution.New(t, r.Temperature)
	if err != nil {
		return nil, err
	}
	if err := tub.AddWater(r.Water, r.Volume); err != nil {
		return nil, err
	}
	return tub, tub.Add(r.Chelant, plan.Chelant.Mass())
}
