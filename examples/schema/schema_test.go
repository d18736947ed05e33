// Package schema validates what every program writes with -json against the vocabulary,
// with a validator that this project did not write. It is a module of its own because
// of that validator.
package schema

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"example.com/chelation/examples"
)

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	s, err := examples.Schema()
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("vocabulary.json", document); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("vocabulary.json") // refuses what is no schema of its draft
	if err != nil {
		t.Fatal(err)
	}
	return compiled
}

func TestEveryProgram(t *testing.T) {
	schema := compiled(t)
	mains, err := filepath.Glob(filepath.Join("..", "*", "main.go"))
	if err != nil || len(mains) < 10 {
		t.Fatal(mains, err)
	}
	for _, main := range mains {
		program := filepath.Base(filepath.Dir(main))
		if modules, _ := filepath.Glob(filepath.Join(filepath.Dir(main), "go.mod")); len(modules) > 0 || program == "own" {
			continue // which prints text
		}
		run := exec.Command("go", "run", "./examples/"+program, "-json")
		run.Dir = filepath.Join("..", "..")
		text, err := run.Output()
		if err != nil {
			t.Fatalf("%s: %v", program, err)
		}
		answer, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatalf("%s: %v", program, err)
		}
		if err := schema.Validate(answer); err != nil {
			t.Errorf("%s: %v", program, err)
		}
	}
}

// What is not in the vocabulary is refused.
func TestRefuses(t *testing.T) {
	schema := compiled(t)
	for _, text := range []string{`{}`, `[]`, `{"version":"3","rust_grams":3}`, `{"version":1}`, `{"version":"3","mass_g":"3 g"}`, `{"version":"3","plan":{"chelant":null}}`} {
		answer, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if schema.Validate(answer) == nil {
			t.Errorf("%s passes", text)
		}
	}
}
