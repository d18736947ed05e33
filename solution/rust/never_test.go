package rust_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/rust"
)

// A dip that stops says how far it comes, the share that its figures have.
func TestNeverSaysHowFar(t *testing.T) {
	p, err := rust.NewPace(demo.Tables(t))
	require.NoError(t, err)
	fresh, err := demo.Tables(t).Rust("fresh-orange")
	require.NoError(t, err)
	layer, err := rust.LayerOfThickness(fresh, 100*measure.Micrometre)
	require.NoError(t, err)
	x, err := p.Time(demo.Mix(t, demo.Recipe(t)), rust.Dip{Rust: fresh, Layer: layer, Area: 1.5, Oxide: demo.Oxide(t, "lepidocrocite")})
	require.NoError(t, err)
	require.Greater(t, x.RustDissolvedFraction, 0.02)
	require.Less(t, x.RustDissolvedFraction, 0.98)
	assert.Contains(t, x.Text, fmt.Sprintf("takes up about %.0f %% of this rust and stops at pH %.1f", 100*x.RustDissolvedFraction, x.EndPH))
}
