package cli

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"runtime"
	"slices"
	"strings"
	"time"

	"example.com/chelation/chem"
)

// Program is the body of a program.
type Program func(args []string, out, diagnostics io.Writer) error

// Lines answers many questions at once: each line that it reads is a JSON object with
// the names of flags, {"volume": "5 gal", "amount": "1 lb"}, and is answered by a line of
// JSON in its place, on all cores. A line that is wrong is answered by what is wrong
// with it, and the rest go on; the error at the end then tells how many there were.
// The flags given before hold for all lines.
func Lines(run Program, common []string, in io.Reader, out, diagnostics io.Writer) error {
	type job struct {
		number int
		text   []byte
		answer chan []byte
		bad    bool
	}
	queue := make(chan *job, 4*runtime.GOMAXPROCS(0))
	work := make(chan *job)
	for range runtime.GOMAXPROCS(0) {
		go func() {
			for j := range work {
				text, err := line(run, common, j.text)
				if err != nil {
					j.bad = true
					text, _ = versioned(map[string]any{"line": j.number, "error": explain(flags.Load(), err)})
				}
				j.answer <- text
			}
		}()
	}
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, 1<<20)
	go func() {
		defer close(queue)
		defer close(work)
		for n := 1; lines.Scan(); n++ {
			if len(bytes.TrimSpace(lines.Bytes())) == 0 {
				continue
			}
			j := &job{number: n, text: bytes.Clone(lines.Bytes()), answer: make(chan []byte, 1)}
			queue <- j
			work <- j
		}
	}()
	done, bad, told := 0, 0, time.Now()
	for j := range queue {
		if _, err := fmt.Fprintf(out, "%s\n", <-j.answer); err != nil {
			return err
		}
		done++
		if j.bad {
			bad++
		}
		if f, ok := diagnostics.(*os.File); ok && time.Since(told) > time.Second {
			if s, err := f.Stat(); err == nil && s.Mode()&os.ModeCharDevice != 0 {
				fmt.Fprintf(f, "\r%d lines, %d of them wrong", done, bad)
			}
			told = time.Now()
		}
	}
	if err := lines.Err(); err != nil {
		return err
	}
	if bad > 0 {
		return Usagef("%d of %d lines are wrong", bad, done)
	}
	return nil
}

// line answers one line.
func line(run Program, common []string, text []byte) ([]byte, error) {
	var fields map[string]any
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	if err := d.Decode(&fields); err != nil || fields == nil {
		return nil, &chem.InputError{Field: "line", Value: chem.Echo(string(text)), Want: `a JSON object of flags, such as {"volume": "5 gal"}`}
	}
	args := append(slices.Clone(common), "-json")
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		values, several := fields[name].([]any)
		if !several {
			values = []any{fields[name]}
		}
		for _, v := range values {
			args = append(args, fmt.Sprintf("-%s=%v", strings.TrimLeft(name, "-"), v))
		}
	}
	var out, compact bytes.Buffer
	if err := run(args, &out, io.Discard); err != nil {
		return nil, err
	}
	if err := json.Compact(&compact, out.Bytes()); err != nil {
		return nil, errors.New("this question has no answer in JSON")
	}
	return compact.Bytes(), nil
}
