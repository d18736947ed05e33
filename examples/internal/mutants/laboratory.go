package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
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
	byLibrary                 // those of a room that imports it do
	byNone
	outcomes // their number
)

const module = "example.com/chelation/"

const patience = 2 * time.Minute // for the tests of a room, many times what they take: a loop without end is noticed

// laboratory is where slips are tried.
type laboratory struct {
	ctx     context.Context
	root    string // of the module
	scratch string
	far     bool // what the own tests leave is put to those of all rooms that import it
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

// around are the rooms whose tests are asked: the room itself and, of an internal room,
// the one around it; then all others that import it, in themselves or in their tests.
func (lab *laboratory) around(room string) (own, others []string, err error) {
	own = append(own, room)
	if outer, _, internal := strings.Cut(room, "/internal/"); internal {
		own = append(own, outer)
	}
	out, err := lab.command("", nil, "go", "list", "-test", "-f", "{{.ImportPath}} {{join .Deps \" \"}}", "./chem/...", "./solution/...", "./tables/...").Output()
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		folder, test := strings.CutSuffix(strings.TrimPrefix(words[0], module), ".test")
		if test && !slices.Contains(own, folder) && slices.Contains(words, module+room) {
			others = append(others, folder)
		}
	}
	return own, others, err
}

// build is a room with slips woven into it, and the tests that are asked.
type build struct {
	dir    string
	slips  []mutant
	own    map[string]string // programs of tests, by the folder they run in
	others map[string]string // each made when it is first wanted
}

// build weaves slips into a room and compiles its tests. Slips that the compiler refuses are left out.
func (lab *laboratory) build(room string, slips []mutant) (*build, error) {
	dir, err := os.MkdirTemp(lab.scratch, "")
	if err != nil {
		return nil, err
	}
	b := &build{dir: dir, slips: slips, others: map[string]string{}}
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
	if err := errors.Join(err, os.WriteFile(b.overlay(), text, 0o600)); err != nil {
		return nil, err
	}
	own, _, err := lab.around(room)
	if err != nil {
		return nil, err
	}
	var said []byte
	if b.own, said, err = lab.compile(b, room, own); err == nil {
		return b, nil
	}
	left := slices.DeleteFunc(slices.Clone(slips), func(m mutant) bool {
		return m.constant || bytes.Contains(said, fmt.Appendf(nil, "slip%d:", m.number))
	})
	if lab.ctx.Err() != nil || len(left) == len(slips) {
		return nil, fmt.Errorf("%s with slips in it does not compile: %w\n%s", room, err, said)
	}
	return lab.build(room, left)
}

func (b *build) overlay() string { return filepath.Join(b.dir, "overlay.json") }

// compile makes the programs that test some folders, and returns what the compiler says.
func (lab *laboratory) compile(b *build, room string, folders []string) (map[string]string, []byte, error) {
	words := []string{"go", "test", "-c", "-overlay", b.overlay(), "-gcflags=" + module + room + "=-e", "-o", b.dir + string(filepath.Separator)}
	programs := map[string]string{}
	if len(folders) == 0 {
		return programs, nil, nil
	}
	for _, folder := range folders {
		programs[folder] = filepath.Join(b.dir, filepath.Base(folder)+".test")
		words = append(words, "./"+folder)
	}
	said, err := lab.command("", nil, words...).CombinedOutput()
	return programs, said, err
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
	if notices, err := lab.notices(b.own, m); err != nil || notices {
		return byRoom, err
	}
	if !lab.far || m.number == 0 {
		return byNone, nil
	}
	_, others, err := lab.around(room)
	if err != nil {
		return byNone, err
	}
	for _, folder := range others {
		if b.others[folder] == "" {
			made, said, err := lab.compile(b, room, []string{folder})
			if err != nil {
				return byNone, fmt.Errorf("what imports %s does not compile: %w\n%s", room, err, said)
			}
			maps.Copy(b.others, made)
		}
		if notices, err := lab.notices(map[string]string{folder: b.others[folder]}, m); err != nil || notices {
			return byLibrary, err
		}
	}
	return byNone, nil
}

// notices tells whether one of the programs of tests fails with a slip on.
func (lab *laboratory) notices(programs map[string]string, m mutant) (bool, error) {
	for folder, program := range programs {
		if _, err := os.Stat(program); err != nil {
			continue // a room without tests of its own
		}
		err := lab.command(folder, []string{"SLIP=" + strconv.Itoa(m.number)}, program, "-test.short", "-test.failfast", "-test.timeout="+patience.String()).Run()
		var exit *exec.ExitError
		switch {
		case lab.ctx.Err() != nil:
			return false, lab.ctx.Err()
		case errors.As(err, &exit):
			return true, nil
		case err != nil:
			return false, err
		}
	}
	return false, nil
}
