package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/examples/internal/clitest"
)

const exitFine, exitFailed, exitInput = 0, 1, 2

func execute(args ...string) (code int, stdout, stderr string) {
	var out bytes.Buffer
	err := run(args, &out, io.Discard)
	if err != nil && !errors.Is(err, flag.ErrHelp) {
		stderr = err.Error() + "\n"
	}
	return cli.ExitCode(err), out.String(), stderr
}

func TestHelp(t *testing.T) {
	code, help, stderr := execute("-help")
	assert.Equal(t, exitFine, code)
	assert.Empty(t, stderr)
	for _, want := range append([]string{"-topic", "-failed", "-csv", "-json", "-data", "-guards", "-left-out", "exits with 0", "With -lines"}, topics...) {
		assert.Contains(t, help, want)
	}
	clitest.Narrow(t, help)
	examples := clitest.Examples(t, help)
	assert.NotEmpty(t, examples)
	for _, example := range examples {
		code, text, stderr := execute(append(example, "-data", testdata)...)
		assert.Equal(t, exitFine, code, stderr)
		clitest.Narrow(t, text)
	}
}

// Bad input gives one line that names it, and 2.
func TestBadInput(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"-topics", "water"}, "-topics"},
		{[]string{"-topic"}, "-topic"},
		{[]string{"-topic", "watter"}, `"watter"`},
		{[]string{"-topic", "water,"}, `""`},
		{[]string{"-topic", "water,water"}, `"water,water"`},
		{[]string{"-failed=perhaps"}, "perhaps"},
		{[]string{"water"}, `"water"`},
		{[]string{"-csv", "-json"}, "-csv besides -json"},
		{[]string{"-data", "nowhere"}, "nowhere"},
		{[]string{"-guards", "-data", testdata, "-tables", "nowhere"}, "-tables nowhere"},
		{[]string{"-guards", "-json"}, "-guards"},
		{[]string{"-guards", "-more"}, "-guards"},
		{[]string{"-more", "-failed"}, "-failed"},
		{[]string{"-tables", "nowhere"}, "-guards"},
		{[]string{"-left-out", "-csv"}, "-left-out"},
		{[]string{"-data", t.TempDir()}, "ph-standards.csv"},
	} {
		code, stdout, stderr := execute(c.args...)
		assert.Equal(t, exitInput, code, c.args)
		assert.Empty(t, stdout, c.args)
		assert.Contains(t, stderr, c.want)
		assert.Equal(t, 1, strings.Count(stderr, "\n"), stderr)
	}
}

// A row that asks for what the harness does not know is bad input; one whose
// value is not met fails.
func TestRows(t *testing.T) {
	for _, c := range []struct {
		row  string
		code int
		want string
	}{
		{"a,pKw,T_C=25,14,1,0.02,agree,tables,printed,Somebody 1950,", exitFine, "agrees"},
		{"a,pKw,T_C=25,13,1,0.02,agree,tables,printed,Somebody 1950,why not", exitFailed, "FAILS"},
		{"a,pKw,T_C=25,14,1,0.02,disagree,tables,printed,Somebody 1950,why", exitFailed, "FAILS"},
		{"a,pKw,T_C=25,13,1,0.02,disagree,tables,printed,Somebody 1950,why", exitFine, "a: why"},
		{"a,pKw,T_C=25,14,1,0.02,range,tables,printed,Somebody 1950,", exitFine, "inside"},
		{"a,pKw,T_C=25,13,1,0.02,range,tables,printed,Somebody 1950,", exitFailed, "FAILS"},
		{"a,formal_potential,Fe3+=1e-5 mol/L;Fe2+=1e-5 mol/L;edta4-=1e-3 mol/L;pH=7;T_C=x,0,V,9,agree,evaluated,printed,Somebody 1950,", exitInput, `"x"`},
		{"a,log_conditional,metal=Fe2+;ligand=edta;pH=8;T_C=25;I_M=0.1;free=Na+,9,1,9,agree,evaluated,printed,Somebody 1950,", exitInput, `"Na+"`},
		{"a,share,Fe3+=1e-5 mol/L;component=Fe3+;species=Fx;pH=3;T_C=25,1,1,1,agree,evaluated,printed,Somebody 1950,", exitFailed, "Fx"},
		{"a,pKa,acid=Hxx;base=xx-;T_C=25;I_M=0,4,1,0.02,agree,tables,printed,Somebody 1950,", exitFailed, "Hxx"},
		{"a,pKa,acid=Hxx;base=xx-;T_C=25;I_M=0,4,1,0.02,disagree,tables,printed,Somebody 1950,why", exitFailed, "Hxx"},
		{"a,pKv,T_C=25,14,1,0.02,agree,tables,printed,Somebody 1950,", exitInput, `"pKv"`},
		{"a,pKw,T_F=77,14,1,0.02,agree,tables,printed,Somebody 1950,", exitInput, "T_C"},
		{"a,pKw,T_C=warm,14,1,0.02,agree,tables,printed,Somebody 1950,", exitInput, `"warm"`},
		{"a,pKw,T_C=25;pH=7,14,1,0.02,agree,tables,printed,Somebody 1950,", exitInput, `"pH"`},
		{"a,alpha_Y4,pH=7;pK=2|x,14,1,0.02,agree,solver,printed,Somebody 1950,", exitInput, `"x"`},
		{"a,pH,NaOH=much mol/L;T_C=25,14,1,0.02,agree,solver,printed,Somebody 1950,", exitInput, `"much mol/L"`},
	} {
		dir := t.TempDir()
		text := strings.Join(header, ",") + "\n" + c.row + "\n"
		require.NoError(t, os.WriteFile(filepath.Join(dir, "water.csv"), []byte(text), 0o600))
		code, stdout, stderr := execute("-data", dir, "-topic", "water")
		assert.Equal(t, c.code, code, "%s\n%s%s", c.row, stdout, stderr)
		assert.Contains(t, stdout+stderr, c.want, c.row)
	}
}

// The answer and the next step come first, the rows where they are asked for, all within
// 80 columns.
func TestText(t *testing.T) {
	code, stdout, stderr := execute("-data", testdata)
	require.Equal(t, exitFine, code, stderr)
	assert.Regexp(t, `^\d+ published values from \d+ works: \d+ agree`, stdout)
	assert.Contains(t, stdout, "\n\nNext: -more lists every row")
	assert.NotContains(t, stdout, "ph-citrate-25  ")
	clitest.Narrow(t, stdout)
	code, all, stderr := execute("-data", testdata, "-more")
	require.Equal(t, exitFine, code, stderr)
	assert.Contains(t, all, "ph-citrate-25  ")
	assert.NotContains(t, all, string(fails))
	clitest.Narrow(t, all)
	code, failed, _ := execute("-data", testdata, "-failed")
	assert.Equal(t, exitFine, code)
	assert.Equal(t, stdout, failed, "none fails: the summary alone")
}

func TestJSONAndCSV(t *testing.T) {
	code, stdout, _ := execute("-data", testdata, "-json", "-topic", "water,activity")
	require.Equal(t, exitFine, code)
	var report struct {
		Rows   []record
		Topics []summary
		Bases  []summary
	}
	require.NoError(t, json.Unmarshal([]byte(stdout), &report))
	require.Len(t, report.Topics, 3)
	all := report.Topics[2]
	assert.Equal(t, report.Topics[0].Rows+report.Topics[1].Rows, all.Rows)
	assert.Len(t, report.Rows, all.Rows)
	bases, trusts := 0, 0
	for _, n := range all.Basis {
		bases += n.Rows
	}
	for _, n := range all.Trust {
		trusts += n.Rows
	}
	clitest.Meaning(t, stdout)
	assert.Equal(t, all.Rows, bases)
	assert.Equal(t, all.Rows, trusts)

	code, stdout, _ = execute("-data", testdata, "-csv", "-topic", "water,activity")
	require.Equal(t, exitFine, code)
	rows, err := csv.NewReader(strings.NewReader(stdout)).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, all.Rows+1)
}
