package main

import (
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"example.com/chelation/examples"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/tables"
)

// A Data Package (datapackage.org, the open standard): a descriptor beside CSV files,
// with types, units, keys between files, sources and licence.
type dataPackage struct {
	Schema    string     `json:"$schema"`
	Name      string     `json:"name"`
	Title     string     `json:"title"`
	Version   string     `json:"version"`
	Licenses  []licence  `json:"licenses"`
	Resources []resource `json:"resources"`
}

type licence struct {
	Name string `json:"name"`
	Path string `json:"path"`
}

type resource struct {
	Name    string      `json:"name"`
	Path    string      `json:"path"`
	Title   string      `json:"title"`
	Format  string      `json:"format"`
	Schema  tableSchema `json:"schema"`
	Sources []origin    `json:"sources,omitempty"`
}

type origin struct {
	Title string `json:"title"`
}

type tableSchema struct {
	Fields      []field      `json:"fields"`
	PrimaryKey  []string     `json:"primaryKey,omitempty"`
	ForeignKeys []foreignKey `json:"foreignKeys,omitempty"`
}

type field struct {
	Name        string `json:"name"`
	Type        string `json:"type"`
	Unit        string `json:"unit,omitempty"`
	Description string `json:"description"`
}

type foreignKey struct {
	Fields    []string  `json:"fields"`
	Reference reference `json:"reference"`
}

type reference struct {
	Resource string   `json:"resource"`
	Fields   []string `json:"fields"`
}

// keys of the tables that have one in their first column, and what points from one to
// another.
var points = map[string]foreignKey{
	"observations": {[]string{"source"}, reference{"sources", []string{"key"}}},
	"components":   {[]string{"species"}, reference{"species", []string{"species"}}},
	"solids":       {[]string{"species"}, reference{"species", []string{"species"}}},
	"couples":      {[]string{"oxidised"}, reference{"components", []string{"species"}}},
}

// export writes every table into a folder, as CSV with a descriptor.
func (q question) export(folder string) error {
	words, err := examples.Vocabulary()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return cli.Usagef("-export %q: %w", folder, err)
	}
	p := dataPackage{
		Schema: "https://datapackage.org/profiles/2.0/datapackage.json", Name: "chelation-tables", Title: "Constants and reference data for chelation baths",
		Version: cli.Version + ".0.0", Licenses: []licence{{"BSD-3-Clause", "https://opensource.org/license/bsd-3-clause"}},
	}
	for _, name := range slices.Sorted(maps.Keys(kinds)) {
		a, err := q.table(name)
		if err != nil {
			return err
		}
		r := resource{Name: name, Path: name + ".csv", Title: a.Title, Format: "csv"}
		for i, column := range a.Columns {
			r.Schema.Fields = append(r.Schema.Fields, field{column, a.kind(i), words[column].Unit, words[column].Meaning})
		}
		if a.keyed() {
			r.Schema.PrimaryKey = a.Columns[:1]
		}
		if f, ok := points[name]; ok {
			r.Schema.ForeignKeys = []foreignKey{f}
		}
		for _, key := range a.sources {
			s, err := tables.Find[tables.Source](q.Tables, key)
			if err != nil {
				return err
			}
			r.Sources = append(r.Sources, origin{s.Citation})
		}
		p.Resources = append(p.Resources, r)
		if err := write(filepath.Join(folder, r.Path), a.CSV); err != nil {
			return err
		}
	}
	notice, err := tables.Data().Open("NOTICE.txt")
	if err != nil {
		return err
	}
	defer notice.Close()
	if err := write(filepath.Join(folder, "NOTICE.txt"), func(out io.Writer) error { _, err := io.Copy(out, notice); return err }); err != nil {
		return err
	}
	schema, err := examples.Schema()
	if err != nil {
		return err
	}
	if err := write(filepath.Join(folder, "vocabulary.schema.json"), func(out io.Writer) error { return cli.Plain(out, schema) }); err != nil {
		return err
	}
	return write(filepath.Join(folder, "datapackage.json"), func(out io.Writer) error { return cli.Plain(out, p) })
}

// write fills a file.
func write(name string, fill func(io.Writer) error) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	err = fill(f)
	if closed := f.Close(); err == nil {
		err = closed
	}
	return err
}

// kind returns the type of a column by what is in it.
func (a *answer) kind(column int) string {
	kind := ""
	for _, row := range a.Rows {
		switch row[column].(type) {
		case float64, decimal:
			kind = "number"
		case int:
			if kind == "" {
				kind = "integer"
			}
		case string:
			if row[column] != "" {
				return "string"
			}
		default:
			return "string"
		}
	}
	if kind == "" {
		return "string"
	}
	return kind
}

// keyed reports whether the first column tells the rows apart.
func (a *answer) keyed() bool {
	seen := map[any]bool{}
	for _, row := range a.Rows {
		if seen[row[0]] {
			return false
		}
		seen[row[0]] = true
	}
	return true
}
