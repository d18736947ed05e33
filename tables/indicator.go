package tables

import (
	"fmt"
	"strings"

	"example.com/chelation/chem"
)

// IndicatorKind tells what an indicator shows.
type IndicatorKind string

const (
	AcidBase       IndicatorKind = "acid-base"      // pH, by losing a proton
	Metallochromic IndicatorKind = "metallochromic" // a metal ion, by binding it
)

// Indicator is a dye that changes colour with pH or on binding a metal.
type Indicator struct {
	Entry
	Kind       IndicatorKind      `json:"kind"`                // acid–base or metallochromic
	PKa        []float64          `json:"pka"`                 // acid constants −log10 K, most acidic first
	Colours    []string           `json:"colours"`             // of the forms, from the most protonated to the bare anion
	Changes    []ColourChange     `json:"changes,omitempty"`   // one for each PKa of an acid–base indicator, none for others
	Complexes  []IndicatorComplex `json:"complexes,omitempty"` // with the bare anion, or with the form that Note names
	Conditions string             `json:"conditions"`          // of the constants
}

// ColourChange is the range of pH over which the eye sees one form of an indicator turn into the
// next.
type ColourChange struct {
	LowPH  float64 `json:"low_ph"`
	HighPH float64 `json:"high_ph"`
}

// IndicatorComplex is what an indicator binds: log10 β of the complexes with one, two … dye anions,
// and the colour.
type IndicatorComplex struct {
	Metal   chem.Species `json:"metal"`      // the bare ion
	LogBeta []float64    `json:"log10_beta"` // log10 of the overall constants, mol/L
	Colour  string       `json:"colour"`     // of the complex
}

// Indicator returns the indicator of that id, name or synonym.
func (t *Tables) Indicator(name string) (Indicator, error) { return Find[Indicator](t, name) }

func (r row) indicator() Indicator {
	x := Indicator{
		Entry: r.entry(), Kind: oneOf(r, "kind", AcidBase, Metallochromic),
		PKa:     r.rising("pka", r.list("pka"), 0, 15),
		Colours: r.list("colours"), Conditions: r.text("conditions"),
	}
	if len(x.PKa) == 0 || len(x.Colours) != len(x.PKa)+1 {
		r.fail("colours", "one colour more than there are pKa, of which at least one")
	}
	for _, text := range r.list("changes") {
		low, high, _ := strings.Cut(text, "-")
		if ends := r.rising("changes", []string{low, high}, 0, 14); len(ends) == 2 {
			x.Changes = append(x.Changes, ColourChange{ends[0], ends[1]})
		}
	}
	for _, text := range r.list("complexes") {
		x.Complexes = append(x.Complexes, r.indicatorComplex(text))
	}
	if acid := x.Kind == AcidBase; acid && (len(x.Changes) != len(x.PKa) || x.Complexes != nil) || !acid && x.Changes != nil {
		r.fail("changes", "one range for each pKa and no complexes of an acid-base indicator, no ranges of others")
		return x
	}
	for i, change := range x.Changes {
		if x.PKa[i] < change.LowPH || x.PKa[i] > change.HighPH {
			r.fail("changes", fmt.Sprintf("ranges that hold their pKa; %g lies outside", x.PKa[i]))
		}
	}
	return x
}

// indicatorComplex reads "Fe3+|14.4 25.2|violet".
func (r row) indicatorComplex(text string) IndicatorComplex {
	parts := strings.Split(text, "|")
	if len(parts) != 3 || parts[2] == "" {
		r.fail("complexes", "metal|log beta ...|colour, not "+text)
		return IndicatorComplex{}
	}
	metal, err := listed[Component](r.Tables).find("component", parts[0])
	if err != nil || metal.Role != "metal" {
		r.fail("complexes", "a bare metal ion, not "+parts[0])
	}
	return IndicatorComplex{metal.Species, r.rising("complexes", strings.Fields(parts[1]), 0, 60), parts[2]}
}
