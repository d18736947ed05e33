package main

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/reading"
)

// converse asks for readings and additions in turn until the advice is to stop
// or the input ends. A line that cannot be read is asked for again. With asJSON
// each answer is one line of JSON.
func (c *course) converse(in io.Reader, out io.Writer, asJSON bool) error {
	lines := bufio.NewScanner(in)
	for {
		a, err := c.answer()
		if err != nil {
			return usage(err)
		}
		if asJSON {
			err = cli.Line(out, a)
		} else {
			err = a.print(out)
		}
		if err != nil || a.Advice.Action == reading.Stop {
			return err
		}
		question, read := fmt.Sprintf("pH on the %s?", c.strip.Name), readStep
		if a.Advice.Action == reading.Add {
			advised := best(a.Advice).Text
			question = fmt.Sprintf("How much %s did you add? (Enter for %s)", a.Advice.Reagent, advised)
			read = func(text string) (step, error) {
				if text == "" {
					text = advised
				}
				s, err := addStep(text)
				if s.Reagent == "" {
					s.Reagent = a.Advice.Reagent
				}
				return s, err
			}
		}
		if !asJSON {
			question = "\n" + question
		}
		if done, err := c.ask(lines, out, question, read, !asJSON); done || err != nil {
			return err
		}
	}
}

// ask asks until a line makes sense; done when there are no more lines.
func (c *course) ask(lines *bufio.Scanner, out io.Writer, question string, read func(string) (step, error), aloud bool) (done bool, err error) {
	say := func(text string) {
		if aloud && err == nil {
			_, err = fmt.Fprint(out, text)
		}
	}
	for {
		say(question + " ")
		if err != nil || !lines.Scan() {
			say("\n")
			if err == nil {
				err = lines.Err()
			}
			return true, err
		}
		s, bad := read(strings.TrimSpace(lines.Text()))
		var e reading.Event
		if bad == nil {
			e, bad = s.event(c)
		}
		if bad == nil {
			_, bad = c.model.Infer(append(c.events[:len(c.events):len(c.events)], e))
		}
		if bad == nil {
			c.events = append(c.events, e)
			return false, nil
		}
		if !aloud {
			return true, usage(bad)
		}
		say(bad.Error() + "\n")
	}
}
