package main

import (
	"bytes"
	"flag"
	"fmt"
	"image/png"
	"math"
	"os"
	"regexp"
	"strconv"
	"sync"
	"testing"

	"example.com/chelation/tables"
)

var update = flag.Bool("update", false, "draw the stored figures anew")

// stored are the figures that the README shows.
var stored = []string{"limits", "neutralisation"}

var drawAll = sync.OnceValues(func() (map[string]*figure, error) {
	data, err := tables.Standard()
	if err != nil {
		return nil, err
	}
	out := map[string]*figure{}
	for _, d := range drawings {
		if out[d.name], err = d.draw(data); err != nil {
			return nil, fmt.Errorf("%s: %w", d.name, err)
		}
	}
	return out, nil
})

func drawn(t *testing.T) map[string]*figure {
	t.Helper()
	all, err := drawAll()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestStored(t *testing.T) {
	all := drawn(t)
	for _, name := range stored {
		var now bytes.Buffer
		if err := all[name].svg(&now); err != nil {
			t.Fatal(err)
		}
		path := name + ".svg"
		if *update {
			if err := os.WriteFile(path, now.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if difference := compare(string(kept), now.String()); difference != "" {
			t.Errorf("%s has moved: %s; look at it, then go test . -update", path, difference)
		}
	}
}

// A third of a point is less than half the width of the thinnest curve.
const tolerance = 0.33

var numeral = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?(e[-+][0-9]+)?`)

// compare tells how two drawings differ: in anything but numbers, or in numbers
// by more than the tolerance.
func compare(want, got string) string {
	if w, g := numeral.ReplaceAllString(want, "#"), numeral.ReplaceAllString(got, "#"); w != g {
		return "other elements or words"
	}
	w, g := numeral.FindAllString(want, -1), numeral.FindAllString(got, -1)
	for i := range w {
		a, errA := strconv.ParseFloat(w[i], 64)
		b, errB := strconv.ParseFloat(g[i], 64)
		if errA != nil || errB != nil || math.Abs(a-b) > tolerance {
			return w[i] + " is now " + g[i]
		}
	}
	return ""
}

func TestCompare(t *testing.T) {
	for _, x := range []struct {
		a, b string
		same bool
	}{
		{`<path d="M1,2L3,4"/>`, `<path d="M1,2L3,4.2"/>`, true},
		{`<path d="M1,2L3,4"/>`, `<path d="M1,2L3,4.5"/>`, false},
		{`<path d="M1,2L3,4"/>`, `<path d="M1,2L3,4L5,6"/>`, false},
		{`<text>pH</text>`, `<text>pM</text>`, false},
	} {
		if got := compare(x.a, x.b) == ""; got != x.same {
			t.Errorf("%s and %s: same is %t", x.a, x.b, got)
		}
	}
}

// Whatever is written stays on the canvas.
func TestNothingIsCutOff(t *testing.T) {
	for name, f := range drawn(t) {
		texts := f.texts()
		for _, s := range texts {
			if s.at.X < 0 || s.at.X+s.wide > width || s.at.Y < 0 || s.at.Y > f.height() {
				t.Errorf("%s: %q from %.0f to %.0f points of %.0f", name, s.text, s.at.X, s.at.X+s.wide, width)
			}
		}
		if len(texts) < 10 {
			t.Errorf("%s: %d texts: want axes, title and names", name, len(texts))
		}
	}
}

// Every text says how wide it is drawn, whatever the font, and nobody signs.
func TestAnyFont(t *testing.T) {
	for name, f := range drawn(t) {
		var b bytes.Buffer
		if err := f.svg(&b); err != nil {
			t.Fatal(err)
		}
		if n, want := bytes.Count(b.Bytes(), []byte(` textLength="`)), len(f.texts()); n != want {
			t.Errorf("%s: %d of %d texts have a width", name, n, want)
		}
		if bytes.Contains(b.Bytes(), []byte("<!--")) {
			t.Errorf("%s has a comment", name)
		}
	}
}

func TestPNG(t *testing.T) {
	for name, f := range drawn(t) {
		var b bytes.Buffer
		if err := f.png(&b); err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(&b)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		want := int(math.Round(float64(width) / 72 * resolution))
		if got := img.Bounds().Dx(); math.Abs(float64(got-want)) > 1 {
			t.Errorf("%s is %d pixels wide, want %d", name, got, want)
		}
	}
}
