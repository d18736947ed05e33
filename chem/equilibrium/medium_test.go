package equilibrium

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"

	"example.com/chelation/chem"
)

// TestMediumIsConsistent draws baths and checks that the ionic strength is
// that of the answer, and that the coupled iteration and the plain secant
// around solves at fixed I agree.
func TestMediumIsConsistent(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	b := newBath(t)
	m := &b.medium
	for j := range m.DEps {
		m.DEps[j] = 0.05 * rng.NormFloat64()
	}
	w, v := b.sys.NewWorkspace(), b.sys.NewWorkspace()
	r, q := new(Result), new(Result)
	off := append([]float64(nil), m.LnKs0...)
	concentration := make([]float64, len(b.total)) // has no charge to move with
	coupled, warm := 0, 0
	for k := range 300 {
		c := &Conditions{Total: append([]float64(nil), b.total...)}
		for i := range c.Total {
			c.Total[i] *= math.Exp(rng.NormFloat64())
		}
		c.Total[b.H] = -0.2 + 0.6*rng.Float64()
		m := *m
		copy(m.LnKs0, off)
		if k%2 == 0 {
			copy(m.LnKs0, b.off)
		}
		if k%3 == 0 {
			c.Held, c.LnHeld = make([]bool, len(c.Total)), make([]float64, len(c.Total))
			c.Held[b.H], c.LnHeld[b.H] = true, -(2+10*rng.Float64())*math.Ln10
			if k%6 != 0 {
				m.CompZ2, m.CompEps = concentration, concentration
			}
		}
		require.NoError(t, solveIn(w, &m, c, r))
		require.LessOrEqual(t, r.Residual, 1e-12)
		if r.Iterations < 50 {
			coupled++
		}
		_, err := v.prepare(c, 0.1, q)
		require.NoError(t, err)
		v.medium = nil
		require.NoError(t, v.bisect(&m))
		require.NoError(t, v.report(q))
		require.InEpsilon(t, 0.5*floats.Dot(r.C, m.Z2), r.Ionic, 1e-11)
		require.InEpsilon(t, 0.5*floats.Dot(q.C, m.Z2), q.Ionic, 1e-11)
		require.InEpsilon(t, q.Ionic, r.Ionic, 1e-10, "draw %d", k)
		for i := range r.LnC {
			require.InDelta(t, q.LnC[i], r.LnC[i], 1e-8, "draw %d component %d", k, i)
		}
		for i := range r.Solid {
			require.InDelta(t, q.Solid[i], r.Solid[i], 1e-10)
		}
		if c.Held != nil {
			require.InDelta(t, c.LnHeld[b.H]+math.Ln10*(m.CompZ2[b.H]*m.D(r.Ionic)-m.CompEps[b.H]*r.Ionic), r.LnC[b.H], 1e-12)
		}
		// warm from a neighbour
		for i := range c.Total {
			c.Total[i] *= 1 + 0.01*rng.NormFloat64()
		}
		require.NoError(t, solveFromIn(w, &m, c, r))
		require.NoError(t, solveIn(v, &m, c, q))
		require.InEpsilon(t, q.Ionic, r.Ionic, 1e-10)
		if r.Iterations < 8 {
			warm++
		}
	}
	t.Logf("coupled %d of 300, warm in fewer than 8 steps %d", coupled, warm)
	require.Greater(t, coupled, 250)
}

func TestMediumRefuses(t *testing.T) {
	b := newBath(t)
	w, r := b.sys.NewWorkspace(), new(Result)
	c := &Conditions{Total: b.total}
	for name, spoil := range map[string]func(m *Medium){
		"A":    func(m *Medium) { m.A = math.NaN() },
		"Z2":   func(m *Medium) { m.Z2 = append([]float64(nil), m.Z2...); m.Z2[3] = -1 },
		"DZ2":  func(m *Medium) { m.DZ2 = m.DZ2[1:] },
		"LnK0": func(m *Medium) { m.LnK0 = append([]float64(nil), m.LnK0...); m.LnK0[3] = math.NaN() },
	} {
		m := b.medium
		spoil(&m)
		err := solveIn(w, &m, c, r)
		require.ErrorIs(t, err, chem.ErrInput, name)
	}
}

// TestNoIonicStrength: ions that no water holds are named as such.
func TestNoIonicStrength(t *testing.T) {
	b := newBath(t)
	m := b.medium
	copy(m.LnKs0, b.off)
	for j := range m.Z2 {
		m.Z2[j] *= 3000
	}
	w, r := b.sys.NewWorkspace(), new(Result)
	r.Ionic = 42
	err := solveIn(w, &m, &Conditions{Total: b.total}, r)
	require.ErrorIs(t, err, ErrIonicStrength)
	require.ErrorIs(t, err, chem.ErrInput)
	require.Equal(t, 42.0, r.Ionic, "a failed call leaves the result alone")
	t.Log(err)
}

// TestNoIons: sugar in water has no ionic strength, which is an answer too.
func TestNoIons(t *testing.T) {
	s, err := New(1, [][]float64{{1}, {2}}, nil)
	require.NoError(t, err)
	m := Medium{A: 0.51, LnK0: []float64{0, 1}, DZ2: []float64{0, 0}, DEps: []float64{0, 0}, Z2: []float64{0, 0}, CompZ2: []float64{0}, CompEps: []float64{0}}
	w, r := s.NewWorkspace(), new(Result)
	require.NoError(t, solveIn(w, &m, &Conditions{Total: []float64{0.1}}, r))
	require.Zero(t, r.Ionic)
	require.InEpsilon(t, 0.1, r.C[0]+2*r.C[1], 1e-12)
	require.NoError(t, w.Respond(&Change{Total: []float64{1}}, new(Response)))
}

// The slopes of the Debye–Hückel term are those of differences.
func TestSlopes(t *testing.T) {
	for _, i := range []float64{0.001, 0.1, 2} {
		h := 1e-4 * i
		for _, x := range []float64{5, 45} {
			m := Medium{A: chem.DebyeHuckelA(chem.Celsius(x))}
			first, second := m.Slopes(i)
			above, below := m.D(i+h), m.D(i-h)
			assert.InEpsilon(t, (above-below)/(2*h), first, 1e-7)
			assert.InEpsilon(t, (above-2*m.D(i)+below)/(h*h), second, 1e-4)
		}
	}
}
