package chem

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Term is one participant of a reaction.
type Term struct {
	Coefficient float64 `json:"coefficient"` // moles per mole of reaction, negative for a reactant
	Species     Species `json:"species"`
}

// maxReactionLength, in bytes, keeps hostile input cheap.
const maxReactionLength = 4096

// Reaction is a chemical equation.
type Reaction struct {
	Terms []Term `json:"terms"` // in the order in which they were written, reactants first
}

// ParseReaction reads an equation such as
//
//	Fe3+ + edta4- = Fe(edta)-
//	Fe(OH)3(s) + 3 H+ = Fe3+ + 3 H2O
//	0.5 Fe2O3(s, hematite) + 3 H+ = Fe3+ + 1.5 H2O
//
// Participants are separated by a plus sign with a space on each side. A coefficient is a
// decimal number or a fraction a/b. The text is not required to balance: see
// [Reaction.Check]. An error is an [InputError].
func (n Notation) ParseReaction(s string) (Reaction, error) {
	bad := func(err error) (Reaction, error) {
		return Reaction{}, &InputError{Field: "reaction", Value: Echo(s), Want: "reactants and products around one \" = \"", Err: err}
	}
	if len(s) > maxReactionLength {
		return bad(fmt.Errorf("longer than %d bytes", maxReactionLength))
	}
	left, right, ok := strings.Cut(s, " = ")
	if !ok || strings.Contains(right, " = ") {
		return bad(nil)
	}
	r := Reaction{make([]Term, 0, 2+strings.Count(s, " + "))}
	for i, side := range []string{left, right} {
		sign := float64(2*i - 1)
		for text := range strings.SplitSeq(side, " + ") {
			t, err := n.parseTerm(strings.TrimSpace(text))
			if err != nil {
				return bad(err)
			}
			if r.Coefficient(t.Species) != 0 {
				return bad(fmt.Errorf("%s occurs twice", t.Species))
			}
			t.Coefficient *= sign
			r.Terms = append(r.Terms, t)
		}
	}
	return r, nil
}

// ParseReaction is [Notation.ParseReaction] without abbreviations.
func ParseReaction(s string) (Reaction, error) { return Notation{}.ParseReaction(s) }

func (n Notation) parseTerm(s string) (Term, error) {
	start := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789./ ", r) })
	if start < 0 {
		return Term{}, fmt.Errorf("%s: want a coefficient and a formula", Echo(s))
	}
	coefficient := 1.0
	if number := strings.TrimSpace(s[:start]); number != "" {
		top, bottom, fraction := strings.Cut(number, "/")
		if !fraction {
			bottom = "1"
		}
		a, err := strconv.ParseFloat(top, 64)
		b, err2 := strconv.ParseFloat(bottom, 64)
		if coefficient = a / b; err != nil || err2 != nil || !(coefficient > 0) || math.IsInf(coefficient, 0) {
			return Term{}, fmt.Errorf("coefficient %s: want a positive number or fraction", Echo(number))
		}
	}
	species, err := n.ParseSpecies(s[start:])
	return Term{coefficient, species}, err
}

// String writes the equation in the form that [ParseReaction] reads.
func (r Reaction) String() string {
	b, joint := make([]byte, 0, 128), ""
	for _, sign := range []float64{-1, 1} {
		for _, t := range r.Terms {
			n := sign * t.Coefficient
			if n <= 0 {
				continue
			}
			if b = append(b, joint...); n != 1 {
				b = append(strconv.AppendFloat(b, n, 'f', -1, 64), ' ')
			}
			b, joint = append(b, t.Species.String()...), " + "
		}
		joint = " = "
	}
	return string(b)
}

// Coefficient returns the signed coefficient of a species, 0 if it does not take part.
func (r Reaction) Coefficient(s Species) float64 {
	for _, t := range r.Terms {
		if t.Species.Equal(s) {
			return t.Coefficient
		}
	}
	return 0
}

// DeltaZ2 returns Δz², the charges squared of the dissolved products less those of the
// dissolved reactants, each times its coefficient: see [Constant].
func (r Reaction) DeltaZ2() float64 {
	sum := 0.0
	for _, t := range r.Terms {
		if t.Species.Phase == Aqueous {
			z := float64(t.Species.Formula.Charge())
			sum += t.Coefficient * z * z
		}
	}
	return sum
}

// Check verifies that the reaction conserves every element and the charge,
// within 1e-9 of an atom. The [InputError] names what is gained or lost.
func (r Reaction) Check() error {
	gain := map[string]float64{}
	for _, t := range r.Terms {
		for symbol, n := range t.Species.Formula.Composition() {
			gain[symbol] += t.Coefficient * n
		}
		gain["charge"] += t.Coefficient * float64(t.Species.Formula.Charge())
	}
	var wrong []string
	for what, n := range gain {
		if math.Abs(n) > alike {
			wrong = append(wrong, fmt.Sprintf("%s %+.4g", what, n))
		}
	}
	if len(wrong) == 0 {
		return nil
	}
	slices.Sort(wrong)
	return &InputError{Field: "reaction", Value: Echo(r.String()), Want: "a balanced one",
		Err: fmt.Errorf("the products exceed the reactants by %s", strings.Join(wrong, ", "))}
}
