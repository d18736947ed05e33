package recipe_test

import (
	"fmt"
	"log"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

// The tool library's tub: the example of the README.
func Example() {
	t, _ := tables.Standard()
	tap, _ := t.Water("moderately hard tap water")
	salt, _ := t.Reagent("tetrasodium EDTA tetrahydrate")
	acid, _ := t.Reagent("citric acid")
	r := recipe.Recipe{Water: tap, Volume: 20 * measure.Litre, Temperature: chem.Celsius(20),
		Chelant: salt, Amount: measure.AmountOfMass(500 * measure.Gram), Acid: acid, PH: 7}
	plan, err := r.Plan(t)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s of citric acid, pH %.0f to %.1f\n", plan.Acid.Text(), plan.PHBefore.Typical, plan.PHAfter)
	// Output:
	// 82 g (1/3 level cup + 1 tablespoon) of citric acid, pH 11 to 7.0
}

// The README shows the body of [Example] and what it prints.
func TestReadmeShowsTheExample(t *testing.T) {
	own, err := os.ReadFile("readme_test.go")
	require.NoError(t, err)
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	body := regexp.MustCompile(`(?s)func Example\(\) \{\n(.*?)\t// Output:\n\t// (.*?)\n\}`).FindStringSubmatch(string(own))
	require.NotNil(t, body)
	code := strings.ReplaceAll(strings.TrimPrefix(body[1], "\t"), "\n\t", "\n")
	assert.Contains(t, string(readme), "```go\n"+strings.TrimRight(code, "\n\t")+"\n```")
	assert.Contains(t, string(readme), body[2])
}
