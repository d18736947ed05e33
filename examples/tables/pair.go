package main

import (
	"fmt"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
)

// pair answers for a metal and a ligand: conditional constants over pH.
func (q question) pair(metal, ligand string) (*answer, error) {
	if metal == "" || ligand == "" {
		return nil, cli.Usagef("want -metal and -ligand together")
	}
	p, err := solution.NewPair(q.Tables, metal, ligand, solution.Surroundings{
		Temperature: q.temperature, IonicStrength: q.ionic, Free: q.free,
	})
	if err != nil {
		return nil, err
	}
	a := &answer{}
	a.Title = fmt.Sprintf("%s with %s at %s", metal, ligand, q.at())
	a.Columns = []string{"ph", "p_conc_h", "log10_alpha_metal", "log10_alpha_ligand", "free_fraction", "log10_alpha_complex", "log10_k_conditional"}
	for _, pH := range q.pH {
		a.Add(decimal{pH, 2}, decimal{p.PConcH(pH), 2}, logK(p.LogAlphaMetal(pH)), logK(p.LogAlphaLigand(pH)),
			p.Fraction(pH), logK(p.LogAlphaComplex(pH)), logK(p.LogConditional(pH)))
		for _, w := range p.Warnings(pH) {
			a.remarks = append(a.remarks, fmt.Sprintf("pH %g: %s is measured at %s", pH, w.Species, w.Span))
		}
	}
	if low, high, err := p.Window(solution.EndpointLogK); err == nil {
		a.remarks = append(a.remarks, fmt.Sprintf("log10 K′ is %d or more from pH %.2f to %.2f", solution.EndpointLogK, low, high))
	} else {
		a.remarks = append(a.remarks, err.Error())
	}
	forms, err := q.Between(metal, ligand)
	if err != nil {
		return nil, err
	}
	for _, f := range forms {
		a.remarks = append(a.remarks, fmt.Sprintf("%s: log10 β = %.2f", q.formation(f), f.Constant.Log10K(q.temperature, q.ionic)))
		for _, step := range f.Steps {
			e, _ := q.EquilibriumAt(step.Equilibrium)
			a.cite(used(e)...)
		}
	}
	return a, nil
}
