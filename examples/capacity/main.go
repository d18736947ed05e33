// Command capacity shows why a bath stops working, which is for one of three
// reasons that look alike: its chelant is used up, its pH has drifted, or
// equilibrium never allowed this oxide at this pH. Each needs another remedy.
//
// It prints the four capacities of a bath for the three common oxides; how much
// of each could dissolve at a held pH; how the pH climbs as rust goes into a
// bath that is left alone; the acid that holds the pH; and what another starting
// pH would do.
//
// Without flags it looks at the bath of the neighbourhood tool library: 500 g
// of tetrasodium EDTA in a 20-litre tub, brought to pH 7 with citric acid, and
// rust as lepidocrocite. Try -ph 5, -oxide goethite, or -show limit -csv.
package main

import (
	"errors"
	"fmt"
	"io"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func main() { cli.Main("capacity", run) }

// result is all that the program knows, for -json.
type result struct {
	Capacities []bath.Capacities `json:"capacities_by_oxide"`
	Limit      []bath.Limit      `json:"limit_at_held_ph"`
	Drift      []bath.DriftPoint `json:"drift"`
	Upkeep     bath.Upkeep       `json:"upkeep"`
	Starts     []recipe.Outcome  `json:"starting_ph"`
	Redox      bath.Redox        `json:"iron_states_after_the_drift"`
	Advice     string            `json:"next"`
	Layer      rust.Layer        `json:"layer"`
}

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("capacity", "shows what a bath can take and how it drifts.", out,
		`capacity -ph 5 -oxide goethite`,
		`capacity -show limit -csv`)
	asked, oxide := cli.Recipe(f), cli.Oxide(f)
	rise := f.Float64("rise", 0.5, "of pH between doses of acid")
	starts := f.String("starts", "9,8,7,6.5,6,5.5,5", "starting pH to compare")
	part := f.String("rust-per-part", "2 g", "rust on one part; where none is said, at most half of what the bath takes")
	rustName := f.String("rust", "fresh orange rust", "kind of rust, for areas")
	thickness := f.String("thickness", "50 µm", "of the rust, for areas")
	open := f.Bool("open", false, "leave the bath open to the carbon dioxide of the air")
	show := f.String("show", "", "print one table only: capacities, limit, drift, upkeep or starts; needed with -csv")
	more := f.Bool("more", false, "tell all: what a held pH allows, the way of the pH, the acid that holds it, other starting pH")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	shown, err := format.Choose(*show, "capacities", "limit", "drift", "upkeep", "starts")
	if err != nil {
		return err
	}
	r, o := asked(t, in), oxide(t, in)
	pHs := cli.Flag(in, "starts", *starts, cli.Numbers)
	each := cli.Flag(in, "rust-per-part", *part, measure.ParseMass)
	kind := cli.Flag(in, "rust", *rustName, t.Rust)
	thick := cli.Flag(in, "thickness", *thickness, measure.ParseLength)
	if in.Err != nil {
		return in.Err
	}
	layer, err := rust.LayerOfThickness(kind, thick)
	if err != nil {
		return err
	}
	x, err := work(t, r, o, pHs, *rise, each, cli.Told(f)["rust-per-part"], *open)
	if err != nil {
		return err
	}
	x.Layer = layer
	if format.JSON {
		return cli.JSON(out, x)
	}
	if *more || *show != "" {
		return print(out, x, shown, format)
	}
	w := &cli.Pen{Out: format.Text(out)}
	brief(w, x)
	return w.Err
}

// brief prints the answer: what the bath takes of the oxide that was asked for, why it
// stops, and what lets it take more.
func brief(w *cli.Pen, x *result) {
	table := &cli.Table{Columns: []string{"oxide", "left_alone_rust_g", "end_ph", "equilibrium_rust_g", "practical_rust_g"}}
	asked := x.Capacities[0]
	for _, c := range x.Capacities {
		table.Add(c.Oxide, c.Proton.RustGrams, c.EndPH, c.Equilibrium.RustGrams, c.Practical.RustGrams)
		if c.Oxide == x.Upkeep.Oxide {
			asked = c
		}
	}
	area := measure.FormatArea(x.Layer.Area(asked.Practical))
	end, g := x.Drift[len(x.Drift)-1], measure.FormatGrams
	w.Line("Left alone the bath takes %s of %s (%s to %s) and stops at pH %.1f (%.1f to %.1f), with %.2f iron per chelant. "+
		"Held at pH %.1f it takes %s in practice, which clears %s of %s.\n\nNext: %s\n  Then: %s.\n",
		g(end.RustGrams), asked.Oxide, g(asked.ProtonLow.RustGrams), g(asked.ProtonHigh.RustGrams), end.PH, asked.EndPHLow, asked.EndPHHigh, end.IronPerChelant,
		asked.PH, g(asked.Practical.RustGrams), area, x.Layer.Name, x.Advice, x.Upkeep.Stopped)
	w.Table(table)
	w.Line("\nEquilibrium: what could dissolve at pH %.1f, held. Practical: what to plan with.", asked.PH)
	w.Line("-more tells the rest: what a held pH allows, the way of the pH, the acid that holds it, other starting pH.")
}

func work(t *tables.Tables, r recipe.Recipe, o bath.Oxide, pHs []float64, rise float64, each unit.Mass, told, open bool) (*result, error) {
	b, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	if open {
		if err := b.Open(solution.AirCO2); err != nil {
			return nil, err
		}
	}
	oxides, err := bath.CommonOxides(t)
	if err != nil {
		return nil, err
	}
	x := &result{}
	for _, other := range oxides {
		c, err := b.Capacities(other, r.PH)
		if err != nil {
			return nil, err
		}
		x.Capacities = append(x.Capacities, c)
		for pH := 4.0; pH <= 12; pH += 0.5 {
			l, err := b.Limit(other, pH)
			if err != nil {
				return nil, err
			}
			x.Limit = append(x.Limit, l)
		}
	}
	if x.Drift, err = b.Drift(o, 10); err != nil {
		return nil, err
	}
	if x.Upkeep, err = b.Upkeep(r.Acid, o, r.PH, rise); err != nil {
		return nil, err
	}
	switch most := x.Upkeep.RustGrams; {
	case !told && most > 0:
		each = min(each, unit.Mass(most/2)*measure.Gram)
	case told && float64(each/measure.Gram) > most:
		return nil, cli.Usagef("-rust-per-part %s: want at most %s, all that the bath takes while its pH is held", measure.FormatMass(each), measure.FormatGrams(most))
	}
	if x.Advice, err = x.Upkeep.Parts(r.Acid, each); err != nil {
		return nil, err
	}
	for _, pH := range pHs { // that the acid reaches
		r.PH = pH
		start, err := r.Try(t, o)
		if err != nil && !errors.Is(err, solution.ErrUnreachable) {
			return nil, err
		}
		x.Starts = append(x.Starts, start...)
	}
	if err := b.Dissolve(o, unit.Mass(x.Drift[len(x.Drift)-1].RustGrams)*measure.Gram); err != nil {
		return nil, err
	}
	x.Redox, err = b.Redox()
	return x, err
}

func print(out io.Writer, x *result, shown []string, format *cli.Format) error {
	all := map[string]*cli.Table{
		"capacities": capacities(x), "limit": limit(x), "drift": drift(x), "upkeep": upkeep(x), "starts": starts(x),
	}
	err := format.Tables(out, shown, all, map[string]string{"upkeep": x.Advice + "\n  Then: " + x.Upkeep.Stopped + "."})
	if err != nil || len(shown) == 1 {
		return err
	}
	_, err = fmt.Fprintf(format.Text(out), "\nBare steel left in the bath after the drift: %s of steel and %.0f %% of the chelant by the iron(III) that is in it by now, "+
		"and %s of steel a day (%s to %s) by air as the tub stands. Take parts out when they are clean, cover the bath loosely, do not bubble air.\n",
		measure.FormatGrams(x.Redox.InBath.SteelGrams), 100*x.Redox.InBath.ChelantFraction, measure.FormatGrams(x.Redox.SteelByAirGramsPerDay.Typical),
		measure.FormatGrams(x.Redox.SteelByAirGramsPerDay.Low), measure.FormatGrams(x.Redox.SteelByAirGramsPerDay.High))
	return err
}

func capacities(x *result) *cli.Table {
	t := &cli.Table{
		Title:   fmt.Sprintf("What the bath takes, in g of each oxide, held at pH %.1f or left alone; cm² of %s", x.Capacities[0].PH, x.Layer.Name),
		Columns: []string{"oxide", "chelant_rust_g", "stoichiometric_rust_g", "equilibrium_rust_g", "left_alone_rust_g", "left_alone_low_rust_g", "left_alone_high_rust_g", "end_ph", "end_ph_low", "end_ph_high", "practical_rust_g", "practical_area_cm2"},
	}
	for _, c := range x.Capacities {
		t.Add(c.Oxide, c.Chelant.RustGrams, c.Stoichiometric.RustGrams, c.Equilibrium.RustGrams, c.Proton.RustGrams, c.ProtonLow.RustGrams, c.ProtonHigh.RustGrams, c.EndPH, c.EndPHLow, c.EndPHHigh, c.Practical.RustGrams, float64(x.Layer.Area(c.Practical)/measure.SquareCentimetre))
	}
	return t
}

func limit(x *result) *cli.Table {
	t := &cli.Table{Title: "Iron that can be in solution at a held pH, per chelant", Columns: []string{"ph"}, By: "oxide"}
	rows := map[float64][]any{}
	var order []float64
	for _, l := range x.Limit {
		if len(rows[l.PH]) == 0 {
			rows[l.PH] = []any{l.PH}
			order = append(order, l.PH)
		}
		if l.PH == order[0] {
			t.Columns = append(t.Columns, "iron_per_chelant ("+l.Oxide+")")
		}
		rows[l.PH] = append(rows[l.PH], l.IronPerChelant)
	}
	for _, pH := range order {
		t.Add(rows[pH]...)
	}
	return t
}

func drift(x *result) *cli.Table {
	t := &cli.Table{
		Title:   fmt.Sprintf("Left alone while %s goes in", x.Upkeep.Oxide),
		Columns: []string{"rust_g", "iron_dissolved_g", "ph", "free_chelant_mol_per_l", "iron_per_chelant", "main_iron_species", "settled"},
	}
	for _, p := range x.Drift {
		main, settled := "-", "-"
		if len(p.IronSpeciesMolPerLitre) > 0 {
			main = p.IronSpeciesMolPerLitre[0].Name
		}
		for _, s := range p.SettledGrams {
			settled = s.Name
		}
		t.Add(p.RustGrams, p.IronDissolvedGrams, p.PH, p.FreeChelantMolPerLitre, p.IronPerChelant, main, settled)
	}
	return t
}

func upkeep(x *result) *cli.Table {
	t := &cli.Table{
		Title:   fmt.Sprintf("Held near pH %.1f: %s g of %s for a gram of rust", x.Upkeep.PH, cli.Round(x.Upkeep.AcidPerRustGram), x.Upkeep.Acid.Name),
		Columns: []string{"rust_g", "ph_from", "acid_g", "ph_to", "room_iron_g"},
	}
	for _, d := range x.Upkeep.Doses {
		t.Add(d.RustGrams, d.PHFrom, d.AcidGrams, d.PHTo, d.RoomIronGrams)
	}
	return t
}

func starts(x *result) *cli.Table {
	t := &cli.Table{
		Title:   "Where to start, if nobody adds acid later",
		Columns: []string{"ph", "acid_g", "left_alone_rust_g", "iron_per_chelant", "end_ph", "rust_g_per_acid_g", "steel_at_risk_g", "buffer_capacity_mol_per_l"},
	}
	for _, s := range x.Starts {
		t.Add(s.PH, s.Acid.MassGrams, s.LeftAlone.RustGrams, s.IronPerChelant, s.EndPH, s.LeftAlone.RustGrams/s.Acid.MassGrams, s.SteelAtRiskGrams, s.BufferCapacityMolPerLitre)
	}
	return t
}
