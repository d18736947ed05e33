package cli

import (
	"bufio"
	"bytes"
	"encoding/csv"
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
// the names of flags, {"volume": "5 gal", "amount": "1 lb"}, or a record of CSV whose head,
// the first line, has these names. It is answered by a line of JSON in its place, on all cores. A line that is wrong is answered by what is wrong
// with it, and the rest go on; the error at the end then tells how many there were. Each
// answer has the number of its line, as empty ones have none.
// The flags given before hold for all lines.
func Lines(run Program, common []string, in io.Reader, out, diagnostics io.Writer) error {
	type job struct {
		number int
		text   []byte
		answer chan []byte
		bad    bool
	}
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, 1<<20)
	n, more := 0, false
	next := func() {
		for more = lines.Scan(); more && len(bytes.TrimSpace(lines.Bytes())) == 0; more = lines.Scan() {
			n++
		}
		n++
	}
	next()
	var head []string
	if first := bytes.TrimPrefix(lines.Bytes(), []byte("\ufeff")); more && strings.TrimSpace(string(first))[0] != '{' {
		head, _ = csv.NewReader(bytes.NewReader(first)).Read() // what is no head has no flags, which each line says
		next()
	}
	queue := make(chan *job, 4*runtime.GOMAXPROCS(0))
	work := make(chan *job)
	for range runtime.GOMAXPROCS(0) {
		go func() {
			for j := range work {
				text, err := line(run, common, head, j.text)
				if err != nil {
					j.bad = true
					text, _ = versioned(map[string]any{"error": explain(flags.Load(), err)})
				}
				j.answer <- fmt.Appendf(nil, `%s"line":%d,%s`, opening, j.number, text[len(opening):])
			}
		}()
	}
	go func() {
		defer close(queue)
		defer close(work)
		for ; more; next() {
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

// asked reads the flags of a line of JSON, or of one of CSV under its head: what is empty
// there is not said.
func asked(head []string, text []byte) (map[string]any, error) {
	var fields map[string]any
	if head == nil {
		d := json.NewDecoder(bytes.NewReader(text))
		d.UseNumber()
		if err := d.Decode(&fields); err != nil || fields == nil {
			return nil, &chem.InputError{Field: "line", Value: chem.Echo(string(text)), Want: `a JSON object of flags, such as {"volume": "5 gal"}`}
		}
		return fields, nil
	}
	record, err := csv.NewReader(bytes.NewReader(text)).Read()
	if err != nil || len(record) != len(head) {
		return nil, &chem.InputError{Field: "line", Value: chem.Echo(string(text)), Want: fmt.Sprintf("CSV of %d fields, as the head has", len(head))}
	}
	fields = map[string]any{}
	for i, value := range record {
		if value = strings.TrimSpace(value); value != "" {
			fields[strings.TrimSpace(head[i])] = value
		}
	}
	return fields, nil
}

// opening is how every answer begins.
const opening = `{"version":"` + Version + `",`

// line answers one line.
func line(run Program, common, head []string, text []byte) ([]byte, error) {
	fields, err := asked(head, text)
	if err != nil {
		return nil, err
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
	if err := json.Compact(&compact, out.Bytes()); err != nil || !bytes.HasPrefix(compact.Bytes(), []byte(opening)) {
		return nil, errors.New("this question has no answer in JSON")
	}
	return compact.Bytes(), nil
}
