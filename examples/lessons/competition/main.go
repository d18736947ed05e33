// Command competition lets calcium and iron compete for EDTA.
//
// Iron(III) is held by EDTA 10^25 times over, calcium 10^11: on paper calcium
// has no chance. But each has a rival of its own. Protons compete with calcium
// for the chelant, and hydroxide competes with the chelant for iron. The
// conditional constant K′ counts both in:
//
//	log K′ = log K − log α(metal) − log α(ligand) + log α(complex)
//
// In acid iron wins by far, and the two K′ cross near pH 10. The last columns let
// the metals fight it out, with as much EDTA as of either. Calcium wins two
// units earlier than the constants say: iron that loses settles as hydroxide,
// and what has settled is out of the ring.
package main

import (
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
)

func main() { cli.Main("competition", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("competition", "lets calcium and iron compete for EDTA.", out)
	strength := f.Float64("strength", 0.05, "EDTA, iron(III) and calcium, each in mol/L")
	sodium := f.Float64("sodium", 0.2, "sodium chloride in mol/L")
	temperature := f.String("temperature", "20 °C", "of the bath")
	pHs := f.String("ph", "3,4,5,6,7,8,8.5,9,9.5,10,10.5,11,11.5,12,13", "pH to look at")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	warmth := cli.Flag(in, "temperature", *temperature, measure.ParseTemperature)
	grid := cli.Flag(in, "ph", *pHs, cli.Numbers)
	cli.Positive(in, "strength", *strength)
	if in.Err != nil {
		return in.Err
	}

	v, err := solution.New(t, warmth)
	if err != nil {
		return err
	}
	if err := v.AddPureWater(unit.Volume(1e-3)); err != nil {
		return err
	}
	for species, n := range map[string]float64{
		"edta4-": *strength, "Fe3+": *strength, "Ca2+": *strength, "Na+": *sodium, "Cl-": *sodium,
	} {
		if err := v.AddSpecies(species, unit.Mole(n)); err != nil {
			return err
		}
	}
	l := &cli.Lesson{Table: cli.Table{
		Title:   "Calcium and iron(III) compete for EDTA",
		Columns: []string{"ph", "log10_k_conditional_iron", "log10_k_conditional_calcium", "edta_with_iron", "edta_with_calcium", "iron_settled"},
	}}
	last := math.NaN()
	for _, pH := range grid {
		if err := v.HoldPH(pH); err != nil {
			return err
		}
		st, err := v.Equilibrate()
		if err != nil {
			return err
		}
		free, err := st.Concentration("Na+")
		if err != nil {
			return err
		}
		around := solution.Surroundings{
			Temperature: warmth, IonicStrength: st.IonicStrengthMolPerLitre, Free: map[string]float64{"Na+": free},
		}
		logK := map[string]float64{}
		for _, metal := range []string{"Fe3+", "Ca2+"} {
			pair, err := solution.NewPair(t, metal, "edta", around)
			if err != nil {
				return err
			}
			logK[metal] = pair.LogConditional(pH)
		}
		iron, err := held(st, "edta4-", "Fe3+")
		if err != nil {
			return err
		}
		calcium, err := held(st, "edta4-", "Ca2+")
		if err != nil {
			return err
		}
		mud, err := settled(st, "Fe3+")
		if err != nil {
			return err
		}
		l.Add(pH, logK["Fe3+"], logK["Ca2+"], iron, calcium, mud)
		if calcium > iron && math.IsNaN(last) {
			last = pH
		}
	}
	if !math.IsNaN(last) {
		l.Remark("At pH %g calcium has pushed out most of the iron, which settles: why a used bath in hard water drops brown mud when it is made alkaline.", last)
	}
	return l.Write(out, format)
}

// held is the part of a component that sits in dissolved species with another.
func held(st *solution.State, component, other string) (float64, error) {
	with := map[string]bool{}
	for _, d := range st.Species {
		with[d.Species] = slices.ContainsFunc(d.Made, func(c solution.Content) bool { return c.Component == other })
	}
	return share(st, component, with)
}

// settled is the part of a component in solids.
func settled(st *solution.State, component string) (float64, error) {
	solid := map[string]bool{}
	for _, s := range st.Solids {
		solid[s.Species] = true
	}
	return share(st, component, solid)
}

// share is the part of a component that sits in the species listed.
func share(st *solution.State, component string, species map[string]bool) (float64, error) {
	spread, err := st.Distribution(component)
	sum := 0.0
	for _, x := range spread {
		if species[x.Species] {
			sum += x.Value
		}
	}
	return sum, err
}
