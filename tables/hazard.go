package tables

import (
	"fmt"
	"io/fs"
	"iter"
	"slices"
)

// Signal is the signal word of the GHS that goes with a hazard.
type Signal string

// The signal words.
const (
	Danger  Signal = "danger"
	Warning Signal = "warning"
)

// Hazard is one caution in plain words. It goes either with a reagent, which
// names it in Reagent.Hazards, or with things that meet, named in Mix. The
// label of the product and local rules stand above it.
type Hazard struct {
	Entry          // without a name
	Code    string `json:"code,omitempty"` // GHS hazard statement such as "H318"; empty for cautions of the trade
	Signal  Signal `json:"signal"`         // danger or warning
	Caution string `json:"caution"`        // in our own words
	// Mix names the groups that must not meet: groups of reagents as in
	// Reagent.Groups, and those of a Material. Empty for a
	// hazard of one reagent.
	Mix      []string `json:"mix,omitempty"`
	Standard string   `json:"standard,omitempty"` // rule or standard to read, may be empty
}

// Meets reports whether all groups that must not meet are among the given
// ones. It is false for a hazard of one reagent.
func (h Hazard) Meets(groups ...string) bool {
	return len(h.Mix) > 0 && !slices.ContainsFunc(h.Mix, func(g string) bool { return !slices.Contains(groups, g) })
}

// outsideMaterials are the groups in Hazard.Mix that no reagent belongs to: household
// chemicals, and what parts and vessels are made of.
var outsideMaterials = []string{
	"aluminium",      // parts and vessels
	"cadmium",        // old plating, yellow or silvery
	"copper",         // copper, brass, bronze
	"hardened-steel", // springs, files, blades
	"hypochlorite",   // chlorine bleach, pool chlorine
	"lead",           // old paint, solder
	"nitrite",        // rust inhibitor
	"oxidiser",       // peroxide, permanganate, chlorate
	"zinc",           // galvanised and plated steel
}

// Hazard returns the hazard of that key.
func (t *Tables) Hazard(key string) (Hazard, error) { return t.hazards.find("hazard", key) }

// Hazards yields all hazards: those of single reagents by code, then those of
// mixing.
func (t *Tables) Hazards() iter.Seq[Hazard] { return t.hazards.all() }

// loadHazards comes after the reagents, whose groups and hazards must agree
// with it.
func (t *Tables) loadHazards(files []fs.FS) error {
	rows := t.read(files, "hazards.csv")
	known := slices.Clone(outsideMaterials)
	var used []string
	for _, r := range t.reagents.items {
		known, used = append(known, r.Groups...), append(used, r.Hazards...)
	}
	for _, r := range rows.rows {
		h := Hazard{
			Entry: r.entry(), Code: r.optionalText("code"), Signal: oneOf(r, "signal", Danger, Warning),
			Caution: r.text("caution"), Mix: r.list("mix"), Standard: r.optionalText("standard"),
		}
		if h.Code != "" && h.Code != h.ID {
			r.fail("code", "the key, or nothing")
		}
		if n := len(h.Mix); n == 0 && !slices.Contains(used, h.ID) {
			r.fail("key", "a hazard that some reagent has, or groups to mix")
		} else if n != 0 && n != 2 {
			r.fail("mix", "no group or two")
		}
		for _, g := range h.Mix {
			if !slices.Contains(known, g) {
				r.fail("mix", fmt.Sprintf("groups of reagents or outside materials, not %q", g))
			}
		}
		add(r, &t.hazards, h)
	}
	for _, r := range t.reagents.items {
		for _, key := range r.Hazards {
			if i, ok := t.hazards.at[plain(key)]; !ok || len(t.hazards.items[i].Mix) > 0 {
				rows.errs = append(rows.errs, badData("hazards.csv", key, "a row that is a hazard of one reagent, for "+r.ID))
			}
		}
		for _, g := range r.Groups {
			if !slices.ContainsFunc(t.hazards.items, func(h Hazard) bool { return slices.Contains(h.Mix, g) }) {
				rows.errs = append(rows.errs, badData("hazards.csv", g, "a row with this group, which mixes badly with nothing, for "+r.ID))
			}
		}
	}
	return rows.err()
}
