package main

import (
	"cmp"
	"errors"
	"flag"
	"fmt"
	"os"
	"strconv"
	"strings"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/reading"
)

// step is one thing done or seen. Exactly one of Read, Add, More, Spoon and
// Clear is set.
type step struct {
	Read    *float64 `json:"read,omitempty"`
	Strip   string   `json:"strip,omitempty"`     // that of the job if empty
	Buffer  *float64 `json:"buffer_ph,omitempty"` // pH of the buffer that was read instead of the bath
	Add     string   `json:"add,omitempty"`
	Reagent string   `json:"reagent,omitempty"` // the acid if empty
	More    string   `json:"more,omitempty"`
	Spoon   string   `json:"spoon,omitempty"`
	Mass    string   `json:"mass,omitempty"`
	Clear   *bool    `json:"clear,omitempty"`
}

func readStep(text string) (step, error) {
	pH, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil {
		return step{}, cli.Usagef("%q: want a pH", text)
	}
	return step{Read: &pH}, nil
}

// bufferStep reads "3.9 in 3.56".
func bufferStep(text string) (step, error) {
	read, is, _ := strings.Cut(text, " in ")
	s, err := readStep(read)
	pH, wrong := strconv.ParseFloat(strings.TrimSpace(is), 64)
	if err != nil || wrong != nil {
		return step{}, cli.Usagef("%q: want what was read and the pH of the buffer, as in \"3.9 in 3.56\"", text)
	}
	s.Buffer = &pH
	return s, nil
}

func addStep(text string) (step, error) {
	amount, reagent, _ := strings.Cut(text, " of ")
	_, err := measure.ParseAmount(amount)
	return step{Add: amount, Reagent: reagent}, err
}

func moreStep(text string) (step, error) {
	_, err := measure.ParseAmount(text)
	return step{More: text}, err
}

func spoonStep(text string) (step, error) {
	spoon, mass, ok := strings.Cut(text, "=")
	if !ok {
		return step{}, cli.Usagef("%q: want a spoon and its mass, as in \"1 tbsp = 10.2 g\"", text)
	}
	return step{Spoon: spoon, Mass: mass}, nil
}

func clearStep(text string) (step, error) {
	clear := text == "yes"
	if !clear && text != "no" {
		return step{}, cli.Usagef("%q: want yes or no", text)
	}
	return step{Clear: &clear}, nil
}

// event turns a step into what the model knows.
func (s step) event(c *course) (reading.Event, error) {
	kinds := 0
	for _, set := range []bool{s.Read != nil, s.Add != "", s.More != "", s.Spoon != "", s.Clear != nil} {
		if set {
			kinds++
		}
	}
	switch {
	case kinds != 1:
		return nil, errors.New("want exactly one of read, add, more, spoon and clear")
	case (s.Strip != "" || s.Buffer != nil) && s.Read == nil, s.Reagent != "" && s.Add == "", (s.Mass != "") != (s.Spoon != ""):
		return nil, errors.New("strip and buffer_ph go with read, reagent with add, mass with spoon")
	case s.Read != nil:
		strip := c.strip
		if s.Strip != "" {
			var err error
			if strip, err = c.tables.Strip(s.Strip); err != nil {
				return nil, err
			}
		}
		if err := strip.Check(*s.Read); err != nil {
			return nil, err
		}
		r := reading.Read{Strip: strip, Value: *s.Read}
		if s.Buffer != nil {
			return reading.Buffer{Read: r, PH: *s.Buffer}, nil
		}
		return r, nil
	case s.Add != "":
		reagent := c.model.Setup().Acid
		if s.Reagent != "" {
			var err error
			if reagent, err = c.tables.Reagent(s.Reagent); err != nil {
				return nil, err
			}
		}
		amount, err := measure.ParseAmount(s.Add)
		return reading.Added{Reagent: reagent, Amount: amount}, err
	case s.More != "":
		amount, err := measure.ParseAmount(s.More)
		return reading.Added{Amount: amount}, err
	case s.Spoon != "":
		volume, err := measure.ParseVolume(s.Spoon)
		if err != nil {
			return nil, err
		}
		mass, err := measure.ParseMass(s.Mass)
		return reading.Spoon{Volume: volume, Mass: mass}, err
	}
	return reading.Clarity(*s.Clear), nil
}

// read takes what a file says, except where a flag says otherwise; its steps go
// before those of the flags.
func (j *job) read(name string, f *flag.FlagSet) error {
	content, err := os.ReadFile(name)
	if err != nil {
		return cli.Usagef("-file: %w", err)
	}
	type setting struct{ name, text string }
	var said []setting // but steps, of which none says another's again
	f.Visit(func(x *flag.Flag) {
		if _, held := x.Value.(flag.Getter); held {
			said = append(said, setting{x.Name, x.Value.String()})
		}
	})
	steps := j.Steps
	j.Steps, j.Volume, j.Amount = nil, "", ""
	if err := j.decode(content); err != nil {
		return cli.Usagef("-file %s, %w", name, err)
	}
	filed := []setting{{"volume", j.Volume}, {"amount", j.Amount}, {"water", j.Water}, {"hardness", j.Hardness}, {"alkalinity", j.Alkalinity}}
	j.Volume, j.Amount = cmp.Or(j.Volume, f.Lookup("volume").DefValue), cmp.Or(j.Amount, f.Lookup("amount").DefValue)
	if j.WaterPH != 0 {
		filed = append(filed, setting{"water-ph", fmt.Sprint(j.WaterPH)})
	}
	for _, x := range filed {
		if x.text == "" {
			continue
		}
		if err := f.Set(x.name, x.text); err != nil {
			return cli.Usagef("-file %s: %s %s: %w", name, x.name, x.text, err)
		}
	}
	for _, x := range said {
		if err := f.Set(x.name, x.text); err != nil {
			return cli.Usagef("-%s: %w", x.name, err)
		}
	}
	j.Steps = append(j.Steps, steps...)
	return nil
}
