package main

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const goodRow = "a,pKw,T_C=25,14,1,0.02,agree,tables,printed,Somebody 1950,"

func directory(rows ...string) fs.FS {
	text := strings.Join(append([]string{strings.Join(header, ",")}, rows...), "\n")
	return fstest.MapFS{"water.csv": {Data: []byte(text)}}
}

func TestReadGoodRow(t *testing.T) {
	checks, err := readAll(directory(goodRow), []string{"water"})
	require.NoError(t, err)
	require.Len(t, checks, 1)
	assert.Equal(t, check{
		topic: "water", line: 2, id: "a", quantity: "pKw", conditions: conditions{{"T_C", "25"}},
		published: 14, unit: "1", tolerance: 0.02, expect: agree, basis: held, trust: printed, source: "Somebody 1950",
	}, checks[0])
}

// A bad cell is refused with its file, line, column and value.
func TestReadRefusals(t *testing.T) {
	for column, cells := range map[string][]string{
		"id":         {""},
		"conditions": {"", "T_C", "T_C=", "=25", "T_C=25;T_C=30", "T_C=25;"},
		"value":      {"", "fourteen", "NaN", "Inf", "1e999"},
		"unit":       {""},
		"tolerance":  {"", "small", "-0.1", "NaN", "Inf"},
		"expect":     {"", "Agree", "maybe"},
		"basis":      {"", "Independent", "fitted"},
		"trust":      {"", "read", "from memory, unverified"},
		"source":     {""},
	} {
		for _, cell := range cells {
			row := strings.Split(goodRow, ",")
			at := indexOf(t, column)
			row[at] = `"` + cell + `"`
			_, err := readAll(directory(strings.Join(row, ",")), []string{"water"})
			var bad *rowError
			require.ErrorAs(t, err, &bad, "%s %q", column, cell)
			assert.ErrorIs(t, err, errRow)
			assert.Equal(t, [4]any{"water", 2, column, cell}, [4]any{bad.topic, bad.line, bad.column, bad.value})
			assert.NotEmpty(t, bad.want)
		}
	}
}

func indexOf(t *testing.T, column string) int {
	for i, name := range header {
		if name == column {
			return i
		}
	}
	t.Fatalf("no column %s", column)
	return -1
}

// A row that does not agree says why.
func TestReadWantsReason(t *testing.T) {
	_, err := readAll(directory(strings.Replace(goodRow, "agree", "disagree", 1)), []string{"water"})
	assert.EqualError(t, err, `water.csv, line 2: note is "", expected the reason`)
}

func TestReadRefusesTwins(t *testing.T) {
	_, err := readAll(directory(goodRow, goodRow), []string{"water"})
	assert.EqualError(t, err, `water.csv, line 3: id is "a", expected an id that no other row has`)
}

func TestReadRefusesShapes(t *testing.T) {
	for name, text := range map[string]string{
		"empty":        "",
		"other header": "id,value\n",
		"short row":    strings.Join(header, ",") + "\na,pKw\n",
		"open quote":   strings.Join(header, ",") + "\n\"a,pKw\n",
	} {
		_, err := readAll(fstest.MapFS{"water.csv": {Data: []byte(text)}}, []string{"water"})
		assert.ErrorContains(t, err, "water.csv", name)
	}
	_, err := readAll(fstest.MapFS{}, []string{"water"})
	assert.ErrorIs(t, err, fs.ErrNotExist)
}

func TestWork(t *testing.T) {
	for citation, want := range map[string]string{
		"Bates, Bower & Smith 1956, J. Res. Natl. Bur. Stand. 56, 305-312; NBS table": "Bates, Bower & Smith 1956",
		"Bates & Pinching 1949a, J. Am. Chem. Soc. 71, 1274-1283":                     "Bates & Pinching 1949a",
		"JIS Z 8802 (confirmed 2011), table of standard pH by temperature":            "JIS Z 8802",
		"ISO 9223:2012, carbon steel, first year":                                     "ISO 9223:2012",
		"ISO 6059:1984: c(Ca+Mg) = c(EDTA) V(EDTA)/V(sample)":                         "ISO 6059:1984",
		"Harris, Quantitative Chemical Analysis, 8th-9th ed., exercise":               "Harris",
		"USP Edetate Disodium: 4.0-6.0, 1 in 20":                                      "USP Edetate Disodium",
		"common practice, no source":                                                  "",
		"22.40 / 7.09":                                                                "",
	} {
		assert.Equal(t, want, work(citation), citation)
	}
}
