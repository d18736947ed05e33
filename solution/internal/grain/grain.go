// Package grain is how rust dissolves: as grains that shrink evenly, so that what is left of it
// goes with the cube of their size u, from 1 to 0 (cube-root law: A. W. Hixson & J. H. Crowell,
// Ind. Eng. Chem. 23 (1931) 923).
package grain

import (
	"math"

	"example.com/chelation/chem"
)

// Slowing is the pH as a multiple of the slope that the rate has from 4 to 8: none below 4, twice
// as much above 8; 0 at pH 7. Judgement, as the row ph-slope of the tables tells.
func Slowing(pH float64) float64 {
	const acid, neutral, alkaline = 4, 7, 8
	return min(max(pH, acid), alkaline) - neutral + 2*max(0, pH-alkaline)
}

// Rust is a layer and the liquid that clings to it.
type Rust struct {
	Iron float64 // mol/m²
	Half float64 // free chelant that covers half of the surface, mol/m³
	Film float64 // m/s at which chelant comes through
}

// Shrink returns −du/dt in 1/s for grains that would go in so many seconds if covered with chelant
// and far from equilibrium, where there is free chelant in mol/m³ and an affinity of 1 far from
// equilibrium, 0 at it.
//
// The flux j per area of steel obeys two laws at once: the surface gives iron off as chelant covers
// it, and the film brings chelant as it is used up,
//
//	j = a θ,  θ = cₛ/(h + cₛ),  j = m (c − cₛ),  a = 3 N u² A/τ
//
// with the chelant at the surface cₛ, that of half coverage h, the film's m, the iron N, the
// affinity A and the time τ. That is a quadratic in j, whose root never exceeds a θ(c) nor m c.
func (r *Rust) Shrink(seconds, square, free, affinity float64) float64 {
	if free <= 0 || affinity <= 0 {
		return 0
	}
	a := 3 * r.Iron * square * affinity / seconds
	b := r.Half + free + a/r.Film
	return affinity / seconds * 2 * free / (b + math.Sqrt(b*b-4*a*free/r.Film))
}

// Arrhenius is how many times faster a step of an energy in kJ/mol goes at one temperature in K
// than at another.
func Arrhenius(energy, from, to float64) float64 {
	return math.Exp(1000 * energy / chem.GasConstant * (1/from - 1/to))
}

// Diffusion is how many times faster diffusion in water is at one temperature in K than at another:
// it follows T/η, and the viscosity of water, 1.002 mPa·s at 20 °C and 0.653 at 40 °C, asks for 19
// kJ/mol (arithmetic).
func Diffusion(from, to float64) float64 {
	const energy = 19
	return Arrhenius(energy, from, to)
}
