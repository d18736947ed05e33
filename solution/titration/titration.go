package titration

import (
	"encoding/json"
	"errors"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/path"
)

// ErrNone is wrapped by errors that tell a search of sound data that found nothing:
// no equivalence on the curve, no free chelant in the bath, no burette that fits.
var ErrNone = errors.New("nothing to be found")

// Titration is a sample with a burette over it, for one goroutine at a time.
type Titration struct {
	path   *path.Path
	record func() (*solution.State, error) // of the path's last point
	probe  int                             // the component that is followed
}

// New puts a copy of a sample under a burette with titrant. The probe is the component
// that is followed, by formula, name or synonym: "H+" for pH, "Ca2+" for pCa.
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
	return &Titration{path: way, record: record, probe: i}, nil
}

// ready refuses a titration that [New] has not made.
func (t *Titration) ready() error {
	if t == nil || t.path == nil {
		return &chem.InputError{Field: "titration", Value: "empty", Want: "one that New has made"}
	}
	return nil
}

// Reading is a place on a curve: measured, or computed as a meter would read it.
type Reading struct {
	ML float64 `json:"ml"` // titrant added, mL
	P  float64 `json:"p"`  // the probe: pH, or −log10 of a free concentration in mol/L
}

// Point is a place on a computed curve. P is +Inf where there is none of the ion.
type Point struct {
	Reading
	PH                       float64   `json:"ph"` // as a meter reads it
	IonicStrengthMolPerLitre float64   `json:"ionic_strength_mol_per_l"`
	SlopePerML               float64   `json:"slope_per_ml,omitempty"` // dP/dV, where the grid asks for slopes
	BendPerML2               float64   `json:"bend_per_ml2,omitempty"` // d²P/dV²
	MolPerLitre              []float64 `json:"mol_per_l,omitempty"`    // of the species asked for, in their order
}

type barePoint Point // without methods

// MarshalJSON writes the point, p as null where there is none of the ion.
func (p Point) MarshalJSON() ([]byte, error) {
	out := struct {
		barePoint
		P *float64 `json:"p"` // JSON knows no infinity
	}{barePoint: barePoint(p)}
	if !math.IsInf(p.P, 1) {
		out.P = &p.P
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON wrote. On an error the point is unchanged.
func (p *Point) UnmarshalJSON(text []byte) error {
	in := barePoint{Reading: Reading{P: math.Inf(1)}} // which null leaves as it is
	if err := json.Unmarshal(text, &in); err != nil {
		return &chem.InputError{Field: "point", Value: "unreadable", Want: "the JSON of a point", Err: err}
	}
	*p = Point(in)
	return nil
}

// Quantity returns the name of what is followed: pH, or p and the component.
func (t *Titration) Quantity() string {
	if t.ready() != nil {
		return ""
	}
	return solution.PM(t.path.Member(t.probe).Species.String(), 0).Name()
}

// At returns the point after a volume of titrant, without derivatives, and in it
// the species asked for, dissolved or solid, by formula, name or synonym.
func (t *Titration) At(v unit.Volume, species ...string) (Point, error) {
	places, err := t.places(species)
	if err != nil {
		return Point{}, err
	}
	return t.at(inML(v), false, places)
}

// State returns the full record after a volume of titrant.
func (t *Titration) State(v unit.Volume) (*solution.State, error) {
	if _, err := t.At(v); err != nil {
		return nil, err
	}
	return t.record()
}

// places finds species and solids along the path.
func (t *Titration) places(names []string) ([]int, error) {
	if err := t.ready(); err != nil {
		return nil, err
	}
	out := make([]int, len(names))
	for i, name := range names {
		k, err := t.path.FindSpecies(name)
		if err != nil {
			return nil, err
		}
		if out[i] = k; k < 0 {
			return nil, &chem.InputError{Field: "species", Value: name, Want: "one that occurs in this titration"}
		}
	}
	return out, nil
}

func (t *Titration) at(ml float64, slopes bool, places []int) (Point, error) {
	if err := t.path.At(ml / mLPerLitre); err != nil {
		return Point{}, err
	}
	p := Point{Reading: Reading{ml, t.path.PH()}, PH: t.path.PH(), IonicStrengthMolPerLitre: t.path.Result.Ionic}
	if t.probe > 0 {
		p.P = t.path.PFree(t.probe)
	}
	of, solid := t.path.Result.C, t.path.Result.Solid
	for _, k := range places {
		if n := len(t.path.Species); k < n {
			p.MolPerLitre = append(p.MolPerLitre, of[k])
		} else {
			p.MolPerLitre = append(p.MolPerLitre, solid[k-n])
		}
	}
	if !slopes || math.IsInf(p.P, 0) { // nothing bends where there is none of the ion
		return p, nil
	}
	slope, bend, err := t.path.Motion(t.probe)
	if err != nil {
		return Point{}, err
	}
	p.SlopePerML, p.BendPerML2 = slope/mLPerLitre, bend/(mLPerLitre*mLPerLitre)
	return p, nil
}
