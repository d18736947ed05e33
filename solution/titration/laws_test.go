package titration_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// The limits of error of glass, by its standard: ISO 648 class A for pipettes, ISO 385 for
// burettes, ISO 4788 class B for cylinders, ISO 7886-1 for syringes; from memory. Twenty
// drops are a millilitre (common practice, no source).
func TestDispensersByTheirStandards(t *testing.T) {
	for name, want := range map[string][3]float64{ // mL: limit of error at its capacity, capacity, step
		"pipette 1 mL": {0.008, 1, 1}, "pipette 2 mL": {0.01, 2, 2}, "pipette 5 mL": {0.015, 5, 5}, "pipette 10 mL": {0.02, 10, 10}, "pipette 25 mL": {0.03, 25, 25},
		"pipette 50 mL": {0.05, 50, 50}, "pipette 100 mL": {0.08, 100, 100}, "burette 50 mL class A": {0.05, 50, 0.05}, "burette 50 mL class B": {0.1, 50, 0.05},
		"burette 25 mL class A": {0.03, 25, 0.05}, "burette 10 mL class A": {0.02, 10, 0.02}, "measuring cylinder 50 mL": {1, 50, 1}, "measuring cylinder 100 mL": {1, 100, 1},
		"syringe 10 mL": {0.4, 10, 0.2}, "syringe 1 mL": {0.05, 1, 0.01}, "drop bottle": {1, 5, 0.05}, "drop bottle, drops counted on a scale": {0.15, 5, 0.05},
	} {
		d, err := tables.Find[tables.Dispenser](demo.Tables(t), "  "+strings.ToUpper(name)+" ")
		require.NoError(t, err)
		require.Equal(t, name, d.Name)
		require.InDelta(t, want[0], d.ToleranceML+d.Relative*d.CapacityML, 1e-12, name)
		require.InDelta(t, want[1], d.CapacityML, 0, name)
		require.InDelta(t, want[2], d.StepML, 0, name)
	}
	_, err := tables.Find[tables.Dispenser](demo.Tables(t), "pipete 5 mL")
	require.ErrorContains(t, err, "pipette 5 mL")
}

// The uncertainty of a titre by hand, source by source (JCGM 100:2008, 5.1.2): c of the
// sample is c V/V₀; a limit of error counts by √3, refilled once more for each filling; a
// reading lies somewhere within a step, which counts by √12.
func TestTitreByHand(t *testing.T) {
	burette := tables.Dispenser{CapacityML: 10, ToleranceML: 0.02, StepML: 0.05}
	x := titration.Titre{
		Sample:   titration.Aliquot{Volume: 25 * mL, With: tables.Dispenser{ToleranceML: 0.03, Relative: 0.004}},
		Strength: titration.Result{Value: 0.02, Standard: 0.0001}, Delivered: titration.Aliquot{Volume: 23.4 * mL, With: burette},
		Blank: 0.4 * mL, Bias: titration.Result{Value: 0.01, Standard: 0.002},
	}
	c := 0.02 * 23 / 25 / 1.01
	root3 := math.Sqrt(3)
	parts := map[string]float64{
		"size of the drop or scale of the burette": c * 3 * 0.02 / 23 / root3, "last drop and reading": c * 0.05 / 23 / math.Sqrt(12),
		"volume of the sample": c * math.Hypot(0.03/25, 0.004) / root3, "strength of the titrant": c * 0.005, "endpoint of the indicator": c * 0.002 / 1.01,
	}
	requireParts(t, x, c, parts)
	// drops: the last turned the indicator somewhere within it
	x.Delivered.Volume, x.Drops, x.Blank = 0, 460, 0.375*mL
	c = 0.02 * (459.5*0.05 - 0.375) / 25 / 1.01
	v := 459.5*0.05 - 0.375
	parts["size of the drop or scale of the burette"] = c * 3 * 0.02 / v / root3
	parts["last drop and reading"] = c * 0.05 / v / math.Sqrt(12)
	for _, name := range []string{"volume of the sample", "strength of the titrant", "endpoint of the indicator"} {
		parts[name] *= v / 23
	}
	requireParts(t, x, c, parts)
	// whole fillings are no more than they are
	x = titration.Titre{Sample: titration.Aliquot{Volume: 10 * mL}, Strength: titration.Result{Value: 0.1}, Delivered: titration.Aliquot{Volume: 20 * mL, With: burette}}
	r, err := x.Concentration()
	require.NoError(t, err)
	require.InEpsilon(t, 0.2*2*0.02/20/root3, r.Parts[slices.IndexFunc(r.Parts, func(p titration.Part) bool { return strings.HasPrefix(p.Source, "size") })].Standard, 1e-9)
}

func requireParts(t *testing.T, x titration.Titre, c float64, parts map[string]float64) {
	t.Helper()
	r, err := x.Concentration()
	require.NoError(t, err)
	require.InEpsilon(t, c, r.Value, 1e-12)
	require.Len(t, r.Parts, len(parts))
	sum, last := 0.0, math.Inf(1)
	for _, p := range r.Parts {
		require.InEpsilon(t, parts[p.Source], p.Standard, 1e-9, p.Source)
		require.LessOrEqual(t, p.Standard, last, "the largest first")
		last = p.Standard
		sum += p.Standard * p.Standard
	}
	require.InEpsilon(t, math.Sqrt(sum), r.Standard, 1e-12)
	require.InEpsilon(t, r.Standard/c, r.Relative(), 1e-12)
	source, share := r.Dominant()
	require.Equal(t, r.Parts[0].Source, source)
	require.InEpsilon(t, r.Parts[0].Standard*r.Parts[0].Standard/sum, share, 1e-12)
	for _, per := range []float64{4, 4 * 55.845} {
		require.InEpsilon(t, per*r.Value, r.Times(per).Value, 1e-12)
		require.InEpsilon(t, r.Relative(), r.Times(per).Relative(), 1e-9)
	}
}

// Two digits of the uncertainty, and the value as far as that.
func TestResultsAreWritten(t *testing.T) {
	for want, r := range map[string]titration.Result{
		"0.0412 ± 0.0012": {Value: 0.04123, Standard: 0.00118}, "109 ± 13": {Value: 109.4, Standard: 12.9}, "1.23 ± 0.25": {Value: 1.2345, Standard: 0.25},
		"5.000 ± 0.010": {Value: 5, Standard: 0.0099999}, "1234 ± 150": {Value: 1234, Standard: 150}, "0.1235": {Value: 0.12345}, "7": {Value: 7, Standard: math.Inf(1)},
	} {
		require.Equal(t, want, r.String())
	}
	require.Zero(t, titration.Result{}.Relative())
	require.Zero(t, titration.Result{Value: 3}.Relative())
	source, share := titration.Result{Value: 3}.Dominant()
	require.True(t, source == "" && share == 0)
}

// The kit's answer by hand: c = (h W − h′(W + B))/B with half a drop off each count, and
// the share of each source by what a little more of it does.
func TestKitByHand(t *testing.T) {
	kit := titration.KitTest{
		Bath: titration.Aliquot{Volume: 5 * mL, With: tables.Dispenser{Relative: 0.04}}, Water: titration.Aliquot{Volume: 100 * mL, With: tables.Dispenser{ToleranceML: 2}},
		WaterDrops: 22, Drops: 13, PerDrop: titration.Result{Value: 2e-4, Standard: 1e-5},
	}
	c := func(b, w, h, left, drop float64) float64 { return drop * (h*w - left*(w+b)) / b }
	r, err := kit.Concentration()
	require.NoError(t, err)
	require.InEpsilon(t, c(5, 100, 21.5, 12.5, 2e-4), r.Value, 1e-12)
	slope := func(at func(x float64) float64) float64 { return (at(1e-6) - at(-1e-6)) / 2e-6 }
	root3, root12 := math.Sqrt(3), math.Sqrt(12)
	for source, want := range map[string]float64{
		"size of the drop":         1e-5 * slope(func(x float64) float64 { return c(5, 100, 21.5, 12.5, 2e-4+x) }),
		"last drop on the water":   slope(func(x float64) float64 { return c(5, 100, 21.5+x, 12.5, 2e-4) }) / root12,
		"last drop on the mixture": slope(func(x float64) float64 { return c(5, 100, 21.5, 12.5+x, 2e-4) }) / root12,
		"volume of bath taken":     0.04 * 5 / root3 * slope(func(x float64) float64 { return c(5+x, 100, 21.5, 12.5, 2e-4) }),
		"volume of hard water":     2 / root3 * slope(func(x float64) float64 { return c(5, 100+x, 21.5, 12.5, 2e-4) }),
	} {
		i := slices.IndexFunc(r.Parts, func(p titration.Part) bool { return p.Source == source })
		require.GreaterOrEqual(t, i, 0, source)
		require.InEpsilon(t, math.Abs(want), r.Parts[i].Standard, 1e-5, source)
	}
	kit.Drops, kit.WaterDrops = 22, 22
	_, err = kit.Concentration()
	require.ErrorIs(t, err, titration.ErrNone)
	// 1½ drops on 1 mL of water are ½ a drop on 3 mL of the mixture: no chelant, to the last digit
	none := titration.KitTest{Bath: titration.Aliquot{Volume: volumeOf(2)}, Water: titration.Aliquot{Volume: volumeOf(1)}, WaterDrops: 2, Drops: 1, PerDrop: titration.Result{Value: 1.0 / 1024}}
	_, err = none.Concentration()
	require.ErrorIs(t, err, titration.ErrNone)
}

// What a titre is told keeps to its ranges: the ends are taken, what lies beyond is not.
func TestBoundsOfATitre(t *testing.T) {
	keeps := func(name string, low, high float64, call func(float64) error) {
		t.Helper()
		const within, beyond = 1e-12, 1e-6
		require.NoError(t, call(low+within*math.Abs(low)), name)
		require.NoError(t, call(high*(1-within)), name)
		for _, x := range []float64{low - beyond*max(math.Abs(low), 1e-9), high * (1 + beyond), math.NaN()} {
			require.ErrorIs(t, call(x), chem.ErrInput, "%s %g", name, x)
		}
	}
	titre := func(change func(*titration.Titre, float64)) func(float64) error {
		return func(v float64) error {
			x := titration.Titre{Sample: titration.Aliquot{Volume: mL}, Strength: titration.Result{Value: 0.1}, Delivered: titration.Aliquot{Volume: mL}}
			change(&x, v)
			_, err := x.Concentration()
			return err
		}
	}
	volume := func(v float64) unit.Volume { return unit.Volume(v) * mL }
	keeps("sample", 1e-6, 1e9, titre(func(x *titration.Titre, v float64) { x.Sample.Volume = volume(v) }))
	keeps("titrant", 1e-6, 1e9, titre(func(x *titration.Titre, v float64) { x.Delivered.Volume = volume(v) }))
	keeps("strength", 1e-12, 100, titre(func(x *titration.Titre, v float64) { x.Strength.Value = v }))
	keeps("its uncertainty", 0, 100, titre(func(x *titration.Titre, v float64) { x.Strength.Standard = v }))
	keeps("bias", -0.9, 10, titre(func(x *titration.Titre, v float64) { x.Bias.Value = v }))
	keeps("its uncertainty", 0, 10, titre(func(x *titration.Titre, v float64) { x.Bias.Standard = v }))
	keeps("blank", 0, 1-1e-6, titre(func(x *titration.Titre, v float64) { x.Blank = volume(v) }))
	drops := titre(func(x *titration.Titre, v float64) {
		x.Delivered, x.Drops = titration.Aliquot{With: tables.Dispenser{StepML: 0.05}}, int(v)
	})
	require.NoError(t, drops(1))
	require.NoError(t, drops(1e6))
	require.ErrorIs(t, drops(1e6+1), chem.ErrInput)
	require.ErrorIs(t, drops(-1), chem.ErrInput)
	kit := func(change func(*titration.KitTest, float64)) func(float64) error {
		return func(v float64) error {
			x := titration.KitTest{Bath: titration.Aliquot{Volume: mL}, Water: titration.Aliquot{Volume: 100 * mL}, WaterDrops: 20, Drops: 10, PerDrop: titration.Result{Value: 1e-4}}
			change(&x, v)
			_, err := x.Concentration()
			return err
		}
	}
	keeps("per drop", 1e-12, 100, kit(func(x *titration.KitTest, v float64) { x.PerDrop.Value = v }))
	keeps("its uncertainty", 0, 100, kit(func(x *titration.KitTest, v float64) { x.PerDrop.Standard = v }))
	keeps("bath", 1e-6, 1000/9.5, kit(func(x *titration.KitTest, v float64) { x.Bath.Volume = volume(v) })) // with more all hardness would be bound
	require.NoError(t, kit(func(x *titration.KitTest, v float64) { x.WaterDrops, x.Drops = int(v), 1 })(1e6))
	require.ErrorIs(t, kit(func(x *titration.KitTest, v float64) { x.WaterDrops, x.Drops = int(v), 1 })(1e6+1), chem.ErrInput)
	schemes := func(expected, wanted float64) error {
		_, err := titration.Titre{}.Schemes(expected, wanted, dispensers(t), expected)
		return err
	}
	keeps("expected", 1e-12, 100, func(x float64) error { return schemes(x, 0.01) })
	keeps("wanted", 1e-9, 1, func(x float64) error { return schemes(0.1, x) })
}

// Schemes by brute force: every pipette at its mark with every burette and strength, where
// one filling and three steps or more serve; first those that are certain enough by
// the least titrant, then the rest by their uncertainty.
func TestSchemesByBruteForce(t *testing.T) {
	const expected, wanted = 0.03, 0.01
	strengths := []float64{0.005, 0.02, 0.1, 0.5}
	got, err := titration.Titre{Strength: titration.Result{Value: 1, Standard: 0.002}, Bias: titration.Result{Value: -0.01, Standard: 0.003}}.
		Schemes(expected, wanted, dispensers(t), strengths...)
	require.NoError(t, err)
	want := map[string]float64{}
	for _, p := range dispensers(t) {
		for _, b := range dispensers(t) {
			if p.Serves == "titrant" || b.Serves == "sample" {
				continue
			}
			for _, c := range strengths {
				ml := expected / c * 0.99 * p.CapacityML
				if ml > b.CapacityML || ml < 3*b.StepML {
					continue
				}
				variance := math.Pow(0.002, 2) + math.Pow(0.003/0.99, 2) + math.Pow(b.StepML/ml, 2)/12
				variance += (math.Pow(b.ToleranceML/ml, 2) + b.Relative*b.Relative + math.Pow(p.ToleranceML/p.CapacityML, 2) + p.Relative*p.Relative) / 3
				want[fmt.Sprint(p.Name, b.Name, c)] = math.Sqrt(variance)
			}
		}
	}
	require.Len(t, got, len(want))
	for i, s := range got {
		relative := want[fmt.Sprint(s.SampleWith, s.With, s.StrengthMolPerLitre)]
		require.InEpsilon(t, relative, s.Result.Relative(), 1e-9)
		require.InEpsilon(t, expected, s.Result.Value, 1e-9)
		require.Equal(t, relative <= wanted, s.Meets)
		d, err := tables.Find[tables.Dispenser](demo.Tables(t), s.SampleWith)
		require.NoError(t, err)
		require.InEpsilon(t, expected/s.StrengthMolPerLitre*0.99*d.CapacityML, s.TitrantML, 1e-9)
		if i == 0 {
			continue
		}
		last := got[i-1]
		require.True(t, last.Meets || !s.Meets, "those that meet it first")
		if s.Meets {
			require.LessOrEqual(t, last.TitrantML, s.TitrantML+1e-12)
		} else if !last.Meets {
			require.LessOrEqual(t, last.Result.Relative(), s.Result.Relative()+1e-12)
		}
	}
}

// Where an equivalence point is found its balance, read again, gives the same volume; and
// where that much is poured the two sides are equal, counted in the record there.
func TestEquivalentsBalance(t *testing.T) {
	acid := mix(t, 50, map[string]float64{"H3cit": 0.02, "Hac": 0.01, "NH4+": 0.01, "Cl-": 0.01})
	hard := mix(t, 50, map[string]float64{"Ca2+": 0.004, "Mg2+": 0.002, "Cl-": 0.012})
	salt := mix(t, 50, map[string]float64{"Na+": 0.02, "SO4(2-)": 0.01})
	met := map[string]bool{}
	for _, pair := range []struct {
		run  func() (*titration.Titration, error)
		upTo float64
	}{
		{func() (*titration.Titration, error) { return titration.New(acid, strongBase(t, 0.1), "H+") }, 100},
		{func() (*titration.Titration, error) {
			return titration.New(hard, mix(t, 100, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01}), "Ca2+")
		}, 100},
		{func() (*titration.Titration, error) {
			return titration.New(salt, mix(t, 100, map[string]float64{"Ba2+": 0.05, "Cl-": 0.1}), "Ba2+")
		}, 100},
	} {
		run, err := pair.run()
		require.NoError(t, err)
		all, err := run.Equivalents(volumeOf(pair.upTo))
		require.NoError(t, err)
		require.NotEmpty(t, all)
		last := 0.0
		for _, e := range all {
			met[e.Balance] = true
			require.GreaterOrEqual(t, e.ML, last)
			last = e.ML
			v, err := run.Equivalence(e.Balance)
			require.NoError(t, err)
			require.InEpsilon(t, e.ML, float64(v/mL), 1e-9, e.Balance)
			st, err := run.State(v)
			require.NoError(t, err)
			sides := [2]float64{}
			left, right, _ := strings.Cut(e.Balance, " = ")
			for i, side := range []string{left, right} {
				for term := range strings.SplitSeq(side, " + ") {
					n, name := 1.0, term
					if number, rest, found := strings.Cut(term, " "); found {
						_, err := fmt.Sscanf(number, "%g", &n)
						require.NoError(t, err)
						name = rest
					}
					for _, c := range st.Components {
						if c.Species == name {
							sides[i] += n * c.TotalMolPerLitre * st.VolumeLitres
						}
					}
				}
			}
			require.InDelta(t, sides[0], sides[1], 1e-9, e.Balance)
			few, err := run.Equivalents(volumeOf(0.999 * e.ML))
			require.NoError(t, err)
			require.Less(t, len(few), len(all))
		}
	}
	for _, balance := range []string{"Mg2+ + Ca2+ = edta4-", "SO4^2- = Ba2+", "H+ = 0"} {
		require.True(t, met[balance], "%s of %v", balance, met)
	}
}

func volumeOf(ml float64) unit.Volume { return unit.Volume(ml) * mL }

// A curve that shall not jump has no two neighbours further apart than asked, but for a
// gap of a millionth; it keeps the even points, in order, and what it is asked of each.
func TestGridsAreKept(t *testing.T) {
	run, err := titration.New(mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+")
	require.NoError(t, err)
	fine, err := run.Curve(context.Background(), titration.Grid{UpTo: 100 * mL, Points: 11, Step: 0.15, Slopes: true, Species: []string{"ac-", "Hac"}})
	require.NoError(t, err)
	even := 0
	for i, p := range fine {
		if math.Abs(p.ML/10-math.Round(p.ML/10)) < 1e-9 {
			even++
		}
		require.Len(t, p.MolPerLitre, 2)
		require.InEpsilon(t, 0.005/(0.05+p.ML/1000), p.MolPerLitre[0]+p.MolPerLitre[1], 2e-2, "all acetate, but for the pairs with sodium")
		require.Positive(t, p.SlopePerML)
		require.InDelta(t, p.P, p.PH, 0)
		if i > 0 {
			require.Greater(t, p.ML, fine[i-1].ML)
			require.True(t, p.P-fine[i-1].P <= 0.15+1e-9 || p.ML-fine[i-1].ML <= 1.01e-4)
		}
	}
	require.Equal(t, 11, even)
	plain, err := run.Curve(context.Background(), titration.Grid{UpTo: 100 * mL})
	require.NoError(t, err)
	require.Len(t, plain, 101)
	require.Zero(t, plain[50].SlopePerML)
	_, err = run.Curve(context.Background(), titration.Grid{UpTo: 100 * mL, Points: 1e7 + 1})
	require.ErrorIs(t, err, chem.ErrInput)
}

// A verdict follows from its figures: off by what the endpoint lies from equivalence, at
// worst by the better end of the change; suited where that is tolerated; in words the
// same; and the best first.
func TestVerdictsFollowFromTheirFigures(t *testing.T) {
	const target = 50.0
	run, err := titration.New(mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+")
	require.NoError(t, err)
	n, sayings := 0, map[string]bool{}
	for x := range tables.All[tables.Indicator](demo.Tables(t)) {
		if x.Kind == tables.AcidBase {
			n++
		}
	}
	between, exact := 0.0, 0.0 // tolerances that an endpoint keeps, the second to the last digit, and its change does not
	first, err := run.Judge(context.Background(), tables.All[tables.Indicator](demo.Tables(t)), volumeOf(target), 50.3*mL, 0.1)
	require.NoError(t, err)
	for _, v := range first {
		if gap := v.WorstRelativeError - math.Abs(v.RelativeError); gap > 1e-6 {
			between, exact = math.Abs(v.RelativeError)+gap/2, math.Abs(v.RelativeError)
		}
	}
	for _, tolerance := range []float64{between, exact, 0.002, 0.1} {
		all, err := run.Judge(context.Background(), tables.All[tables.Indicator](demo.Tables(t)), volumeOf(target), 50.3*mL, tolerance)
		require.NoError(t, err)
		require.Len(t, all, n)
		turned := true
		for i, v := range all {
			if v.ML == 0 {
				turned = false
				require.Contains(t, v.Why, "does not cross its change")
				require.False(t, v.Suits)
				sayings["stays"] = true
				continue
			}
			require.True(t, turned, "those that do not turn come last")
			worst := max(math.Abs(v.ML/target-1), min(math.Abs(v.BeginsML/target-1), math.Abs(v.CompleteML/target-1)))
			require.InDelta(t, v.ML/target-1, v.RelativeError, 1e-12)
			require.InDelta(t, worst, v.WorstRelativeError, 1e-12)
			require.Equal(t, worst <= tolerance, v.Suits, v.Indicator)
			require.LessOrEqual(t, v.BeginsML, v.ML)
			require.LessOrEqual(t, v.ML, v.CompleteML)
			words := fmt.Sprintf("turns from %s to %s at pH %.2f, %+.2g %% from equivalence", v.From, v.To, v.P, 100*v.RelativeError)
			switch {
			case v.Suits:
				sayings["suits"] = true
			case math.Abs(v.RelativeError) > tolerance:
				words += ": too far"
				sayings["far"] = true
			default:
				words += fmt.Sprintf(", but the change drags on from %+.2g %% to %+.2g %%", 100*(v.BeginsML/target-1), 100*(v.CompleteML/target-1))
				sayings["drags"] = true
			}
			require.Equal(t, words, v.Why)
			if i > 0 {
				require.LessOrEqual(t, all[i-1].WorstRelativeError, v.WorstRelativeError)
			}
		}
	}
	require.Subset(t, sayings, map[string]bool{"suits": true, "far": true, "drags": true, "stays": true})
	for _, bad := range []float64{-1e-6, 1.000001, math.NaN()} {
		_, err := run.Judge(context.Background(), tables.All[tables.Indicator](demo.Tables(t)), volumeOf(target), 100*mL, bad)
		require.ErrorIs(t, err, chem.ErrInput)
	}
}

// A change is seen from its one end to its other: where an endpoint begins, is half done and
// is complete, the solution has the pH at which the eye sees so; of a metal's dye a tenth,
// half and all but a tenth of what is bound is free.
func TestEndpointsLieAtTheirReadings(t *testing.T) {
	run, err := titration.New(mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+")
	require.NoError(t, err)
	seen := 0
	at := func(ml float64) float64 {
		p, err := run.At(volumeOf(ml))
		require.NoError(t, err)
		return p.PH
	}
	for x := range tables.All[tables.Indicator](demo.Tables(t)) {
		if x.Kind != tables.AcidBase {
			continue
		}
		ends, err := run.Endpoints(context.Background(), x, 60*mL)
		require.NoError(t, err)
		for _, e := range ends {
			i := slices.Index(x.Colours, e.From)
			require.Equal(t, x.Colours[i+1], e.To)
			c := x.Changes[i]
			require.InDelta(t, (c.LowPH+c.HighPH)/2, at(e.ML), 1e-6, x.Name)
			require.InDelta(t, at(e.ML), e.P, 1e-9)
			require.InDelta(t, max(c.LowPH, at(0)), at(e.BeginsML), 1e-6, x.Name)
			require.InDelta(t, min(c.HighPH, at(60)), at(e.CompleteML), 1e-6, x.Name)
			seen++
		}
	}
	require.GreaterOrEqual(t, seen, 8)
	hard := mix(t, 50, map[string]float64{"Ca2+": 0.0015, "Mg2+": 0.0005, "Cl-": 0.004})
	require.NoError(t, hard.HoldPH(10))
	metal, err := titration.New(hard, mix(t, 100, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01}), "Mg2+")
	require.NoError(t, err)
	x := indicator(t, "EBT")
	ends, err := metal.Endpoints(context.Background(), x, 20*mL)
	require.NoError(t, err)
	require.Len(t, ends, 1)
	for ml, want := range map[float64]float64{ends[0].BeginsML: 0.1, ends[0].ML: 1, ends[0].CompleteML: 10} { // free over bound
		shades, err := metal.Shades(x, volumeOf(ml))
		require.NoError(t, err)
		free, bound := 0.0, 0.0
		for _, s := range shades {
			if s.Metal == "" {
				free += s.Share
			} else {
				bound += s.Share
			}
		}
		require.InEpsilon(t, want, free/bound, 1e-5)
	}
}

// Why a metal's dye does not turn: it is held to the end, or no metal holds it.
func TestDyesThatStay(t *testing.T) {
	sayings := map[string]bool{}
	for pH, upTo := range map[float64]float64{5: 20, 10: 3} {
		sample := mix(t, 50, map[string]float64{"Ca2+": 0.0015, "Mg2+": 0.0005, "Cl-": 0.004})
		require.NoError(t, sample.HoldPH(pH))
		run, err := titration.New(sample, mix(t, 100, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01}), "Mg2+")
		require.NoError(t, err)
		all, err := run.Judge(context.Background(), tables.All[tables.Indicator](demo.Tables(t)), 2*mL, volumeOf(upTo), 0.02)
		require.NoError(t, err)
		require.NotEmpty(t, all)
		for _, v := range all {
			if v.ML > 0 {
				continue
			}
			shades, err := run.Shades(indicator(t, v.Indicator), volumeOf(upTo))
			require.NoError(t, err)
			want := "no metal holds the dye at this pH"
			if shades[0].Metal != "" {
				want = shades[0].Metal + " holds the dye to the end"
			}
			require.Equal(t, want, v.Why)
			sayings[want[:4]] = true
		}
	}
	require.GreaterOrEqual(t, len(sayings), 2)
}

// A change that is half done with the first drops begins with the burette closed, at 0 mL: 0.1
// mol/L of strong acid has 5 − 0.1 V mmol in 50 + V mL, so that pH 1.002 comes at V of
// (5 − 50·10^−1.002)/(0.1 + 10^−1.002) mL.
func TestChangeWithTheFirstDrops(t *testing.T) {
	run := book(t, mix(t, 50, map[string]float64{"H+": 0.1, "Cl-": 0.1}), strongBase(t, 0.1), "H+", nil)
	x := tables.Indicator{Kind: tables.AcidBase, PKa: []float64{1.002}, Colours: []string{"red", "yellow"}, Changes: []tables.ColourChange{{LowPH: 0.502, HighPH: 1.502}}}
	ends, err := run.Endpoints(context.Background(), x, 100*mL)
	require.NoError(t, err)
	require.Len(t, ends, 1)
	at := func(pH float64) float64 { return (5 - 50*math.Pow(10, -pH)) / (0.1 + math.Pow(10, -pH)) }
	require.InDelta(t, at(1.002), ends[0].ML, 1e-6)
	require.InDelta(t, at(1.502), ends[0].CompleteML, 1e-6)
	require.Zero(t, ends[0].BeginsML)
	require.Equal(t, []string{"red", "yellow"}, []string{ends[0].From, ends[0].To})
}

// What is in balance before the burette is opened meets no volume above 0, and what moved away
// from it before meets none either: acetic acid holds as much H⁺ as acetate, lye has less.
func TestBalancedBeforeTheBurette(t *testing.T) {
	for _, c := range []struct {
		sample  map[string]float64
		balance string
	}{{map[string]float64{"Hac": 0.1}, "H+ = ac-"}, {map[string]float64{"Na+": 0.1, "OH-": 0.1}, "H+ = 0"}, {map[string]float64{"Na+": 0.1, "Cl-": 0.1}, "Na+ = Cl-"}} {
		run, err := titration.New(mix(t, 50, c.sample), strongBase(t, 0.1), "H+")
		require.NoError(t, err)
		_, err = run.Equivalence(c.balance)
		require.ErrorIs(t, err, titration.ErrNone, c.balance)
	}
}

// The hydrogen ion is a component as well as any other: its constant is none to find.
func TestNoConstantOfAComponent(t *testing.T) {
	run, err := titration.New(mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+")
	require.NoError(t, err)
	readings := []titration.Reading{{ML: 1, P: 3.2}, {ML: 5, P: 3.9}, {ML: 10, P: 4.2}}
	for _, component := range []string{"H+", "ac-", "Na+"} {
		_, err := run.Fit(context.Background(), readings, titration.Fitting{}, titration.FormationConstant(component))
		require.ErrorContains(t, err, "this one is a component")
	}
}
