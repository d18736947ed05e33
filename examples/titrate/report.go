package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// result is all that the program knows, for -json.
type result struct {
	Followed    string                 `json:"followed"`
	Points      []point                `json:"points"`
	Equivalents []titration.Equivalent `json:"equivalence_points,omitempty"`
	Inflections []titration.Inflection `json:"inflections,omitempty"`
	Buffers     []titration.Buffer     `json:"buffer_regions,omitempty"`
	Indicators  []judged               `json:"indicators,omitempty"`
	Windows     []window               `json:"ph_windows,omitempty"`
	Species     []string               `json:"-"`
	slopes      bool
}

type point struct {
	ML      float64       `json:"titrant_ml"`
	P       *float64      `json:"p_followed,omitempty"` // absent where there is none of the ion
	PH      float64       `json:"ph"`
	Ionic   float64       `json:"ionic_strength_mol_per_l"`
	Slope   float64       `json:"slope_per_ml,omitempty"`
	Bend    float64       `json:"bend_per_ml2,omitempty"`
	Species []bath.Amount `json:"species_mol_per_l,omitempty"`
}

// judged are the verdicts on indicators for an equivalence point.
type judged struct {
	Balance  string    `json:"balance"`
	Verdicts []verdict `json:"verdicts"`
}

type verdict struct {
	Indicator string   `json:"indicator"`
	Suits     bool     `json:"suits"`
	Why       string   `json:"why"`
	ML        *float64 `json:"titrant_ml,omitempty"` // absent where it does not turn
	Begins    *float64 `json:"begins_ml,omitempty"`
	Complete  *float64 `json:"complete_ml,omitempty"`
	Error     *float64 `json:"relative_error,omitempty"`
}

// window is where a chelant holds a metal well enough for the tolerance.
type window struct {
	Metal   string  `json:"metal"`
	Chelant string  `json:"chelant"`
	Here    float64 `json:"log10_k_conditional"` // at the pH and ionic strength of the endpoint
	Needed  float64 `json:"log10_k_needed"`
	Low     float64 `json:"low_ph"`
	High    float64 `json:"high_ph"`
}

// windows looks at every pair of metal and chelant that sample and titrant bring
// together, at the last equivalence point.
func (j *job) windows() ([]window, error) {
	if len(j.equivalent) == 0 {
		return nil, nil
	}
	st, err := j.run.State(unit.Volume(j.equivalent[len(j.equivalent)-1].ML * 1e-6))
	if err != nil {
		return nil, err
	}
	// sodium and potassium, which the buffer of a titration does not change
	around := solution.Surroundings{Temperature: j.warmth, IonicStrength: st.IonicStrengthMolPerLitre, Free: map[string]float64{}}
	for _, c := range st.Components {
		if c.Class == tables.AlkaliMetal {
			around.Free[c.Species] = c.FreeMolPerLitre
		}
	}
	var out []window
	for _, o := range st.Components {
		for _, c := range st.Components {
			metal, chelant := c.Species, o.Species
			if o.Class != tables.StrongChelant || !c.Class.Metal() || c.TotalMolPerLitre < 1e-6 {
				continue
			}
			pair, err := solution.NewPair(j.tables, metal, chelant, around)
			if errors.Is(err, tables.ErrNotFound) {
				continue
			} else if err != nil {
				return nil, err
			}
			w := window{Metal: metal, Chelant: chelant, Here: pair.LogConditional(st.PH), Needed: titration.NeededLogK(j.tolerance, c.TotalMolPerLitre)}
			if w.Low, w.High, err = pair.Window(w.Needed); err != nil {
				continue // at no pH
			}
			out = append(out, w)
		}
	}
	return out, nil
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// cell writes a number in full; it is empty where there is none, as of an ion that is absent.
func cell(x float64) string {
	if finite(x) == nil {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 10, 64)
}

// stream writes the curve as CSV, each point as it is found: in a row, or in one for each
// of the species that were asked for.
func (j *job) stream(ctx context.Context, out io.Writer) error {
	w := csv.NewWriter(out)
	header := []string{"titrant_ml", "p_followed", "followed", "ph", "ionic_strength_mol_per_l"}
	if j.grid.Slopes {
		header = append(header, "slope_per_ml", "bend_per_ml2")
	}
	if len(j.columns) > 0 {
		header = append(header, "species", "species_mol_per_l")
	}
	if err := w.Write(header); err != nil {
		return err
	}
	for p, err := range j.run.Points(ctx, j.grid) {
		if err != nil {
			return err
		}
		row := []string{cell(p.ML), cell(p.P), j.run.Quantity(), cell(p.PH), cell(p.IonicStrengthMolPerLitre)}
		if j.grid.Slopes {
			if finite(p.P) == nil {
				p.SlopePerML, p.BendPerML2 = math.NaN(), math.NaN()
			}
			row = append(row, cell(p.SlopePerML), cell(p.BendPerML2))
		}
		rows := [][]string{row}
		if len(j.columns) > 0 {
			rows = nil
		}
		for i, name := range j.columns {
			rows = append(rows, append(slices.Clone(row), name, cell(p.MolPerLitre[i])))
		}
		if err := w.WriteAll(rows); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

func (j *job) result(ctx context.Context) (*result, error) {
	r := &result{Followed: j.run.Quantity(), Equivalents: j.equivalent, Species: j.columns, slopes: j.grid.Slopes}
	for p, err := range j.run.Points(ctx, j.grid) {
		if err != nil {
			return nil, err
		}
		x := point{ML: p.ML, P: finite(p.P), PH: p.PH, Ionic: p.IonicStrengthMolPerLitre}
		if x.P != nil {
			x.Slope, x.Bend = p.SlopePerML, p.BendPerML2
		}
		for i, name := range j.columns {
			x.Species = append(x.Species, bath.Amount{Name: name, Value: p.MolPerLitre[i]})
		}
		r.Points = append(r.Points, x)
	}
	var err error
	if r.Inflections, err = j.run.Inflections(ctx, j.upTo); err != nil {
		return nil, err
	}
	if r.Buffers, err = j.run.Buffers(ctx, j.upTo); err != nil {
		return nil, err
	}
	if r.Windows, err = j.windows(); err != nil {
		return nil, err
	}
	for _, e := range j.equivalent {
		all, err := j.run.Judge(ctx, slices.Values(j.indicators), unit.Volume(e.ML*1e-6), j.upTo, j.tolerance)
		if err != nil {
			return nil, err
		}
		point := judged{Balance: e.Balance}
		for _, v := range all {
			x := verdict{Indicator: v.Indicator, Suits: v.Suits, Why: v.Why}
			if v.ML > 0 {
				x.ML, x.Begins, x.Complete, x.Error = &v.ML, &v.BeginsML, &v.CompleteML, &v.RelativeError
			}
			point.Verdicts = append(point.Verdicts, x)
		}
		r.Indicators = append(r.Indicators, point)
	}
	return r, nil
}

// next tells what to do at the bench: with the best indicator of the last end, or with a
// probe where none suits.
func (r *result) next() string {
	if len(r.Equivalents) == 0 {
		return "no equivalence lies in this range: go on to more titrant with -to, or leave -to out."
	}
	last := len(r.Equivalents) - 1
	for _, v := range r.Indicators[last].Verdicts {
		if v.Suits {
			return fmt.Sprintf("put %s in and add titrant until it has changed: expect that at %.2f mL. Drop by drop from %.2f mL on.", v.Indicator, *v.ML, slow**v.ML)
		}
	}
	ml := r.Equivalents[last].ML
	return fmt.Sprintf("no indicator suits: follow %s with a probe, read after each drop from %.2f mL on, and take the end where it moves most, near %.2f mL.", r.Followed, slow*ml, ml)
}

// slow is the share of the volume from which one goes on drop by drop: common practice, no source.
const slow = 0.9

// most is the number of indicators that the table shows for an equivalence point.
const most = 4

func (r *result) print(out io.Writer) error {
	curve := cli.Table{Title: "The curve", Columns: []string{"mL", r.Followed, "pH", "I, mol/L"}}
	if r.Followed == "pH" {
		curve.Columns = slices.Delete(curve.Columns, 2, 3)
	}
	if r.slopes {
		curve.Columns = append(curve.Columns, "per mL", "per mL²")
	}
	for _, name := range r.Species {
		curve.Columns = append(curve.Columns, name+", mol/L")
	}
	for _, p := range r.Points {
		row := []any{fmt.Sprintf("%.2f", p.ML), "none"}
		if p.P != nil {
			row[1] = fmt.Sprintf("%.3f", *p.P)
		}
		if r.Followed != "pH" {
			row = append(row, fmt.Sprintf("%.2f", p.PH))
		}
		row = append(row, p.Ionic)
		if r.slopes {
			row = append(row, p.Slope, p.Bend)
		}
		for _, c := range p.Species {
			row = append(row, c.Value)
		}
		curve.Add(row...)
	}
	w := &cli.Pen{Out: out}
	w.Line("Where it ends")
	for _, e := range r.Equivalents {
		w.Line("  %.3f mL  by stoichiometry, %s", e.ML, e.Balance)
	}
	for _, x := range r.Inflections {
		what := "by inflection"
		if x.Kink {
			what = "by a kink, where a solid appears or is gone"
		}
		w.Line("  %.3f mL  %s, %s %.2f; %+.2f within 1 %% of the volume either way", x.ML, what, r.Followed, x.P, x.Jump)
	}
	if r.Followed == "pH" {
		for _, x := range r.Buffers {
			w.Line("  %.2f to %.2f mL  buffered about pH %.2f: %.3g mL for one unit", x.FromML, x.ToML, x.P, x.CapacityML)
		}
	}
	w.Line("\nNext: %s", r.next())
	if len(r.Windows) > 0 {
		w.Head("Whether the chelant holds firmly enough for the tolerance")
	}
	for _, x := range r.Windows {
		verdict := "it does"
		if x.Here < x.Needed {
			verdict = "it does not"
		}
		w.Line("  %s with %s: %s, log K' %.1f where %.1f is needed; from pH %.1f to %.1f", x.Metal, x.Chelant, verdict, x.Here, x.Needed, x.Low, x.High)
	}
	for _, point := range r.Indicators {
		w.Line("\nIndicators for %s", point.Balance)
		for i, v := range point.Verdicts {
			if i == most {
				break
			}
			mark := "no "
			if v.Suits {
				mark = "yes"
			}
			w.Line("  %s  %s: %s", mark, v.Indicator, v.Why)
		}
	}
	w.Line("")
	w.Table(&curve)
	return w.Err
}
