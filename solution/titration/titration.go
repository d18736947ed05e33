package titration

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/path"
)

// ErrNone is wrapped where a curve has no such point: no equivalence, no change
// of colour.
var ErrNone = errors.New("titration: no such point on the curve")

// Titration is a sample with a burette over it. It belongs to one goroutine at a
// time; [New] makes another from the same vessels at little cost.
type Titration struct {
	path    *path.Path
	record  func() (*solution.State, error)
	probe   int
	species chem.Species // that the probe follows
	free    []float64
}

// New puts a sample under a burette with titrant. The probe is the component that
// is followed: "H+" for pH, "Ca2+" for pCa. Both vessels are copied.
func New(sample, titrant *solution.Solution, probe string) (*Titration, error) {
	way, record, err := sample.Path(titrant)
	if err != nil {
		return nil, err
	}
	i, err := way.Component(probe)
	if err != nil {
		return nil, err
	}
	if i < 0 {
		return nil, &chem.InputError{Field: "probe", Value: probe, Want: "a component of the sample or of the titrant"}
	}
	components := way.Components()
	return &Titration{path: way, record: record, probe: i, species: components[i], free: make([]float64, len(components))}, nil
}

// Point is a place on a curve.
type Point struct {
	ML            float64 // titrant added, mL
	TotalML       float64 // volume of the solution, mL
	P             float64 // the probe: pH, or −log10 of a free concentration in mol/L; +Inf where there is none
	PH            float64 // as a meter reads it
	IonicStrength float64 // mol/L
	Slope         float64 // dP/dV, 1/mL, where the grid asks for slopes
	Bend          float64 // d²P/dV², 1/mL²

	// PFree is −log10 of each free component, Species the dissolved species and
	// Solids the solids in mol/L, in the order of [Titration.Components],
	// [Titration.Species] and [Titration.Solids]. They are overwritten by the
	// next point, unless the curve is collected.
	PFree, Species, Solids []float64
}

// Clone returns a copy with slices of its own.
func (p Point) Clone() Point {
	p.PFree, p.Species, p.Solids = slices.Clone(p.PFree), slices.Clone(p.Species), slices.Clone(p.Solids)
	return p
}

// pointJSON is a point with units in its names.
type pointJSON struct {
	ML            float64    `json:"ml"`
	TotalML       float64    `json:"total_ml"`
	P             *float64   `json:"p"`
	PH            float64    `json:"ph"`
	IonicStrength float64    `json:"ionic_strength_mol_per_l"`
	Slope         float64    `json:"slope_per_ml,omitempty"`
	Bend          float64    `json:"bend_per_ml2,omitempty"`
	PFree         []*float64 `json:"p_free"`
	Species       []float64  `json:"species_mol_per_l"`
	Solids        []float64  `json:"solids_mol_per_l"`
}

// MarshalJSON writes the point with units in the names. JSON knows no infinity: p
// and p_free are null where there is none of the ion.
func (p Point) MarshalJSON() ([]byte, error) {
	finite := func(x float64) *float64 {
		if math.IsInf(x, 1) {
			return nil
		}
		return &x
	}
	out := pointJSON{p.ML, p.TotalML, finite(p.P), p.PH, p.IonicStrength, p.Slope, p.Bend, nil, p.Species, p.Solids}
	for _, x := range p.PFree {
		out.PFree = append(out.PFree, finite(x))
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON wrote. On an error the point is unchanged.
func (p *Point) UnmarshalJSON(text []byte) error {
	var in pointJSON
	if err := json.Unmarshal(text, &in); err != nil {
		return fmt.Errorf("titration: point: %w", err)
	}
	number := func(x *float64) float64 {
		if x == nil {
			return math.Inf(1)
		}
		return *x
	}
	*p = Point{in.ML, in.TotalML, number(in.P), in.PH, in.IonicStrength, in.Slope, in.Bend, nil, in.Species, in.Solids}
	for _, x := range in.PFree {
		p.PFree = append(p.PFree, number(x))
	}
	return nil
}

// Probe returns the component that is followed.
func (t *Titration) Probe() chem.Species { return t.species }

// Quantity returns the name of what is followed: pH, or p and the component.
func (t *Titration) Quantity() string { return solution.PM(t.species.String(), 0).Name() }

// Components returns the components of sample and titrant, H⁺ first.
func (t *Titration) Components() []chem.Species { return t.path.Components() }

// Species returns the dissolved species that occur along the titration.
func (t *Titration) Species() []chem.Species { return t.path.Species() }

// Solids returns the solids that may form along the titration.
func (t *Titration) Solids() []chem.Species { return t.path.Solids() }

// At returns the point after a volume of titrant, without derivatives.
func (t *Titration) At(v unit.Volume) (Point, error) { return t.at(float64(v)*1e6, false) }

// State returns the full record of the last point.
func (t *Titration) State() (*solution.State, error) { return t.record() }

// Motion returns the exact first and second derivative by volume of everything at
// the last point, per litre.
func (t *Titration) Motion() (first, second *path.Motion, err error) { return t.path.Motion() }

func (t *Titration) at(ml float64, slopes bool) (Point, error) {
	if err := t.path.At(ml / 1000); err != nil {
		return Point{}, err
	}
	for i := range t.free {
		t.free[i] = t.path.PFree(i)
	}
	p := Point{
		ML: ml, TotalML: 1000 * t.path.Litres(), PH: t.path.PH(), IonicStrength: t.path.IonicStrength(),
		PFree: t.free, Species: t.path.Concentrations(), Solids: t.path.SolidConcentrations(),
	}
	p.P = p.PH
	if t.probe > 0 {
		p.P = t.free[t.probe]
	}
	if slopes {
		one, two, err := t.path.Motion()
		if err != nil {
			return Point{}, err
		}
		p.Slope, p.Bend = one.PH/1e3, two.PH/1e6
		if t.probe > 0 {
			p.Slope, p.Bend = one.PFree[t.probe]/1e3, two.PFree[t.probe]/1e6
		}
	}
	return p, nil
}

// millilitres checks a volume that a curve shall reach.
func millilitres(field string, v unit.Volume) (float64, error) {
	if ml := float64(v) * 1e6; ml > 0 && ml <= 1e9 {
		return ml, nil
	}
	return 0, &chem.InputError{Field: field, Value: fmt.Sprintf("%g mL", float64(v)*1e6), Want: "a volume above 0"}
}
