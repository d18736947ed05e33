package tables

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// RustPhase is one of the compounds that rust is made of.
type RustPhase struct {
	Entry
	Formula        chem.Formula `json:"formula"`
	DensityKgPerM3 float64      `json:"density_kg_per_m3"` // of the compact solid
}

// IronFraction returns the mass fraction of iron: 0.629 for FeO(OH).
func (p RustPhase) IronFraction() float64 {
	return p.Formula.Count("Fe") * iron.MolarMass() / max(p.Formula.MolarMass(), math.SmallestNonzeroFloat64)
}

var iron = must(chem.ParseFormula("Fe"))

// Adherence tells how a rust sits on the steel.
type Adherence string

const (
	Loose    Adherence = "loose"    // much of it brushes off
	Adherent Adherence = "adherent" // scraping takes off some
	Scale    Adherence = "scale"    // a dense skin
)

// Rust is a mixture of phases that stands for a kind of rust, as a layer on steel. Its make-up is a
// judgement from what studies found, and the ranges are wide.
type Rust struct {
	Entry
	Constituents []Constituent `json:"constituents"`      // typical ones add up to one
	Porosity     Range         `json:"porosity_fraction"` // volume of pores in the layer
	Adherence    Adherence     `json:"adherence"`
}

// Constituent is a phase and its mass fraction in a rust.
type Constituent struct {
	Phase RustPhase `json:"phase"`          // which oxide
	Share Range     `json:"share_fraction"` // mass fraction of the rust, 0 to 1
}

// IronFraction returns the mass of iron in a mass of rust, with the least and the most that shares
// within their ranges allow.
func (r Rust) IronFraction() Range { return r.spread(RustPhase.IronFraction) }

// Density returns the density of the layer with its pores, kg/m³.
func (r Rust) Density() Range {
	volume := r.spread(func(p RustPhase) float64 { return 1 / p.DensityKgPerM3 }) // m³/kg
	p := r.Porosity
	if !(volume.Low > 0) { // of nothing, or of what has no density
		return Range{}
	}
	return Range{(1 - p.High) / volume.High, (1 - p.Typical) / volume.Typical, (1 - p.Low) / volume.Low}
}

// MassPerArea returns the mass of a layer of the given thickness in g/m² of steel.
func (r Rust) MassPerArea(thickness unit.Length) Range {
	return r.Density().Times(1000 * float64(thickness))
}

// IronPerArea returns the mass of iron in a layer of the given thickness, g/m². Its ends pair the
// ends of mass and iron fraction and so are wide.
func (r Rust) IronPerArea(thickness unit.Length) Range {
	mass, fraction := r.MassPerArea(thickness), r.IronFraction()
	return Range{mass.Low * fraction.Low, mass.Typical * fraction.Typical, mass.High * fraction.High}
}

// spread returns the mean of a property over the mass, with the least and the most that any shares
// within their ranges can give: start from the low shares and spend what is left on the phases that
// help most.
func (r Rust) spread(property func(RustPhase) float64) (x Range) {
	ordered := slices.SortedFunc(slices.Values(r.Constituents), func(a, b Constituent) int {
		return cmp.Compare(property(a.Phase), property(b.Phase))
	})
	left := 1.0
	for _, c := range r.Constituents {
		left -= c.Share.Low
		x.Typical += c.Share.Typical * property(c.Phase)
	}
	fill := func(order []Constituent) (sum float64) {
		rest := left
		for _, c := range order {
			more := max(0, min(rest, c.Share.High-c.Share.Low))
			rest -= more
			sum += (c.Share.Low + more) * property(c.Phase)
		}
		return sum
	}
	x.Low = fill(ordered)
	slices.Reverse(ordered)
	x.High = fill(ordered)
	return x
}

// Rust returns the rust of that id, name or synonym.
func (t *Tables) Rust(name string) (Rust, error) { return listed[Rust](t).find("rust", name) }

func (r row) rustPhase() RustPhase {
	return RustPhase{r.entry(), r.formula("formula"), r.number("density", 500, 8000)}
}

func (r row) rust() Rust {
	return Rust{r.entry(), r.constituents(), r.span("porosity", 0, 0.95), oneOf(r, "adherence", Loose, Adherent, Scale)}
}

// constituents reads "goethite 0.25 0.40 0.60;...", whose typical shares are to add up to one, as
// the ranges allow.
func (r row) constituents() []Constituent {
	var all []Constituent
	var sum Range
	for _, text := range r.list("composition") {
		name, shares, _ := strings.Cut(text, " ")
		phase, err := Find[RustPhase](r.Tables, name)
		if err != nil {
			r.refuse("composition", "phases of rust", err)
		}
		if slices.ContainsFunc(all, func(c Constituent) bool { return c.Phase.ID == phase.ID }) {
			r.fail("composition", "each phase once, not "+name+" twice")
		}
		x := r.rising("composition", strings.Fields(shares), 0, 1)
		if len(x) != 3 {
			r.fail("composition", "a phase with its low, typical and high share, not "+text)
			continue
		}
		all = append(all, Constituent{phase, Range{x[0], x[1], x[2]}})
		sum = Range{sum.Low + x[0], sum.Typical + x[1], sum.High + x[2]}
	}
	if math.Abs(sum.Typical-1) > rounding || sum.Low > 1 || sum.High < 1 {
		r.fail("composition", fmt.Sprintf("typical shares that add up to 1, not %g, low ones to less and high ones to more", sum.Typical))
	}
	return all
}
