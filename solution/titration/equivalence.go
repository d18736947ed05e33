package titration

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
)

// Equivalence returns the volume of titrant at which amounts balance. The balance
// is an equation between total amounts of components, sample and titrant
// together:
//
//	"Ca2+ + Mg2+ = edta4-"   as much chelant as hardness
//	"H+ = 0"                 a strong acid and a strong base
//	"H+ = ac-"               an acetate has become acetic acid
//	"H+ = 2 CO3^2-"          all carbonate is carbonic acid: total alkalinity
//	"2 Ag+ = CrO4^2-"        for amounts, not for ions that react
//
// An amount of H⁺ is that in excess of water and of bare anions, so that OH⁻
// counts as −1. The equation is linear in the volume, and no constant enters. The
// error wraps [ErrNone] where the balance is met at no volume above 0.
func (t *Titration) Equivalence(balance string) (unit.Volume, error) {
	if err := t.ready(); err != nil {
		return 0, err
	}
	weights, err := t.balance(balance)
	if err != nil {
		return 0, err
	}
	have, rate := 0.0, 0.0
	for i, w := range weights {
		have += w * t.path.Start(i)
		rate += w * t.path.Rate(i)
	}
	v := -have / rate
	if !(v > 0) || math.IsInf(v, 0) {
		return 0, &chem.InputError{Field: "balance", Value: strconv.Quote(balance), Want: "one that some volume of titrant meets", Kind: ErrNone}
	}
	return unit.Volume(v) * measure.Litre, nil
}

// mostFactor bounds the factors of a balance: beyond those of any formula.
const mostFactor = 1000

// balance reads an equation between amounts into a weight for each component.
func (t *Titration) balance(text string) ([]float64, error) {
	bad := func(want string, err error) error {
		return &chem.InputError{Field: "balance", Value: strconv.Quote(text), Want: want, Err: err}
	}
	sides := strings.Split(text, "=")
	if len(sides) != 2 {
		return nil, bad(`an equation between amounts, as in "Ca2+ + Mg2+ = edta4-"`, nil)
	}
	weights := make([]float64, len(t.path.Components()))
	for k, sign := range []float64{1, -1} {
		if strings.TrimSpace(sides[k]) == "0" {
			continue
		}
		for term := range strings.SplitSeq(sides[k], " + ") {
			name, n := strings.TrimSpace(term), 1.0
			if number, rest, found := strings.Cut(name, " "); found {
				if x, err := strconv.ParseFloat(number, 64); err == nil {
					if !(x > 0 && x <= mostFactor) {
						return nil, bad("factors above 0 to 1000", nil)
					}
					name, n = strings.TrimSpace(rest), x
				}
			}
			i, err := t.path.Component(name)
			if err != nil {
				return nil, bad("components on both sides", err)
			}
			if i >= 0 {
				weights[i] += sign * n
			}
		}
	}
	if !slices.ContainsFunc(weights, func(w float64) bool { return w != 0 }) {
		return nil, bad("a component that sample or titrant holds", nil)
	}
	return weights, nil
}

// Equivalent is an equivalence point.
type Equivalent struct {
	Balance string  `json:"balance"` // as [Titration.Equivalence] reads it
	ML      float64 `json:"ml"`
}

// Equivalents returns the equivalence points that a chemist would look for up to
// a volume, by rising volume: all metals against all chelants; each step of the
// acids and bases, weakest site first or last as the titrant goes; one ion
// against the other of each solid that both vessels together make. Whether the
// curve shows them is another matter: see [Titration.Inflections].
func (t *Titration) Equivalents(upTo unit.Volume) ([]Equivalent, error) {
	if err := within(bound{"end of the titration", inML(upTo), leastML, mostML, "mL"}); err != nil {
		return nil, err
	}
	if err := t.ready(); err != nil {
		return nil, err
	}
	var out []Equivalent
	for _, b := range slices.Concat(t.chelation(), t.acidity(), t.precipitation()) {
		if v, err := t.Equivalence(b); err == nil && v <= upTo {
			out = append(out, Equivalent{b, inML(v)})
		}
	}
	slices.SortStableFunc(out, func(a, b Equivalent) int { return cmp.Compare(a.ML, b.ML) })
	return out, nil
}

// chelation balances metals and chelants, if there are both.
func (t *Titration) chelation() []string {
	var metals, chelants []string
	poured := false
	for i, c := range t.path.Components() {
		if t.metal(i) {
			metals = append(metals, c.String())
		} else if t.chelant(i) {
			chelants = append(chelants, c.String())
		}
		poured = poured || t.path.Rate(i) != 0 && (t.metal(i) || t.chelant(i))
	}
	if !poured || metals == nil || chelants == nil {
		return nil
	}
	return []string{strings.Join(metals, " + ") + " = " + strings.Join(chelants, " + ")}
}

// Sites that are stronger than strongest are as good as strong acid in water, and
// what is weaker than weakest does not give its proton up: neither makes a step
// of its own. Common practice, no source.
const strongest, weakest = 2.5, 11.5

// acidity balances H⁺ with the sites that hold it, filled from the most basic on,
// where pH is followed.
func (t *Titration) acidity() []string {
	if t.probe != 0 {
		return nil
	}
	type site struct {
		ligand int
		pK     float64
	}
	var sites []site
	for j := range t.path.Species() {
		pK, _, ok := t.acid(j)
		if n := t.path.Composition(j)[1:]; ok && floats.Count(func(x float64) bool { return x != 0 }, n) == 1 && floats.Sum(n) == 1 {
			sites = append(sites, site{1 + slices.Index(n, 1), pK})
		}
	}
	slices.SortStableFunc(sites, func(a, b site) int { return cmp.Compare(b.pK, a.pK) })
	var out []string
	filled := make([]float64, len(t.path.Components()))
	for k := range len(sites) + 1 {
		var terms []string
		for i, c := range t.path.Components() {
			if filled[i] > 0 {
				terms = append(terms, times(filled[i], c.String()))
			}
		}
		if terms == nil {
			terms = []string{"0"}
		}
		if k == len(sites) || sites[k].pK < weakest {
			out = append(out, "H+ = "+strings.Join(terms, " + "))
		}
		if k == len(sites) || sites[k].pK < strongest {
			break
		}
		filled[sites[k].ligand]++
	}
	return out
}

// acid returns the pKa of a species, and what of species and solids moves along
// with that: whatever holds as many protons or more on the same components.
func (t *Titration) acid(species int) (pK float64, along []float64, ok bool) {
	p := t.path
	own := p.Composition(species)
	along = make([]float64, len(p.Species())+len(p.Solids()))
	for j := range p.Species() {
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
func (t *Titration) precipitation() []string {
	var out []string
	components := t.path.Components()
	for k := range t.path.Solids() {
		var sample, titrant []int
		n := t.path.SolidComposition(k)
		for i, x := range n {
			if x != 0 && t.path.Rate(i) == 0 {
				sample = append(sample, i)
			} else if x != 0 {
				titrant = append(titrant, i)
			}
		}
		if n[0] != 0 || len(sample) != 1 || len(titrant) != 1 || t.path.Start(titrant[0]) != 0 {
			continue
		}
		a, b := sample[0], titrant[0]
		text := fmt.Sprintf("%s = %s", times(n[b]/n[a], components[a].String()), components[b])
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// times writes a term of a balance.
func times(n float64, name string) string {
	if n == 1 {
		return name
	}
	return strconv.FormatFloat(n, 'g', 12, 64) + " " + name
}
