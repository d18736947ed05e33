// Package examples holds the vocabulary of all programs: every key that they and the
// library write, with its type, its unit and what it means, as a table and as a JSON
// Schema.
package examples

import (
	_ "embed"
	"encoding/csv"
	"strings"
)

//go:embed vocabulary.csv
var vocabulary string

// Word is what is said of a key.
type Word struct {
	Key, Unit, Meaning string
	Types              []string // number, text, flag, list, map, object, any; column where it heads one only
}

// Vocabulary returns all words by their keys.
func Vocabulary() (map[string]Word, error) {
	rows, err := csv.NewReader(strings.NewReader(vocabulary)).ReadAll()
	words := map[string]Word{}
	for _, r := range rows[min(1, len(rows)):] {
		words[r[0]] = Word{r[0], r[2], r[3], strings.Split(r[1], "|")}
	}
	return words, err
}

type object = map[string]any

// shapes are what the types are in JSON. A number may come as a range, with its
// uncertainty, or as several.
var shapes = map[string]object{
	"number": {"anyOf": []object{{"type": "number"}, {"type": "array", "items": object{"$ref": "#/$defs/several"}}, {"$ref": "#/$defs/answer"}}},
	"text":   {"type": "string"},
	"flag":   {"type": "boolean"},
	"list":   {"type": "array", "items": object{"anyOf": []object{{"$ref": "#/$defs/answer"}, {"type": []string{"string", "number", "boolean"}}}}},
	"map":    {"type": "object", "additionalProperties": object{"anyOf": []object{{"$ref": "#/$defs/answer"}, {"type": "array", "items": object{"$ref": "#/$defs/answer"}}, {"type": "number"}}}},
	"object": {"$ref": "#/$defs/answer"},
	"any":    {},
	"column": {"type": []string{"number", "string", "boolean"}},
}

// Schema returns the vocabulary as a JSON Schema (draft 2020-12): an answer is an object
// whose keys are words of it, and says its version.
func Schema() (map[string]any, error) {
	words, err := Vocabulary()
	if err != nil {
		return nil, err
	}
	keys := object{}
	for key, w := range words {
		var any []object
		for _, t := range w.Types {
			any = append(any, shapes[t])
		}
		meaning := w.Meaning
		if w.Unit != "" {
			meaning += ", " + w.Unit
		}
		keys[key] = object{"description": meaning, "anyOf": any}
	}
	return object{
		"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": "urn:chelation:vocabulary:1",
		"title": "Answers of the programs", "$ref": "#/$defs/answer", "required": []string{"version"},
		"$defs": object{
			"several": object{"anyOf": []object{{"type": "number"}, {"type": "array", "items": object{"type": "number"}}}},
			"answer":  object{"type": "object", "properties": keys, "patternProperties": object{` \(.*\)$`: object{}}, "additionalProperties": false},
		},
	}, nil
}
