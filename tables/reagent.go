package tables

import (
	"fmt"
	"io/fs"
	"iter"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
)

// Form is the state a reagent is sold in.
type Form string

// The forms of reagents.
const (
	Powder Form = "powder" // powder, crystals, beads or flakes: weighed or spooned
	Liquid Form = "liquid" // weighed or poured
)

// Reagent is a chemical as it is sold: a stated share of a pure formula, the
// rest inert. The slices are shared and must not be changed.
type Reagent struct {
	ID       string
	Name     string
	Synonyms []string

	// Formula is the pure compound, with its hydrate water.
	Formula chem.Formula
	// Dissolution turns one Formula into components: bare cations, fully
	// deprotonated anions, H⁺ and water. A base takes up H⁺. See Components.
	Dissolution chem.Reaction
	// Chelant is the anion in Dissolution that counts as chelating agent; the
	// empty formula if there is none.
	Chelant chem.Formula

	// Assay is the mass fraction of Formula in the product, at most 1.
	Assay Range
	// Remainder is what the rest of the product is taken for, so that mass is
	// conserved.
	Remainder chem.Formula
	// ExcessBase is the free base of the product in mol of NaOH per mol of
	// Formula; negative is acid in excess, H⁺ in the place of Na⁺. It moves pH
	// most where the pure salt has no buffer capacity.
	ExcessBase Range

	Form Form // powder or liquid
	// Density of a liquid in kg/m³ at DensityAt; zero for powders.
	Density   Range
	DensityAt unit.Temperature
	// Bulk density of a powder in kg/m³; zero for liquids and for laboratory
	// reagents that nobody measures by the spoon.
	Bulk measure.BulkDensity

	// ApparentVolume is how much the volume of a dilute solution grows on
	// dissolving Formula, in cm³ per gram of Formula, hydrate water included.
	// It grows with concentration, by some 0.02 cm³/g for most salts up to
	// 10 %. VolumeBasis tells where it comes from.
	ApparentVolume float64
	// ApparentVolumeTolerance is the half width of its uncertainty, cm³/g.
	ApparentVolumeTolerance float64
	VolumeBasis             string

	// PriceUnit is the unit the trade quotes prices in: "per lb", "per kg",
	// "per gal"; empty if none is usual.
	PriceUnit string
	// Groups are the families that decide what must not be mixed, as in
	// Hazard.Mix: "acid", "base", "ammonia", "carbonate" ...
	Groups []string
	// Hazards are the keys of the cautions that go with the product as sold.
	Hazards []string
	Note    string
	Sources []string
}

var water = mustSpecies("H2O")

// Components yields what one mole of Formula adds to a solution, in mol, water
// included. An amount below zero is taken up: NaOH adds −1 mol of H⁺.
func (r Reagent) Components() iter.Seq2[chem.Species, float64] {
	return func(yield func(chem.Species, float64) bool) {
		for _, t := range r.Dissolution.Terms {
			if t.Coefficient == -1 && t.Species.Formula.Equal(r.Formula) {
				continue
			}
			if !yield(t.Species, t.Coefficient) {
				return
			}
		}
	}
}

// MolPerGram returns the amount of Formula in a gram of product, mol/g.
func (r Reagent) MolPerGram() Range { return r.Assay.Times(1 / r.Formula.MolarMass()) }

// String returns the name, and tells where there is none.
func (r Reagent) String() string {
	if r.ID == "" {
		return "missing"
	}
	return r.Name
}

// Packing returns the mass of the product per volume as it is poured or
// spooned, kg/m³: the density of a liquid, the bulk density of a powder; zero
// where neither is known.
func (r Reagent) Packing() measure.BulkDensity {
	if d := r.Density; d.Typical > 0 {
		return measure.BulkDensity{Loose: d.Low, Typical: d.Typical, Tapped: d.High}
	}
	return r.Bulk
}

// ChelationValue returns the mass of calcium carbonate whose calcium one gram
// of product binds 1:1, in mg/g: 263 for pure anhydrous tetrasodium EDTA. It is
// zero for a reagent without a chelant.
func (r Reagent) ChelationValue() Range {
	n := 0.0
	for species, amount := range r.Components() {
		if species.Formula.Equal(r.Chelant) {
			n = amount
		}
	}
	return r.MolPerGram().Times(1000 * n * calciumCarbonate.MolarMass())
}

// Reagent returns the reagent of that id, name, synonym or formula, written in
// any case, spacing and punctuation. The error is a *NotFoundError.
func (t *Tables) Reagent(name string) (Reagent, error) { return t.reagents.find(name) }

// Reagents yields all reagents in the order of their table: chelants, organic
// acids, mineral acids, bases, salts.
func (t *Tables) Reagents() iter.Seq[Reagent] { return t.reagents.all() }

const reagentFile = "reagents.csv"

func (t *Tables) loadReagents(fsys fs.FS) error {
	rows, err := readCSV(fsys, reagentFile,
		"id", "name", "synonyms", "formula", "dissolution", "chelant", "assay_low", "assay", "assay_high", "remainder",
		"base_low", "base", "base_high", "form", "density_low", "density", "density_high", "density_c",
		"bulk_loose", "bulk", "bulk_tapped", "volume", "volume_tolerance", "volume_basis",
		"price_unit", "groups", "hazards", "note", "source")
	if err != nil {
		return err
	}
	t.reagents.kind = "reagent"
	for _, line := range rows.rows {
		r := t.reagent(line)
		if taken := t.reagents.add(r, r.ID, r.Name, r.Synonyms...); taken != "" {
			line.fail("synonyms", fmt.Sprintf("names that no other reagent has; %q is taken", taken))
		}
	}
	for i, r := range t.reagents.items {
		t.reagents.alias(i, r.Formula.String())
	}
	return rows.err()
}

func (t *Tables) reagent(r row) Reagent {
	x := Reagent{
		ID: r.text("id"), Name: r.text("name"), Synonyms: r.list("synonyms"),
		Formula:                 r.readFormula("formula"),
		Assay:                   r.span("assay", 1e-3, 1),
		Remainder:               r.readFormula("remainder"),
		ExcessBase:              r.span("base", -1, 1),
		Form:                    Form(r.oneOf("form", string(Powder), string(Liquid))),
		ApparentVolume:          r.number("volume", -1, 2),
		ApparentVolumeTolerance: r.number("volume_tolerance", 1e-3, 0.5),
		VolumeBasis:             r.text("volume_basis"),
		PriceUnit:               r.oneOf("price_unit", "per lb", "per kg", "per gal", ""),
		Groups:                  r.list("groups"), Hazards: r.list("hazards"),
		Note: r.optionalText("note"), Sources: t.sourceKeys(r),
	}
	if r.optionalText("chelant") != "" {
		x.Chelant = r.readFormula("chelant")
	}
	x.Dissolution = t.dissolution(r, x)
	switch x.Form {
	case Liquid:
		x.Density = r.span("density", 500, 2500)
		x.DensityAt = unit.Temperature(r.number("density_c", 0, 40) + 273.15)
		r.mustBeEmpty("bulk_loose", "bulk", "bulk_tapped")
	case Powder:
		r.mustBeEmpty("density_low", "density", "density_high", "density_c")
		if r.optionalText("bulk") == "" {
			r.mustBeEmpty("bulk_loose", "bulk_tapped")
			break
		}
		x.Bulk = measure.BulkDensity{
			Loose:   r.number("bulk_loose", 100, 3000),
			Typical: r.number("bulk", 100, 3000),
			Tapped:  r.number("bulk_tapped", 100, 3000),
		}
		if err := x.Bulk.Validate(); err != nil {
			r.fail("bulk", "a value between bulk_loose and bulk_tapped: "+err.Error())
		}
	}
	return x
}

// dissolution reads the reaction and checks that it uses up one formula of the
// reagent, that all else in it is water and components, and that it makes the
// chelant.
func (t *Tables) dissolution(r row, x Reagent) chem.Reaction {
	reaction := r.reaction("dissolution")
	own, chelant := 0.0, 0.0
	for _, term := range reaction.Terms {
		s := term.Species
		switch {
		case s.Formula.Equal(x.Formula) && term.Coefficient < 0:
			own = term.Coefficient
		case s.Formula.Equal(x.Chelant):
			chelant = term.Coefficient
		case !s.Equal(water) && !slices.ContainsFunc(t.components.items, func(c Component) bool { return c.Species.Equal(s) }):
			r.fail("dissolution", "components and water, not "+s.String())
		}
	}
	if own != -1 {
		r.fail("dissolution", "one "+x.Formula.String()+" on the left")
	}
	if (chelant > 0) != (r.optionalText("chelant") != "") {
		r.fail("chelant", "an anion that the dissolution makes")
	}
	return reaction
}

// readFormula reads a formula that must not be empty.
func (r row) readFormula(column string) chem.Formula {
	f, err := chem.ParseFormula(r.text(column))
	if err != nil {
		r.fail(column, "a formula: "+err.Error())
	}
	return f
}

// mustBeEmpty reports columns that have no meaning in this row.
func (r row) mustBeEmpty(columns ...string) {
	for _, column := range columns {
		if r.optionalText(column) != "" {
			r.fail(column, "an empty cell")
		}
	}
}
