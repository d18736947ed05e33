package titration

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Equivalence returns the volume of titrant at which total amounts of components, in
// sample and titrant together, meet an equation:
//
//	"Ca2+ + Mg2+ = edta4-"   as much chelant as hardness
//	"H+ = 0"                 a strong acid and a strong base
//	"H+ = ac-"               an acetate has become acetic acid
//	"H+ = 2 CO3^2-"          all carbonate is carbonic acid: total alkalinity
//	"Ag+ = 2 CrO4^2-"        of amounts: not the ions of the reaction
//
// An amount of H⁺ is that in excess of water and of bare anions, so that OH⁻
// counts as −1. The equation is linear in the volume, and no constant enters. The
// error wraps [ErrNone] where the balance is met at no volume above 0.
func (t *Titration) Equivalence(balance string) (unit.Volume, error) {
	if err := t.ready(); err != nil {
		return 0, err
	}
	bad := chem.InputError{Field: "balance", Value: chem.Echo(balance), Want: `an equation between amounts, as in "Ca2+ + Mg2+ = edta4-"`}
	sides := strings.Split(balance, "=")
	if len(sides) != 2 {
		return 0, &bad
	}
	weights := make([]float64, len(t.path.Members))
	for k, weight := range []float64{1, -1} {
		if strings.TrimSpace(sides[k]) == "0" {
			continue
		}
		for term := range strings.SplitSeq(sides[k], " + ") {
			name, w := strings.TrimSpace(term), weight
			number, rest, _ := strings.Cut(name, " ")
			if n, err := strconv.ParseFloat(number, 64); err == nil && n > 0 && rest != "" {
				name, w = strings.TrimSpace(rest), w*n
			}
			i, err := t.path.Component(name)
			if err != nil {
				bad.Want, bad.Err = "components on both sides", err
				return 0, &bad
			}
			if i >= 0 {
				weights[i] += w
			}
		}
	}
	if v := t.meets(weights); v > 0 && !math.IsInf(v, 0) {
		return unit.Volume(v) * measure.Litre, nil
	}
	bad.Want, bad.Kind = "one that some volume of titrant meets", ErrNone
	if floats.Norm(weights, 1) == 0 {
		bad.Want, bad.Kind = "a component that sample or titrant holds", nil
	}
	return 0, &bad
}

// meets returns the litres of titrant at which amounts times weights add up to 0.
func (t *Titration) meets(weights []float64) float64 {
	return -floats.Dot(weights, t.path.Start) / floats.Dot(weights, t.path.Rate)
}

// Equivalent is an equivalence point.
type Equivalent struct {
	Balance string  `json:"balance"` // as [Titration.Equivalence] reads it
	ML      float64 `json:"ml"`
}

// Equivalents returns the equivalence points that a chemist would look for up to a volume, by
// rising volume, whether the curve shows them or not: all metals against all chelants; each step of
// the acids and bases; one ion against the other of each solid that both vessels together make.
func (t *Titration) Equivalents(upTo unit.Volume) ([]Equivalent, error) {
	if err := cmp.Or(chem.Within("end of the titration", inML(upTo), leastML, mostML, "mL"), t.ready()); err != nil {
		return nil, err
	}
	var out []Equivalent
	for _, weights := range slices.Concat([][]float64{t.chelation()}, t.acidity(), t.precipitation()) {
		e := Equivalent{t.written(weights), t.meets(weights) * mLPerLitre}
		if e.ML > 0 && e.ML <= inML(upTo) && !slices.Contains(out, e) {
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b Equivalent) int { return cmp.Compare(a.ML, b.ML) })
	return out, nil
}

// written is a balance as an equation.
func (t *Titration) written(weights []float64) string {
	var sides [2][]string
	for i, w := range weights {
		term := t.path.Member(i).Species.String()
		if n := math.Abs(w); n != 1 {
			term = strconv.FormatFloat(n, 'g', 12, 64) + " " + term
		}
		if w > 0 {
			sides[0] = append(sides[0], term)
		} else if w < 0 {
			sides[1] = append(sides[1], term)
		}
	}
	if sides[1] == nil {
		sides[1] = []string{"0"}
	}
	return strings.Join(sides[0], " + ") + " = " + strings.Join(sides[1], " + ")
}

// chelation balances metals and chelants.
func (t *Titration) chelation() []float64 {
	weights := make([]float64, len(t.path.Members))
	for i := range weights {
		if class := t.path.Member(i).Class; class.Metal() {
			weights[i] = 1
		} else if class == tables.StrongChelant { // one to one
			weights[i] = -1
		}
	}
	return weights
}

// Sites stronger than the one are as good as strong acid, those weaker than the other
// keep their proton: neither makes a step of its own. Common practice, no source.
const strongest, weakest = 2.5, 11.5

// acidity balances H⁺, where pH is followed, with sites filled from the most basic on.
func (t *Titration) acidity() [][]float64 {
	if t.probe != 0 {
		return nil
	}
	type site struct {
		ligand int
		pK     float64
	}
	var sites []site
	for j := range t.path.Species {
		pK, _, ok := t.acid(j)
		if n := t.path.Composition(j)[1:]; ok && floats.Norm(n, 1) == 1 {
			sites = append(sites, site{1 + slices.Index(n, 1), pK})
		}
	}
	slices.SortStableFunc(sites, func(a, b site) int { return cmp.Compare(b.pK, a.pK) })
	sites = append(sites, site{pK: math.Inf(-1)}) // when all are filled
	var out [][]float64
	weights := make([]float64, len(t.path.Members))
	weights[0] = 1
	for _, next := range sites {
		if next.pK < weakest {
			out = append(out, slices.Clone(weights))
		}
		if next.pK < strongest {
			break
		}
		weights[next.ligand]--
	}
	return out
}

// acid returns the pKa of a species, and the species that move along with that:
// whatever holds as many protons or more on the same components.
func (t *Titration) acid(species int) (pK float64, along []float64, ok bool) {
	p := t.path
	own := p.Composition(species)
	along = make([]float64, len(p.Species)+len(p.Solids))
	for j := range p.Species {
		other := p.Composition(j)
		switch {
		case !slices.Equal(other[1:], own[1:]):
		case other[0] >= own[0]:
			along[j] = 1
		case other[0] == own[0]-1:
			pK, ok = p.StandardLog10K(species)-p.StandardLog10K(j), own[0] >= 1
		}
	}
	return pK, along, ok
}

// precipitation balances the two ions of each solid that are in one vessel each.
func (t *Titration) precipitation() [][]float64 {
	var out [][]float64
	for k := range t.path.Solids {
		n := t.path.Composition(len(t.path.Species) + k)
		var sample, titrant []int
		for i, x := range n {
			if x != 0 && t.path.Rate[i] == 0 {
				sample = append(sample, i)
			} else if x != 0 {
				titrant = append(titrant, i)
			}
		}
		if n[0] != 0 || len(sample) != 1 || len(titrant) != 1 || t.path.Start[titrant[0]] != 0 {
			continue
		}
		weights := make([]float64, len(n))
		weights[sample[0]], weights[titrant[0]] = n[titrant[0]]/n[sample[0]], -1
		out = append(out, weights)
	}
	return out
}
