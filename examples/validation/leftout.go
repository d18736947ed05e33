package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"example.com/chelation/chem"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/tables"
)

// foretold is a value of log10 K that a fit to the same reaction at other
// conditions was asked for.
type foretold struct {
	equilibrium tables.Equilibrium
	observation chem.Observation
	difference  float64 // foretold less published
	sigma       float64 // of the difference, as stated by the fit and by the source
	others      int     // conditions that the fit knows values at
}

func (f foretold) z() float64 { return f.difference / f.sigma }

// Observations within these are of the same conditions.
const (
	sameTemperature = 3    // K
	sameStrength    = 0.05 // mol/L
)

// knownAt are values of log10 K in use, one for each of the conditions that they are of.
func knownAt(observations []chem.Observation) (one []chem.Observation) {
	for _, o := range observations {
		if o.Used && o.Quantity == chem.Log10K && !slices.ContainsFunc(one, func(a chem.Observation) bool { return alike(a, o) }) {
			one = append(one, o)
		}
	}
	return one
}

func alike(a, b chem.Observation) bool {
	return math.Abs(a.TemperatureC-b.TemperatureC) < sameTemperature && math.Abs(a.IonicStrengthMolPerLitre-b.IonicStrengthMolPerLitre) < sameStrength
}

// leftOut foretells, for every reaction that is known at more than one temperature or
// ionic strength, the values at each of them without those.
func leftOut(t *tables.Tables) []foretold {
	var out []foretold
	for e := range t.Equilibria() {
		for _, at := range knownAt(e.Observations) {
			rest := slices.Clone(e.Observations)
			var asked []chem.Observation
			for k, o := range rest {
				if o.Used && o.Quantity == chem.Log10K && alike(at, o) {
					rest[k].Used = false
					asked = append(asked, o)
				}
			}
			f, err := chem.Fit(e.Reaction, rest, e.Prior)
			if err != nil {
				continue // the rest is too little
			}
			for _, o := range asked {
				celsius, i := chem.Celsius(o.TemperatureC), o.IonicStrengthMolPerLitre
				out = append(out, foretold{e, o, f.Log10K(celsius, i) - o.Value - o.Shift, math.Hypot(o.Sigma(), f.Sigma(celsius, i)), len(knownAt(rest))})
			}
		}
	}
	return out
}

// leftOutGroups are the lines of the report.
var leftOutGroups = []struct {
	name string
	has  func(foretold) bool
}{
	{"EDTA", func(f foretold) bool { return f.equilibrium.Table == "edta" }},
	{"citrate", func(f foretold) bool { return f.equilibrium.Table == "citrate" }},
	{"both, Na+ salts", func(f foretold) bool { return f.bathLigand() && strings.HasPrefix(f.observation.Medium, "Na") }},
	{"both, K+ salts", func(f foretold) bool { return f.bathLigand() && strings.HasPrefix(f.observation.Medium, "K") }},
	{"all", func(foretold) bool { return true }},
}

func (f foretold) bathLigand() bool {
	return f.equilibrium.Table == "edta" || f.equilibrium.Table == "citrate"
}

// wellKnown ends the name of a group of values whose reactions are known at two other
// conditions or more, so that they say themselves how the constant moves.
const wellKnown = ", two others"

// leftOutSummaries are those of all groups, and then of what is well known in each.
func leftOutSummaries(all []foretold) (out []leftOutSummary) {
	for _, least := range []int{1, 2} {
		for _, group := range leftOutGroups {
			s := summariseLeftOut(slices.DeleteFunc(slices.Clone(all), func(f foretold) bool { return !group.has(f) || f.others < least }))
			s.group = group.name
			if least > 1 {
				s.group += wellKnown
			}
			out = append(out, s)
		}
	}
	return out
}

// leftOutSummary is how well a group was foretold.
type leftOutSummary struct {
	group                   string
	rows                    int
	median, ninety5th, bias float64 // of |difference|; the bias is the median of the difference
	withinTwo               float64 // share of |z| ≤ 2
}

func summariseLeftOut(all []foretold) leftOutSummary {
	var size, signed []float64
	within := 0
	for _, f := range all {
		size, signed = append(size, math.Abs(f.difference)), append(signed, f.difference)
		if math.Abs(f.z()) <= 2 {
			within++
		}
	}
	slices.Sort(size)
	slices.Sort(signed)
	if len(all) == 0 {
		return leftOutSummary{}
	}
	return leftOutSummary{"", len(all), stat.Quantile(0.5, stat.Empirical, size, nil), stat.Quantile(0.95, stat.Empirical, size, nil),
		stat.Quantile(0.5, stat.Empirical, signed, nil), float64(within) / float64(len(all))}
}

// writeLeftOut prints the summary and the values of the bath's ligands that were
// missed by more than twice the stated uncertainty.
func writeLeftOut(w io.Writer, all []foretold) error {
	fmt.Fprint(w, "log10 K at a temperature or ionic strength, foretold by a fit to the same reaction without the values there\n\n")
	table := &cli.Table{Columns: []string{"reactions of", "values", "median", "95th percentile", "bias", "|z| ≤ 2"}}
	for _, s := range leftOutSummaries(all) {
		table.Add(s.group, s.rows, fmt.Sprintf("%.3f", s.median), fmt.Sprintf("%.2f", s.ninety5th), fmt.Sprintf("%+.3f", s.bias), fmt.Sprintf("%.0f %%", 100*s.withinTwo))
	}
	if err := table.Print(w); err != nil {
		return err
	}
	missed := slices.DeleteFunc(slices.Clone(all), func(f foretold) bool { return !f.bathLigand() || math.Abs(f.z()) <= 2 })
	slices.SortStableFunc(missed, func(a, b foretold) int { return cmp.Compare(math.Abs(b.z()), math.Abs(a.z())) })
	fmt.Fprintln(w, "\nEDTA and citrate, missed by more than twice the stated uncertainty:")
	table = &cli.Table{Columns: []string{"reaction", "°C", "mol/L", "medium", "published", "difference", "z"}}
	for _, f := range missed {
		o := f.observation
		table.Add(f.equilibrium.Reaction.String(), fmt.Sprintf("%.0f", o.TemperatureC), fmt.Sprint(o.IonicStrengthMolPerLitre), o.Medium, fmt.Sprintf("%.2f", o.Value), fmt.Sprintf("%+.2f", f.difference), fmt.Sprintf("%+.1f", f.z()))
	}
	return table.Print(w)
}
