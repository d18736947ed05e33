// Command neutralise brings a bath to its pH one step at a time. It is told what
// was added and what strips or meters showed, and answers with the next addition
// that is unlikely to overshoot, and why; it also says what the bag probably
// holds.
//
// The steps can be given as flags, in their order:
//
//	neutralise -read 11 -add "1/4 cup" -read 9
//
// or as a JSON file, with the names of the flags:
//
//	{"volume": "20 L", "amount": "3 cups", "strip": "universal strip", "steps": [
//		{"read": 11}, {"add": "1/4 cup"}, {"read": 9, "strip": "pH meter"}]}
//
// or be asked for, with -ask. Flags go before the file, and steps given as flags
// come after those of the file. Other steps are {"add": "20 g", "reagent":
// "washing soda"} (flag -add "20 g of washing soda"), {"more": "1 tbsp"} from the
// bag, {"spoon": "1 tbsp", "mass": "10.2 g"} for a level spoon that was weighed
// (flag -spoon "1 tbsp = 10.2 g"), {"read": 3.9, "buffer_ph": 3.56} for what the strip
// shows in a buffer (flag -buffer "3.9 in 3.56"), and {"clear": false} for a bag that did
// not dissolve.
//
// Without flags it looks at the tub of the neighbourhood tool library, 20 litres
// and three cups from a bag without a label, before the first reading.
package main

import (
	"errors"
	"flag"
	"io"
	"os"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

func main() {
	cli.Main("neutralise", func(args []string, out, diagnostics io.Writer) error {
		return run(args, os.Stdin, out, diagnostics)
	})
}

// job is a bath with its steps, as flags or a file tell it.
type job struct {
	Volume      string  `json:"volume"`
	Temperature string  `json:"temperature"`
	Water       string  `json:"water"`
	Hardness    string  `json:"hardness"`
	Alkalinity  string  `json:"alkalinity"`
	WaterPH     float64 `json:"water-ph"`
	Untested    bool    `json:"untested"`
	Bag         string  `json:"bag"`
	Amount      string  `json:"amount"`
	Acid        string  `json:"acid"`
	Base        string  `json:"base"`
	Strip       string  `json:"strip"`
	PH          float64 `json:"ph"`
	Risk        float64 `json:"risk"`
	Steps       []step  `json:"steps"`

	tap func(*tables.Tables, *cli.Input) tables.Water // as flags and file tell it
}

func (j *job) flags(f *flag.FlagSet) {
	f.StringVar(&j.Volume, "volume", "20 L", "water in the tub")
	f.StringVar(&j.Temperature, "temperature", "20 °C", "of the bath")
	j.tap = cli.Tap(f)
	f.BoolVar(&j.Untested, "untested", false, "nobody tested the water: its ions may be half or twice those of the tables")
	f.StringVar(&j.Bag, "bag", "", "salts that the bag may hold, separated by commas; empty for any powder of EDTA")
	f.StringVar(&j.Amount, "amount", "3 cups", "out of the bag, in level spoons and cups or weighed")
	f.StringVar(&j.Acid, "acid", "citric acid, anhydrous", "what lowers the pH")
	f.StringVar(&j.Base, "base", "lye", "what raises it; of washing or baking soda the pH climbs for days after the dose")
	f.StringVar(&j.Strip, "strip", "universal strip", "strip or meter that the pH is read with")
	f.Float64Var(&j.PH, "ph", 7, "pH to reach")
	f.Float64Var(&j.Risk, "risk", 0.05, "chance, over the whole course, of going more than a unit past the target")
	add := func(name, about string, read func(string) (step, error)) {
		f.Func(name, about, func(text string) error {
			s, err := read(text)
			if err == nil {
				j.Steps = append(j.Steps, s)
			}
			return err
		})
	}
	add("read", "step: the `pH` that was read", readStep)
	add("buffer", "step: what the strip read in a `buffer` of known pH, as \"3.9 in 3.56\", which tells what it is off by", bufferStep)
	add("add", "step: an `amount` of the acid that was added, or of something else: \"20 g of washing soda\"", addStep)
	add("more", "step: an `amount` more from the bag", moreStep)
	add("spoon", "step: what a level spoon from the bag weighs: \"1 tbsp = 10.2 g\"", spoonStep)
	add("clear", "step: whether the bag dissolved, `yes or no`", clearStep)
}

func run(args []string, in io.Reader, out, diagnostics io.Writer) error {
	f, format := cli.Flags("neutralise", "tells the next addition that is unlikely to overshoot.", out,
		`neutralise -read 11 -add "1/4 cup" -read 9`,
		`neutralise -volume "5 gal" -amount "1 lb" -bag "tetrasodium EDTA" -read 10.5`,
		`neutralise -spoon "1 tbsp = 10.2 g" -clear yes -json`)
	j := &job{}
	j.flags(f)
	file := f.String("file", "", "JSON file with the bath and its steps")
	ask := f.Bool("ask", false, "ask for readings and additions, one at a time")
	t, _, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	if format.CSV {
		return cli.Usagef("-csv: the answer is not a table; want -json")
	}
	if *file != "" {
		if err := j.read(*file, f); err != nil {
			return err
		}
	}
	if told := cli.Told(f); told["volume"] && !told["amount"] {
		return cli.Usagef("-volume %s without -amount: want what went into it out of the bag, too", j.Volume)
	}
	c, err := j.course(t)
	if err != nil {
		return usage(err)
	}
	if *ask {
		if !format.JSON {
			out = format.Text(out)
		}
		return c.converse(in, out, format.JSON)
	}
	a, err := c.answer()
	if err != nil {
		return usage(err)
	}
	if format.JSON {
		return cli.JSON(out, a)
	}
	return a.print(format.Text(out))
}

// usage marks what the model refuses as the fault of the input.
func usage(err error) error {
	if errors.Is(err, chem.ErrInput) {
		return cli.Usagef("%w", err)
	}
	return err
}

// course is a bath under way.
type course struct {
	tables *tables.Tables
	model  *reading.Model
	strip  tables.Strip
	events []reading.Event
}

// course reads the job.
func (j *job) course(t *tables.Tables) (*course, error) {
	var in cli.Input
	s := reading.Setup{
		Water: j.tap(t, &in), Volume: cli.Flag(&in, "volume", j.Volume, measure.ParseVolume),
		Temperature: cli.Flag(&in, "temperature", j.Temperature, measure.ParseTemperature),
		Amount:      cli.Flag(&in, "amount", j.Amount, measure.ParseAmount),
		Acid:        cli.Flag(&in, "acid", j.Acid, t.Reagent), Base: cli.Flag(&in, "base", j.Base, t.Reagent),
		PH: j.PH, Risk: j.Risk, Open: true,
	}
	// Zero would stand for what the model takes by itself.
	if j.PH == 0 {
		return nil, cli.Usagef("-ph is 0: want a number from 2 to 12")
	}
	if j.Risk == 0 {
		return nil, cli.Usagef("-risk is 0: want a number from 0.001 to 0.5")
	}
	if j.Untested {
		s.WaterTolerance = 1
	}
	for _, name := range cli.List(j.Bag) {
		s.Bag = append(s.Bag, reading.Candidate{Salt: cli.Flag(&in, "bag", name, t.Reagent), Weight: 1})
	}
	c := &course{tables: t, strip: cli.Flag(&in, "strip", j.Strip, t.Strip)}
	if in.Err != nil {
		return nil, in.Err
	}
	var err error
	if c.model, err = reading.New(t, s); err != nil {
		return nil, err
	}
	for i, x := range j.Steps {
		e, err := x.event(c)
		if err != nil {
			return nil, cli.Usagef("step %d: %w", i+1, err)
		}
		c.events = append(c.events, e)
	}
	return c, nil
}
