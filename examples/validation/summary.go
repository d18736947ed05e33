package main

import (
	"cmp"
	"slices"
)

// summary is how a group of rows came out: a topic, a basis, or all.
type summary struct {
	Group    string    `json:"group"`
	Rows     int       `json:"row_count"`
	Agree    int       `json:"agree"`
	Differ   int       `json:"differ"`
	Inside   int       `json:"inside"` // a range
	Fail     int       `json:"fail"`
	Median   float64   `json:"median"` // of |difference|/tolerance
	Worst    float64   `json:"worst"`
	WorstRow string    `json:"worst_row"`
	Basis    []counted `json:"by_basis"`
	Trust    []counted `json:"by_trust"`
}

// counted are the rows of a basis, or trusted so far.
type counted struct {
	Name string `json:"name"`
	Rows int    `json:"row_count"`
}

// counts lists how many outcomes are of each kind.
func counts[K ~string](kinds []K, outcomes []outcome, of func(outcome) K) []counted {
	out := make([]counted, len(kinds))
	for i, k := range kinds {
		out[i].Name = string(k)
		for _, o := range outcomes {
			if of(o) == k {
				out[i].Rows++
			}
		}
	}
	return out
}

// summarise counts a group of outcomes. Median and worst are over the rows
// that are expected to agree.
func summarise(group string, outcomes []outcome) summary {
	s := summary{Group: group, Rows: len(outcomes), Basis: counts(bases, outcomes, func(o outcome) basis { return o.basis }),
		Trust: counts(trusts, outcomes, func(o outcome) trust { return o.trust })}
	var ratios []float64
	for _, o := range outcomes {
		switch o.verdict {
		case agrees:
			s.Agree++
		case differs:
			s.Differ++
		case inside:
			s.Inside++
		case fails:
			s.Fail++
		}
		if o.expect != agree || o.err != nil {
			continue
		}
		r := o.ratio()
		ratios = append(ratios, r)
		if s.WorstRow == "" || r > s.Worst {
			s.Worst, s.WorstRow = r, o.id
		}
	}
	slices.Sort(ratios)
	if n := len(ratios); n > 0 {
		s.Median = (ratios[(n-1)/2] + ratios[n/2]) / 2
	}
	return s
}

// byTopic cuts outcomes, which lie topic by topic, into topics.
func byTopic(outcomes []outcome) [][]outcome {
	var out [][]outcome
	for rest := outcomes; len(rest) > 0; {
		n := slices.IndexFunc(rest, func(o outcome) bool { return o.topic != rest[0].topic })
		if n < 0 {
			n = len(rest)
		}
		out = append(out, rest[:n])
		rest = rest[n:]
	}
	return out
}

// topicSummaries are one line per topic and one for all.
func topicSummaries(outcomes []outcome) []summary {
	var out []summary
	for _, topic := range byTopic(outcomes) {
		out = append(out, summarise(topic[0].topic, topic))
	}
	return append(out, summarise("all", outcomes))
}

// basisSummaries are one line per basis that occurs.
func basisSummaries(outcomes []outcome) []summary {
	var out []summary
	for _, b := range bases {
		of := slices.DeleteFunc(slices.Clone(outcomes), func(o outcome) bool { return o.basis != b })
		if len(of) > 0 {
			out = append(out, summarise(string(b), of))
		}
	}
	return out
}

// fewRows of a quantity are summed up with others that are as rare.
const fewRows = 2

// measuredSummaries are one line per quantity among the rows that are measured and
// independent of the tables, the most frequent first, one for the rare ones, and
// one for all.
func measuredSummaries(outcomes []outcome) []summary {
	by := map[string][]outcome{}
	var all []outcome
	for _, o := range outcomes {
		if o.basis == independent {
			by[o.quantity] = append(by[o.quantity], o)
			all = append(all, o)
		}
	}
	var out []summary
	var rare []outcome
	for quantity, rows := range by {
		if len(rows) <= fewRows {
			rare = append(rare, rows...)
			continue
		}
		out = append(out, summarise(quantity, rows))
	}
	slices.SortFunc(out, func(a, b summary) int {
		return cmp.Or(cmp.Compare(b.Rows, a.Rows), cmp.Compare(a.Group, b.Group))
	})
	slices.SortStableFunc(rare, func(a, b outcome) int { return cmp.Compare(a.id, b.id) })
	if len(rare) > 0 {
		out = append(out, summarise("others", rare))
	}
	return append(out, summarise("all", all))
}
