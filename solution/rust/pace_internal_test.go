package rust

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/grain"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// plain returns a course in which nothing changes on the way to u = last, and a
// world to go with it.
func plain(last, free float64) (*course, *world) {
	c := &course{
		iron: referenceIron / bath.IronMolarMass, temperature: referenceTemperature, light: 36000,
		diffusivity: 5e-10 * grain.Diffusion(diffusionTemperature, referenceTemperature), film: tables.Range{Low: 1e-4, Typical: 5e-4, High: 1e-3},
	}
	us, ws := make([]float64, stationsPerCourse), make([]float64, stationsPerCourse)
	quad.Legendre{}.FixedLocations(us, ws, last, 1)
	for i, u := range us {
		c.stations = append(c.stations, station{weight: ws[i], square: u * u, free: free, affinity: 1})
	}
	return c, &world{energy: 84, order: 0.5, half: 1, layer: 1, catalysis: 15}
}

// The two ends of the quadratic have closed forms: where the film lets any amount
// through, grains shrink evenly and t = τ (1 − u)(1 + h/c); where the surface takes
// any amount, the film brings N (1 − u³) at m c. In between both take their time,
// and no more than the sum of the two, as the flux lies above that of the two
// in series.
func TestFluxLimits(t *testing.T) {
	for _, last := range []float64{0, 0.5, 0.8} {
		for _, free := range []float64{0.3, 5, 50} {
			c, w := plain(last, free)
			one := []float64{1, 1e-6, 1e9}
			out := c.seconds(w, one)
			surface := c.light * (1 - last) * (1 + w.half/free)
			film := c.iron * (1 - last*last*last) / (c.diffusivity / 5e-4 * free)
			require.InEpsilon(t, surface*1e6, out[1], 1e-3)
			require.InEpsilon(t, film, out[2], 1e-3)
			require.InEpsilon(t, film, c.bound(w), 1e-9)
			require.GreaterOrEqual(t, out[0], max(surface, film)*(1-1e-12))
			require.LessOrEqual(t, out[0], (surface+film)*(1+1e-12))
		}
	}
}

// The points fill the space: each dimension has mean 0 and deviation 1, and no two
// go together by more than the standard error of random points.
func TestWorldsAreEven(t *testing.T) {
	var mean, square, z [8]float64
	var cross [8][8]float64
	for i := range worlds {
		spread.Lattice(z[:], i, worlds, generator)
		for d := range z {
			mean[d] += z[d] / worlds
			square[d] += z[d] * z[d] / worlds
			for e := range d {
				cross[d][e] += z[d] * z[e] / worlds
			}
		}
	}
	for d := range mean {
		require.InDelta(t, 0, mean[d], 1e-9)
		require.InDelta(t, 1, square[d], 0.02)
		for e := range d {
			require.InDelta(t, 0, cross[d][e], 1/math.Sqrt(worlds), "%d %d", d, e)
		}
	}
}

// The order of the quadrature is enough, for a bath that is held, one that drifts,
// and one whose rust goes only just; and a larger part takes longer. At the first station the
// free chelant, mol/m³, is that of the start, mol/L, less one for each iron gone, 1 − u³ of the rust's.
func TestStationsAreEnough(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	salt, err := std.Reagent("tetrasodium EDTA tetrahydrate")
	require.NoError(t, err)
	acid, err := std.Reagent("citric acid")
	require.NoError(t, err)
	v, err := solution.New(std, chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(20*measure.Litre))
	require.NoError(t, v.Add(salt, 500*measure.Gram))
	dose, err := v.Dose(acid, solution.PH(7))
	require.NoError(t, err)
	require.NoError(t, v.Add(acid, dose.Mass()))
	b, err := bath.New(std, v)
	require.NoError(t, err)
	o, err := bath.FindOxide(std, "lepidocrocite")
	require.NoError(t, err)
	fresh, err := std.Rust(referenceRust)
	require.NoError(t, err)
	pace, err := NewPace(std)
	require.NoError(t, err)
	for _, tc := range []struct {
		rust      float64 // g in all; left alone the bath takes 54 g
		held      bool
		tolerance float64
	}{{30, true, 1e-3}, {30, false, 1e-3}, {53, false, 1e-2}, {90, true, 1e-3}} {
		layer, err := LayerOfMass(fresh, 100*measure.Gram, measure.SquareMetre)
		require.NoError(t, err)
		d := Dip{Rust: fresh, Layer: layer, Area: unit.Area(tc.rust * bath.IronMolarMass / o.Grams(1) / layer.IronGramsPerM2.Typical), Oxide: o, Held: tc.held}
		last := 0.0
		for _, part := range []float64{0.3, 0.7, 1} {
			var times [2]float64
			for i, n := range []int{stationsPerCourse, 2 * stationsPerCourse} {
				pace.stations = n
				c, err := pace.follow(b, d, part)
				require.NoError(t, err)
				require.False(t, c.stops())
				first := c.stations[0]
				for _, at := range c.stations {
					if at.square > first.square {
						first = at
					}
				}
				gone := tc.rust / o.Grams(1) * (1 - math.Pow(first.square, 1.5))
				require.InEpsilon(t, 1000*(freeChelant(c.start)-gone/c.start.VolumeLitres), first.free, 4e-4)
				times[i] = c.seconds(&pace.worlds[0], []float64{1})[0]
			}
			require.InEpsilon(t, times[1], times[0], tc.tolerance, "%+v %g", tc, part)
			require.Greater(t, times[0], last)
			last = times[0]
		}
	}
}
