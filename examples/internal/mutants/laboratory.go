package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
)

// outcome is what became of a slip.
type outcome int

const (
	equivalent outcome = iota // it changes nothing that can be asked
	byRoom                    // the tests of its room notice
	byLibrary                 // those of another room do
	byPrograms                // only those of the programs do
	byNone
	outcomes // their number
)

const patience = 2 * time.Minute // for the tests of a room, many times what they take: a loop without end is noticed

// laboratory is where slips are tried.
type laboratory struct {
	ctx     context.Context
	root    string // of the module
	scratch string
	far     bool // what the own tests leave is put to all others
}

func newLaboratory(ctx context.Context) (*laboratory, error) {
	lab := &laboratory{ctx: ctx}
	out, err := lab.command("", nil, "go", "list", "-m", "-f", "{{.Dir}}").Output()
	if err != nil {
		return nil, fmt.Errorf("the go command does not find the module: %w", err)
	}
	lab.root = strings.TrimSpace(string(out))
	lab.scratch, err = os.MkdirTemp("", "mutants")
	return lab, err
}

func (lab *laboratory) command(dir string, environment []string, words ...string) *exec.Cmd {
	cmd := exec.CommandContext(lab.ctx, words[0], words[1:]...)
	cmd.Dir = filepath.Join(lab.root, dir)
	cmd.Env = append(os.Environ(), environment...)
	cmd.WaitDelay = time.Second
	return cmd
}

// rooms are the folders of the library.
func (lab *laboratory) rooms() ([]string, error) {
	out, err := lab.command("", nil, "go", "list", "-f", "{{.Dir}}", "./chem/...", "./solution/...", "./tables/...").Output()
	var rooms []string
	for dir := range strings.Lines(string(out)) {
		rooms = append(rooms, strings.TrimPrefix(strings.TrimSpace(dir), lab.root+string(filepath.Separator)))
	}
	return rooms, err
}

// build is a room with slips woven into it, and the tests that are asked first.
type build struct {
	overlay string
	tests   map[string]string // programs, by the folder they run in
	slips   []mutant
}

// build weaves slips into a room and compiles its tests. Slips that the compiler refuses are left out.
func (lab *laboratory) build(room string, slips []mutant) (*build, error) {
	dir, err := os.MkdirTemp(lab.scratch, "")
	if err != nil {
		return nil, err
	}
	b := &build{filepath.Join(dir, "overlay.json"), map[string]string{}, slips}
	replace := map[string]string{}
	write := func(name, text string) error {
		changed := filepath.Join(dir, strings.ReplaceAll(name, "/", "-"))
		replace[filepath.Join(lab.root, name)] = changed
		return os.WriteFile(changed, []byte(text), 0o600)
	}
	for _, m := range slips {
		text, err := weave(m.source, slices.DeleteFunc(slices.Clone(slips), func(o mutant) bool { return o.file != m.file }))
		if err := errors.Join(err, write(m.file, text), write(room+"/switchboard.go", fmt.Sprintf(switchboard, m.room))); err != nil {
			return nil, err
		}
	}
	text, err := json.Marshal(map[string]any{"Replace": replace})
	if err := errors.Join(err, os.WriteFile(b.overlay, text, 0o600)); err != nil {
		return nil, err
	}
	asked := []string{room}
	if around, _, internal := strings.Cut(room, "/internal/"); internal {
		asked = append(asked, around)
	}
	for _, folder := range asked {
		b.tests[folder] = filepath.Join(dir, strings.ReplaceAll(folder, "/", "-")+".test")
		out, err := lab.command("", nil, "go", "test", "-c", "-overlay", b.overlay, "-gcflags=example.com/chelation/"+room+"=-e", "-o", b.tests[folder], "./"+folder).CombinedOutput()
		if err == nil {
			continue
		}
		left := slices.DeleteFunc(slices.Clone(slips), func(m mutant) bool {
			return m.constant || bytes.Contains(out, fmt.Appendf(nil, "slip%d:", m.number))
		})
		if lab.ctx.Err() != nil || len(left) == len(slips) {
			return nil, fmt.Errorf("%s with slips in it does not compile: %w\n%s", room, err, out)
		}
		return lab.build(room, left)
	}
	return b, nil
}

// try judges slips, in their order, until there is a sample of them, and prints those that escape.
func (lab *laboratory) try(room string, found []mutant, sample int) (by [outcomes]int, err error) {
	drawn := found[:min(len(found), sample+sample/2+5)]
	together, err := lab.build(room, slices.DeleteFunc(slices.Clone(drawn), func(m mutant) bool { return m.constant || m.known() }))
	if err != nil {
		return by, err
	}
	if o, err := lab.judge(room, together, mutant{}); err != nil || o != byNone {
		return by, errors.Join(err, fmt.Errorf("the tests of %s fail without a slip", room))
	}
	judged := 0
	for _, m := range drawn {
		if judged == sample {
			break
		}
		b, o := together, equivalent
		if m.constant && !m.known() {
			if b, err = lab.build(room, []mutant{m}); err != nil {
				return by, err
			}
		}
		if !m.known() {
			if !slices.ContainsFunc(b.slips, func(w mutant) bool { return w.number == m.number }) {
				continue // it does not compile
			}
			if o, err = lab.judge(room, b, m); err != nil {
				return by, err
			}
		}
		judged++
		by[o]++
		if o > byRoom {
			fmt.Println(m)
		}
	}
	return by, nil
}

// judge finds out who notices a slip; number 0 is none.
func (lab *laboratory) judge(room string, b *build, m mutant) (outcome, error) {
	on := []string{"SLIP=" + strconv.Itoa(m.number), "GOFLAGS=" + os.Getenv("GOFLAGS") + " -overlay=" + b.overlay}
	for folder, program := range b.tests {
		if _, err := os.Stat(program); err != nil {
			continue // a room without tests of its own
		}
		notices, err := lab.notices(lab.command(folder, on, program, "-test.short", "-test.failfast", "-test.timeout="+patience.String()))
		if err != nil || notices {
			return byRoom, err
		}
	}
	if !lab.far || m.number == 0 {
		return byNone, nil
	}
	words := []string{"go", "test", "-vet=off", "-count=1", "-short", "-failfast"}
	if notices, err := lab.notices(lab.command("", on, append(words, "./chem/...", "./solution/...", "./tables/...")...)); err != nil || notices {
		return byLibrary, err
	}
	notices, err := lab.notices(lab.command("", on, append(words, "./examples/...")...))
	if err != nil || notices {
		return byPrograms, err
	}
	return byNone, nil
}

// notices tells whether tests fail.
func (lab *laboratory) notices(cmd *exec.Cmd) (bool, error) {
	err := cmd.Run()
	if lab.ctx.Err() != nil {
		return false, lab.ctx.Err()
	}
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		return false, err
	}
	return err != nil, nil
}
