package care

import (
	"cmp"
	"slices"
	"strings"

	"example.com/chelation/tables"
)

// Caution is a warning that applies to a bath, with what it is about.
type Caution struct {
	Key      string        `json:"key"` // in the tables, or of this package; the first where several became one
	Signal   tables.Signal `json:"signal"`
	About    []string      `json:"about,omitempty"` // reagents or materials
	Text     string        `json:"text"`
	Standard string        `json:"standard,omitempty"`
}

// weaker lists the cautions that a stronger one makes needless.
var weaker = map[string][]string{
	"H314": {"H315", "H318", "H319"},
	"H318": {"H319"},
	"H373": {"H332", "H335"},
}

// Cautions gathers what the reagents of a bath and the materials of its parts, by the names of
// [tables.Tables.Material], call for: what must never meet first, then danger, then warnings.
func Cautions(t *tables.Tables, reagents []tables.Reagent, materials []string) ([]Caution, error) {
	var there []tables.Material // bleach stands in every shop; others are there when said so
	for _, name := range append([]string{"hypochlorite"}, materials...) {
		m, err := t.Material(name)
		if err != nil {
			return nil, err
		}
		there = append(there, m)
	}
	var out []Caution
	bleach := there[0].Name
	add := func(h tables.Hazard, about string) {
		i := slices.IndexFunc(out, func(c Caution) bool {
			return c.Key == h.ID || c.Signal == h.Signal && about == bleach && slices.Equal(c.About, []string{bleach})
		})
		switch {
		case i < 0:
			out = append(out, Caution{h.ID, h.Signal, []string{about}, h.Caution, h.Standard})
		case !strings.Contains(out[i].Text, h.Caution): // one line says all on bleach
			out[i].Text += " " + h.Caution
			if !strings.Contains(out[i].Standard, h.Standard) {
				out[i].Standard += "; " + h.Standard
			}
		case !slices.Contains(out[i].About, about):
			out[i].About = append(out[i].About, about)
		}
	}
	var groups []string
	for _, reagent := range reagents {
		groups = append(groups, reagent.Groups...)
		for _, key := range reagent.Hazards {
			h, err := tables.Find[tables.Hazard](t, key)
			if err != nil {
				return nil, err
			}
			add(h, reagent.Name)
		}
	}
	for h := range tables.All[tables.Hazard](t) { // what the reagents do to each other
		if h.Meets(groups...) {
			for _, reagent := range reagents {
				if slices.ContainsFunc(reagent.Groups, func(g string) bool { return slices.Contains(h.Mix, g) }) {
					add(h, reagent.Name)
				}
			}
		}
	}
	for strong, list := range weaker {
		if slices.ContainsFunc(out, func(c Caution) bool { return c.Key == strong }) {
			out = slices.DeleteFunc(out, func(c Caution) bool { return slices.Contains(list, c.Key) })
		}
	}
	for _, m := range there {
		for h := range tables.All[tables.Hazard](t) {
			for _, g := range m.Groups {
				if slices.Contains(h.Mix, g) && h.Meets(append(slices.Clone(groups), g)...) {
					add(h, m.Name)
				}
			}
		}
	}
	rank := func(c Caution) (n int) { // what must not meet before what a label says by its H number
		if c.Signal != tables.Danger {
			n += 2
		}
		if strings.HasPrefix(c.Key, "H") {
			n++
		}
		return n
	}
	slices.SortStableFunc(out, func(a, b Caution) int { return cmp.Compare(rank(a), rank(b)) })
	return append(out,
		Caution{Key: "used-bath", Signal: tables.Warning, Text: usedBath},
		Caution{Key: "disposal", Signal: tables.Warning, Text: disposal}), nil
}

// Common practice, no source; of disposal law in most places.
const (
	usedBath = "Keep the bath under a loose lid and out of the reach of children and animals, and use no vessel for it that may see food again: " +
		"that EDTA is sold as food grade or given as a medicine says nothing about a bath with dissolved metals in it."
	disposal = "A used bath holds metals that the chelant carries through a drain field and a treatment plant: " +
		"collect it and ask the local waste office; its rules, and those of your licence, come before anything said here."
)
