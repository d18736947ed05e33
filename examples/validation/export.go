package main

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"

	"example.com/chelation/examples/internal/cli"
)

// record is an outcome as -csv and -json write it.
type record struct {
	Topic      string   `json:"topic"`
	ID         string   `json:"id"`
	Quantity   string   `json:"quantity"`
	Published  float64  `json:"published"`
	Computed   *float64 `json:"computed,omitempty"` // nothing where nothing was
	Difference *float64 `json:"difference,omitempty"`
	Tolerance  float64  `json:"tolerance"`
	Unit       string   `json:"unit"`
	Verdict    verdict  `json:"verdict"`
	Basis      basis    `json:"basis"`
	Trust      trust    `json:"trust"`
	Source     string   `json:"source"`
	Note       string   `json:"note,omitempty"`
	Error      string   `json:"error,omitempty"`
}

func (o outcome) record() record {
	r := record{
		Topic: o.topic, ID: o.id, Quantity: o.quantity, Published: o.published, Tolerance: o.tolerance,
		Unit: o.unit, Verdict: o.verdict, Basis: o.basis, Trust: o.trust, Source: o.source, Note: o.note,
	}
	if o.err != nil {
		r.Error = o.err.Error()
	}
	if d := o.difference(); !math.IsNaN(d) && !math.IsInf(d, 0) {
		r.Computed, r.Difference = &o.computed, &d
	}
	return r
}

func writeJSON(w io.Writer, shown, all []outcome, kept []guard) error {
	report := struct {
		Rows      []record  `json:"rows"`
		Topics    []summary `json:"topics"`
		Bases     []summary `json:"bases"`
		Measured  []summary `json:"measured"` // and independent, by quantity
		Core      int       `json:"core_constants"`
		Guarded   int       `json:"guarded_constants"` // both ways in log K
		Citations int       `json:"citations"`
		Works     int       `json:"works"`
	}{Rows: []record{}, Topics: topicSummaries(all), Bases: basisSummaries(all), Measured: measuredSummaries(all), Core: len(kept)}
	report.Guarded, _, _ = count(kept)
	report.Citations, report.Works = sources(all)
	for _, o := range shown {
		report.Rows = append(report.Rows, o.record())
	}
	return cli.JSON(w, report)
}

func writeCSV(w io.Writer, shown []outcome) error {
	c := csv.NewWriter(w)
	c.Write(strings.Split("topic,id,quantity,published,computed,difference,tolerance,unit,verdict,basis,trust,source,note", ","))
	full := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	for _, o := range shown {
		c.Write([]string{o.topic, o.id, o.quantity, full(o.published), full(o.computed), full(o.difference()),
			full(o.tolerance), o.unit, string(o.verdict), string(o.basis), string(o.trust), o.source, o.note})
	}
	c.Flush()
	return c.Error()
}
