// Command figures draws the pictures of the library: SVG for pages, PNG for
// whatever cannot show that.
//
//	go run . -out DIR             all figures, in both formats
//	go run . -out DIR -only NAME  one of them
//
// The two in the README are kept beside this file and held against a new drawing
// by the test; go test . -update draws them anew.
//
// It is a module of its own, so that the library does not depend on what draws.
package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/tables"
)

func main() { cli.Main("figures", run) }

// drawings are the figures by name, in the order of the course.
var drawings = []struct {
	name string
	draw func(*tables.Tables) (*figure, error)
}{
	{"fractions", fractions},
	{"constants", constants},
	{"limits", limits},
	{"neutralisation", neutralisation},
	{"drift", drift},
	{"opentub", openTub},
	{"diptime", dipTime},
	{"titration", titrate},
}

func run(args []string, out, diagnostics io.Writer) error {
	f, _ := cli.Flags("figures", "draws the pictures of the library.", out)
	dir := f.String("out", ".", "folder to write to")
	only := f.String("only", "", "draw one figure: "+strings.Join(names(), ", "))
	if err := cli.Parse(f, args); err != nil {
		return err
	}
	t, err := tables.Standard()
	if err != nil {
		return err
	}
	drawn := 0
	for _, d := range drawings {
		if *only != "" && *only != d.name {
			continue
		}
		fig, err := d.draw(t)
		if err != nil {
			return fmt.Errorf("%s: %w", d.name, err)
		}
		for suffix, encode := range map[string]func(io.Writer) error{".svg": fig.svg, ".png": fig.png} {
			if err := save(filepath.Join(*dir, d.name+suffix), encode); err != nil {
				return err
			}
		}
		fmt.Fprintf(out, "%s: %s\n", d.name, fig.title)
		drawn++
	}
	if drawn == 0 {
		return cli.Usagef("-only %q: want one of %s", *only, strings.Join(names(), ", "))
	}
	return nil
}

func names() []string {
	var out []string
	for _, d := range drawings {
		out = append(out, d.name)
	}
	return out
}

func save(path string, encode func(io.Writer) error) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := encode(f); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
