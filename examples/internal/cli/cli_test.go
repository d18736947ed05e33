package cli

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// What is long is cut where it is repeated, and what was wanted is told all the same.
func TestLongInput(t *testing.T) {
	f, _ := Flags("bath", "plans a bath.", io.Discard)
	f.Float64("ph", 7, "to reach")
	f.Func("read", "step", func(text string) error { return Usagef("%s: want a pH", text) })
	words, letters := strings.Repeat("ab ", 200), strings.Repeat("ä", 500)
	for _, text := range []string{words, letters, `"` + letters, words + `"` + letters} {
		for _, args := range [][]string{{"-ph", text}, {"-read", text}, {"-" + letters}, {letters}, {"-units", text}} {
			told := explain(f, Parse(f, args))
			require.LessOrEqual(t, utf8.RuneCountInString(told), 300, told)
			require.True(t, utf8.ValidString(told), told)
			require.Contains(t, told, "…")
			require.Regexp(t, "want|-help|need quotes", told)
		}
		_, err := os.Open(text)
		require.LessOrEqual(t, utf8.RuneCountInString(explain(f, Usagef("-file: %w", err))), 300)
	}
	_, err := os.Open(filepath.Join(t.TempDir(), "my bath.json"))
	require.Contains(t, explain(f, err), "bath.json")
}

// A complaint is read once, and names the flag where there is one.
func TestComplaints(t *testing.T) {
	f, _ := Flags("bath", "plans a bath.", io.Discard)
	f.Float64("ph", 7, "to reach")
	f.Int("water-drops", 1, "counted")
	require.NoError(t, Parse(f, nil))
	flagged := func(name, text string) error {
		var in Input
		Flag(&in, name, text, measure.ParseVolume)
		Flag(&in, "later", "x", measure.ParseMass)
		return in.Err
	}
	price := &chem.InputError{Field: "price", Value: `"x"`, Want: "money per amount"}
	var in Input
	Flag(&in, "acid-price", "x", func(string) (int, error) { return 0, price })
	var unknown Input
	Flag(&unknown, "class", "C9", func(text string) (int, error) {
		return 0, &chem.InputError{Field: "class of corrosivity", Value: chem.Echo(text), Want: "a name of the tables"}
	})
	for _, c := range []struct {
		err  error
		want string
	}{
		{flagged("volume", "5 lx"), `-volume is "5 lx": want a unit such as L at "lx"`},
		{flagged("drop", "5 lx"), `-drop is "5 lx": want a unit such as L at "lx"`},
		{in.Err, `-acid-price is "x": want money per amount`},
		{unknown.Err, `-class is "C9": want a name of the tables; the program tables lists them: -table corrosivity`},
		{chem.Within("PH", 1, 2, 12, ""), "-ph is 1: want 2 to 12"},
		{fmt.Errorf("event 2: %w", chem.Within("Ph", 1.23456789, 2, 12, "")), "event 2: -ph is 1.23457: want 2 to 12"},
		{chem.Within("WaterDrops", 0, 1, 9, ""), "-water-drops is 0: want 1 to 9"},
		{chem.Within("Volume", 1, 2, 12, "L"), "Volume is 1 L: want 2 to 12 L"},
		{Usagef("-csv prints one table: say which with -show"), "-csv prints one table: say which with -show"},
		{Parse(f, []string{"-ph", "x"}), `-ph is "x": want a number`},
	} {
		require.Equal(t, c.want, explain(flags.Load(), c.err))
		require.Equal(t, 2, ExitCode(c.err), c.want)
	}
	require.Equal(t, `"x"`, price.Value)
	require.Equal(t, "price", price.Field)
	require.Equal(t, 0, ExitCode(nil))
	require.Equal(t, 0, ExitCode(flag.ErrHelp))
	require.Equal(t, 1, ExitCode(errors.New("disk full")))
	require.Equal(t, 2, ExitCode(&solution.UnreachableError{}))
}

// Tables are read by people: words for keys, units in the measures that were asked in, a
// number never parted from its unit.
// What a litre, a kilogram or a square metre costs is told of a gallon, a pound and a square
// foot where those were asked in (factors of NIST Handbook 44).
func TestPricesInCustomaryUnits(t *testing.T) {
	require.Equal(t, "1.02 per gal, 26.97 per lb of rust", sold("0.27 per litre, 59.46 per kg of rust"))
	require.Equal(t, "47 per lb, 3 g per kg", sold("103 per kg, 3 g per kg"))
	require.Equal(t, "0.9 per ft²", sold("10.0 per m²"))
}

func TestTable(t *testing.T) {
	table := Table{Columns: []string{"way", "left_alone_rust_g", "practical_area_cm2", "cost_per_kg_rust", "iron_per_chelant (goethite)", "mL"}}
	table.Add("mixed", 453.59237, 1858.06, 100.0, 0.5, 1.0)
	print := func(system measure.System) string {
		var out strings.Builder
		require.NoError(t, table.Print(page{out: &out, width: lineWidth, system: system}))
		return out.String()
	}
	require.Equal(t, `  way    left     practical  cost    iron per    mL
         alone    area, cm²  per kg  chelant
         rust, g             rust    (goethite)
  mixed  454      1858       100     0.500       1.00
`, print(measure.Metric))
	require.Equal(t, `  way    left   practical  cost    iron per    mL
         alone  area       per lb  chelant
         rust              rust    (goethite)
  mixed  1 lb   2 ft²      45.4    0.500       1.00
`, print(measure.US))
	titles, err := heads([]string{"free_fraction", "rust_g"}, measure.Metric)
	require.NoError(t, err)
	for share, want := range map[float64]string{0: "0", 8.3e-15: "< 0.001", 0.00099: "< 0.001", 0.001: "0.00100", 0.25: "0.250"} {
		require.Equal(t, want, titles[0].number(share, measure.Metric), "a share that nobody tells from none")
	}
	require.Equal(t, "8.3e-15", titles[1].number(8.3e-15, measure.Metric))
	require.Equal(t, "log10 alpha ligand", speak("log10_alpha_ligand"), "no pH within a word")
	require.Equal(t, "pH computed", speak("ph_computed"))
	require.Equal(t, "driving force iron(III)", speak("driving_force_iron_iii"))
	require.Equal(t, "take\n79 g to", fold("take 79 g to", 8))
	require.Equal(t, "take\n5 % of", fold("take 5 % of", 7))
}

// What is refused is said in the measures of the asker, and where the names are.
func TestRefused(t *testing.T) {
	f, _ := Flags("tub", "asks of a tub.", io.Discard)
	f.String("part-height", "", "of the part")
	require.NoError(t, Parse(f, []string{"-part-height", "15 in"}))
	high := &chem.InputError{Field: "height of the part", Value: "38 cm", Want: "at most 25.4 cm"}
	require.Equal(t, "height of the part is 15 in: want at most 10 in", refusal(f, high))
	unknown := &chem.InputError{Field: "material", Value: `"titanium"`, Want: "a name of the tables", Kind: tables.ErrNotFound}
	require.Contains(t, refusal(f, unknown), "-table materials")
}
