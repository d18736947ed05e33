package tables

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every cell of every data file is corrupted in turn, in several ways, and each
// corruption must be caught by one of three guards:
//
//	refused   loading finds it wrong
//	fit       it moves a constant kept in testdata/fits.csv
//	manifest  it changes what testdata/manifest.csv keeps, or the sums in fits.csv
//
// For the cells that constants are computed from the last is not enough.
func TestCorruptionIsCaught(t *testing.T) {
	base := standardTables(t)
	fits := map[string][]string{}
	for _, record := range readRecords(t, fitsFile, fitsHeader()) {
		fits[record[0]+" "+record[1]] = record
	}
	kept := map[string][]string{}
	for _, record := range readRecords(t, manifestFile, manifestHeader) {
		kept[record[0]+" "+record[1]] = record
	}
	var total tally
	t.Run("files", func(t *testing.T) {
		for _, file := range dataFiles(t) {
			t.Run(file, func(t *testing.T) {
				t.Parallel()
				c := corruptor{t: t, file: file, base: base, fits: fits}
				c.header, c.rows = table(t, file)
				n := c.run(kept)
				total.add(n)
			})
		}
	})
	t.Logf("%d corruptions of %d cells: %d refused, %d moved a fit, %d changed the manifest only",
		total.made, total.cells, total.refused, total.fit, total.manifest)
}

type tally struct {
	sync.Mutex
	cells, made, refused, fit, manifest int
}

func (t *tally) add(o *tally) {
	t.Lock()
	defer t.Unlock()
	t.cells += o.cells
	t.made += o.made
	t.refused += o.refused
	t.fit += o.fit
	t.manifest += o.manifest
}

// corruptor corrupts one data file.
type corruptor struct {
	t      *testing.T
	file   string
	header []string
	rows   [][]string
	base   *Tables
	fits   map[string][]string
}

func (c *corruptor) run(kept map[string][]string) *tally {
	n := &tally{}
	for k := range c.rows {
		block, at := c.block(k)
		err, moved := c.load(block)
		require.NoError(c.t, err, "line %d as it is", k+2)
		require.False(c.t, moved, "line %d as it is", k+2)
		for col, column := range c.header {
			n.cells++
			cell := c.rows[k][col]
			for _, bad := range corruptions(cell) {
				n.made++
				block[at] = slices.Clone(c.rows[k])
				block[at][col] = bad
				err, moved := c.load(block)
				switch {
				case err != nil:
					n.refused++
				case moved:
					n.fit++
				default:
					n.manifest++
					assert.False(c.t, c.computes(k, column), "line %d, %s: %q instead of %q goes unseen", k+2, column, bad, cell)
					cells := make([]string, len(c.rows))
					for i := range c.rows {
						cells[i] = c.rows[i][col]
					}
					cells[k] = bad
					assert.NotEqual(c.t, kept[c.file+" "+column], manifest(c.file, column, cells), "line %d, %s: %q instead of %q", k+2, column, bad, cell)
				}
			}
			block[at] = c.rows[k]
		}
	}
	return n
}

// computes reports whether constants depend on a cell: those of rows that are
// used, and which rows these are. A reaction that keeps the charges depends on
// ionic strength only if the data fix its Δε, and its enthalpy never does.
func (c *corruptor) computes(k int, column string) bool {
	if !strings.HasPrefix(c.file, "constants/") {
		return false
	}
	switch column {
	case "reaction", "quantity", "use", "source":
		return true
	case "value", "temperature_c":
		return c.cell(k, "use") == "fit"
	case "ionic_strength_mol_l":
		r, err := c.base.notation.ParseReaction(c.cell(k, "reaction"))
		require.NoError(c.t, err)
		eps := c.fits[strings.TrimSuffix(path.Base(c.file), ".csv")+" "+r.String()][2+slices.Index(fitColumns, "delta_eps_l_mol")]
		return c.cell(k, "use") == "fit" && (r.DeltaZ2() != 0 || c.cell(k, "quantity") == "log K" && eps != "0")
	}
	return false
}

func (c *corruptor) cell(k int, column string) string {
	return c.rows[k][slices.Index(c.header, column)]
}

// block returns rows of the file that can be loaded by themselves and hold row
// k, and its place among them. That keeps the test quick: a series of constants
// with the ion pairs that it is corrected for; elsewhere a single row, if the file
// allows.
func (c *corruptor) block(k int) (rows [][]string, at int) {
	if !strings.HasPrefix(c.file, "constants/") {
		one := [][]string{c.rows[k]}
		if err, _ := c.load(one); err == nil {
			return one, 0
		}
		return slices.Clone(c.rows), k
	}
	reaction := c.cell(k, "reaction")
	for i := range c.rows {
		if r := c.cell(i, "reaction"); r == reaction || strings.HasPrefix(r, "Na+ + ") || strings.HasPrefix(r, "K+ + ") {
			if i == k {
				at = len(rows)
			}
			rows = append(rows, c.rows[i])
		}
	}
	return rows, at
}

// load loads rows in the place of the file and reports the error, or whether a
// fit differs from the one kept.
func (c *corruptor) load(rows [][]string) (err error, moved bool) {
	var text strings.Builder
	w := csv.NewWriter(&text)
	_ = w.Write(c.header)
	_ = w.WriteAll(rows)
	files := []fs.FS{fstest.MapFS{c.file: {Data: []byte(text.String())}}}
	t := *c.base
	if load, ok := loaders[c.file]; ok {
		return load(&t, files), false
	}
	if !strings.HasPrefix(c.file, "constants/") {
		return fmt.Errorf("no loader for %s", c.file), false
	}
	t.equilibria, t.unused, t.lines = nil, nil, nil
	if err := t.loadConstants(files, c.file); err != nil {
		return err, false
	}
	columns := 2 + len(fitColumns)
	for _, record := range fitRecords(&t) {
		want, ok := c.fits[record[0]+" "+record[1]]
		if !ok || !same(want[:columns], record[:columns]) {
			return nil, true
		}
	}
	return nil, false
}

// loaders load one file anew into tables that hold all the others.
var loaders = map[string]func(*Tables, []fs.FS) error{
	"solid-orders.csv":      (*Tables).checkOrder,
	"components.csv":        anew[Component]((*Tables).loadComponents),
	"solids.csv":            anew[Solid]((*Tables).loadSolids),
	"names.csv":             anew[commonName]((*Tables).loadNames),
	"hazards.csv":           anew[Hazard]((*Tables).loadHazards),
	"sources.csv":           only("sources.csv", row.citation),
	"sources-reference.csv": only("sources-reference.csv", row.citation),
	"reagents.csv":          only("reagents.csv", row.reagent),
	"hardness-units.csv":    only("hardness-units.csv", row.hardnessUnit),
	"waters.csv":            only("waters.csv", row.water),
	"indicators.csv":        only("indicators.csv", row.indicator),
	"doubts.csv":            only("doubts.csv", row.doubt),
	"strips.csv":            only("strips.csv", row.strip),
	"dispensers.csv":        only("dispensers.csv", row.dispenser),
	"rust-phases.csv":       only("rust-phases.csv", row.rustPhase),
	"rusts.csv":             only("rusts.csv", row.rust),
	"corrosivity.csv":       only("corrosivity.csv", row.corrosivity),
	"couples.csv":           only("couples.csv", row.couple),
	"materials.csv": anew[Material](func(t *Tables, f []fs.FS) error {
		return errors.Join(load(t, f, "materials.csv", row.material), anew[Hazard]((*Tables).loadHazards)(t, t.files))
	}),
	"practice.csv":           only("practice.csv", row.practice),
	"inhibitors.csv":         only("inhibitors.csv", row.inhibitor),
	"baking.csv":             only("baking.csv", row.bake),
	"fates.csv":              only("fates.csv", row.fate),
	"dissolution-phases.csv": only("dissolution-phases.csv", row.phaseRate),
	"dissolution.csv":        only("dissolution.csv", row.kinetic),
	"signs.csv":              only("signs.csv", row.sign),
}

func anew[T entered](load func(*Tables, []fs.FS) error) func(*Tables, []fs.FS) error {
	return func(t *Tables, f []fs.FS) error {
		t.lists = maps.Clone(t.lists)
		t.lists[reflect.TypeFor[T]()] = new(catalogue[T])
		return load(t, f)
	}
}

func only[T entered](file string, item func(row) T) func(*Tables, []fs.FS) error {
	return anew[T](func(t *Tables, f []fs.FS) error { return load(t, f, file, item) })
}

// corruptions returns what might become of a cell by a slip: a number off by
// one in the last place, or of the other sign; a letter changed; the cell
// emptied or filled.
func corruptions(cell string) []string {
	if cell == "" {
		return []string{"7"}
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil {
		last := strings.LastIndexAny(cell, "0123456789")
		digit := cell[last] + 1
		if cell[last] == '9' {
			digit = '8'
		}
		bad := []string{"", cell[:last] + string(digit) + cell[last+1:]}
		if strings.Trim(cell, "-0.") != "" {
			bad = append(bad, strings.TrimPrefix("-"+cell, "--"))
		}
		return bad
	}
	letters := []rune(cell)
	middle := len(letters) / 2
	switch {
	case unicode.IsDigit(letters[middle]):
		letters[middle] = '1' + (letters[middle]-'0')%9
	case letters[middle] == 'x':
		letters[middle] = 'y'
	default:
		letters[middle] = 'x'
	}
	return []string{"", string(letters)}
}
