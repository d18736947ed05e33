package cli

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// lineWidth is what a terminal has, in characters.
const lineWidth = 80

// page writes lines for people: folded to the width of a terminal, in the measures
// that were asked in.
type page struct {
	out    io.Writer
	width  int // 0 for any
	system measure.System
}

// Text returns where to write text for people: folded to 80 columns unless -wide was
// given, and in the measures of -units or else in those of the flags that were given.
// Whole lines go into one call of Write.
func (f *Format) Text(out io.Writer) io.Writer {
	p := page{out: out, width: lineWidth, system: f.units}
	if p.system == "" {
		p.system = measure.SystemOf(append(values(f.flags), f.Given...)...)
	}
	if f.wide {
		p.width = 0
	}
	return p
}

// Glass is Text for what is read off laboratory glass, which is graduated in mL everywhere.
func (f *Format) Glass(out io.Writer) io.Writer {
	metric := *f
	metric.units = measure.Metric
	return metric.Text(out)
}

func (p page) Write(text []byte) (int, error) {
	var lines []string
	for line := range strings.SplitSeq(string(text), "\n") {
		if p.system == measure.US {
			line = measure.Customary(sold(line))
		}
		if p.width > 0 {
			line = fold(line, p.width)
		}
		lines = append(lines, line)
	}
	_, err := io.WriteString(p.out, strings.Join(lines, "\n"))
	return len(text), err
}

// Pen writes lines for people until one fails.
type Pen struct {
	Out io.Writer
	Err error // of the line that failed
}

// Line writes a line.
func (p *Pen) Line(format string, args ...any) {
	if p.Err == nil {
		_, p.Err = fmt.Fprintf(p.Out, format+"\n", args...)
	}
}

// Head writes a heading after an empty line.
func (p *Pen) Head(text string) { p.Line("\n%s", text) }

// Table writes a table.
func (p *Pen) Table(t *Table) {
	if p.Err == nil {
		p.Err = t.Print(p.Out)
	}
}

// Answer writes what a program knows as it was asked for: all of it as JSON, a table of it
// as CSV, or for people what tell makes of it.
func (f *Format) Answer(out io.Writer, all any, table *Table, tell func(*Pen)) error {
	switch {
	case f.JSON:
		return JSON(out, all)
	case f.CSV:
		return table.CSV(out)
	}
	p := &Pen{Out: f.Text(out)}
	tell(p)
	return p.Err
}

// pricing is money for a metric amount, as in "0.27 per litre".
var pricing = regexp.MustCompile(`(\d+(\.\d+)?)( \pL+)? per (kg|litre|m²)`)

// sold writes what a metric amount costs as what a customary one does.
func sold(line string) string {
	return pricing.ReplaceAllStringFunc(line, func(text string) string {
		m := pricing.FindStringSubmatch(text)
		if _, err := measure.ParseAmount("1" + m[3]); m[3] == " mol" || m[3] != "" && err == nil {
			return text // a dose
		}
		x, _ := strconv.ParseFloat(m[1], 64) // matched as a number
		unit := bought["money per "+strings.Replace(m[4], "litre", "L", 1)]
		return strconv.FormatFloat(x*unit.size, 'f', max(0, len(m[2])-1), 64) + m[3] + " " + unit.customary
	})
}

// noBreak keeps two words on one line.
const noBreak = "\u00a0"

// measured is a number before its unit.
var measured = regexp.MustCompile(`(\d) (%|(?:°[CF]|[mk]?g|m?L|mol|°Bé|[µmc]?m|lb|oz|gal|qt|in|ft|hours?|days?|weeks?)\b)`)

// fold breaks a line at spaces, but not between a number and its unit. What follows is
// indented as the line is, and a step more where that has an indent.
func fold(line string, width int) string {
	if utf8.RuneCountInString(line) <= width {
		return strings.ReplaceAll(line, noBreak, " ")
	}
	body := strings.TrimLeft(line, " ")
	indent := line[:len(line)-len(body)]
	hang := indent
	if indent != "" {
		hang += "  "
	}
	var out strings.Builder
	out.WriteString(indent)
	column := len(indent)
	for i, word := range strings.Split(measured.ReplaceAllString(body, "$1"+noBreak+"$2"), " ") {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case column+1+n > width && word != "":
			out.WriteString("\n" + hang)
			column = len(hang)
		default:
			out.WriteByte(' ')
			column++
		}
		out.WriteString(word)
		column += n
	}
	return strings.ReplaceAll(out.String(), noBreak, " ")
}

// Print writes the table for people, numbers rounded to three digits in the measures
// that were asked in, under the words of the keys, within 80 columns: long texts are folded in their cells, and what is still too wide follows
// below, with the first column again.
func (t *Table) Print(out io.Writer) error {
	p, ok := out.(page)
	width := lineWidth
	if ok && p.width == 0 {
		width = 1 << 20
	}
	titles, err := heads(t.Columns, p.system)
	if err != nil {
		return err
	}
	cells := [][]string{make([]string, len(titles))}
	for i, h := range titles {
		cells[0][i] = h.text(p.system)
	}
	for _, row := range t.Rows {
		line := make([]string, len(row))
		for i, c := range row {
			switch x := c.(type) {
			case float64:
				line[i] = titles[i].number(x, p.system)
				continue
			case solution.Portion:
				c = x.Name
			}
			line[i] = fmt.Sprint(c)
			if p.system == measure.US {
				line[i] = measure.Customary(line[i])
			}
		}
		cells = append(cells, line)
	}
	var b strings.Builder
	if title := t.Title; title != "" {
		if p.system == measure.US {
			title = measure.Customary(title)
		}
		b.WriteString(fold(title, width) + "\n")
	}
	for _, columns := range bands(cells, width-2) {
		band(&b, cells, columns)
	}
	if ok {
		out = p.out // measured and folded already
	}
	_, err = io.WriteString(out, b.String())
	return err
}

// Tables prints the tables that are shown, in their order, each with what is to be said
// after it; or the only one as CSV.
func (f *Format) Tables(out io.Writer, shown []string, all map[string]*Table, after map[string]string) error {
	if f.CSV {
		return all[shown[0]].CSV(out)
	}
	w := &Pen{Out: f.Text(out)}
	for i, name := range shown {
		if i > 0 {
			w.Line("")
		}
		w.Table(all[name])
		if after[name] != "" {
			w.Line("  %s", after[name])
		}
	}
	return w.Err
}

// Span writes the ends of a range, each with the format or as one of the writers does,
// and one number where they are the same.
func Span(r tables.Range, format string, write ...func(float64) string) string {
	low, high := written(r.Low, format, write), written(r.High, format, write)
	if low == high {
		return low
	}
	return low + " to " + high
}

// Typical writes a range as its typical value and its span behind that, as in "8 hours
// (3 hours to 1 day)", and as one number where all are the same.
func Typical(r tables.Range, format string, write ...func(float64) string) string {
	typical, span := written(r.Typical, format, write), Span(r, format, write...)
	if typical == span {
		return typical
	}
	return typical + " (" + span + ")"
}

func written(x float64, format string, write []func(float64) string) string {
	if len(write) > 0 {
		return fmt.Sprintf(format, write[0](x))
	}
	return fmt.Sprintf(format, x)
}

// narrowest is the width to which a column of text is folded.
const narrowest = 22

// column is a column with the width it is given.
type column struct{ at, width int }

// bands divides the columns so that each band fits, the first column in each.
func bands(cells [][]string, width int) [][]column {
	var all []column
	for i := range cells[0] {
		c := column{i, headWidth(cells[0][i])}
		for _, row := range cells[1:] {
			c.width = max(c.width, utf8.RuneCountInString(row[i]))
		}
		all = append(all, c)
	}
	sum := func(cs []column) int {
		n := 2 * (len(cs) - 1)
		for _, c := range cs {
			n += c.width
		}
		return n
	}
	for excess := sum(all) - width; excess > 0; excess = sum(all) - width {
		widest := &all[0]
		for i := range all {
			if all[i].width > widest.width {
				widest = &all[i]
			}
		}
		if widest.width <= narrowest {
			break
		}
		widest.width = max(narrowest, widest.width-excess)
	}
	var out [][]column
	for rest := all; len(rest) > 0; {
		b := rest[:1:1]
		if len(out) > 0 {
			b = append(all[:1:1], b...)
		}
		rest = rest[1:]
		for len(rest) > 0 && sum(b)+2+rest[0].width <= width {
			b, rest = append(b, rest[0]), rest[1:]
		}
		out = append(out, b)
	}
	return out
}

// broken parts words that are wider than a column, after a sign where there is one.
func broken(text string, width int) string {
	var out []string
	for word := range strings.SplitSeq(text, " ") {
		for utf8.RuneCountInString(word) > width {
			head := string([]rune(word)[:width])
			if i := strings.LastIndexAny(head, ";-/)+"); i > 0 {
				head = head[:i+1]
			}
			out, word = append(out, head), word[len(head):]
		}
		out = append(out, word)
	}
	return strings.Join(out, " ")
}

// band writes some columns of a table.
func band(b *strings.Builder, cells [][]string, columns []column) {
	for _, row := range cells {
		var folded [][]string
		high := 1
		for _, c := range columns {
			lines := strings.Split(fold(broken(row[c.at], c.width), c.width), "\n")
			folded, high = append(folded, lines), max(high, len(lines))
		}
		for i := range high {
			line := " "
			for k, c := range columns {
				text := ""
				if i < len(folded[k]) {
					text = folded[k][i]
				}
				line += " " + text + strings.Repeat(" ", max(0, c.width-utf8.RuneCountInString(text))) + " "
			}
			b.WriteString(strings.TrimRight(line, " ") + "\n")
		}
	}
}
