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

// Of an oxide of two irons a bath takes what equilibrium lets it: the share that is told times the iron
// on the part is what the bath takes left alone.
func TestShareOfAnOxideOfTwoIrons(t *testing.T) {
	p, err := rust.NewPace(demo.Tables(t))
	require.NoError(t, err)
	fresh, err := demo.Tables(t).Rust("fresh-orange")
	require.NoError(t, err)
	layer, err := rust.LayerOfMass(fresh, 200*measure.Gram, measure.SquareMetre)
	require.NoError(t, err)
	b, o := demo.Mix(t, demo.Recipe(t)), demo.Oxide(t, "hematite")
	x, err := p.Time(b, rust.Dip{Rust: fresh, Layer: layer, Area: 1, Oxide: o})
	require.NoError(t, err)
	takes, pH, err := b.LeftAlone(o)
	require.NoError(t, err)
	assert.InEpsilon(t, takes.IronGrams/layer.IronGramsPerM2.Typical, x.RustDissolvedFraction, 1e-6)
	assert.InDelta(t, pH, x.EndPH, 1e-6)
}
