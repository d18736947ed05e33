package tables

import (
	"encoding/csv"
	"flag"
	"fmt"
	"hash/crc32"
	"io/fs"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

var update = flag.Bool("update", false, "write testdata/fits.csv and testdata/manifest.csv anew")

// testdata/fits.csv keeps what every reaction was fitted to, so that a diff
// shows a chemist which constants an edit of the data moves, and by how much.
const (
	fitsFile    = "testdata/fits.csv"
	afterAnEdit = "if the edit of the data is meant, review it and run go test ./tables -run Kept -update"
)

// fitColumns are the results of a fit; sumColumns are sums over the rows, each
// times its place, which also guard the rows that are held.
var (
	fitColumns = []string{"log10_k_at_zero_i", "reaction_enthalpy_j_per_mol", "reaction_heat_capacity_j_per_mol_k", "interaction_l_per_mol", "sigma", "low_k", "high_k", "high_i_mol_l"}
	sumColumns = []string{"rows", "used", "values", "uncertainties", "temperatures", "strengths"}
)

func fitsHeader() []string {
	return append(append([]string{"table", "reaction"}, fitColumns...), sumColumns...)
}

// fitRecord writes a reaction as a row of testdata/fits.csv; the results of a
// fit are empty when all rows are held.
func fitRecord(e Equilibrium, fitted bool) []string {
	record := []string{e.Table, e.Reaction.String()}
	if fitted {
		for _, x := range []float64{e.LogK, e.DeltaH, e.DeltaCp, e.DeltaEps, e.Sigma(chem.ReferenceTemperature, 0.1),
			e.Span.LowC + 273.15, e.Span.HighC + 273.15, e.Span.HighMolPerLitre} {
			record = append(record, fmt.Sprintf("%.9g", x))
		}
	} else {
		record = append(record, make([]string, len(fitColumns))...)
	}
	var used, values, uncertainties, temperatures, strengths float64
	for k, o := range e.Observations {
		place := float64(k + 1)
		if o.Used {
			used += place
		}
		twice := 1.0
		if o.Quantity == chem.Enthalpy {
			twice = 2
		}
		values += place * o.Value * twice
		uncertainties += place * o.Uncertainty
		temperatures += place * (o.TemperatureC + 273.15)
		strengths += place * o.IonicStrengthMolPerLitre
	}
	for _, x := range []float64{float64(len(e.Observations)), used, values, uncertainties, temperatures, strengths} {
		record = append(record, fmt.Sprintf("%.12g", x))
	}
	return record
}

// same compares records cell by cell: numbers within 1e-8 of their size, so
// that another processor's rounding does not matter.
func same(a, b []string) bool {
	return slices.EqualFunc(a, b, func(x, y string) bool {
		if x == y {
			return true
		}
		u, err := strconv.ParseFloat(x, 64)
		v, err2 := strconv.ParseFloat(y, 64)
		return err == nil && err2 == nil && math.Abs(u-v) <= 1e-8*max(math.Abs(u), math.Abs(v), 1e-3)
	})
}

func fitRecords(t *Tables) [][]string {
	var records [][]string
	for _, e := range t.equilibria {
		records = append(records, fitRecord(e, true))
	}
	for _, e := range t.unused {
		records = append(records, fitRecord(e, false))
	}
	return records
}

func TestFitsAreKept(t *testing.T) {
	got := fitRecords(standardTables(t))
	if *update {
		writeRecords(t, fitsFile, fitsHeader(), got)
	}
	want := readRecords(t, fitsFile, fitsHeader())
	require.Len(t, got, len(want), "%s", afterAnEdit)
	for i := range want {
		assert.True(t, same(want[i], got[i]), "a constant has moved: kept\n%v, now\n%v\n%s", want[i], got[i], afterAnEdit)
	}
}

// testdata/manifest.csv keeps, for each column of each data file, how many
// cells are filled and what they amount to: numbers their sum, each times its
// place, and text its CRC-32. It guards the cells that describe and do not
// compute, such as notes.
const manifestFile = "testdata/manifest.csv"

var manifestHeader = []string{"file", "column", "filled", "numbers", "text"}

func manifest(file, column string, cells []string) []string {
	filled, sum := 0, 0.0
	crc := crc32.NewIEEE()
	for k, cell := range cells {
		if cell == "" {
			continue
		}
		filled++
		if x, err := strconv.ParseFloat(cell, 64); err == nil {
			sum += float64(k+1) * x
		} else {
			fmt.Fprintln(crc, k, cell)
		}
	}
	return []string{file, column, strconv.Itoa(filled), fmt.Sprintf("%.14g", sum), fmt.Sprintf("%08x", crc.Sum32())}
}

func TestManifestIsKept(t *testing.T) {
	var got [][]string
	for _, file := range dataFiles(t) {
		header, rows := table(t, file)
		for c, column := range header {
			cells := make([]string, len(rows))
			for k := range rows {
				cells[k] = rows[k][c]
			}
			got = append(got, manifest(file, column, cells))
		}
	}
	if *update {
		writeRecords(t, manifestFile, manifestHeader, got)
	}
	want := map[string][]string{}
	for _, record := range readRecords(t, manifestFile, manifestHeader) {
		want[record[0]+" "+record[1]] = record
	}
	assert.Len(t, got, len(want))
	for _, record := range got {
		assert.Equal(t, want[record[0]+" "+record[1]], record, "%s", afterAnEdit)
	}
}

// dataFiles returns the names of all CSV files of the library.
func dataFiles(t testing.TB) (files []string) {
	t.Helper()
	require.NoError(t, fs.WalkDir(embedded, "data", func(name string, entry fs.DirEntry, err error) error {
		if strings.HasSuffix(name, ".csv") {
			files = append(files, strings.TrimPrefix(name, "data/"))
		}
		return err
	}))
	return files
}

// table returns a data file cell by cell.
func table(t testing.TB, file string) (header []string, rows [][]string) {
	t.Helper()
	r := csv.NewReader(strings.NewReader(content(t, file)))
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	return all[0], all[1:]
}

func readRecords(t testing.TB, file string, header []string) [][]string {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, header, all[0])
	return all[1:]
}

func writeRecords(t testing.TB, file string, header []string, records [][]string) {
	t.Helper()
	f, err := os.Create(file)
	require.NoError(t, err)
	w := csv.NewWriter(f)
	require.NoError(t, w.Write(header))
	require.NoError(t, w.WriteAll(records))
	require.NoError(t, f.Close())
}
