// Package cli is what the example programs share: how they read flags, print
// tables and end.
//
// A program prints a table for people, the same table as CSV with -csv, or its
// whole result as JSON with -json. It ends with 2 where the input was at fault,
// and with 1 where anything else was.
package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// usage is a complaint about the command line.
type usage struct{ error }

// Usagef returns a complaint about the command line, which wraps [chem.ErrInput].
func Usagef(format string, values ...any) error {
	const most = 60 // characters of what was written
	for i, v := range values {
		if s, ok := v.(string); ok && len(s) > most {
			values[i] = strings.ToValidUTF8(s[:most], "") + "…"
		}
	}
	return usage{fmt.Errorf(format, values...)}
}

// Unwrap gives chem.ErrInput and the complaint.
func (u usage) Unwrap() []error { return []error{chem.ErrInput, u.error} }

// flags are those that the program has parsed last, for Main to name.
var flags atomic.Pointer[flag.FlagSet]

// Main runs a program and ends it with the code that goes with its error. With -lines
// before all other flags it answers the questions that come in, see [Lines].
func Main(name string, run Program) {
	args, body := os.Args[1:], run
	if len(args) > 0 && strings.TrimLeft(args[0], "-") == "lines" {
		args = args[1:]
		body = func(args []string, out, diagnostics io.Writer) error {
			return Lines(run, args, os.Stdin, out, diagnostics)
		}
	}
	err := body(args, os.Stdout, os.Stderr)
	if err != nil && !errors.Is(err, flag.ErrHelp) {
		fmt.Fprintf(os.Stderr, "%s: %s\n", name, refusal(flags.Load(), err))
	}
	os.Exit(ExitCode(err))
}

// refusal says what is wrong in the measures of the flags that were given.
func refusal(f *flag.FlagSet, err error) string {
	text := explain(f, err)
	if f != nil && measure.SystemOf(values(f)...) == measure.US {
		return measure.Customary(text)
	}
	return text
}

// explain says what is wrong. Where that is a field that has a flag (the PH of a
// recipe, and -ph; WaterDrops, and -water-drops) it names the flag.
func explain(f *flag.FlagSet, err error) string {
	text := err.Error()
	var file *fs.PathError
	if errors.As(err, &file) && file.Path != "" {
		text = strings.Replace(text, file.Path, strconv.Quote(file.Path), 1)
	}
	text = echoes.ReplaceAllStringFunc(text, brief)
	var in *chem.InputError
	if !errors.As(err, &in) {
		return text
	}
	text += lookUp(in)
	if f == nil || strings.HasPrefix(text, "-") {
		return text
	}
	f.VisitAll(func(x *flag.Flag) {
		if strings.EqualFold(strings.ReplaceAll(x.Name, "-", ""), in.Field) {
			text = strings.Replace(text, in.Field+" is", "-"+x.Name+" is", 1)
		}
	})
	return text
}

// echoes are words and what stands in quotes, where a complaint repeats what was written.
var echoes = regexp.MustCompile(`"(?:[^"\\]|\\.)*"|[^\s"]+`)

// brief cuts what is longer than any name, number or path that one reads to its end.
func brief(echo string) string {
	const most = 70 // characters
	letters := []rune(echo)
	if len(letters) <= most {
		return echo
	}
	end := "…"
	if letters[0] == '"' {
		end = `…"`
	}
	return string(letters[:most]) + end
}

// lookUp tells which table lists the names that a field may have.
func lookUp(in *chem.InputError) string {
	if table := listed[in.Field]; table != "" && strings.HasPrefix(in.Want, "a name of the tables") {
		return "; the program tables lists them: -table " + table
	}
	return ""
}

// listed are the tables that list the names of fields.
var listed = map[string]string{
	"reagent": "reagents", "material": "materials", "water": "waters", "rust": "rusts", "indicator": "indicators", "solid": "solids", "oxide": "solids",
	"component": "components", "metal": "components", "ligand": "components", "species": "species", "strip": "strips", "dispenser": "dispensers", "class of corrosivity": "corrosivity", "couple": "couples",
}

// values are those of the flags that were given.
func values(f *flag.FlagSet) (given []string) {
	f.Visit(func(x *flag.Flag) { given = append(given, x.Value.String()) })
	return given
}

// ExitCode returns 0, 2 for bad input, or 1.
func ExitCode(err error) int {
	switch {
	case err == nil || errors.Is(err, flag.ErrHelp):
		return 0
	case errors.Is(err, chem.ErrInput) || errors.Is(err, solution.ErrUnreachable): // a target that was asked for
		return 2
	}
	return 1
}

// Format is how a result is printed.
type Format struct {
	CSV, JSON bool
	Given     []string // what was asked besides the flags, to guess the measures from

	flags *flag.FlagSet
	wide  bool
	units measure.System
}

// Flags returns a flag set with the flags of all programs. Its help, which goes to
// out, holds the examples: command lines of the program, which clitest runs.
func Flags(name, about string, out io.Writer, examples ...string) (*flag.FlagSet, *Format) {
	f := flag.NewFlagSet(name, flag.ContinueOnError)
	f.SetOutput(io.Discard)
	format := &Format{flags: f}
	f.BoolVar(&format.CSV, "csv", false, "print the table as CSV")
	f.BoolVar(&format.JSON, "json", false, "print everything as JSON")
	f.BoolVar(&format.wide, "wide", false, "do not fold lines to 80 columns")
	f.Func("units", "`system` to answer in, metric or us; that of what was asked, where it is not said", func(s string) error {
		format.units = measure.System(s)
		if format.units != measure.Metric && format.units != measure.US {
			return errors.New("want metric or us")
		}
		return nil
	})
	f.Usage = func() {
		w := page{out: out, width: lineWidth}
		fmt.Fprintf(w, "%s %s\n\n", name, about)
		for i, example := range examples {
			if i == 0 {
				fmt.Fprintln(w, "Examples:")
			}
			fmt.Fprintf(out, "  %s\n", example)
		}
		var flags strings.Builder
		f.SetOutput(&flags)
		f.PrintDefaults()
		f.SetOutput(io.Discard)
		fmt.Fprintf(w, "\nWith -lines first, each line of standard input, a JSON object of flags or CSV under a head of flags, is answered by a line of JSON.\n\nFlags:\n%s", strings.ReplaceAll(flags.String(), "\t", "    "))
	}
	return f, format
}

// Parse reads the flags. Help is written only where it was asked for; a flag
// that is wrong gives one line. What is left over is refused.
func Parse(f *flag.FlagSet, args []string) error {
	help := f.Usage
	f.Usage = func() {}
	flags.Store(f)
	err := f.Parse(args)
	f.Usage = help
	switch {
	case errors.Is(err, flag.ErrHelp):
		help()
		return err
	case err != nil:
		return Usagef("%w", errors.New(complaint(f, err.Error())))
	case f.NArg() > 0:
		return Usagef("%q stands by itself: want a flag before it, and quotes about what has a space, as in -volume \"20 L\"", f.Arg(0))
	}
	asked := Told(f)
	f.Visit(func(x *flag.Flag) {
		if n, ok := number(x).(float64); ok && (math.IsNaN(n) || math.IsInf(n, 0)) && err == nil {
			err = Usagef("-%s is %s: want a number", x.Name, x.Value.String())
		}
	})
	switch {
	case err != nil:
	case asked["csv"] && asked["json"]:
		err = Usagef("-csv besides -json: want one or the other")
	case (asked["csv"] || asked["json"]) && (asked["wide"] || asked["units"]):
		err = Usagef("-wide and -units change nothing in -csv and -json, whose keys tell the unit")
	case (asked["csv"] || asked["json"] || asked["show"]) && asked["more"]:
		err = Usagef("-more changes nothing beside -csv, -json and -show")
	}
	return err
}

// complaint adds to what package flag says what it wanted.
func complaint(f *flag.FlagSet, text string) string {
	if name, unknown := strings.CutPrefix(text, "flag provided but not defined: -"); unknown {
		var known []string
		f.VisitAll(func(x *flag.Flag) { known = append(known, x.Name) })
		meant := ""
		if near := chem.Nearest(strings.ToLower(name), slices.Values(known)); len(near) > 0 {
			meant = "; -" + near[0] + " is"
		}
		return fmt.Sprintf("-%s is not a flag of %s%s: -help lists them", name, f.Name(), meant)
	}
	m := refusedFlag.FindStringSubmatch(text)
	if m == nil {
		return text
	}
	value, name, why := m[1], m[2], m[3]
	want := "a number"
	switch number(f.Lookup(name)).(type) {
	case bool:
		want = "true or false"
	case int, uint:
		want = "a whole number"
	case nil:
		_, want, _ = strings.Cut(why, "want ")
		if want == "" {
			return fmt.Sprintf("-%s is %s: %s", name, value, why)
		}
	}
	return fmt.Sprintf("-%s is %s: want %s", name, value, want)
}

// refusedFlag is how package flag refuses the value of a flag, and why.
var refusedFlag = regexp.MustCompile(`^invalid (?:boolean )?value (".*") for (?:flag )?-([^ :]+): (.*)$`)

// number returns what a flag holds.
func number(x *flag.Flag) any {
	if x != nil {
		if held, ok := x.Value.(flag.Getter); ok {
			return held.Get()
		}
	}
	return nil
}

// Idle refuses flags that were given and would change nothing, as none of those
// that they go with was given.
func Idle(f *flag.FlagSet, with []string, names ...string) error {
	given := Told(f)
	for _, w := range with {
		if given[w] {
			return nil
		}
	}
	for _, name := range names {
		if given[name] {
			return Usagef("-%s %s changes nothing: want -%s with it", name, f.Lookup(name).Value.String(), strings.Join(with, " or -"))
		}
	}
	return nil
}

// Told returns which flags were given.
func Told(f *flag.FlagSet) map[string]bool {
	given := map[string]bool{}
	f.Visit(func(x *flag.Flag) { given[x.Name] = true })
	return given
}

// Apart refuses flags that were given besides one that says the same otherwise.
func Apart(f *flag.FlagSet, instead string, names ...string) error {
	var err error
	f.Visit(func(x *flag.Flag) {
		if slices.Contains(names, x.Name) && err == nil {
			err = Usagef("-%s besides -%s: want one or the other", x.Name, instead)
		}
	})
	return err
}

// Input collects the first error of several fields, named after their flags.
type Input struct{ Err error }

// Begin reads the flags and loads the tables in which their names are looked up.
func Begin(f *flag.FlagSet, args []string) (t *tables.Tables, in *Input, err error) {
	if err = Parse(f, args); err == nil {
		t, err = tables.Standard()
	}
	return t, &Input{}, err
}

// Flag reads the text of a flag.
func Flag[T any](in *Input, name, text string, read func(string) (T, error)) T {
	x, err := read(text)
	if err == nil || in.Err != nil {
		return x
	}
	in.Err = fmt.Errorf("-%s: %w", name, err)
	if refused, ok := err.(*chem.InputError); ok && (refused.Value == chem.Echo(text) || strings.EqualFold(refused.Field, name)) {
		named := *refused
		named.Field, named.Want = "-"+name, refused.Want+lookUp(refused)
		in.Err = &named
	}
	return x
}

// List splits a flag at its commas.
func List(text string) []string {
	var out []string
	for _, s := range strings.Split(text, ",") {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// Numbers reads a list of numbers.
func Numbers(text string) ([]float64, error) {
	var out []float64
	for _, s := range List(text) {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, Usagef("%q: want numbers with commas between", s)
		}
		out = append(out, x)
	}
	if len(out) == 0 {
		return nil, Usagef("%q holds no number", text)
	}
	return out, nil
}

// Table is a result in rows. Its columns are keys of the vocabulary; the last ones may say
// in brackets which of several things they are of, as in "iron_per_chelant (goethite)".
type Table struct {
	Title   string
	Columns []string
	Rows    [][]any // float64, int, text, or a portion: its name for people, its ID in CSV
	By      string  // the key under which CSV, row by row, has what stands in brackets
}

// Add appends a row.
func (t *Table) Add(cells ...any) { t.Rows = append(t.Rows, cells) }

// long returns the table with a row for each of the columns in brackets.
func (t *Table) long() *Table {
	n := slices.IndexFunc(t.Columns, func(head string) bool { return strings.Contains(head, " (") })
	if n < 0 || t.By == "" {
		return t
	}
	key, _, _ := strings.Cut(t.Columns[n], " (")
	out := &Table{Columns: append(slices.Clone(t.Columns[:n]), t.By, key)}
	for _, row := range t.Rows {
		for i, head := range t.Columns[n:] {
			of := strings.TrimSuffix(strings.TrimPrefix(head, key+" ("), ")")
			out.Add(append(slices.Clone(row[:n]), of, row[n+i])...)
		}
	}
	return out
}

// CSV writes the table with numbers in full.
func (t *Table) CSV(out io.Writer) error {
	w := csv.NewWriter(out)
	t = t.long()
	if err := w.Write(t.Columns); err != nil {
		return err
	}
	for _, row := range t.Rows {
		cells := make([]string, len(row))
		for i, c := range row {
			switch c := c.(type) {
			case float64:
				cells[i] = strconv.FormatFloat(c, 'g', 10, 64)
			case solution.Portion:
				cells[i] = c.Reagent
			default:
				cells[i] = fmt.Sprint(c)
			}
		}
		if err := w.Write(cells); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

// Round writes a number with three significant digits.
func Round(x float64) string {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return fmt.Sprint(x)
	}
	if a := math.Abs(x); a < 1e-3 || a >= 1e6 {
		return strconv.FormatFloat(x, 'e', 1, 64)
	}
	digits := max(0, 2-int(math.Floor(math.Log10(math.Abs(x)))))
	return strconv.FormatFloat(x, 'f', digits, 64)
}

// Choose returns the tables to print, in their order: all of them, or the one
// asked for. CSV has room for one only.
func (f Format) Choose(show string, names ...string) ([]string, error) {
	switch {
	case show != "" && !slices.Contains(names, show):
		return nil, Usagef("-show %q: want one of %s", show, strings.Join(names, ", "))
	case show != "":
		return []string{show}, nil
	case f.CSV:
		return nil, Usagef("-csv prints one table: say which with -show")
	}
	return names, nil
}

// Version is that of the vocabulary: it changes when a key goes or means something else.
const Version = "3"

// JSON writes an object, indented, with the version of the vocabulary first.
func JSON(out io.Writer, v any) error {
	text, err := versioned(v)
	if err != nil {
		return err
	}
	return Plain(out, json.RawMessage(text))
}

// Plain writes a value that is of another vocabulary, indented.
func Plain(out io.Writer, v any) error {
	e := json.NewEncoder(out)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// Line writes an object as JSON does, on one line.
func Line(out io.Writer, v any) error {
	text, err := versioned(v)
	if err == nil {
		_, err = fmt.Fprintf(out, "%s\n", text)
	}
	return err
}

func versioned(v any) ([]byte, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	rest, object := bytes.CutPrefix(text, []byte("{"))
	if !object {
		return nil, fmt.Errorf("%T is no object in JSON", v)
	}
	joint := ","
	if string(rest) == "}" {
		joint = ""
	}
	return append([]byte(`{"version":"`+Version+`"`+joint), rest...), nil
}
