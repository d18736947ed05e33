// Command titrate predicts a titration: the curve as a table, as CSV or as JSON,
// and where it ends by stoichiometry, by inflection and by indicator.
//
// Without flags it is the hardness test of the neighbourhood tool library's tap
// water: 50 mL at pH 10 with 0.01 mol/L EDTA, followed by free magnesium, which
// the indicator follows too. Others:
//
//	titrate -water "" -holds "0.1 mol/L acetic acid" -titrant "0.1 mol/L sodium hydroxide" -follow H+ -ph free
//	titrate -titrant "0.02 mol/L HCl" -follow H+ -ph free -sample "100 mL"       # alkalinity
//	titrate -csv -points 401 -species "Ca2+, Mg2+" > curve.csv
//
// With -fit it finds concentrations and constants from readings of what is
// followed, "mL,pH" a line:
//
//	titrate -water "" -holds "0.08 mol/L Hac" -titrant "0.1 mol/L sodium hydroxide" -follow H+ -ph free -fit "Hac; pKa Hac" < readings.csv
//
// What the vessels hold is a list with semicolons, of amounts per litre of
// reagents or of species: "0.1 mol/L acetic acid; 5 g/L sodium chloride; 2 mmol/L
// Ca2+".
package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

func main() { cli.Main("titrate", run) }

type options struct {
	sample, water, holds, titrant, follow, ph, to, temperature string
	balance, indicators, species, allow, constants             string
	points                                                     int
	step, tolerance                                            float64
	ideal, slopes, robust                                      bool
	fit, readings                                              string
	phError, mlError                                           float64
}

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("titrate", "predicts a titration.", out,
		`titrate -titrant "0.02 mol/L HCl" -follow H+ -ph free -sample "100 mL"`,
		`titrate -csv -points 41 -species "Ca2+, Mg2+"`)
	var o options
	f.StringVar(&o.sample, "sample", "50 mL", "volume of the sample")
	f.StringVar(&o.water, "water", "moderately hard tap water", `a water of the tables that the sample is made with; "" is pure water`)
	f.StringVar(&o.holds, "holds", "", `what else the sample holds, such as "0.1 mol/L acetic acid; 2 mmol/L Ca2+"`)
	f.StringVar(&o.titrant, "titrant", "0.01 mol/L disodium EDTA", "what the titrant holds, in the same way")
	f.StringVar(&o.follow, "follow", "Mg2+", "the ion that is followed: H+ for pH, Ca2+ for pCa")
	f.StringVar(&o.ph, "ph", "10", `pH that a buffer holds, or "free"`)
	f.StringVar(&o.to, "to", "", "volume of titrant at the end; half as much again as the last equivalence point when left out")
	f.StringVar(&o.temperature, "temperature", "25 °C", "of sample and titrant")
	f.StringVar(&o.balance, "equivalence", "", `an equation between amounts, such as "Ca2+ + Mg2+ = edta4-"; found when left out`)
	f.StringVar(&o.indicators, "indicators", "", "names, separated by commas; all that know the ion when left out")
	f.StringVar(&o.species, "species", "", "species to print too, separated by commas")
	f.StringVar(&o.allow, "allow", "", "solids that may form beyond those that do by default, separated by semicolons")
	f.StringVar(&o.constants, "constants", "", `constants in the place of the tables', log10 K from the components: "Hac=4.76; Ca(edta)2-=10.65 at 0.1"; an ionic strength in mol/L follows "at", 0 when left out`)
	f.BoolVar(&o.ideal, "ideal", false, "take activity coefficients as one, as introductory textbooks do")
	f.IntVar(&o.points, "points", 31, "evenly spaced")
	f.Float64Var(&o.step, "step", 0, "largest change of pH or pM between points: more are put where the curve is steep; 0 puts none")
	f.Float64Var(&o.tolerance, "tolerance", 0.01, "titration error, relative, up to which an indicator suits")
	f.BoolVar(&o.slopes, "slopes", false, "print first and second derivative")
	f.StringVar(&o.fit, "fit", "", `unknowns to find from readings: "Hac; pKa Hac; log K Ca(edta)^2-; strength; offset"`)
	f.StringVar(&o.readings, "readings", "-", "file of mL,pH for -fit; - is standard input")
	f.Float64Var(&o.phError, "ph-error", 0, "standard uncertainty of a reading of pH or pM; 0 takes it from the scatter")
	f.Float64Var(&o.mlError, "ml-error", 0, "standard uncertainty of each volume, mL")
	f.BoolVar(&o.robust, "robust", false, "let readings that lie off weigh less")
	t, _, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	if err := cli.Idle(f, []string{"fit"}, "readings", "ph-error", "ml-error", "robust"); err != nil {
		return err
	}
	ctx := context.Background()
	job, err := o.job(t)
	if err != nil {
		return err
	}
	if o.fit != "" {
		return job.fit(ctx, o, format, out)
	}
	if format.CSV {
		return job.stream(ctx, out)
	}
	r, err := job.result(ctx)
	if err != nil {
		return err
	}
	if format.JSON {
		return cli.JSON(out, r)
	}
	return r.print(format.Glass(out))
}

// job is a titration with what is asked of it.
type job struct {
	run        *titration.Titration
	grid       titration.Grid
	upTo       unit.Volume
	equivalent []titration.Equivalent
	indicators []tables.Indicator
	columns    []string // species to print
	tolerance  float64
	tables     *tables.Tables
	warmth     unit.Temperature
}

func (o options) job(t *tables.Tables) (*job, error) {
	var in cli.Input
	volume := cli.Flag(&in, "sample", o.sample, measure.ParseVolume)
	temperature := cli.Flag(&in, "temperature", o.temperature, measure.ParseTemperature)
	if in.Err != nil {
		return nil, in.Err
	}
	mixture := func(v unit.Volume, water string) func(string) (*solution.Solution, error) {
		return func(text string) (*solution.Solution, error) { return mix(t, temperature, v, water, text) }
	}
	sample := cli.Flag(&in, "holds", o.holds, mixture(volume, o.water))
	titrant := cli.Flag(&in, "titrant", o.titrant, mixture(1e-3, ""))
	if in.Err != nil {
		return nil, in.Err
	}
	cli.Flag(&in, "constants", o.constants, func(text string) (any, error) { return nil, setConstants(sample, text) })
	sample.SetIdeal(o.ideal)
	for solid := range strings.SplitSeq(o.allow, ";") {
		if solid = strings.TrimSpace(solid); solid != "" {
			cli.Flag(&in, "allow", solid, func(s string) (any, error) { return nil, sample.Allow(s) })
		}
	}
	if o.ph != "free" {
		pH := cli.Flag(&in, "ph", o.ph, func(text string) (float64, error) {
			x, err := strconv.ParseFloat(text, 64)
			if err != nil {
				return 0, cli.Usagef("%q: want a number or free", text)
			}
			return x, nil
		})
		cli.Flag(&in, "ph", o.ph, func(string) (any, error) { return nil, sample.HoldPH(pH) })
	}
	if in.Err != nil {
		return nil, in.Err
	}
	j := &job{tolerance: o.tolerance, tables: t, warmth: temperature}
	var err error
	if j.run, err = titration.New(sample, titrant, o.follow); err != nil {
		return nil, fmt.Errorf("-follow: %w", err)
	}
	if !(o.tolerance > 0 && o.tolerance <= 1) {
		return nil, cli.Usagef("-tolerance %g: want a number above 0 to 1", o.tolerance)
	}
	if err := j.ends(o); err != nil {
		return nil, err
	}
	j.grid = titration.Grid{UpTo: j.upTo, Points: o.points, Step: o.step, Slopes: o.slopes}
	for _, name := range cli.List(o.indicators) {
		j.indicators = append(j.indicators, cli.Flag(&in, "indicators", name, t.Indicator))
	}
	if o.indicators == "" {
		j.indicators = slices.Collect(tables.All[tables.Indicator](t))
	}
	for _, name := range cli.List(o.species) {
		f := cli.Flag(&in, "species", name, t.Formation)
		j.columns = append(j.columns, f.Species.String())
	}
	j.grid.Species = j.columns
	return j, in.Err
}

// ends finds the equivalence points and where to stop.
func (j *job) ends(o options) error {
	const ocean = unit.Volume(1) // beyond any burette
	if o.balance != "" {
		v, err := j.run.Equivalence(o.balance)
		if err != nil {
			return cli.Usagef("-equivalence: %w", err)
		}
		j.equivalent = []titration.Equivalent{{Balance: o.balance, ML: float64(v) * 1e6}}
	} else {
		var err error
		if j.equivalent, err = j.run.Equivalents(ocean); err != nil {
			return err
		}
	}
	if o.to != "" {
		var err error
		if j.upTo, err = measure.ParseVolume(o.to); err != nil {
			return fmt.Errorf("-to: %w", err)
		}
		j.equivalent = slices.DeleteFunc(j.equivalent, func(e titration.Equivalent) bool { return e.ML > float64(j.upTo)*1e6 })
		return nil
	}
	if len(j.equivalent) == 0 {
		return cli.Usagef("-to: this titration has no equivalence point to stop after: want a volume")
	}
	j.upTo = unit.Volume(1.5e-6 * j.equivalent[len(j.equivalent)-1].ML)
	return nil
}

// mix makes a vessel of a volume of water with amounts per litre of that volume.
func mix(t *tables.Tables, temperature unit.Temperature, v unit.Volume, water, text string) (*solution.Solution, error) {
	s, err := solution.New(t, temperature)
	if err != nil {
		return nil, err
	}
	if water == "" {
		err = s.AddPureWater(v)
	} else {
		var w tables.Water
		if w, err = t.Water(water); err == nil {
			err = s.AddWater(w, v)
		}
	}
	if err != nil {
		return nil, err
	}
	for entry := range strings.SplitSeq(text, ";") {
		if entry = strings.TrimSpace(entry); entry != "" {
			if err := add(t, s, entry, float64(v)*1000); err != nil {
				return nil, err
			}
		}
	}
	// what dissolved takes up room: back to the mark
	if excess := s.Volume() - v; excess > 0 {
		if err := s.Evaporate(excess); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// add puts "0.1 mol/L acetic acid" into litres of a vessel.
func add(t *tables.Tables, s *solution.Solution, entry string, litres float64) error {
	fields := strings.SplitN(entry, " ", 3)
	const example = `such as "0.1 mol/L acetic acid", "2 mmol/L Ca2+" or "5 g/L sodium chloride"`
	if len(fields) < 3 {
		return cli.Usagef("%q: want an amount per litre of something, %s", entry, example)
	}
	x, err := strconv.ParseFloat(fields[0], 64)
	if err != nil || !(x >= 0 && x <= 1e4) {
		return cli.Usagef("%q: want a number from 0, %s", entry, example)
	}
	perMole, grams := map[string]float64{"mol/L": 1, "M": 1, "mmol/L": 1e-3, "mM": 1e-3}, map[string]float64{"g/L": 1, "mg/L": 1e-3}
	amount, mass := perMole[fields[1]]*x*litres, grams[fields[1]]*x*litres
	name := strings.TrimSpace(fields[2])
	r, missing := t.Reagent(name)
	switch {
	case perMole[fields[1]] == 0 && grams[fields[1]] == 0:
		return cli.Usagef("%q: want mol/L, mmol/L, g/L or mg/L, %s", entry, example)
	case missing == nil && grams[fields[1]] > 0:
		return s.Add(r, unit.Mass(mass/1000))
	case missing == nil:
		return s.AddMoles(r, unit.Mole(amount))
	}
	f, err := t.Formation(name)
	if err != nil {
		return missing // its suggestions are of things that can be bought
	}
	if grams[fields[1]] > 0 {
		amount = mass / f.Species.Formula.MolarMass()
	}
	if f.Species.Phase != chem.Aqueous {
		return cli.Usagef("%q: want something dissolved", entry)
	}
	return s.AddSpecies(name, unit.Mole(amount))
}

func setConstants(s *solution.Solution, text string) error {
	for entry := range strings.SplitSeq(text, ";") {
		if entry = strings.TrimSpace(entry); entry == "" {
			continue
		}
		i := strings.LastIndex(entry, "=")
		if i < 0 {
			return cli.Usagef("%q: want species=log K", entry)
		}
		logK, at, given := strings.Cut(entry[i+1:], " at ")
		k, err := strconv.ParseFloat(strings.TrimSpace(logK), 64)
		ionic := 0.0
		if err == nil && given {
			ionic, err = strconv.ParseFloat(strings.TrimSpace(at), 64)
		}
		if err != nil {
			return cli.Usagef("%q: want species=log K, or species=log K at an ionic strength", entry)
		}
		if err := s.SetConstant(strings.TrimSpace(entry[:i]), k, ionic); err != nil {
			return err
		}
	}
	return nil
}
