package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	missing := filepath.Join(t.TempDir(), "none.jsonl")
	text := clitest.Check(t, run, nil,
		"-acid citrus", "-oxide calcite", "-ph 0", "-event {", "-event {}", `-event {"kind":"filtered"} 1`, `-event {"kind":"boiled"}`,
		"-mix 500 g of tetrasodium EDTA in 20 L of soft tap water", "-seen mud -csv", "-sure", "-at 9:00", "-learn x -read 8", "-mix 500", `-event "aired"`, "-read x", "-read 14", "-add 83", "-strike 1", `-event {"kind":"aired","kind":"aired"}`,
		`-event {"kind":"added","reagent":"citrus","mass_g":1}`, `-event {"kind":"added","mass":1}`, "-file "+missing)
	require.Contains(t, text, "Next: ")
}

func TestFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	play := func(events ...string) (string, string, error) {
		args := []string{"-file", path}
		for _, e := range events {
			args = append(args, "-event", e)
		}
		var out, diagnostics bytes.Buffer
		err := run(args, &out, &diagnostics)
		return out.String(), diagnostics.String(), err
	}
	// A first event that is refused makes no file.
	_, _, err := play(`{"kind":"added","reagent":"citric acid","mass_g":83}`)
	require.Equal(t, 2, cli.ExitCode(err))
	require.NoFileExists(t, path)

	_, _, err = play(`{"kind":"mixed","volume_l":20,"water":"moderately hard tap water","temperature_c":20,"reagent":"tetrasodium EDTA","mass_g":500}`,
		`{"kind":"added","reagent":"citric acid","mass_g":83}`)
	require.NoError(t, err)
	text, _, err := play(`{"kind":"dipped","oxide":"lepidocrocite","rust_g":45}`)
	require.NoError(t, err)
	require.Contains(t, text, "only drifted")

	// Nobody has to type JSON.
	text, _, err = play()
	require.NoError(t, err)
	short := filepath.Join(t.TempDir(), "short.jsonl")
	var said bytes.Buffer
	for _, args := range [][]string{
		{"-mix", "500 g of tetrasodium EDTA in 20 L of moderately hard tap water", "-bag", "blue"}, {"-add", "83 g of citric acid", "-at", "yesterday 9:00"},
		{"-dip", "45 g of rust"},
	} {
		said.Reset()
		require.NoError(t, run(append([]string{"-file", short}, args...), &said, io.Discard))
	}
	next, _, _ := strings.Cut(said.String(), "\n\n")
	require.Contains(t, text, next)
	written, err := os.ReadFile(short)
	require.NoError(t, err)
	err = run([]string{"-file", short, "-read", "14"}, io.Discard, io.Discard)
	require.Equal(t, 2, cli.ExitCode(err))
	require.ErrorContains(t, err, "-sure")
	kept, err := os.ReadFile(short)
	require.NoError(t, err)
	require.Equal(t, string(written), string(kept))
	require.NoError(t, run([]string{"-file", short, "-read", "14", "-sure"}, io.Discard, io.Discard))

	// What a bag teaches, one journal being the whole shop.
	said.Reset()
	require.NoError(t, run([]string{"-learn", short, "-bag", "blue"}, &said, io.Discard))
	require.Contains(t, said.String(), "baths: 1, readings: 0") // none before the first part
	require.Equal(t, 2, cli.ExitCode(run([]string{"-learn", short}, io.Discard, io.Discard)))
	require.NoError(t, run([]string{"-learn", short, "-bag", "blue", "-json"}, io.Discard, io.Discard))

	// What is refused is not written.
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	_, _, err = play(`{"kind":"aired"}`, `{"kind":"evaporated","volume_l":100}`)
	require.Equal(t, 2, cli.ExitCode(err))
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(before), string(after))

	// A torn line is told of, and the rest counts.
	require.NoError(t, os.WriteFile(path, before[:len(before)-5], 0o600))
	text, told, err := play()
	require.NoError(t, err)
	require.Contains(t, told, "torn")
	require.Contains(t, text, "The bath works")

	// A changed line is refused.
	require.NoError(t, os.WriteFile(path, bytes.Replace(before, []byte("83"), []byte("38"), 1), 0o600))
	_, _, err = play()
	require.Equal(t, 2, cli.ExitCode(err))
	var mended bytes.Buffer
	require.NoError(t, run([]string{"-file", path, "-repair"}, &mended, io.Discard))
	require.Contains(t, mended.String(), "line 2")
	require.FileExists(t, path+".repaired")
	require.Error(t, run([]string{"-repair"}, io.Discard, io.Discard))

	require.Equal(t, 1, cli.ExitCode(io.ErrUnexpectedEOF))
}

// A bath that was told in gallons is answered so on the days after, too, and one in
// litres in litres, unless what is told that day is of the other kind.
func TestMeasures(t *testing.T) {
	said := func(file string, args ...string) string {
		var out bytes.Buffer
		require.NoError(t, run(append([]string{"-file", file}, args...), &out, io.Discard))
		return out.String()
	}
	gallons, litres := filepath.Join(t.TempDir(), "gal.jsonl"), filepath.Join(t.TempDir(), "l.jsonl")
	said(gallons, "-mix", "1 lb of tetrasodium EDTA in 5 gal of soft tap water at 70 F")
	said(litres, "-mix", "500 g of tetrasodium EDTA in 18.9 L of soft tap water at 20 °C")
	require.Contains(t, said(gallons), "1 lb of tetrasodium EDTA")
	require.Contains(t, said(gallons), "gal of bath")
	require.Contains(t, said(gallons, "-dip", "20 g of rust"), " L of bath")
	require.Contains(t, said(litres), " L of bath")
	require.Contains(t, said(litres, "-units", "us"), "gal of bath")
}

// What is not said of a mixture is what the demo's is; a bath comes first, and one only.
func TestMixedWithLeastWords(t *testing.T) {
	say := func(path string, args ...string) error {
		return run(append([]string{"-file", path}, args...), io.Discard, io.Discard)
	}
	short, long := filepath.Join(t.TempDir(), "short.jsonl"), filepath.Join(t.TempDir(), "long.jsonl")
	require.ErrorContains(t, say(short, "-add", "80 g of citric acid"), "want the bath mixed first")
	require.NoError(t, say(short, "-at", "2026-03-01", "-mix", "500 g of tetrasodium EDTA in 20 L"))
	require.ErrorContains(t, say(short, "-mix", "500 g of tetrasodium EDTA in 20 L"), "a new journal")
	require.NoError(t, say(long, "-at", "2026-03-01", "-mix", "500 g of tetrasodium EDTA in 20 L of moderately hard tap water at 20 °C"))
	kept, err := os.ReadFile(short)
	require.NoError(t, err)
	whole, err := os.ReadFile(long)
	require.NoError(t, err)
	require.Equal(t, string(whole), string(kept))
}
