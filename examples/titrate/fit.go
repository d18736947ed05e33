package main

import (
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/titration"
)

// readings reads pairs of mL and pH from a file, "-" for standard input. A first
// row that holds no numbers is a heading; further columns are left alone, so that
// a curve that this program has printed can be read back.
func readings(name string) (out []titration.Reading, err error) {
	in := io.Reader(os.Stdin)
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, cli.Usagef("%w", err)
		}
		defer f.Close()
		in = f
	}
	r := csv.NewReader(in)
	r.FieldsPerRecord, r.Comment, r.TrimLeadingSpace = -1, '#', true
	species, first := -1, "" // a curve may have a row for each of several species
	for {
		row, err := r.Read()
		switch {
		case errors.Is(err, io.EOF):
			return out, nil
		case err != nil:
			return nil, cli.Usagef("%w", err)
		case len(row) < 2:
			line, _ := r.FieldPos(0)
			return nil, cli.Usagef("line %d: want mL and pH with a comma between", line)
		}
		ml, e1 := strconv.ParseFloat(row[0], 64)
		pH, e2 := strconv.ParseFloat(row[1], 64)
		if line, _ := r.FieldPos(0); e1 != nil || e2 != nil {
			if line == 1 && e1 != nil && e2 != nil {
				species = slices.Index(row, "species")
				continue
			}
			return nil, cli.Usagef("line %d: %q, %q: want mL and pH", line, row[0], row[1])
		}
		if species >= 0 && species < len(row) {
			if first = cmp.Or(first, row[species]); row[species] != first {
				continue
			}
		}
		out = append(out, titration.Reading{ML: ml, P: pH})
	}
}

// unknowns reads "Hac; pKa Hac; log K Ca(edta)^2-; strength; offset".
func unknowns(text string) ([]titration.Unknown, error) {
	var out []titration.Unknown
	for entry := range strings.SplitSeq(text, ";") {
		entry = strings.TrimSpace(entry)
		acid, isAcid := strings.CutPrefix(entry, "pKa ")
		species, isFormation := strings.CutPrefix(entry, "log K ")
		switch {
		case entry == "":
			return nil, cli.Usagef(`%q: want unknowns such as "Hac; pKa Hac; log K Ca(edta)^2-; strength; offset"`, text)
		case isAcid:
			out = append(out, titration.AcidConstant(strings.TrimSpace(acid)))
		case isFormation:
			out = append(out, titration.FormationConstant(strings.TrimSpace(species)))
		case entry == "strength":
			out = append(out, titration.Strength)
		case entry == "offset":
			out = append(out, titration.Offset)
		default:
			out = append(out, titration.Concentration(entry))
		}
	}
	return out, nil
}

// fit prints what readings say about the unknowns.
func (j *job) fit(ctx context.Context, o options, format *cli.Format, out io.Writer) error {
	var in cli.Input
	find := cli.Flag(&in, "fit", o.fit, unknowns)
	data := cli.Flag(&in, "readings", o.readings, readings)
	if in.Err != nil {
		return in.Err
	}
	f, err := j.run.Fit(ctx, data, titration.Fitting{Standard: o.phError, VolumeStandard: unit.Volume(o.mlError) * measure.Millilitre, Robust: o.robust}, find...)
	if err != nil {
		return err
	}
	if format.JSON {
		return cli.JSON(out, f)
	}
	found := cli.Table{Columns: []string{"unknown", "value", "standard_uncertainty", "low_95", "high_95"}}
	for _, e := range f.Estimates {
		if format.CSV {
			found.Add(string(e.Unknown), e.Value, e.Standard, e.Low, e.High)
		} else {
			found.Add(string(e.Unknown), fmt.Sprintf("%.5g", e.Value), e.Standard, fmt.Sprintf("%.5g", e.Low), fmt.Sprintf("%.5g", e.High))
		}
	}
	if format.CSV {
		return found.CSV(out)
	}
	if err := found.Print(out); err != nil {
		return err
	}
	if _, err := fmt.Fprintf(format.Glass(out), "\nNext: %s\n", after(f, data, o)); err != nil {
		return err
	}
	rest := cli.Table{Title: fmt.Sprintf("\nResiduals; scatter %.3g with %d degrees of freedom", f.Scatter, len(data)-len(find)), Columns: []string{"mL", "pH", "read less computed", "weight"}}
	for i, r := range data {
		rest.Add(fmt.Sprintf("%.2f", r.ML), fmt.Sprintf("%.3f", r.P), fmt.Sprintf("%+.3f", f.Residuals[i]), fmt.Sprintf("%.2f", f.Weights[i]))
	}
	return rest.Print(out)
}

// A model is doubted from so many times the stated uncertainty on, and a reading that lies so
// many times as far off as the rest, these as far as the last digit of a meter at least: judgement.
const doubted, blunder, lastDigit = 2, 4, 0.01

// after says what to do with a fit.
func after(f *titration.Fit, data []titration.Reading, o options) string {
	worst, squares := 0, 0.0
	for i, r := range f.Residuals {
		squares += r * r
		if math.Abs(r) > math.Abs(f.Residuals[worst]) {
			worst = i
		}
	}
	top := math.Abs(f.Residuals[worst])
	rest := math.Sqrt((squares - top*top) / float64(len(data)-1))
	switch stated := o.phError > 0; {
	case top > blunder*max(rest, lastDigit):
		return fmt.Sprintf("read again at %.2f mL; that reading lies %.2f off, the others %.2g. -robust lets it weigh less.", data[worst].ML, top, rest)
	case stated && f.Scatter > doubted:
		return fmt.Sprintf("look for what the sample holds besides, or let another unknown free; the readings lie %.1f times as far off as is said of them.", f.Scatter)
	}
	return "use these figures; the readings fit. To be twice as sure take four times as many."
}
