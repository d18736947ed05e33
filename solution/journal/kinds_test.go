package journal

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/internal/demo"
)

// The laws of random lives speak of every thing that is done to a tub: each kind of event
// that changes one is proposed, and happens, in the lives of a short run, refusals apart.
func TestRandomLivesDoEverything(t *testing.T) {
	std := demo.Tables(t)
	r := rand.New(rand.NewPCG(*livesSeed, 1)) // as TestRandomLives draws
	led := map[Kind]int{}
	for range 5 {
		_, err := lead(std, propose(t, r), func(_, _ *Life, e Event) error {
			led[e.Kind]++
			return nil
		})
		require.NoError(t, err)
	}
	for _, kind := range []Kind{Mixed, Added, Watered, Evaporated, Reading, Dipped, DragOut, Filtered, Aired, Warmed, Stood} {
		require.Positive(t, led[kind], "%s: %v", kind, led)
	}
}
