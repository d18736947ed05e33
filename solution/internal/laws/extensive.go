package laws

import (
	"encoding/json"
	"math"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// amount recognises keys of what there is more of in more of the same.
var amount = regexp.MustCompile(`(^|_)(mol|g|kg|l|ml)$`)

// Extensive holds two answers to one question, asked of a thing and of one times as large: amounts
// go as the size, everything else, a pH, a share, a concentration, stays. Keys tell which is which;
// texts are not looked at. Numbers are to agree to a relative tolerance, and amounts to that part
// of least.
func Extensive(t testing.TB, one, many any, times, tolerance, least float64) {
	t.Helper()
	read := func(x any) (tree any) {
		text, err := json.Marshal(x)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(text, &tree))
		return tree
	}
	var walk func(where, key string, a, b any)
	numbers := 0
	walk = func(where, key string, a, b any) {
		switch a := a.(type) {
		case map[string]any:
			b, _ := b.(map[string]any)
			for k, v := range a {
				walk(where+"."+k, k, v, b[k])
			}
		case []any:
			b, _ := b.([]any)
			if assert.Len(t, b, len(a), where) {
				for i, v := range a {
					walk(where, key, v, b[i])
				}
			}
		case float64:
			numbers++
			want, small := a, tolerance
			if amount.MatchString(key) && !regexp.MustCompile(`_per_`).MatchString(key) {
				want, small = a*times, tolerance*least*times
			}
			got, _ := b.(float64)
			assert.InDelta(t, want, got, tolerance*math.Abs(want)+small, where)
		}
	}
	walk("", "", read(one), read(many))
	assert.Positive(t, numbers)
}
