// Command spentbath turns drops into what a used bath can still do.
//
// With a hardness kit, as sold for pools, aquaria and wells, a little bath goes
// into much hard water, and the kit counts the hardness that is left:
//
//	spentbath -water-drops 22 -drops 13 -taken "5 mL" -into "100 mL" -per-drop "1 gpg" -bath "20 L"
//
// With a calcium solution of known strength and eriochrome black T or calmagite
// in a buffer of pH 10, until the blue turns wine red:
//
//	spentbath -calcium "0.1 mol/L" -drops 62 -taken "5 mL"
//	spentbath -calcium "0.1 mol/L" -titrant "3.1 mL" -taken "5 mL" -burette "syringe 10 mL"
//
// With -wanted 0.03 it also says how to measure so well: what to take, how strong
// a titrant, which burette. With -iron it predicts how far iron in the bath leads
// the test astray.
//
// Without flags it reads the kit of the neighbourhood tool library on its
// 20-litre tub.
package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	solutionbath "example.com/chelation/solution/bath"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

func main() { cli.Main("spentbath", run) }

type options struct {
	bath, taken, into, perDrop, calcium, titrant, drop, burette string
	drops, waterDrops                                           int
	dropError, takenError, strengthError, wanted, iron          float64
}

// result is all that the program knows, for -json.
type result struct {
	AtMost       *atMost                 `json:"spent_at_most_left,omitempty"` // where no chelant shows; all else is then absent
	Free         *free                   `json:"free_chelant,omitempty"`
	Relative     float64                 `json:"relative_uncertainty,omitempty"`
	Dominant     string                  `json:"largest_source,omitempty"`
	Share        float64                 `json:"largest_source_variance_fraction,omitempty"`
	Schemes      []titration.Scheme      `json:"ways_to_measure,omitempty"`
	Interference *titration.Interference `json:"interference_of_iron,omitempty"`
	Doubt        string                  `json:"doubt,omitempty"` // where the counts do not fit
	Cautions     []string                `json:"cautions"`
	parts        []titration.Part
	bath         unit.Volume
}

// free is what the bath can still bind.
type free struct {
	ConcentrationMolPerLitre titration.Result `json:"concentration_mol_per_l"`
	AmountMoles              titration.Result `json:"amount_mol"` // in the whole bath
	IronGrams                titration.Result `json:"iron_g"`
	RustGrams                titration.Result `json:"rust_g"` // as FeO(OH)
}

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("spentbath", "turns drops into the capacity left in a bath.", out,
		`spentbath -water-drops 22 -drops 13 -taken "5 mL" -into "100 mL"`,
		`spentbath -drops 22 -bath "5 gal"`,
		`spentbath -calcium "0.1 mol/L" -titrant "3.1 mL" -burette "syringe 10 mL"`)
	var o options
	f.StringVar(&o.bath, "bath", "20 L", "volume of the whole bath")
	f.StringVar(&o.taken, "taken", "5 mL", "bath taken for the test")
	f.Float64Var(&o.takenError, "taken-error", 0.04, "limit of error of that, relative: 0.04 for a syringe")
	f.IntVar(&o.drops, "drops", 13, "to the drop that turned the indicator: of the kit on the mixture, or of the calcium solution")
	f.StringVar(&o.into, "into", "100 mL", "hard water that the bath goes into, for the kit")
	f.IntVar(&o.waterDrops, "water-drops", 22, "of the kit on that water alone")
	f.StringVar(&o.perDrop, "per-drop", "1 gpg", "hardness that a drop of the kit counts")
	f.StringVar(&o.calcium, "calcium", "", `strength of a calcium solution, "0.1 mol/L" or a hardness such as "10000 ppm", in place of the kit`)
	f.Float64Var(&o.strengthError, "calcium-error", 0.02, "standard uncertainty of that strength, relative")
	f.StringVar(&o.titrant, "titrant", "", "volume of calcium solution, where no drops were counted")
	f.StringVar(&o.burette, "burette", "", "what gave that volume, by the name in the table dispensers")
	f.StringVar(&o.drop, "drop", "0.05 mL", "size of a drop of the calcium solution")
	f.Float64Var(&o.dropError, "drop-error", 0.1, "limit of error of the size of a drop, relative: 0.2 uncounted, 0.03 weighed by the hundred")
	f.Float64Var(&o.wanted, "wanted", 0, "relative standard uncertainty to plan for, such as 0.03")
	f.Float64Var(&o.iron, "iron", 0, "iron(III) in the bath, mol/L, to predict its interference with a calcium titration")
	t, _, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	if err := cli.Idle(f, []string{"calcium"}, "drop", "titrant", "burette"); err != nil {
		return err
	}
	if err := cli.Idle(f, []string{"calcium", "wanted"}, "calcium-error"); err != nil {
		return err
	}
	if o.titrant != "" {
		if err := cli.Apart(f, "titrant", "drops", "drop", "drop-error"); err != nil {
			return err
		}
	}
	if o.calcium != "" {
		if err := cli.Apart(f, "calcium", "water-drops", "into", "per-drop"); err != nil {
			return err
		}
	}
	r, err := o.work(t)
	if err != nil {
		return err
	}
	return format.Answer(out, r, r.table(), r.tell)
}

func (o options) work(t *tables.Tables) (*result, error) {
	var in cli.Input
	bath := cli.Flag(&in, "bath", o.bath, measure.ParseVolume)
	taken := cli.Flag(&in, "taken", o.taken, measure.ParseVolume)
	if in.Err == nil && !(bath > 0) {
		return nil, cli.Usagef("-bath %s: want a volume above 0", o.bath)
	}
	for _, x := range []struct {
		flag  string
		share float64
	}{{"taken-error", o.takenError}, {"calcium-error", o.strengthError}, {"drop-error", o.dropError}, {"wanted", o.wanted}} {
		if !(x.share >= 0 && x.share <= 1) {
			return nil, cli.Usagef("-%s %g: want 0 to 1", x.flag, x.share)
		}
	}
	if !(o.iron >= 0 && o.iron <= 1) {
		return nil, cli.Usagef("-iron %g: want 0 to 1 mol/L", o.iron)
	}
	if in.Err != nil {
		return nil, in.Err
	}
	doubt, err := o.fit(taken, &in)
	if err != nil {
		return nil, err
	}
	sample := titration.Aliquot{Volume: taken, With: tables.Dispenser{Relative: o.takenError}}
	test := o.kit
	if o.calcium != "" {
		test = o.titre
	}
	c, err := test(t, sample)
	if errors.Is(err, titration.ErrNone) && o.calcium == "" {
		r, err := o.spent(t, bath, taken)
		if err == nil {
			r.Doubt = doubt
		}
		return r, err
	}
	if err != nil {
		return nil, o.named(err)
	}
	moles := c.Times(float64(bath / measure.Litre))
	per := solutionbath.IronCapacity(1)
	r := &result{Free: &free{c, moles, moles.Times(per.IronGrams), moles.Times(per.RustGrams)}, Relative: c.Relative(), parts: c.Parts, bath: bath, Doubt: doubt, Cautions: cautions}
	r.Dominant, r.Share = c.Dominant()
	if o.wanted > 0 {
		plan := titration.Titre{Strength: titration.Result{Value: 1, Standard: o.strengthError}, Bias: titration.Result{Standard: 0.005}}
		if r.Schemes, err = plan.Schemes(c.Value, o.wanted, slices.Collect(tables.All[tables.Dispenser](t)), 0.01, 0.02, 0.05, 0.1); err != nil {
			return nil, err
		}
		r.Schemes = r.Schemes[:min(len(r.Schemes), 6)]
	}
	if o.iron > 0 {
		if r.Interference, err = predict(t, c.Value, o.iron); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// named is an error about a measure of the test, by the flag that tells it.
func (o options) named(err error) error {
	flags := map[string]string{
		"volume of bath taken": "taken", "volume of the sample": "taken", "volume of hard water": "into",
		"hardness that a drop counts": "per-drop", "titrant less blank": "drops",
	}
	if o.titrant != "" {
		flags["titrant less blank"] = "titrant"
	} else if o.drops > 0 {
		flags["titrant less blank"] = "drop"
	}
	if in, ok := err.(*chem.InputError); ok && flags[in.Field] != "" {
		refused := *in
		refused.Field = "-" + flags[in.Field]
		return &refused
	}
	return err
}

// fit holds the counts of the kit against what the water alone would give once the
// sample has thinned it. More than that by two drops, where counting is good to one, is
// a bath that is hard itself or a wrong count.
func (o options) fit(taken unit.Volume, in *cli.Input) (string, error) {
	into := cli.Flag(in, "into", o.into, measure.ParseVolume)
	switch most := float64(o.waterDrops) * float64(into/(into+taken)); {
	case o.calcium != "" || in.Err != nil:
		return "", in.Err
	case float64(o.drops) > most+2:
		return fmt.Sprintf("The counts do not fit: thinned by the sample the water alone would take %.0f drops, and the mixture took %d. The bath is hard itself, or a count is wrong: count both again, with less bath. Taken as they are:", most, o.drops), nil
	}
	return "", nil
}

// spent is the answer where the mixture took as many drops as the water: no chelant
// shows, and what is left is less than the drop on the mixture counts.
func (o options) spent(t *tables.Tables, bath, taken unit.Volume) (*result, error) {
	var in cli.Input
	drop := float64(cli.Flag(&in, "per-drop", o.perDrop, t.ParseHardness))
	into := cli.Flag(&in, "into", o.into, measure.ParseVolume)
	least := drop * float64((into+taken)/taken)
	left := solutionbath.IronCapacity(unit.Mole(least * float64(bath/measure.Litre)))
	return &result{AtMost: &atMost{least, left.RustGrams}, Cautions: cautions, bath: bath}, in.Err
}

// atMost is what may be left of a bath that shows none.
type atMost struct {
	MolPerLitre float64 `json:"free_chelant_mol_per_l"`
	RustGrams   float64 `json:"rust_g"`
}

// cautions go with every test of a bath.
var cautions = []string{
	"A buffer of ammonia stings eyes and lungs: cap it, work in moving air, and keep it away from bleach.",
	"Tested samples hold chelated metals: put them back into the spent bath, not down the sink; dispose of it as your local code says.",
	"Copper and nickel, and iron that has come loose, can hold the indicator for good. A colour that creeps or never turns is no result.",
}

func (o options) kit(t *tables.Tables, sample titration.Aliquot) (titration.Result, error) {
	var in cli.Input
	hardness := float64(cli.Flag(&in, "per-drop", o.perDrop, t.ParseHardness))
	x := titration.KitTest{
		Bath: sample, WaterDrops: o.waterDrops, Drops: o.drops,
		Water:   titration.Aliquot{Volume: cli.Flag(&in, "into", o.into, measure.ParseVolume), With: tables.Dispenser{Relative: 0.03}},
		PerDrop: titration.Result{Value: hardness, Standard: hardness * o.dropError / math.Sqrt(3)},
	}
	if in.Err != nil {
		return titration.Result{}, in.Err
	}
	return x.Concentration()
}

func (o options) titre(t *tables.Tables, sample titration.Aliquot) (titration.Result, error) {
	var in cli.Input
	calcium := cli.Flag(&in, "calcium", o.calcium, func(text string) (float64, error) { return strength(t, text) })
	drop := cli.Flag(&in, "drop", o.drop, measure.ParseVolume)
	x := titration.Titre{
		Sample: sample, Strength: titration.Result{Value: calcium, Standard: calcium * o.strengthError}, Drops: o.drops,
		Delivered: titration.Aliquot{With: tables.Dispenser{Relative: o.dropError, StepML: float64(drop / measure.Millilitre)}},
	}
	named := func(name string) (tables.Dispenser, error) { return tables.Find[tables.Dispenser](t, name) }
	if o.titrant != "" {
		x.Drops = 0
		x.Delivered.Volume = cli.Flag(&in, "titrant", o.titrant, measure.ParseVolume)
		o.burette = cmp.Or(o.burette, "syringe 10 mL")
	}
	if o.burette != "" {
		x.Delivered.With = cli.Flag(&in, "burette", o.burette, named)
	}
	if in.Err != nil {
		return titration.Result{}, in.Err
	}
	return x.Concentration()
}

// strength reads "0.1 mol/L", or a hardness.
func strength(t *tables.Tables, text string) (float64, error) {
	if number, of, found := strings.Cut(strings.TrimSpace(text), " "); found && slices.Contains([]string{"mol/L", "M"}, strings.TrimSpace(of)) {
		x, err := strconv.ParseFloat(number, 64)
		if err != nil || !(x > 0 && x <= 5) {
			return 0, cli.Usagef("%q: want a number above 0 to 5 mol/L", text)
		}
		return x, nil
	}
	h, err := t.ParseHardness(text)
	return float64(h), err
}

// predict works through the calcium titration of a bath with so much free EDTA,
// mol/L, and so much iron held by EDTA besides.
func predict(t *tables.Tables, free, iron float64) (*titration.Interference, error) {
	const sample, water = 5 * measure.Millilitre, 45 * measure.Millilitre
	vessel := func(v unit.Volume, ions map[string]float64) (*solution.Solution, error) {
		s, err := solution.New(t, chem.Celsius(25))
		if err != nil {
			return nil, err
		}
		if err := s.AddPureWater(v); err != nil {
			return nil, err
		}
		for ion, c := range ions {
			if err := s.AddSpecies(ion, unit.Mole(c*float64(v/measure.Litre))); err != nil {
				return nil, err
			}
		}
		return s, nil
	}
	beaker, err := vessel(sample, map[string]float64{"Na+": 3*free + iron, "Hedta3-": free, "Fe(edta)-": iron})
	if err != nil {
		return nil, err
	}
	if err := beaker.AddPureWater(water); err != nil {
		return nil, err
	}
	if err := beaker.HoldPH(10); err != nil {
		return nil, err
	}
	calcium, err := vessel(measure.Litre, map[string]float64{"Ca2+": 0.09, "Mg2+": 0.01, "Cl-": 0.2})
	if err != nil {
		return nil, err
	}
	dye, err := t.Indicator("calmagite")
	if err != nil {
		return nil, err
	}
	i, err := titration.PredictInterference(context.Background(), beaker, sample, calcium, dye)
	return &i, err
}
