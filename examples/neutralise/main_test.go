package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/reading"
)

func output(t *testing.T, in string, args ...string) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, run(args, strings.NewReader(in), &out, io.Discard))
	return out.String()
}

func file(t *testing.T, content string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "bath.json")
	require.NoError(t, os.WriteFile(name, []byte(content), 0o600))
	return name
}

func TestDemo(t *testing.T) {
	assert.Contains(t, output(t, ""), "Next: read the pH")
	text := output(t, "", "-read", "11")
	assert.Contains(t, text, "Next: stir in")
	assert.Contains(t, text, "Citric acid")
	assert.Contains(t, text, "Tetrasodium EDTA")
	assert.Contains(t, output(t, "", "-read", "11", "-add", "85 g", "-read", "7", "-strip", "pH meter"), "Stop here")
	assert.Contains(t, output(t, "", "-read", "11", "-add", "150 g", "-read", "5"), "To raise the pH")
	assert.Contains(t, output(t, "", "-read", "11", "-add", "1/4 cup", "-read", "3"), "contradicts")
}

// A liquid is poured, not levelled.
func TestLiquids(t *testing.T) {
	text := output(t, "", "-wide", "-acid", "vinegar", "-bag", "tetrasodium EDTA", "-read", "11")
	assert.Regexp(t, `stir in [\d.]+ k?g \(or [\d.]+ m?L, [^)]*cups[^)]*\) of Vinegar`, text)
	assert.NotContains(t, text, "level")
}

// Two readings that agree win over the label, and three over the acid that went in.
func TestReadingsWin(t *testing.T) {
	text := output(t, "", "-bag", "tetrasodium EDTA", "-read", "4", "-read", "4")
	assert.Contains(t, text, "does not fit what was told")
	assert.Contains(t, text, "To raise the pH")
	assert.NotContains(t, text, "set aside")
	text = output(t, "", "-read", "11", "-add", "83 g", "-read", "10", "-read", "10", "-read", "10")
	assert.NotContains(t, text, "Stop here")
	assert.Contains(t, text, "does not fit what was told")
}

// A tested water is told as to the program bath, by flags or in the file.
func TestTestedWater(t *testing.T) {
	soft := output(t, "", "-json", "-read", "11", "-hardness", "0 mg/L", "-alkalinity", "10 mg/L")
	assert.NotEqual(t, soft, output(t, "", "-json", "-read", "11", "-hardness", "40 dH"))
	name := file(t, `{"hardness": "0 mg/L", "alkalinity": "10 mg/L", "steps": [{"read": 11}]}`)
	assert.Equal(t, soft, output(t, "", "-json", "-file", name))
}

// Flags and a file say the same, and flags win.
func TestFile(t *testing.T) {
	name := file(t, `{"amount": "400 g", "bag": "tetrasodium EDTA", "strip": "pH meter", "steps": [
		{"spoon": "1 tbsp", "mass": "10.4 g"}, {"clear": true}, {"read": 11, "strip": "universal strip"},
		{"add": "40 g"}, {"read": 9.4}]}`)
	flags := []string{"-json", "-amount", "400 g", "-bag", "tetrasodium EDTA", "-spoon", "1 tbsp = 10.4 g", "-clear", "yes"}
	fromFile := output(t, "", "-json", "-file", name)
	var a, b answer
	require.NoError(t, json.Unmarshal([]byte(fromFile), &a))
	require.NoError(t, json.Unmarshal([]byte(output(t, "", append(flags, "-read", "11", "-add", "40 g", "-read", "9")...)), &b))
	assert.Equal(t, reading.Add, a.Advice.Action)
	assert.Greater(t, a.Advice.PH.Typical, 9.0)
	assert.GreaterOrEqual(t, a.Advice.PH.High, 9.4, "the meter is believed, but for what it may be off by")

	assert.Equal(t, output(t, "", "-json", "-file", name), fromFile)
	stronger := output(t, "", "-json", "-file", name, "-amount", "450 g", "-add", "20 g of washing soda")
	require.NoError(t, json.Unmarshal([]byte(stronger), &b))
	assert.Equal(t, reading.Look, b.Advice.Action, "the step of the flag comes last")
	assert.Greater(t, b.Advice.PH.Typical, a.Advice.PH.Typical)
}

func TestConversation(t *testing.T) {
	text := output(t, "11\n\neight\n8\n\n7\n\n7\n\n7\n", "-ask")
	assert.Contains(t, text, `"eight": want a pH`)
	assert.Contains(t, text, "Stop here")
	assert.Contains(t, output(t, "", "-ask"), "Next: read the pH", "no input is no error")

	lines := strings.Split(strings.TrimSpace(output(t, "11\n70 g\n", "-ask", "-json")), "\n")
	require.Len(t, lines, 3)
	for i, want := range []reading.Action{reading.Look, reading.Add, reading.Look} {
		var a answer
		require.NoError(t, json.Unmarshal([]byte(lines[i]), &a))
		assert.Equal(t, want, a.Advice.Action)
	}
}

// Every typo gives one line and exit code 2.
func TestTypos(t *testing.T) {
	cases := [][]string{
		{"-read", "x"}, {"-read", "15"}, {"-read", "NaN"}, {"-add", "3 cubs"}, {"-add", "3 tbsp of gravel"}, {"-add", "-1 g"}, {"-add", "0 g"}, {"-add", "90 kg"},
		{"-more", "5"}, {"-spoon", "1 tbsp"}, {"-spoon", "1 tbsp = 1 kg"}, {"-clear", "perhaps"}, {"-read", "11", "-add", "1 g", "-clear", "no"},
		{"-volume", "20"}, {"-temperature", "x"}, {"-temperature", "200 C"}, {"-water", "lemonade"}, {"-bag", "table salt"}, {"-amount", "0 g"},
		{"-acid", "lye"}, {"-base", "citric acid"}, {"-strip", "ruler"}, {"-strip", "hardness strip", "-read", "60"}, {"-ph", "0"}, {"-ph", "77"}, {"-ph", "x"},
		{"-hardness", "7"}, {"-alkalinity", "x"}, {"-water", "soft water", "-hardness", "7 gpg"}, {"-water-ph", "7"}, {"-risk", "2"}, {"-csv"}, {"-file", "nowhere.json"}, {"11"},
	}
	for _, content := range []string{
		`{`, `{"volume": 20}`, `{"steps": [{"reed": 11}]}`, `{"steps": [{}]}`, `{"steps": [{"read": 11, "add": "1 g"}]}`, `{} {}`,
		`{"steps": [{"read": 11, "reagent": "lye"}]}`, `{"steps": [{"spoon": "1 tbsp"}]}`, `{"strip": "ruler"}`,
	} {
		cases = append(cases, []string{"-file", file(t, content)})
	}
	for _, args := range cases {
		var out bytes.Buffer
		err := run(args, strings.NewReader(""), &out, io.Discard)
		if assert.Error(t, err, args) {
			assert.NotContains(t, err.Error(), "\n", args)
			assert.Equal(t, 2, cli.ExitCode(err), "%v: %v", args, err)
		}
		assert.Empty(t, out.String(), args)
	}
}

// Flags that are no part of a bath go beside a file, and of two that are wrong the first of
// the water's is told, run for run.
func TestFlagsBesideAFile(t *testing.T) {
	good := file(t, `{"steps": [{"read": 11}]}`)
	assert.Contains(t, output(t, "", "-units", "us", "-wide", "-file", good), " oz")
	bad := file(t, `{"hardness": "7 x", "alkalinity": "8 x", "water-ph": 7, "volume": "20", "amount": "3 cups"}`)
	for range 20 {
		err := run([]string{"-file", bad}, nil, io.Discard, io.Discard)
		require.ErrorContains(t, err, "-hardness")
	}
}

// Another tub wants to be told what went into it, by flag or file, wherever its volume stands.
func TestAVolumeWantsAnAmount(t *testing.T) {
	for _, args := range [][]string{{"-volume", "40 L"}, {"-file", file(t, `{"volume": "40 L"}`)}, {"-volume", "40 L", "-file", file(t, `{"ph": 7.5}`)}} {
		err := run(args, nil, io.Discard, io.Discard)
		require.ErrorContains(t, err, "-volume 40 L without -amount")
	}
	both := output(t, "", "-json", "-volume", "40 L", "-amount", "1 kg")
	assert.Equal(t, both, output(t, "", "-json", "-file", file(t, `{"volume": "40 L"}`), "-amount", "1 kg"))
	assert.Equal(t, both, output(t, "", "-json", "-volume", "40 L", "-file", file(t, `{"amount": "1 kg"}`)))
}

// What a file lacks is told by its line and in words, not in those of a parser.
func TestBrokenFiles(t *testing.T) {
	for content, want := range map[string]string{
		"{\"amount\": \"400 g\"\n \"bag\": \"EDTA\"}": `line 2: "\"" does not go on as JSON`,
		"{\"steps\": [\n{\"read\": 11}\n":             "line 3: the file ends in the middle of a bath",
		"":                                            "line 1: the file ends in the middle of a bath",
		"{\"volume\": \"20 L\",\n\n\"steps\": [{\"read\": \"11\"}]}": "line 3: steps.read is a string: want a number",
		"{\"amount\": 400}": "line 1: amount is a number: want text in quotes",
		"{\"steps\": {}}":   "line 1: steps is a object: want a list in square brackets",
		"{\"volume\": \"20 L\",\n\"salt\": \"EDTA\"}": `line 2: "salt" is no name that a bath has: want one of volume, temperature`,
		"{}\n\n{}":                      "line 3: something follows after the bath",
		"{\"amount\": \"400 gee\"}":     `-amount is "400 gee"`,
		"{\"steps\": [{\"read\": 17}]}": "step 1: reading of the wide-range pH strip is 17: want 1 to 14",
	} {
		name := file(t, content)
		err := run([]string{"-file", name}, nil, io.Discard, io.Discard)
		require.ErrorIs(t, err, chem.ErrInput, content)
		assert.Contains(t, strings.Replace(err.Error(), "-file "+name+", ", "", 1), want)
		assert.NotContains(t, err.Error(), "invalid character")
		assert.NotContains(t, err.Error(), "json:")
	}
}
