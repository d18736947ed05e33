package clitest

import (
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the stored answers of the programs anew")

// answer is what a program wrote with -json.
type answer map[string]any

// number returns the figure at the end of keys and places joined by dots.
func (a answer) number(t *testing.T, path string) float64 {
	t.Helper()
	var at any = map[string]any(a)
	for step := range strings.SplitSeq(path, ".") {
		switch x := at.(type) {
		case map[string]any:
			at = x[step]
		case []any:
			i, err := strconv.Atoi(step)
			require.NoError(t, err, path)
			require.Less(t, i, len(x), path)
			at = x[i]
		}
	}
	n, ok := at.(float64)
	require.True(t, ok, "%s is %v, no number", path, at)
	return n
}

// sum adds a figure of every entry of a list.
func (a answer) sum(t *testing.T, list []any, path string) float64 {
	t.Helper()
	require.NotEmpty(t, list)
	total := 0.0
	for _, each := range list {
		total += answer(each.(map[string]any)).number(t, path)
	}
	return total
}

// Molar masses in g/mol by hand from the standard atomic weights of IUPAC 2021.
const (
	iron     = 55.845
	goethite = 88.851 // FeOOH: 55.845 + 2 × 15.999 + 1.008
	edtaSalt = 452.23 // Na4C10H12N2O8·4H2O: 4 × 22.990 + 292.24 − 4 × 1.008 + 4 × 18.015
	edtaAcid = 292.24 // C10H16N2O8
	bagAssay = 0.99   // of the tables' tetrasodium salt
	citric   = 192.12 // C6H8O7
	ferric   = 106.87 // Fe(OH)3
)

// acidToSeven is the acid in mol that brings 500 g of the salt in 20 L of the tables' tap
// water from pH 11 to 7 for good, by hand: H2edta²⁻ and Hedta³⁻ stand 0.14 to 0.86 there,
// with a pK of 6.2 at this salt (6.27 in 0.1 mol/L KCl, Anderegg 1977), so that a chelant
// takes 1.14, but for what holds 0.9 mmol/L of calcium and magnesium; of the alkalinity of
// 1.5 mmol/L what air lets stand at pH 7 is a twentieth.
const acidToSeven = 1.14*(500*bagAssay/edtaSalt-20*0.0009) + 20*0.95*0.0015

type program struct {
	name   string
	args   []string
	csv    []string // flags besides -csv; nil where the answer is no table
	checks func(t *testing.T, a answer)
}

// programs are run as their users run them: what they answer without being asked
// otherwise is held to what is stored, and to figures worked out beside.
var programs = []program{
	{"bath", nil, []string{}, func(t *testing.T, a answer) {
		assert.InEpsilon(t, 500*bagAssay/edtaSalt, a.number(t, "strength_mol_per_l")*a.number(t, "bath_l"), 1e-3, "500 g of salt")
		poured := 0.0
		for _, each := range a["steps"].([]any) {
			s := answer(each.(map[string]any))
			poured += s.number(t, "times") * s.number(t, "portion.mass_g")
		}
		assert.InDelta(t, a.number(t, "acid.mass_g"), poured, 2, "portions make the dose, to half a teaspoon")
		assert.InEpsilon(t, acidToSeven/2.95*citric, a.number(t, "acid.mass_g"), 0.04, "citric acid gives 2.95 protons, by its third pK of 5.7")
	}},
	{"capacity", nil, []string{"-show", "limit"}, func(t *testing.T, a answer) {
		for _, room := range []string{"chelant_capacity", "equilibrium", "proton", "practical"} {
			mol := a.number(t, "capacities_by_oxide.1."+room+".iron_mol")
			assert.InEpsilon(t, mol*goethite, a.number(t, "capacities_by_oxide.1."+room+".rust_g"), 1e-3, "the second oxide is an FeOOH")
		}
		parts := 0.0
		for _, part := range []string{"with_hardness_mol", "with_iron_mol", "with_other_metals_mol", "settled_as_acid_mol", "free_mol"} {
			parts += a.number(t, "capacities_by_oxide.0.chelants.0."+part)
		}
		assert.InEpsilon(t, a.number(t, "capacities_by_oxide.0.chelants.0.total_mol"), parts, 1e-6)
		assert.InEpsilon(t, 0.75*a.number(t, "capacities_by_oxide.0.chelant_capacity.iron_mol"), a.number(t, "capacities_by_oxide.0.practical.iron_mol"), 1e-3)
		assert.InEpsilon(t, a.number(t, "upkeep.rust_g")*a.number(t, "upkeep.acid_g_per_rust_g"), a.number(t, "upkeep.acid.mass_g"), 0.01)
	}},
	{"compare", nil, []string{"-show", "ways"}, func(t *testing.T, a answer) {
		// what a way costs and takes by hand: 500 g at 6 a pound; as many protons of each acid
		assert.InEpsilon(t, 500/453.59237*6, a.number(t, "ways.0.cost.chelant_cost"), 1e-9)
		for i, molar := range []float64{citric / 2.95, 60.052 / 0.05 / 0.995, 36.461 / 0.3145} { // citric acid, vinegar of 5 %, muriatic acid of 31.45 %
			assert.InEpsilon(t, acidToSeven*molar, a.number(t, "ways."+strconv.Itoa(i)+".acid.mass_g"), 0.04)
			assert.InEpsilon(t, a.number(t, "ways.2.acid.mass_g")*0.3145/36.461*molar, a.number(t, "ways."+strconv.Itoa(i)+".acid.mass_g"), 0.02)
		}
		for _, each := range a["ways"].([]any) {
			way := answer(each.(map[string]any))
			cost := func(of string) float64 {
				if _, there := way["cost"].(map[string]any)[of]; !there {
					return 0
				}
				return way.number(t, "cost."+of)
			}
			assert.InEpsilon(t, cost("total_cost"), cost("chelant_cost")+cost("acid_cost")+cost("extras_cost")+cost("keeper_cost"), 1e-9)
			if per := cost("cost_per_kg_rust"); per > 0 {
				assert.InEpsilon(t, cost("total_cost")/(way.number(t, "takes_kept_rust_g")/1000), per, 1e-6)
			}
		}
	}},
	{"course", nil, []string{"-show", "course"}, func(t *testing.T, a answer) {
		// Two iron(III) take one iron off the steel, and under a lid nothing else does:
		// of 30 g of FeOOH at most 15/88.851 mol.
		assert.LessOrEqual(t, a.number(t, "covers.0.steel_lost_g.high"), 30/goethite/2*iron+1e-6)
		assert.InEpsilon(t, 3*a.number(t, "covers.0.steel_lost_g.typical")/iron,
			a.number(t, "covers.0.iron_ii_mol.typical")-a.number(t, "covers.0.iron_iii_mol.typical")/2, 2e-3)
		assert.InEpsilon(t, 20, a.number(t, "exchange.depth_cm")*a.number(t, "exchange.surface_cm2")/1000, 0.02, "litres")
	}},
	{"diptime", nil, []string{}, func(t *testing.T, a answer) {
		for _, end := range []string{"low", "typical", "high"} {
			share := a.number(t, "layer.iron_g_per_m2."+end) / a.number(t, "layer.rust_g_per_m2."+end)
			assert.True(t, share > 0.5 && share < 0.72, "iron in rust: %g, from 55.845/106.87 of Fe(OH)3 to 0.7236 of Fe3O4", share)
		}
		// 30 g/m² of iron go in 16 h where the liquid is never short (tables/data/dissolution.csv),
		// in proportion to the iron there is; what the film makes of it comes on top.
		layer, bound := a.number(t, "layer.iron_g_per_m2.typical"), a.number(t, "now.diffusion_bound_hours.typical")
		assert.InEpsilon(t, 16*layer/30+bound, a.number(t, "now.hours.typical"), 0.08)
		// each iron takes a chelant
		litres := 500 * bagAssay / edtaSalt / a.number(t, "now.free_chelant_mol_per_l") // but for the hardness
		used := layer * a.number(t, "area_cm2") / 1e4 / iron / litres
		assert.InEpsilon(t, used, a.number(t, "now.free_chelant_mol_per_l")-a.number(t, "now.end_free_chelant_mol_per_l"), 0.03)
	}},
	{"dispose", nil, []string{}, func(t *testing.T, a answer) {
		// all EDTA and all iron of 50 g of FeOOH are in the bath or at its bottom, as acid and as
		// Fe(OH)3; 31.45 % acid brings 1 L a 1.16 kg
		whole, iron := 500*bagAssay/edtaSalt*edtaAcid, 50/goethite*iron
		for i, litres := range []float64{20.3 + a.number(t, "treatments.0.dose.mass_g")/1160, 20.3, 20.3} {
			at := "treatments." + strconv.Itoa(i) + "."
			assert.InEpsilon(t, whole, a.number(t, at+"chelant_acid_settled_g")+litres*a.number(t, at+"chelant_left_mg_per_l")/1000, 0.005)
			assert.InEpsilon(t, iron, a.number(t, at+"metal_hydroxides_settled_g")*55.845/ferric+litres*a.number(t, at+"metals_left_mg_per_l.0.value")/1000, 0.005)
		}
		assert.InEpsilon(t, whole*a.number(t, "treatments.0.chelant_acid_settled_fraction"), a.number(t, "treatments.0.chelant_acid_settled_g"), 2e-3)
	}},
	{"journal", nil, []string{}, func(t *testing.T, a answer) {
		assert.InEpsilon(t, a.number(t, "iron.iron_iii_mol")/2*iron, a.number(t, "iron.already_in_bath.steel_g"), 1e-4)
		const evaporated, dragOut = 0.5, 0.3 // L, events of the demo
		assert.InDelta(t, 20.3-evaporated-dragOut, a.number(t, "volume_l"), 0.05, "20 L of water and what 583 g of salts add")
		assert.InEpsilon(t, a.number(t, "tally.rust_g")/goethite, a.number(t, "iron.iron_iii_mol")/(1-dragOut/20), 0.02)
	}},
	{"neutralise", []string{"-bag", "tetrasodium EDTA tetrahydrate", "-amount", "500 g", "-read", "11"}, nil, func(t *testing.T, a answer) {
		assert.InEpsilon(t, acidToSeven/2.95*citric, a.number(t, "advice.need_g.typical"), 0.04)
		assert.Less(t, a.number(t, "advice.weighed.mass_g"), acidToSeven/2.95*citric, "no pour beyond")
		assert.InDelta(t, 1, a.sum(t, a["salts"].([]any), "probability"), 0.02)
		bits := 0.0 // what is open, −Σ p log2 p (C. E. Shannon, Bell Syst. Tech. J. 27 (1948) 379)
		for _, each := range a["salts"].([]any) {
			p := answer(each.(map[string]any)).number(t, "probability")
			bits -= p * math.Log2(max(p, 1e-300)) // nothing for none
		}
		assert.InEpsilon(t, bits, a.number(t, "tests.0.open_bits"), 1e-6)
	}},
	{"parts", nil, []string{}, func(t *testing.T, a answer) {
		for _, end := range []string{"low", "typical", "high"} {
			perArea := a.number(t, "load.layer.rust_g_per_m2."+end) * a.number(t, "load.area_cm2") / 1e4
			assert.InEpsilon(t, perArea, a.number(t, "load.rust_g."+end), 1e-6)
		}
		assert.InEpsilon(t, a.number(t, "load.iron_g.typical"), a.number(t, "load.brushed_iron_g")+a.number(t, "load.left_iron_g"), 1e-6)
	}},
	{"spentbath", nil, []string{}, func(t *testing.T, a answer) {
		mol := a.number(t, "free_chelant.amount_mol.value")
		assert.InEpsilon(t, 20*a.number(t, "free_chelant.concentration_mol_per_l.value"), mol, 1e-9)
		assert.InEpsilon(t, mol*iron, a.number(t, "free_chelant.iron_g.value"), 1e-4)
		assert.InEpsilon(t, mol*goethite, a.number(t, "free_chelant.rust_g.value"), 1e-3)
		parts, variance := a["free_chelant"].(map[string]any)["iron_g"].(map[string]any)["parts"].([]any), 0.0
		for _, each := range parts {
			u := answer(each.(map[string]any)).number(t, "standard_uncertainty")
			variance += u * u
		}
		u := a.number(t, "free_chelant.iron_g.standard_uncertainty")
		assert.InEpsilon(t, u*u, variance, 1e-6, "the parts add in squares (JCGM 100:2008, 5.1.2)")
	}},
	{"tables", nil, []string{}, func(t *testing.T, a answer) {
		counted := 0
		for _, each := range a["rows"].([]any) {
			table := answer(each.(map[string]any))
			text, err := os.ReadFile(filepath.Join("..", "..", "..", "tables", "data", table["table"].(string)+".csv"))
			if err == nil && table["table"] != "sources" { // those are of two files
				assert.InDelta(t, len(cells(text))-1, table.number(t, "row_count"), 0, "lines of %s less its heading", table["table"])
				counted++
			}
		}
		assert.GreaterOrEqual(t, counted, 8)
	}},
	{"titrate", nil, []string{}, func(t *testing.T, a answer) {
		assert.Len(t, a["points"], 31)
		assert.InDelta(t, a.number(t, "equivalence_points.0.ml"), a.number(t, "inflections.0.ml"), 0.01)
		// 50 mL of the tables' tap water, 0.01 mol/L EDTA (ISO 6059): 65 and 25 mg/L as CaCO3
		assert.InEpsilon(t, 50*(65+25)/100.087/1000/0.01, a.number(t, "equivalence_points.0.ml"), 1e-4)
	}},
	{"tub", nil, []string{}, func(t *testing.T, a answer) {
		assert.InEpsilon(t, 50*35*25/1000.0, a.number(t, "tub_holds_l"), 1e-9)
		assert.InEpsilon(t, 50*35*a.number(t, "fill.level_without_part_cm")/1000, a.number(t, "fill.bath_l"), 1e-6)
		assert.InEpsilon(t, 50*35*a.number(t, "fill.level_with_part_cm")/1000, a.number(t, "fill.bath_l")+12/7.85, 1e-6, "12 kg of steel of 7.85 kg/L")
		assert.InEpsilon(t, 25*bagAssay/edtaSalt, a.number(t, "plan.strength_mol_per_l"), 0.02, "25 g in a litre of water")
	}},
	{"validation", []string{"-data", filepath.Join("..", "..", "..", "testdata"), "-topic", "water"}, []string{}, func(t *testing.T, a answer) {
		rows := a["rows"].([]any)
		assert.Len(t, rows, int(a.number(t, "topics.0.row_count")))
		assert.InDelta(t, a.sum(t, rows, "computed")-a.sum(t, rows, "published"), a.sum(t, rows, "difference"), 1e-9)
		assert.InDelta(t, len(rows), a.sum(t, a["topics"].([]any)[0].(map[string]any)["by_basis"].([]any), "row_count"), 0)
	}},
}

// Every program says today what it said when its answers were stored, and they hang
// together. A difference is shown key by key; -update stores what is meant to change.
func TestPrograms(t *testing.T) {
	if testing.Short() {
		t.Skip("builds every program")
	}
	bin := built(t)
	vocabulary := words(t)
	for _, p := range programs {
		t.Run(p.name, func(t *testing.T) {
			output := func(args ...string) []byte {
				out, err := exec.Command(filepath.Join(bin, p.name), args...).Output()
				require.NoError(t, err, args)
				return out
			}
			text := output(append([]string{"-json"}, p.args...)...)
			stored(t, p.name+".json", text, func(text []byte) (a answer) {
				require.NoError(t, json.Unmarshal(text, &a))
				return a
			})
			var all any
			require.NoError(t, json.Unmarshal(text, &all))
			reagents(t, all)
			if p.csv != nil {
				text := output(append(append([]string{"-csv"}, p.csv...), p.args...)...)
				stored(t, p.name+".csv", text, cells)
				for _, head := range cells(text)[0] {
					assert.Contains(t, vocabulary, head, "heads of columns are words of examples/vocabulary.csv")
				}
			}
			if p.checks != nil {
				var a answer
				require.NoError(t, json.Unmarshal(text, &a))
				p.checks(t, a)
			}
		})
	}
	t.Run("experiments", func(t *testing.T) { experiments(t, bin) })
}

// reagents holds what stands under the key of a reagent to be an id: no capital, no space.
func reagents(t *testing.T, x any) {
	t.Helper()
	switch x := x.(type) {
	case map[string]any:
		for key, value := range x {
			if id, text := value.(string); key == "reagent" && text {
				assert.Regexp(t, "^[a-z0-9-]+$", id)
			}
			reagents(t, value)
		}
	case []any:
		for _, each := range x {
			reagents(t, each)
		}
	}
}

// words are the keys of the vocabulary.
func words(t *testing.T) (keys []any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "vocabulary.csv"))
	require.NoError(t, err)
	for _, row := range cells(text) {
		keys = append(keys, row[0])
	}
	return keys
}

// Heads of columns are words of the vocabulary in whichever table a program is asked for;
// what they are of stands in the rows.
func TestHeadsOfColumns(t *testing.T) {
	if testing.Short() {
		t.Skip("builds every program")
	}
	bin, vocabulary := built(t), words(t)
	for _, line := range []string{
		"capacity -show capacities", "capacity -show limit", "capacity -show drift", "capacity -show upkeep", "capacity -show starts",
		"compare -show ways", "compare -show strengths", "compare -show terms", "compare -show bags -bags 10_per_kg",
		"course -show course", "course -show covers", "titrate -slopes -species edta4-,Mg2+", "titrate -follow H+",
		"tables -table reagents", "tables -table waters", "tables -table materials", "tables -species Fe(edta)-", "tables -metal Fe3+ -ligand edta4-",
		"spentbath -drops 22",
	} {
		words := strings.Fields(line)
		for i := range words {
			words[i] = strings.ReplaceAll(words[i], "_", " ")
		}
		out, err := exec.Command(filepath.Join(bin, words[0]), append(words[1:], "-csv")...).CombinedOutput()
		require.NoError(t, err, "%s: %s", line, out)
		table := cells(out)
		for _, head := range table[0] {
			assert.Contains(t, vocabulary, head, line)
		}
		assert.Greater(t, len(table), 1, "%s: a head without rows", line)
	}
}

// Whatever flag of whichever program is given 500 letters, words or digits: the refusal is
// short, says what is wanted and repeats only the beginning.
func TestLongInput(t *testing.T) {
	if testing.Short() {
		t.Skip("builds every program")
	}
	bin, flags := built(t), regexp.MustCompile(`(?m)^  -([a-z-]+) [a-z]`)
	for _, p := range programs {
		help, err := exec.Command(filepath.Join(bin, p.name), "-help").Output()
		require.NoError(t, err)
		var in strings.Builder
		for _, m := range flags.FindAllStringSubmatch(string(help), -1) {
			for _, text := range []string{strings.Repeat("x", 500), strings.Repeat("ab ", 170), strings.Repeat("9", 500)} {
				fmt.Fprintf(&in, "{%q: %q}\n", m[1], text)
			}
		}
		run := exec.Command(filepath.Join(bin, p.name), "-lines")
		run.Dir, run.Stdin = t.TempDir(), strings.NewReader(in.String())
		out, _ := run.Output() // which lines are wrong
		refused := 0
		for line := range strings.Lines(string(out)) {
			var a struct {
				Error string `json:"error"`
			}
			require.NoError(t, json.Unmarshal([]byte(line), &a), "%s: %s", p.name, line)
			assert.LessOrEqual(t, utf8.RuneCountInString(a.Error), 290, "%s: %s", p.name, a.Error)
			if strings.Contains(a.Error, "…") {
				refused++
			}
		}
		assert.Greater(t, refused, 10, p.name)
	}
}

// Programs that are asked about the same bath of citrate say the same of it. Two citrates
// hold an iron where there is plenty (Vukosav, Mlakar & Tomišić 2012, Anal. Chim. Acta 745,
// 85: Fe(cit)2 complexes): a bath takes half an iron per citrate, less the quarter that a
// shop leaves it.
func TestCitrateIsToldOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("builds every program")
	}
	bin := built(t)
	output := func(line string) []byte {
		words := strings.Fields(line)
		out, err := exec.Command(filepath.Join(bin, words[0]), append(words[1:], "-chelant", "trisodium citrate")...).Output()
		require.NoError(t, err, line)
		return out
	}
	read := func(line string) (a answer) {
		require.NoError(t, json.Unmarshal(output(line), &a))
		return a
	}
	bath, capacity, tub := read("bath -json"), read("capacity -json"), read("tub -json")
	practical := bath.number(t, "outlook.practical.iron_mol")
	assert.InEpsilon(t, practical, capacity.number(t, "capacities_by_oxide.1.practical.iron_mol"), 0.02)
	perBath := tub.number(t, "practical.iron_mol") / tub.number(t, "bag_makes.bath_l") / tub.number(t, "plan.strength_mol_per_l")
	assert.InEpsilon(t, practical/bath.number(t, "strength_mol_per_l")/bath.number(t, "bath_l"), perBath, 0.03)
	assert.InDelta(t, 0.5*0.75, perBath, 0.02)
	assert.NotContains(t, string(output("bath -more -wide")), "the iron it can bind")
	assert.NotContains(t, string(output("tub -wide")), "of iron")
	assert.Contains(t, string(output("capacity -wide")), "with 0.05 iron per chelant")
}

// built compiles the programs into a folder, once for all tests.
func built(t *testing.T) string {
	t.Helper()
	require.NoError(t, build())
	return folder
}

// folder holds the programs while the tests run.
var folder string

var build = sync.OnceValue(func() (err error) {
	if folder, err = os.MkdirTemp("", "programs"); err != nil {
		return err
	}
	build := exec.Command("go", "build", "-o", folder+string(filepath.Separator))
	for _, p := range programs {
		build.Args = append(build.Args, "./examples/"+p.name)
	}
	build.Dir = filepath.Join("..", "..", "..")
	if said, err := build.CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, said)
	}
	return nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	_ = os.RemoveAll(folder) // nothing where none was built
	os.Exit(code)
}

// experiments has the programs take what the sheet of experiments has them told. One of
// them writes to a journal, which is begun here as the reader's was.
func experiments(t *testing.T, bin string) {
	dir := t.TempDir()
	sheet, err := os.ReadFile(filepath.Join("..", "..", "EXPERIMENTS.md"))
	require.NoError(t, err)
	published, err := filepath.Abs(filepath.Join("..", "..", "..", "testdata"))
	require.NoError(t, err)
	require.NoError(t, os.Symlink(published, filepath.Join(dir, "testdata")))
	do := func(line string) string {
		words := exec.Command("sh", "-c", strings.Replace(line, "go run ./examples/", bin+"/", 1))
		words.Dir = dir
		out, err := words.CombinedOutput()
		require.NoError(t, err, "%s: %s", line, out)
		return string(out)
	}
	do(`go run ./examples/journal -file tub.jsonl -mix "500 g of tetrasodium EDTA in 20 L of moderately hard tap water at 20 °C"`)
	do(`go run ./examples/journal -file tub.jsonl -add "83 g of citric acid"`)
	ran := 0
	for line := range strings.SplitSeq(string(sheet), "\n") {
		if command, found := strings.CutPrefix(line, "\t"); found {
			require.NotEmpty(t, do(command))
			ran++
		}
	}
	require.GreaterOrEqual(t, ran, 6)
}

// cells reads CSV, with numbers as numbers.
func cells(text []byte) [][]any {
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil {
		return [][]any{{err.Error()}}
	}
	out := make([][]any, len(rows))
	for i, row := range rows {
		for _, cell := range row {
			if x, err := strconv.ParseFloat(cell, 64); err == nil {
				out[i] = append(out[i], x)
			} else {
				out[i] = append(out[i], cell)
			}
		}
	}
	return out
}

// stored compares an answer with that in testdata: numbers to a millionth, which is what
// solver and machine may move, and all else as it stands.
func stored[T any](t *testing.T, name string, text []byte, read func([]byte) T) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, text, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "go test -update stores it")
	if diff := cmp.Diff(read(want), read(text), cmpopts.EquateApprox(1e-6, 1e-9)); diff != "" {
		t.Errorf("%s is another answer than the stored one (-): %s", name, diff)
	}
}
