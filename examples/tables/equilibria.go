package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/tables"
)

// at tells the conditions.
func (q question) at() string {
	return fmt.Sprintf("%.4g °C and an ionic strength of %g mol/L", float64(q.temperature)-273.15, q.ionic)
}

// constant tells a constant at the conditions, and whether these are within
// its data.
func (q question) constant(k chem.Constant) string {
	text := fmt.Sprintf("log10 K = %.2f ± %.2f at %s; good for %s",
		k.Log10K(q.temperature, q.ionic), k.Sigma(q.temperature, q.ionic), q.at(), k.Span)
	if !k.Span.Contains(q.temperature, q.ionic) {
		text += " (beyond that)"
	}
	return text
}

func parameters(k chem.Constant) string {
	return fmt.Sprintf("log10 K° = %.3f, ΔH = %.2f kJ/mol, ΔCp = %.0f J/(mol K), Δε = %.3f L/mol, Δz² = %g",
		k.LogK, k.DeltaH/1000, k.DeltaCp, k.DeltaEps, k.DeltaZ2)
}

// species answers for one species: how it is made and from which rows.
func (q question) species(name string) (*answer, error) {
	f, err := q.Formation(name)
	if err != nil {
		return nil, err
	}
	a := &answer{}
	a.Title = f.Species.String()
	if n := q.Name(f.Species); n != "" {
		a.Title += ", " + n
	}
	a.Columns = observationColumns
	if len(f.Steps) == 0 {
		a.remarks = append(a.remarks, "a component: other species are made of it, and no constant makes it; -table species lists them")
		return a, nil
	}
	a.remarks = append(a.remarks, "made of the components as "+q.formation(f), q.constant(f.Constant))
	for i, step := range f.Steps {
		e, _ := q.EquilibriumAt(step.Equilibrium)
		link := "by"
		if i > 0 {
			link = "with"
		}
		a.remarks = append(a.remarks, fmt.Sprintf("%s %s: %s", link, e.Reaction, parameters(e.Constant)))
		a.observations(e)
	}
	return a, nil
}

// formation writes how a species is made of components; water is implied.
func (q question) formation(f tables.Formation) string {
	components := q.Components()
	var left, right []string
	for _, c := range f.Coefficients {
		text := components[c.Component].Species.String()
		if n := math.Abs(c.N); n != 1 {
			text = fmt.Sprintf("%g %s", n, text)
		}
		if c.N > 0 {
			left = append(left, text)
		} else {
			right = append(right, text)
		}
	}
	return strings.Join(left, " + ") + " = " + strings.Join(append([]string{f.Species.String()}, right...), " + ")
}

// reaction answers for any reaction between species.
func (q question) reaction(equation string) (*answer, error) {
	k, err := q.Constant(equation)
	if err != nil {
		return nil, cli.Usagef("-reaction: %w", err)
	}
	r, err := q.Notation().ParseReaction(equation)
	if err != nil {
		return nil, err
	}
	a := &answer{remarks: []string{q.constant(k), parameters(k)}}
	a.Title = r.String()
	a.Columns = []string{"species", "name", "log10_beta", "sigma", "made_by", "source"}
	for _, term := range r.Terms {
		if term.Species.String() == "H2O" {
			continue
		}
		f, err := q.Formation(term.Species.String())
		if err != nil {
			return nil, err
		}
		a.made(q, f)
	}
	return a, nil
}

// made adds a row for a species.
func (a *answer) made(q question, f tables.Formation) {
	by := ""
	var sources []string
	for i, step := range f.Steps {
		e, _ := q.EquilibriumAt(step.Equilibrium)
		if i == 0 {
			by = e.Reaction.String()
		}
		for _, s := range used(e) {
			if !slices.Contains(sources, s) {
				sources = append(sources, s)
			}
		}
	}
	a.Add(f.Species.String(), q.Name(f.Species), logK(f.Constant.Log10K(q.temperature, q.ionic)),
		decimal{f.Constant.Sigma(q.temperature, q.ionic), 2}, by, a.cite(sources...))
}

// used returns the sources of the rows that a constant rests on.
func used(e tables.Equilibrium) (sources []string) {
	for _, o := range e.Observations {
		if o.Used && !slices.Contains(sources, o.Source) {
			sources = append(sources, o.Source)
		}
	}
	return sources
}

var observationColumns = []string{"table", "reaction", "quantity", "temperature_c", "ionic_strength_mol_per_l", "medium",
	"value", "uncertainty", "use", "shift", "residual", "left_out", "source", "note"}

// observations adds the rows of a reaction: log10 K, or kJ/mol. The residual is
// against the fit; left_out is against a fit to the other rows.
func (a *answer) observations(e tables.Equilibrium) {
	for i, o := range e.Observations {
		quantity, scale, use := "log K", 1.0, "hold"
		if o.Quantity == chem.Enthalpy {
			quantity, scale = "enthalpy", 1000
		}
		leftOut := math.NaN()
		if o.Used {
			use = "fit"
			if x, ok := e.LeaveOut(i); ok {
				leftOut = x
			}
		}
		uncertainty := math.NaN()
		if o.Uncertainty > 0 {
			uncertainty = o.Uncertainty / scale
		}
		a.Add(e.Table, e.Reaction.String(), quantity, o.TemperatureC, decimal{o.IonicStrengthMolPerLitre, 2}, o.Medium,
			logK(o.Value/scale), logK(uncertainty), use, decimal{o.Shift, 2}, logK(o.Residual/scale), logK(leftOut/scale),
			a.cite(o.Source), o.Note)
	}
}

func observations(q question, a *answer) {
	a.Title = "Every published value, with what the fitted constant makes of it"
	a.Columns = observationColumns
	for _, e := range slices.Concat(slices.Collect(q.Equilibria()), slices.Collect(q.Unused())) {
		a.observations(e)
	}
}

// fits lists the fitted constants: what they are, how well they meet their rows,
// and how well they foretell a row left out.
func fits(q question, a *answer) {
	a.Title = "Fitted constants, and at " + q.at()
	a.remarks = []string{
		"log10 K(T, I) = log10 K°(T) + Δz² D(I, T) − Δε I; ΔH and ΔCp at 25 °C; D = A √I/(1 + 1.5 √I)",
		"fixed: what the data determine, the rest are defaults; residuals and rows left out in log units of the log K rows used",
	}
	a.Columns = []string{"table", "reaction", "log10_k_at_zero_i", "reaction_enthalpy_kj_per_mol", "reaction_heat_capacity_j_per_mol_k", "interaction_l_per_mol", "charge_square_change", "determined",
		"log10_k", "sigma", "low_temperature_c", "high_temperature_c", "high_ionic_strength_mol_per_l", "row_count", "used",
		"rms_residual", "worst_residual", "left_out", "left_out_median", "left_out_worst", "source"}
	var every []float64
	for e := range q.Equilibria() {
		var fixed []string
		for i, name := range []string{"K", "H", "Cp", "eps"} {
			if e.Determined[i] {
				fixed = append(fixed, name)
			}
		}
		var square, worst float64
		var n, rows int
		var left []float64
		for i, o := range e.Observations {
			if !o.Used {
				continue
			}
			rows++
			if o.Quantity != chem.Log10K {
				continue
			}
			n++
			square += o.Residual * o.Residual
			if math.Abs(o.Residual) > math.Abs(worst) {
				worst = o.Residual
			}
			if x, ok := e.LeaveOut(i); ok {
				left = append(left, math.Abs(x))
			}
		}
		every = append(every, left...)
		a.Add(e.Table, e.Reaction.String(), logK(e.LogK), kilojoules(e.DeltaH), decimal{e.DeltaCp, 0}, logK(e.DeltaEps), e.DeltaZ2,
			strings.Join(fixed, " "), logK(e.Log10K(q.temperature, q.ionic)), decimal{e.Sigma(q.temperature, q.ionic), 2},
			e.Span.LowC, e.Span.HighC, decimal{e.Span.HighMolPerLitre, 2}, len(e.Observations), rows,
			decimal{math.Sqrt(square / float64(n)), 3}, logK(worst), len(left), logK(quantile(left, 0.5)), logK(quantile(left, 1)), a.cite(used(e)...))
	}
	a.remarks = append(a.remarks, fmt.Sprintf("%d rows left out one at a time and foretold by the others: median error %.2f, nine in ten within %.2f, worst %.2f",
		len(every), quantile(every, 0.5), quantile(every, 0.9), quantile(every, 1)))
}

// quantile returns the value below which a part of the values lies,
// not-a-number for none.
func quantile(x []float64, part float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	slices.Sort(x)
	return x[min(int(part*float64(len(x))), len(x)-1)]
}

// allSpecies lists every species with its formation constant.
func allSpecies(q question, a *answer) {
	a.Title = "Species and log10 β of their formation from the components, at " + q.at()
	a.Columns = []string{"species", "name", "log10_beta", "sigma", "made_by", "source"}
	var every []int
	for i := range q.Components() {
		every = append(every, i)
	}
	for _, f := range q.Formations(every) {
		a.made(q, f)
	}
}
