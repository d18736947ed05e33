package chem

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"
)

// Constant is an equilibrium constant as a function of temperature and ionic strength,
//
//	log10 K(T, I) = log10 K°(T) + Δz² D(I, T) − Δε I
//	ln K°(T) = ln K°(T0) + ΔH/R (1/T0 − 1/T) + ΔCp/R (T0/T − 1 + ln(T/T0))
//
// with T0 = 25 °C and D from [DebyeHuckel]: the specific ion interaction form of the IUPAC and
// OECD–NEA reviews (L. Ciavatta, Ann. Chim. (Rome) 70 (1980) 551) and the van 't Hoff equation with
// a constant heat capacity of reaction. K is a quotient of concentrations in mol/L (pressures in
// atm); water is left out. The zero value is K = 1 without uncertainty, at any T and I.
type Constant struct {
	LogK       float64       `json:"log10_k_at_zero_i"`                  // log10 K° at 25 °C and zero ionic strength
	DeltaH     float64       `json:"reaction_enthalpy_j_per_mol"`        // enthalpy of reaction at 25 °C and zero ionic strength, J/mol
	DeltaCp    float64       `json:"reaction_heat_capacity_j_per_mol_k"` // heat capacity of reaction, J/(mol K)
	DeltaEps   float64       `json:"interaction_l_per_mol"`              // Δε, L/mol
	DeltaZ2    float64       `json:"charge_square_change"`               // Δz², products less reactants
	Covariance [4][4]float64 `json:"covariance"`                         // of LogK, DeltaH, DeltaCp and DeltaEps, by [Fit]
	Span       Span          `json:"span"`                               // where the constant rests on data
}

// Span is a region of temperature and ionic strength; the zero value is everywhere.
type Span struct {
	LowC            float64 `json:"low_temperature_c"`
	HighC           float64 `json:"high_temperature_c"`
	HighMolPerLitre float64 `json:"high_ionic_strength_mol_per_l"` // the low end is always 0
}

// edge is how far, relatively, a point may lie beyond the data and still count as within: judgement.
const edge = 1e-3

// Contains reports whether a temperature and an ionic strength (mol/L) lie in the region.
func (s Span) Contains(t unit.Temperature, i float64) bool {
	c, k := float64(t-Celsius(0)), edge*float64(ReferenceTemperature)
	return s == Span{} || c >= s.LowC-k && c <= s.HighC+k && i <= s.HighMolPerLitre*(1+edge)
}

// String writes the region as a reader of a warning wants it.
func (s Span) String() string {
	switch {
	case s == (Span{}):
		return "any temperature and ionic strength"
	case s.LowC > s.HighC: // of a sum whose steps were measured apart
		return "no one temperature"
	}
	return fmt.Sprintf("%.0f to %.0f °C, I up to %.2g mol/L", s.LowC, s.HighC, s.HighMolPerLitre)
}

// gradient returns the derivatives of log10 K, which is linear in LogK, DeltaH, DeltaCp
// and DeltaEps, by these.
func gradient(t unit.Temperature, i float64) [4]float64 {
	const t0 = float64(ReferenceTemperature)
	k := float64(t)
	return [4]float64{
		1,
		(1/t0 - 1/k) / (GasConstant * math.Ln10),
		(t0/k - 1 + math.Log(k/t0)) / (GasConstant * math.Ln10),
		-i,
	}
}

// Log10K returns log10 K at temperature t and ionic strength i in mol/L.
func (c Constant) Log10K(t unit.Temperature, i float64) float64 {
	g := gradient(t, i)
	return c.LogK*g[0] + c.DeltaH*g[1] + c.DeltaCp*g[2] + c.DeltaEps*g[3] + c.DeltaZ2*DebyeHuckel(i, t)
}

// curvature is the standard uncertainty of log10 K, per Δz², because one linear term does
// not follow a reaction from I = 0 to 1 mol/L: judgement, see [Fit].
const curvature = 0.015

// Sigma returns the standard uncertainty of log10 K at temperature t and ionic strength
// i in mol/L: that of the covariance, and 0.015 |Δz²| for what one linear term leaves out.
func (c Constant) Sigma(t unit.Temperature, i float64) float64 {
	g := gradient(t, i)
	sum := curvature * curvature * c.DeltaZ2 * c.DeltaZ2
	for a := range g {
		for b := range g {
			sum += g[a] * c.Covariance[a][b] * g[b]
		}
	}
	return math.Sqrt(max(sum, 0))
}

// Enthalpy returns the enthalpy of reaction in J/mol at temperature t and ionic strength i
// in mol/L: the van 't Hoff slope of [Constant.Log10K], the change of D with T in it.
func (c Constant) Enthalpy(t unit.Temperature, i float64) float64 {
	const h = 0.5 // K: D is so smooth that this difference is exact to 1e-6
	slope := (DebyeHuckel(i, t+h) - DebyeHuckel(i, t-h)) / (2 * h)
	dilution := math.Ln10 * GasConstant * float64(t) * float64(t) * slope
	return c.DeltaH + c.DeltaCp*float64(t-ReferenceTemperature) + c.DeltaZ2*dilution
}

// Plus returns the constant of this reaction plus n times another, n being any number;
// the two are taken as independent.
func (c Constant) Plus(n float64, d Constant) Constant {
	c.LogK += n * d.LogK
	c.DeltaH += n * d.DeltaH
	c.DeltaCp += n * d.DeltaCp
	c.DeltaEps += n * d.DeltaEps
	c.DeltaZ2 += n * d.DeltaZ2
	for a := range c.Covariance {
		for b := range c.Covariance[a] {
			c.Covariance[a][b] += n * n * d.Covariance[a][b]
		}
	}
	switch s := d.Span; {
	case c.Span == Span{}:
		c.Span = s
	case s != Span{}:
		c.Span = Span{max(c.Span.LowC, s.LowC), min(c.Span.HighC, s.HighC), min(c.Span.HighMolPerLitre, s.HighMolPerLitre)}
	}
	return c
}
