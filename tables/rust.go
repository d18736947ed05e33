package tables

import (
	"cmp"
	"fmt"
	"io/fs"
	"iter"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// RustPhase is one of the compounds that rust is made of.
type RustPhase struct {
	ID       string
	Name     string
	Synonyms []string
	Formula  chem.Formula
	Density  float64 // of the compact solid, kg/m³
	Note     string
	Sources  []string
}

// IronFraction returns the mass fraction of iron: 0.629 for FeO(OH).
func (p RustPhase) IronFraction() float64 {
	return p.Formula.Count("Fe") * iron.MolarMass() / p.Formula.MolarMass()
}

var iron = mustFormula("Fe")

// Adherence tells how a rust sits on the steel.
type Adherence string

// The ways in which rust sits on steel.
const (
	Loose    Adherence = "loose"    // much of it brushes off
	Adherent Adherence = "adherent" // scraping takes off some
	Scale    Adherence = "scale"    // a dense skin
)

// Rust is a mixture of phases that stands for a kind of rust, as a layer on
// steel. Its make-up is a judgement from what studies found, and the ranges are
// wide.
type Rust struct {
	ID       string
	Name     string
	Synonyms []string
	// Constituents add up to one at their typical mass fractions.
	Constituents []Constituent
	// Porosity is the volume fraction of pores in the layer.
	Porosity  Range
	Adherence Adherence
	Note      string
	Sources   []string
}

// Constituent is a phase and its mass fraction in a rust.
type Constituent struct {
	Phase RustPhase // which oxide
	Share Range     // mass fraction of the rust, 0 to 1
}

// IronFraction returns the mass of iron in a mass of rust. Low and High are
// the least and the most that shares within their ranges allow.
func (r Rust) IronFraction() Range {
	return r.spread(RustPhase.IronFraction)
}

// Density returns the density of the layer with its pores, kg/m³.
func (r Rust) Density() Range {
	volume := r.spread(func(p RustPhase) float64 { return 1 / p.Density }) // m³/kg
	return Range{
		(1 - r.Porosity.High) / volume.High,
		(1 - r.Porosity.Typical) / volume.Typical,
		(1 - r.Porosity.Low) / volume.Low,
	}
}

// MassPerArea returns the mass of a layer of the given thickness in g/m² of
// steel: density × (1 − porosity) × thickness.
func (r Rust) MassPerArea(thickness unit.Length) Range {
	return r.Density().Times(1000 * float64(thickness))
}

// IronPerArea returns the mass of iron in a layer of the given thickness, g/m².
// Its ends pair the ends of mass and iron fraction and so are wide.
func (r Rust) IronPerArea(thickness unit.Length) Range {
	mass, fraction := r.MassPerArea(thickness), r.IronFraction()
	return Range{mass.Low * fraction.Low, mass.Typical * fraction.Typical, mass.High * fraction.High}
}

// spread returns the mean of a property over the mass, with the least and the
// most that any shares within their ranges can give: start from the low shares
// and spend what is left on the phases that help most.
func (r Rust) spread(property func(RustPhase) float64) Range {
	ordered := slices.SortedFunc(slices.Values(r.Constituents), func(a, b Constituent) int {
		return cmp.Compare(property(a.Phase), property(b.Phase))
	})
	fill := func(order []Constituent) float64 {
		left, sum := 1.0, 0.0
		for _, c := range order {
			left -= c.Share.Low
		}
		for _, c := range order {
			more := max(0, min(left, c.Share.High-c.Share.Low))
			left -= more
			sum += (c.Share.Low + more) * property(c.Phase)
		}
		return sum
	}
	typical := 0.0
	for _, c := range r.Constituents {
		typical += c.Share.Typical * property(c.Phase)
	}
	low := fill(ordered)
	slices.Reverse(ordered)
	return Range{low, typical, fill(ordered)}
}

// RustPhase returns the phase of that id, name or synonym. The error is a
// *NotFoundError.
func (t *Tables) RustPhase(name string) (RustPhase, error) { return t.rustPhases.find(name) }

// RustPhases yields all phases of rust.
func (t *Tables) RustPhases() iter.Seq[RustPhase] { return t.rustPhases.all() }

// Rust returns the rust of that id, name or synonym. The error is a
// *NotFoundError.
func (t *Tables) Rust(name string) (Rust, error) { return t.rusts.find(name) }

// Rusts yields all rusts.
func (t *Tables) Rusts() iter.Seq[Rust] { return t.rusts.all() }

const (
	rustPhaseFile = "rust-phases.csv"
	rustFile      = "rusts.csv"
)

func (t *Tables) loadRustPhases(fsys fs.FS) error {
	rows, err := readCSV(fsys, rustPhaseFile, "id", "name", "synonyms", "formula", "density", "note", "source")
	if err != nil {
		return err
	}
	t.rustPhases.kind = "phase of rust"
	for _, r := range rows.rows {
		p := RustPhase{
			ID: r.text("id"), Name: r.text("name"), Synonyms: r.list("synonyms"),
			Formula: r.readFormula("formula"), Density: r.number("density", 500, 8000),
			Note: r.optionalText("note"), Sources: t.sourceKeys(r),
		}
		if taken := t.rustPhases.add(p, p.ID, p.Name, p.Synonyms...); taken != "" {
			r.fail("synonyms", fmt.Sprintf("names that no other phase has; %q is taken", taken))
		}
	}
	return rows.err()
}

// loadRusts comes after their phases.
func (t *Tables) loadRusts(fsys fs.FS) error {
	rows, err := readCSV(fsys, rustFile,
		"id", "name", "synonyms", "composition", "porosity_low", "porosity", "porosity_high", "adherence", "note", "source")
	if err != nil {
		return err
	}
	t.rusts.kind = "rust"
	for _, r := range rows.rows {
		x := Rust{
			ID: r.text("id"), Name: r.text("name"), Synonyms: r.list("synonyms"),
			Constituents: t.constituents(r), Porosity: r.span("porosity", 0, 0.95),
			Adherence: Adherence(r.oneOf("adherence", string(Loose), string(Adherent), string(Scale))),
			Note:      r.optionalText("note"), Sources: t.sourceKeys(r),
		}
		if taken := t.rusts.add(x, x.ID, x.Name, x.Synonyms...); taken != "" {
			r.fail("synonyms", fmt.Sprintf("names that no other rust has; %q is taken", taken))
		}
	}
	return rows.err()
}

// constituents reads "goethite 0.25 0.40 0.60;..." and checks that the typical
// shares add up to one and that the ranges allow it.
func (t *Tables) constituents(r row) []Constituent {
	var all []Constituent
	var sum Range
	for _, text := range r.list("composition") {
		name, shares, _ := strings.Cut(text, " ")
		phase, err := t.RustPhase(name)
		if err != nil {
			r.fail("composition", err.Error())
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
	if math.Abs(sum.Typical-1) > 1e-9 || sum.Low > 1 || sum.High < 1 {
		r.fail("composition", fmt.Sprintf("typical shares that add up to 1, not %g, low ones to less and high ones to more", sum.Typical))
	}
	return all
}
