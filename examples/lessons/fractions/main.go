// Command fractions shows in which forms EDTA is at each pH.
//
// EDTA holds a metal with six arms, and in acid most of them are taken: four
// carry protons in water, six in strong acid. Only the bare ion edta4- grips
// with its full constant, so the fraction that is bare, α, is what the pH turns
// up and down:
//
//	α(edta4-) = [edta4-] / all EDTA that holds no metal
//
// A bath is made from sodium salts, and sodium ions take most of the bare ion for
// themselves. They hold it weakly, and any metal drives them off, but above
// pH 10 they and not protons are what a metal has to displace.
//
// Textbooks print 0.30 to 0.36 for α at pH 10, with pH as minus the logarithm of a
// concentration, and each in its own way with such pairs. Try -cation K+ -salt 0.1
// -ph 10.11: leave the pair out, and α is 0.28; count it as bare, and it is 0.42.
package main

import (
	"io"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

func main() { cli.Main("fractions", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("fractions", "shows in which forms EDTA is at each pH.", out)
	strength := f.Float64("strength", 0.001, "EDTA in mol/L")
	cation := f.String("cation", "Na+", "of the salt in the water: Na+ or K+")
	salt := f.Float64("salt", 0.2, "chloride of that cation in mol/L")
	temperature := f.String("temperature", "25 °C", "of the solution")
	pHs := f.String("ph", "1,2,3,4,5,6,7,8,9,10,11,12,13", "pH to look at")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	warmth := cli.Flag(in, "temperature", *temperature, measure.ParseTemperature)
	grid := cli.Flag(in, "ph", *pHs, cli.Numbers)
	metal := cli.Flag(in, "cation", *cation, func(s string) (tables.Component, error) { return alkali(t, s) })
	cli.Positive(in, "strength", *strength)
	if in.Err != nil {
		return in.Err
	}
	v, err := vessel(t, warmth, *strength, metal, *salt)
	if err != nil {
		return err
	}

	l := &cli.Lesson{Table: cli.Table{Title: "Fraction of the EDTA in each form", Columns: []string{"ph", "p_conc_h"}, By: "species"}}
	forms, err := forms(t, metal)
	if err != nil {
		return err
	}
	for _, form := range forms {
		l.Columns = append(l.Columns, "fraction ("+form.String()+")")
	}
	crossing, neutral := math.NaN(), math.NaN()
	for _, pH := range grid {
		if err := v.HoldPH(pH); err != nil {
			return err
		}
		st, err := v.Equilibrate()
		if err != nil {
			return err
		}
		spread, err := st.Distribution("edta4-")
		if err != nil {
			return err
		}
		share := map[string]float64{}
		for _, x := range spread {
			share[x.Species] = x.Value
		}
		row := []any{pH, st.PConcH}
		for _, form := range forms {
			row = append(row, share[form.String()])
		}
		l.Add(row...)
		bare := share["edta4-"]
		if math.IsNaN(crossing) && bare+share[forms[len(forms)-1].String()] >= 0.5 {
			crossing = pH
		}
		if pH == 7 {
			neutral = bare
		}
	}
	if !math.IsNaN(crossing) {
		l.Remark("From pH %g on, most of the EDTA carries no proton.", crossing)
	}
	if !math.IsNaN(neutral) {
		l.Remark("At pH 7 the bare ion is %.2g %% of the EDTA, and yet iron(III) is held there: its constant, 10^25, makes up for that. See competition.", 100*neutral)
	}
	return l.Write(out, format)
}

// alkali finds an ion whose salts leave the water neutral.
func alkali(t *tables.Tables, name string) (tables.Component, error) {
	c, err := t.Component(name)
	if s := c.Species.String(); err == nil && s != "Na+" && s != "K+" {
		err = cli.Usagef("%q: want Na+ or K+", name)
	}
	return c, err
}

// vessel is a litre with no more than EDTA and salt in it.
func vessel(t *tables.Tables, warmth unit.Temperature, strength float64, cation tables.Component, salt float64) (*solution.Solution, error) {
	v, err := solution.New(t, warmth)
	if err != nil {
		return nil, err
	}
	if err := v.AddPureWater(unit.Volume(1e-3)); err != nil {
		return nil, err
	}
	for species, n := range map[string]float64{"edta4-": strength, cation.Species.String(): salt, "Cl-": salt} {
		if err := v.AddSpecies(species, unit.Mole(n)); err != nil {
			return nil, err
		}
	}
	return v, v.Bar("H4edta(s)") // a solid would take its part away from the fractions
}

// forms are the species that EDTA makes with protons, from the most protonated to
// the bare ion, and then with the cation.
func forms(t *tables.Tables, cation tables.Component) ([]chem.Species, error) {
	var out []chem.Species
	for _, p := range [][]string{{"edta4-"}, {"edta4-", cation.Species.String()}} {
		all, err := t.Between(p...)
		if err != nil {
			return nil, err
		}
		for _, x := range all {
			if x.Species.Phase == chem.Aqueous {
				out = append(out, x.Species)
			}
		}
	}
	return out, nil
}
