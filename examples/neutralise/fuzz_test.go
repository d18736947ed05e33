package main

import (
	"encoding/json"
	"flag"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// Whatever a file says of a step, it is an event or an error.
func FuzzStep(f *testing.F) {
	for _, text := range []string{
		`{"read": 11}`, `{"read": 9, "strip": "pH meter"}`, `{"add": "1/4 cup"}`, `{"add": "20 g", "reagent": "washing soda"}`,
		`{"more": "1 tbsp"}`, `{"spoon": "1 tbsp", "mass": "10.2 g"}`, `{"clear": false}`, `{"read": 1e999}`, `{"add": "½"}`, `{}`,
	} {
		f.Add(text)
	}
	t, err := tables.Standard()
	require.NoError(f, err)
	var j job
	j.flags(flag.NewFlagSet("neutralise", flag.ContinueOnError))
	c, err := j.course(t)
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text string) {
		var s step
		if json.Unmarshal([]byte(text), &s) != nil {
			return
		}
		e, err := s.event(c)
		if err != nil {
			return
		}
		require.NotNil(t, e)
	})
}
