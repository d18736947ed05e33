package chem_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// What is written with abbreviations is read again without knowing them.
func TestTextCarriesItsDefinitions(t *testing.T) {
	for text, want := range map[string]string{
		"H2O":                "H2O",
		"Na4(edta)·4H2O":     "Na4(edta)·4H2O; edta4- = C10H12N2O8^4-",
		"(edta)2":            "(edta)2; edta4- = C10H12N2O8^4-",
		"Fe(edta)(cit)^4-":   "Fe(edta)(cit)^4-; cit3- = C6H5O7^3-; edta4- = C10H12N2O8^4-",
		"H4edta(s)":          "H4edta(s); edta4- = C10H12N2O8^4-",
		"FeOOH(s, goethite)": "FeOOH(s, goethite)",
		"Hhedta2-":           "Hhedta2-; hedta3- = C10H15N2O7^3-",
		"H(edta)(hedta)^6-":  "H(edta)(hedta)^6-; edta4- = C10H12N2O8^4-; hedta3- = C10H15N2O7^3-",
	} {
		s, err := chem.Shop.ParseSpecies(text)
		require.NoError(t, err)
		out, err := json.Marshal(s)
		require.NoError(t, err)
		assert.Equal(t, want, strings.Trim(string(out), `"`))
		var again chem.Species
		require.NoError(t, json.Unmarshal(out, &again))
		assert.Equal(t, s, again)
	}
	r, err := chem.Shop.ParseReaction("Fe3+ + edta4- = Fe(edta)-")
	require.NoError(t, err)
	out, err := json.Marshal(r)
	require.NoError(t, err)
	var again chem.Reaction
	require.NoError(t, json.Unmarshal(out, &again))
	assert.Equal(t, r, again)
	out, err = json.Marshal(chem.Shop)
	require.NoError(t, err)
	var n chem.Notation
	require.NoError(t, json.Unmarshal(out, &n))
	assert.Equal(t, chem.Shop, n)
	_, err = chem.ParseFormula("Fe(edta)-")
	assert.ErrorContains(t, err, "abbreviation", "without a notation the letters mean nothing")
}

// Ethylenediaminedisuccinic acid is an isomer of EDTA.
func TestIsomersDiffer(t *testing.T) {
	n, err := chem.NewNotation("edta4- = C10H12N2O8^4-", "edds4- = C10H12N2O8^4-")
	require.NoError(t, err)
	f := func(text string) chem.Formula {
		x, err := n.ParseFormula(text)
		require.NoError(t, err)
		return x
	}
	assert.False(t, f("H4edta").Equal(f("H4edds")))
	assert.True(t, f("H4edta").Equal(f("H4(edta)")))
	assert.True(t, f("H4edds").Equal(f("C10H16N2O8")))
	assert.True(t, f("Fe(edta)(edds)^5-").Equal(f("Fe(edds)(edta)^5-")))
}

func TestBadNotations(t *testing.T) {
	for _, text := range []string{
		"", "edta4-", "edta4- =", "= H2O", "edta3- = C10H12N2O8^4-", "EDTA4- = C10H12N2O8^4-", "e- = C2", "a = C2", "aq = C2",
		"edta4- = C10(nta)^4-", "edta4- = C10H12N2O8^4- = C", "ed1a = C", "edta4- = e-", "edtaé = C2",
	} {
		_, err := chem.NewNotation(text)
		assert.ErrorIs(t, err, chem.ErrInput, text)
	}
	_, err := chem.NewNotation("nta3- = C6H6NO6^3-", "nta3- = C6H6NO6^3-")
	assert.ErrorContains(t, err, "defined once")
	var f chem.Formula
	assert.ErrorIs(t, f.UnmarshalText([]byte("H4(edta); edta4-")), chem.ErrInput)
	assert.ErrorIs(t, f.UnmarshalText([]byte("H2O"+strings.Repeat(";", 1<<20))), chem.ErrInput)
}

// Iminodisuccinic acid, which no table here knows: C8H11NO8 is 249.18 g/mol by
// its formula (arithmetic with the IUPAC 2021 atomic weights).
func ExampleNewNotation() {
	n, err := chem.NewNotation("ids4- = C8H7NO8^4-")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range []string{"H4(ids)", "Na4(ids)", "Fe(ids)-"} {
		f, err := n.ParseFormula(s)
		if err != nil {
			fmt.Println(err)
			return
		}
		text, _ := f.MarshalText()
		fmt.Printf("%-8s %-11s %.2f g/mol, kept as %q\n", f, f.Hill(), f.MolarMass(), text)
	}
	// Output:
	// H4(ids)  C8H11NO8    249.18 g/mol, kept as "H4(ids); ids4- = C8H7NO8^4-"
	// Na4(ids) C8H7NNa4O8  337.10 g/mol, kept as "Na4(ids); ids4- = C8H7NO8^4-"
	// Fe(ids)- C8H7FeNO8   300.99 g/mol, kept as "Fe(ids)-; ids4- = C8H7NO8^4-"
}

// A zero value of any type works: no method of it panics, and it survives JSON.
func TestZeroValues(t *testing.T) {
	for _, zero := range []any{
		&chem.Formula{}, &chem.Species{}, &chem.Term{}, &chem.Reaction{}, &chem.Notation{}, &chem.Constant{}, &chem.Span{},
		&chem.Fitted{}, &chem.Observation{},
	} {
		v := reflect.ValueOf(zero)
		name := v.Type().String()
		for i := range v.NumMethod() {
			var in []reflect.Value
			for k := 1; k < v.Type().Method(i).Type.NumIn(); k++ {
				in = append(in, reflect.Zero(v.Type().Method(i).Type.In(k)))
			}
			assert.NotPanics(t, func() { v.Method(i).Call(in) }, "%s.%s", name, v.Type().Method(i).Name)
		}
		text, err := json.Marshal(zero)
		require.NoError(t, err, name)
		back := reflect.New(v.Type().Elem())
		require.NoError(t, json.Unmarshal(text, back.Interface()), name)
		again, err := json.Marshal(back.Interface())
		require.NoError(t, err, name)
		assert.Equal(t, string(text), string(again), name)
	}
	assert.NotEmpty(t, (&chem.InputError{}).Error())
	_, err := chem.Fit(chem.Reaction{}, nil, chem.Prior{})
	assert.ErrorIs(t, err, chem.ErrInput)
}
