package main

import (
	"fmt"
	"io"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/titration"
)

// figures lists the results with their units, for the CSV and the table.
func (r *result) figures() []struct {
	id, name, unit string
	titration.Result
} {
	return []struct {
		id, name, unit string
		titration.Result
	}{
		{"concentration_mol_per_l", "free chelant", "mol/L", r.Free.ConcentrationMolPerLitre},
		{"amount_mol", "in the whole bath", "mol", r.Free.AmountMoles},
		{"iron_g", "iron it can still bind", "g", r.Free.IronGrams},
		{"rust_g", "rust, as FeO(OH)", "g", r.Free.RustGrams},
	}
}

func (r *result) csv(out io.Writer) error {
	if r.AtMost != nil {
		t := cli.Table{Columns: []string{"free_chelant_at_most_mol_per_l", "rust_at_most_g"}}
		t.Add(r.AtMost.MolPerLitre, r.AtMost.RustGrams)
		return t.CSV(out)
	}
	t := cli.Table{Columns: []string{"id", "quantity", "unit", "value", "standard_uncertainty"}}
	for _, f := range r.figures() {
		t.Add(f.id, f.name, f.unit, f.Value, f.Standard)
	}
	return t.CSV(out)
}

func (r *result) print(out io.Writer) error {
	var b strings.Builder
	if r.Doubt != "" {
		fmt.Fprintf(&b, "%s\n\n", r.Doubt)
	}
	if x := r.AtMost; x != nil {
		fmt.Fprintf(&b, "No free chelant shows: the bath is spent. What a drop counts leaves at most %s mol/L, which is %s of rust in %s.\n"+
			"Next: a new bath. To see less than that, take more bath for the test, or a kit with finer drops.\n",
			cli.Round(x.MolPerLitre), measure.FormatGrams(x.RustGrams), measure.FormatVolume(r.bath))
		return r.cautioned(out, &b)
	}
	rust := r.Free.RustGrams
	fmt.Fprintf(&b, "Next: go on with this bath; it has room for %s of rust, give or take %s. Test it again when half of that has gone in.\n\n",
		measure.FormatGrams(rust.Value), measure.FormatGrams(2*rust.Standard))
	fmt.Fprintf(&b, "A bath of %s can still bind\n", measure.FormatVolume(r.bath))
	for _, f := range r.figures() {
		fmt.Fprintf(&b, "  %s %s  (%s)\n", f.Result, f.unit, f.name)
	}
	fmt.Fprintf(&b, "  ± is one standard uncertainty, %.0f %%; twice that holds the truth 19 times in 20.\n\n", 100*r.Relative)
	b.WriteString("Where the uncertainty comes from\n")
	for _, p := range r.parts {
		fmt.Fprintf(&b, "  %4.1f %%  %s\n", 100*p.Standard/r.Free.ConcentrationMolPerLitre.Value, p.Source)
	}
	if i := r.Interference; i != nil {
		b.WriteString("\nIron in a calcium titration at pH 10\n")
		say := func(what string, x *float64) {
			if x == nil {
				fmt.Fprintf(&b, "  %s: the indicator does not turn\n", what)
				return
			}
			fmt.Fprintf(&b, "  %s: %.3g mol/L, %+.1f %%\n", what, *x, 100*(*x/r.Free.ConcentrationMolPerLitre.Value-1))
		}
		say("done within minutes", i.QuickMolPerLitre)
		say("left until the iron has settled", i.SlowMolPerLitre)
	}
	if r.Schemes != nil {
		b.WriteString("\nHow to measure it with calcium\n")
		for _, s := range r.Schemes {
			source, _ := s.Result.Dominant()
			note := ""
			if !s.Meets {
				note = ", not as well as wanted"
			}
			fmt.Fprintf(&b, "  %s; %g mol/L from a %s, about %s: ±%.1f %%%s; most of it %s\n",
				s.SampleWith, s.StrengthMolPerLitre, s.With, measure.FormatVolume(unit.Volume(s.TitrantML)*measure.Millilitre), 100*s.Result.Relative(), note, source)
		}
	}
	return r.cautioned(out, &b)
}

// cautioned writes the text with the cautions after it.
func (r *result) cautioned(out io.Writer, b *strings.Builder) error {
	b.WriteString("\nTake care\n")
	for _, c := range r.Cautions {
		fmt.Fprintf(b, "  %s\n", c)
	}
	_, err := io.WriteString(out, b.String())
	return err
}
