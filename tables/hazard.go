package tables

import (
	"fmt"
	"io/fs"
	"slices"
)

// Signal is the signal word of the GHS that goes with a hazard.
type Signal string

// The signal words.
const (
	Danger  Signal = "danger"
	Warning Signal = "warning"
)

// Hazard is one caution in plain words. It goes either with a reagent, which names it in
// Reagent.Hazards, or with things that meet, named in Mix. The label of the product and local rules
// stand above it.
type Hazard struct {
	Entry             // without a name; the ID is the GHS hazard statement, such as "H318", where there is one
	Signal   Signal   `json:"signal"` // danger or warning
	Caution  string   `json:"caution"`
	Mix      []string `json:"mix,omitempty"`      // groups of a [Reagent] or [Material] that must not meet; none for a hazard of one
	Standard string   `json:"standard,omitempty"` // rule or standard to read, may be empty
}

// Meets reports whether all groups that must not meet are among the given ones; false for a hazard
// of one reagent.
func (h Hazard) Meets(groups ...string) bool {
	return len(h.Mix) > 0 && !slices.ContainsFunc(h.Mix, func(g string) bool { return !slices.Contains(groups, g) })
}

// loadHazards comes after reagents and materials, whose groups and hazards must agree with it.
func (t *Tables) loadHazards(files []fs.FS) error {
	rows := t.read(files, "hazards.csv")
	var known, used []string
	for _, r := range listed[Reagent](t).items {
		known, used = append(known, r.Groups...), append(used, r.Hazards...)
	}
	for _, m := range listed[Material](t).items {
		known = append(known, m.Groups...)
	}
	for _, r := range rows.rows {
		h := Hazard{
			Entry: r.entry(), Signal: oneOf(r, "signal", Danger, Warning),
			Caution: r.text("caution"), Mix: r.list("mix"), Standard: r.optionalText("standard"),
		}
		if n := len(h.Mix); n == 0 && !slices.Contains(used, h.ID) {
			r.fail("key", "a hazard that some reagent has, or groups to mix")
		} else if n != 0 && n != 2 {
			r.fail("mix", "no group or two")
		}
		for _, g := range h.Mix {
			if !slices.Contains(known, g) {
				r.fail("mix", fmt.Sprintf("groups of reagents or materials, not %q", g))
			}
		}
		add(r, h)
	}
	all := listed[Hazard](t)
	for _, key := range used {
		if i, ok := all.at[plain(key)]; !ok || len(all.items[i].Mix) > 0 {
			rows.lack(key, "a row that is a hazard of one reagent")
		}
	}
	for _, g := range known {
		if !slices.ContainsFunc(all.items, func(h Hazard) bool { return slices.Contains(h.Mix, g) }) {
			rows.lack(g, "a row with this group of a reagent or material, which mixes badly with nothing")
		}
	}
	return rows.err()
}
