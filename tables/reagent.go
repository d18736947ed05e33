package tables

import (
	"cmp"
	"errors"
	"iter"
	"math"
	"slices"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
)

// Form is the state a reagent is sold in.
type Form string

const (
	Powder Form = "powder" // powder, crystals, beads or flakes: weighed or spooned
	Liquid Form = "liquid" // weighed or poured
)

// Reagent is a chemical as it is sold: a stated share of a pure formula, the rest inert.
type Reagent struct {
	Entry
	Formula chem.Formula `json:"formula"` // of the pure compound, with its hydrate water
	// Dissolution turns one Formula into components: bare cations, fully deprotonated anions, H⁺
	// and water. A base takes up H⁺. Chelant is the anion in it that counts as chelating agent; the
	// empty formula if there is none.
	Dissolution chem.Reaction `json:"dissolution"`
	Chelant     chem.Formula  `json:"chelant"`

	Assay     Range        `json:"assay_fraction"` // mass of Formula in the product, at most 1
	Remainder chem.Formula `json:"remainder"`      // what the rest is taken for, so that mass is conserved
	// ExcessBase is the free base of the product in mol of NaOH per mol of Formula; negative is
	// acid in excess, H⁺ in the place of Na⁺. It moves pH most where the pure salt has no buffer
	// capacity.
	ExcessBase Range `json:"excess_base_mol_per_mol"`

	Form           Form                `json:"form"`              // powder or liquid
	DensityKgPerM3 Range               `json:"density_kg_per_m3"` // of a liquid at DensityAtC; zero for powders
	DensityAtC     float64             `json:"density_at_c"`
	Bulk           measure.BulkDensity `json:"bulk_density"` // of a powder that one measures by the spoon, kg/m³; else zero

	// ApparentCm3PerGram is how much the volume of a dilute solution grows on dissolving Formula,
	// in cm³ per gram of it, hydrate water included, and ToleranceCm3PerGram the half width of its
	// uncertainty. It grows with concentration, by some 0.02 cm³/g for most salts up to 10 %.
	// VolumeBasis tells where it comes from.
	ApparentCm3PerGram  float64 `json:"apparent_volume_cm3_per_g"`
	ToleranceCm3PerGram float64 `json:"apparent_volume_tolerance_cm3_per_g"`
	VolumeBasis         string  `json:"volume_basis"`

	Groups  []string `json:"groups,omitempty"`  // families that decide what must not be mixed, as in [Hazard]: acid, ammonia ...
	Hazards []string `json:"hazards,omitempty"` // keys of the cautions that go with the product as sold
}

var (
	water     = must(chem.ParseSpecies("H2O"))
	carbonate = must(chem.ParseSpecies("CO3^2-"))
)

// Components yields what one mole of Formula adds to a solution, in mol, water included. An amount
// below zero is taken up: NaOH adds −1 mol of H⁺.
func (r Reagent) Components() iter.Seq2[chem.Species, float64] {
	return func(yield func(chem.Species, float64) bool) {
		for _, t := range r.Dissolution.Terms {
			if own := t.Coefficient == -1 && t.Species.Formula.Equal(r.Formula); !own && !yield(t.Species, t.Coefficient) {
				return
			}
		}
	}
}

// Carbonated reports whether carbonate comes in with the reagent, which leaves an open tub as gas.
func (r Reagent) Carbonated() bool { return r.Dissolution.Coefficient(carbonate) > 0 }

// MolPerGram returns the amount of Formula in a gram of product, mol/g.
func (r Reagent) MolPerGram() Range {
	return r.Assay.Times(1 / cmp.Or(r.Formula.MolarMass(), math.Inf(1)))
}

// String returns the name, and tells where there is none.
func (r Reagent) String() string {
	if r.ID == "" {
		return "missing"
	}
	return r.Name
}

// Packing returns the mass of the product per volume as it is poured or spooned, kg/m³; zero where
// it is not known.
func (r Reagent) Packing() measure.BulkDensity {
	if d := r.DensityKgPerM3; d.Typical > 0 {
		return measure.BulkDensity{Loose: d.Low, Typical: d.Typical, Tapped: d.High}
	}
	return r.Bulk
}

// ChelationValue returns the mass of calcium carbonate whose calcium one gram of product binds 1:1,
// in mg/g: 263 for pure anhydrous tetrasodium EDTA. It is zero for a reagent without a chelant.
func (r Reagent) ChelationValue() Range {
	return r.MolPerGram().Times(1000 * r.Dissolution.Coefficient(chem.Species{Formula: r.Chelant}) * calciumCarbonate.MolarMass())
}

// Reagent returns the reagent of that id, name, synonym or formula; of a liquid also at the
// strength on its label, as in "phosphoric acid 30 %" or "muriatic 20 °Bé". Of a name such as
// "citric acid" the second word may be missing.
func (t *Tables) Reagent(name string) (Reagent, error) {
	if acid := name + " acid"; strings.HasSuffix(name, "ic") && listed[Reagent](t).has(acid) {
		name = acid
	}
	if listed[Reagent](t).has(name) {
		return listed[Reagent](t).find("reagent", name)
	}
	r, err := t.atStrength(name)
	if m, known := listed[Material](t).find("material", name); errors.Is(err, ErrNotFound) && known == nil && m.Couple == "" && m.Admission == StaysOut {
		err = &chem.InputError{Field: "reagent", Value: chem.Echo(name), Want: "another: " + m.Does + " " + m.Do, Kind: ErrNotFound}
	}
	return r, err
}

func (r row) reagent() Reagent {
	x := Reagent{
		Entry: r.entry(), Formula: r.formula("formula"), Remainder: r.formula("remainder"), Form: oneOf(r, "form", Powder, Liquid),
		Assay: r.span("assay", 1e-3, 1), ExcessBase: r.span("base", -1, 1), VolumeBasis: r.text("volume_basis"),
		ApparentCm3PerGram: r.number("volume", -1, 2), ToleranceCm3PerGram: r.number("volume_tolerance", 1e-3, 0.5),
		Groups: r.list("groups"), Hazards: r.list("hazards"),
	}
	if x.Remainder.Charge() != 0 || math.Mod(x.Remainder.Electrons(), 2) != 0 {
		r.fail("remainder", "the formula of a substance, with an even number of electrons")
	}
	if r.optionalText("chelant") != "" {
		x.Chelant = r.formula("chelant")
	}
	x.Dissolution = r.dissolution(x)
	switch x.Form {
	case Liquid:
		x.DensityKgPerM3 = r.span("density", 500, 2500)
		x.DensityAtC = r.number("density_c", 0, 40)
		r.mustBeEmpty("bulk_loose", "bulk", "bulk_tapped")
	case Powder:
		r.mustBeEmpty("density_low", "density", "density_high", "density_c")
		if r.optionalText("bulk") == "" {
			r.mustBeEmpty("bulk_loose", "bulk_tapped")
			break
		}
		bulk := r.ranged("bulk_loose", "bulk", "bulk_tapped", 100, 3000)
		x.Bulk = measure.BulkDensity{Loose: bulk.Low, Typical: bulk.Typical, Tapped: bulk.High}
	}
	return x
}

// dissolution reads the reaction: one formula of the reagent first, then water and components, the
// chelant among them.
func (r row) dissolution(x Reagent) chem.Reaction {
	reaction := r.reaction("dissolution")
	for i, term := range reaction.Terms {
		s, own := term.Species, i == 0
		if own && !(s.Formula.Equal(x.Formula) && term.Coefficient == -1) {
			r.fail("dissolution", "one "+x.Formula.String()+" first")
		} else if !own && !s.Equal(water) && !slices.ContainsFunc(listed[Component](r.Tables).items, func(c Component) bool { return c.Species.Equal(s) }) {
			r.fail("dissolution", "components and water, not "+s.String())
		}
	}
	if made := reaction.Coefficient(chem.Species{Formula: x.Chelant}) > 0; made != (r.optionalText("chelant") != "") {
		r.fail("chelant", "an anion that the dissolution makes")
	}
	return reaction
}
