package main

import (
	"context"
	_ "embed"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// outcome is what became of a slip.
type outcome int

const (
	noMutant   outcome = iota // it does not compile
	equivalent                // it changes nothing that can be seen
	byRoom                    // the tests of its room notice
	byLibrary                 // those of another room do
	byPrograms                // only those of the programs do
	byNone
	outcomes // their number
)

const (
	patience = 3 * time.Minute // for the tests of a room, ten times what the slowest takes: a loop without end is noticed
	halt     = 8 * time.Minute // for all tests
)

// laboratory is where slips are tried.
type laboratory struct {
	ctx     context.Context
	root    string // of the module
	scratch string
	known   map[[3]string]bool // file, line before and after, of what is equivalent
	near    bool               // only the short tests of the slip's own room are asked
}

//go:embed equivalent.csv
var known string

func newLaboratory(ctx context.Context) (*laboratory, error) {
	out, err := exec.CommandContext(ctx, "go", "list", "-m", "-f", "{{.Dir}}").Output()
	if err != nil {
		return nil, fmt.Errorf("the go command does not find the module: %w", err)
	}
	rows, err := csv.NewReader(strings.NewReader(known)).ReadAll()
	if err != nil {
		return nil, err
	}
	lab := &laboratory{ctx: ctx, root: strings.TrimSpace(string(out)), known: map[[3]string]bool{}}
	for _, row := range rows[1:] {
		lab.known[[3]string(row[:3])] = true
	}
	lab.scratch, err = os.MkdirTemp("", "mutants")
	return lab, err
}

// rooms are the folders of the library.
func (lab *laboratory) rooms() ([]string, error) {
	cmd := exec.CommandContext(lab.ctx, "go", "list", "-f", "{{.Dir}}", "./chem/...", "./solution/...", "./tables/...")
	cmd.Dir = lab.root
	out, err := cmd.Output()
	if err != nil {
		return nil, err
	}
	var rooms []string
	for dir := range strings.Lines(string(out)) {
		room, err := filepath.Rel(lab.root, strings.TrimSpace(dir))
		if err != nil {
			return nil, err
		}
		rooms = append(rooms, room)
	}
	return rooms, nil
}

// judge finds out who notices a slip.
func (lab *laboratory) judge(room string, m mutant) (outcome, error) {
	if lab.known[[3]string{m.file, m.was, m.now}] {
		return equivalent, nil
	}
	dir, err := os.MkdirTemp(lab.scratch, "")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(dir)
	changed, overlay := filepath.Join(dir, "changed.go"), filepath.Join(dir, "overlay.json")
	text, err := json.Marshal(map[string]any{"Replace": map[string]string{filepath.Join(lab.root, m.file): changed}})
	if err == nil {
		err = errors.Join(os.WriteFile(changed, m.source, 0o600), os.WriteFile(overlay, text, 0o600))
	}
	if err != nil {
		return 0, err
	}
	if notices, err := lab.notices("build", "-overlay", overlay, "./"+room); err != nil || notices {
		return noMutant, err
	}
	for _, place := range []struct {
		by    outcome
		where []string
	}{
		{byRoom, []string{"./" + room}},
		{byLibrary, []string{"./chem/...", "./solution/...", "./tables/..."}},
		{byPrograms, []string{"./examples/..."}},
	} {
		limit := patience
		if place.by != byRoom {
			limit = halt
		}
		arguments := append([]string{"test", "-overlay", overlay, "-vet=off", "-count=1", "-failfast", "-timeout", limit.String()}, place.where...)
		if lab.near {
			arguments = slices.Insert(arguments, 1, "-short")
		}
		if notices, err := lab.notices(arguments...); err != nil || notices {
			return place.by, err
		}
		if lab.near {
			break
		}
	}
	return byNone, nil
}

// notices tells whether a call of the go command fails.
func (lab *laboratory) notices(arguments ...string) (bool, error) {
	cmd := exec.CommandContext(lab.ctx, "go", arguments...)
	cmd.Dir = lab.root
	cmd.WaitDelay = time.Second
	err := cmd.Run()
	if lab.ctx.Err() != nil {
		return false, lab.ctx.Err()
	}
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		return false, fmt.Errorf("go %s: %w", arguments[0], err)
	}
	return err != nil, nil
}
