package rust

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Layer is a coat of rust on steel. Ranges hold about nine cases in ten.
type Layer struct {
	Name           string       `json:"name"`
	RustGramsPerM2 tables.Range `json:"rust_g_per_m2"`
	IronGramsPerM2 tables.Range `json:"iron_g_per_m2"`
}

// known refuses a rust that is none of the tables.
func known(r tables.Rust) error {
	if len(r.Constituents) == 0 {
		return &chem.InputError{Field: "rust", Value: "missing", Want: "a rust of the tables"}
	}
	return nil
}

// LayerOfThickness is a layer of a thickness from 1 µm to 1 cm: density × (1 − porosity) × thickness.
func LayerOfThickness(r tables.Rust, thickness unit.Length) (Layer, error) {
	um := 1e6 * float64(thickness)
	if err := cmp.Or(known(r), chem.Within("thickness of rust", um, 1, 1e4, "µm")); err != nil {
		return Layer{}, err
	}
	return Layer{r.Name + ", " + measure.FormatLength(thickness), r.MassPerArea(thickness), r.IronPerArea(thickness)}, nil
}

// LayerOfMass is a layer of a mass on an area, 0.01 g/m² to 100 kg/m².
func LayerOfMass(r tables.Rust, rust unit.Mass, on unit.Area) (Layer, error) {
	perArea := 1000 * float64(rust) / float64(on)
	if err := cmp.Or(known(r), chem.Within("rust per area", perArea, 0.01, 1e5, "g/m²")); err != nil {
		return Layer{}, err
	}
	mass := tables.Range{Low: perArea, Typical: perArea, High: perArea}
	return Layer{fmt.Sprintf("%s, %.3g g/m²", r.Name, perArea), mass, r.IronFraction().Times(perArea)}, nil
}

// LayerOfYears is the rust that steel gathers in a class of corrosivity in 0.01 to 20 years if
// all of it stays: the loss of the first year (ISO 9223:2012) times years^0.523 (ISO 9224:2012,
// carbon steel; the exponent from memory). Its typical value is the geometric mean of the ends
// of the class, the low one taken as at least a tenth of the high one.
func LayerOfYears(c tables.Corrosivity, r tables.Rust, years float64) (Layer, error) {
	if c.ID == "" {
		return Layer{}, &chem.InputError{Field: "corrosivity", Value: "missing", Want: "a class of the tables, such as C2"}
	}
	if err := cmp.Or(known(r), chem.Within("years", years, 0.01, 20, "")); err != nil {
		return Layer{}, err
	}
	const exponent = 0.523
	low, high := c.LossLowGramsPerM2, c.LossHighGramsPerM2
	loss := tables.Range{Low: low, Typical: math.Sqrt(max(low, high/10) * high), High: high}.Times(math.Pow(years, exponent))
	fraction, word := r.IronFraction(), "years"
	if years == 1 {
		word = "year"
	}
	return Layer{
		fmt.Sprintf("%s, %.3g %s in %s (%s)", r.Name, years, word, c.ID, c.Surroundings),
		tables.Range{Low: loss.Low / fraction.High, Typical: loss.Typical / fraction.Typical, High: loss.High / fraction.Low}, loss,
	}, nil
}

// Light returns the rust and the layer by which times are known: 30 g of iron per m², some 0.03 mm.
func Light(t *tables.Tables) (tables.Rust, Layer, error) {
	r, err := t.Rust(referenceRust)
	l, err2 := LayerOfMass(r, unit.Mass(referenceIron/r.IronFraction().Typical)*measure.Gram, measure.SquareMetre)
	return r, l, cmp.Or(err, err2)
}

// Area returns the area of steel that a capacity clears of this layer.
func (l Layer) Area(c bath.Capacity) unit.Area {
	return unit.Area(c.IronGrams / l.IronGramsPerM2.Typical)
}

// Load is the rust on some steel, and what brushing before the bath saves.
type Load struct {
	Layer     Layer        `json:"layer"`
	AreaCM2   float64      `json:"area_cm2"`
	IronGrams tables.Range `json:"iron_g"`
	RustGrams tables.Range `json:"rust_g"`
	// Typical figures: what brushing takes off first, what it leaves to the bath, the chelating
	// salt that it saves at one mole for each of iron, and the bath that the rest and the whole take.
	BrushedIronGrams    float64 `json:"brushed_iron_g"`
	LeftIronGrams       float64 `json:"left_iron_g"`
	ChelantSavedGrams   float64 `json:"chelant_saved_g"`
	BathLitres          float64 `json:"bath_l"`
	UnbrushedBathLitres float64 `json:"bath_unbrushed_l"`
}

// brushing is the part of a layer that scraping and a wire brush take off: common practice, no
// source. A fifth stays at best (21 % of the corroded iron was in adherent rust in Garcia et al.,
// Corros. Sci. 48 (2006) 2813, after immersion in chloride).
var brushing = map[tables.Adherence]float64{tables.Loose: 0.7, tables.Adherent: 0.3, tables.Scale: 0.05}

// Load reckons the rust on an area of steel against a chelating salt at a strength in mol/L, of
// which [bath.PracticalShare] is used.
func (l Layer) Load(area unit.Area, adherence tables.Adherence, salt tables.Reagent, strength float64) (Load, error) {
	if err := cmp.Or(checkArea(area), chem.Within("strength", strength, 1e-4, 2, "mol/L")); err != nil {
		return Load{}, err
	}
	if salt.Chelant.Hill() == "" {
		return Load{}, &chem.InputError{Field: "salt", Value: salt.String(), Want: "a reagent with a chelating anion"}
	}
	off, ok := brushing[adherence]
	if !ok {
		return Load{}, &chem.InputError{Field: "adherence", Value: chem.Echo(string(adherence)), Want: "loose, adherent or scale"}
	}
	a := float64(area)
	x := Load{Layer: l, AreaCM2: 1e4 * a, IronGrams: l.IronGramsPerM2.Times(a), RustGrams: l.RustGramsPerM2.Times(a)}
	x.BrushedIronGrams = off * x.IronGrams.Typical
	x.LeftIronGrams = x.IronGrams.Typical - x.BrushedIronGrams
	x.ChelantSavedGrams = x.BrushedIronGrams / bath.IronMolarMass / salt.MolPerGram().Typical
	perLitre := bath.PracticalShare * strength * bath.IronMolarMass
	x.BathLitres, x.UnbrushedBathLitres = x.LeftIronGrams/perLitre, x.IronGrams.Typical/perLitre
	return x, nil
}
