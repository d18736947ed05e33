package solution

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// Moving one reaction moves every species and solid that rests on it, as often as it
// is in it: each slope of an uncertainty beside differences of the pH and of what the
// solids hold, made by moving those constants alone.
func TestUncertaintyOfEveryReaction(t *testing.T) {
	s, err := New(standard(t), chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(1e-3))
	for ion, n := range map[string]float64{"edta4-": 0.02, "Fe3+": 0.03, "cit3-": 0.01, "Ca2+": 0.002, "Na+": 0.2, "Cl-": 0.094, "CO3^2-": 0.004} {
		require.NoError(t, s.AddSpecies(ion, unit.Mole(n)))
	}
	require.NoError(t, s.AddSpecies("OH-", 0.015))
	st := equilibrate(t, s)
	const ionic, h = 0.2, 1e-4
	std := standard(t)
	reactions := map[string]int{}
	for i := range 10000 {
		e, ok := std.EquilibriumAt(i)
		if !ok {
			break
		}
		reactions[e.Reaction.String()] = i
	}
	var names []string
	for _, x := range st.Species {
		names = append(names, x.Species)
	}
	for _, x := range st.Solids {
		names = append(names, x.Species)
	}
	at := func(reaction int, shift float64) (pH, iron float64) {
		v := s.Clone()
		for _, name := range names {
			f, err := std.Formation(name)
			require.NoError(t, err)
			for _, step := range f.Steps {
				if step.Equilibrium == reaction {
					require.NoError(t, v.SetConstant(name, f.Constant.Log10K(s.Temperature(), ionic)+shift*step.N, ionic))
				}
			}
		}
		st := equilibrate(t, v)
		for _, x := range st.Solids {
			iron += x.Moles * contentOf(x.Made, "Fe3+")
		}
		return st.PH, iron
	}
	ofPH, err := s.Uncertainty(PH(0))
	require.NoError(t, err)
	slopes := map[string]float64{}
	for _, p := range ofPH.Parts {
		slopes[p.Reaction] = p.Slope
	}
	twice := 0
	for what, by := range map[string]map[string]float64{"pH": slopes, "iron": ironSlopes(t, s)} {
		require.Greater(t, len(by), 8)
		for text, slope := range by {
			reaction, ok := reactions[text]
			require.True(t, ok, text)
			upPH, upIron := at(reaction, h)
			downPH, downIron := at(reaction, -h)
			want := (upPH - downPH) / (2 * h)
			if what == "iron" {
				want = (upIron - downIron) / (2 * h)
			}
			assert.InDelta(t, want, slope, 1e-4*math.Abs(want)+1e-8, "%s by %s", what, text)
			for _, name := range names {
				f, err := std.Formation(name)
				require.NoError(t, err)
				for _, step := range f.Steps {
					if step.Equilibrium == reaction && math.Abs(step.N) > 1 && math.Abs(want) > 1e-6 {
						twice++
					}
				}
			}
		}
	}
	assert.Positive(t, twice, "something rests on a reaction twice")
}

// log K between bare partners, from the table of EDTA's complexes in every textbook
// of analysis: in 0.1 mol/L of a potassium salt at 20 to 25 °C, after Schwarzenbach &
// Flaschka (1969), from memory. Potassium has its part in the ligand there, which at pH
// 13 has no other. Laboratories differ by 0.2. Nickel, which they have as
// 18.6 and SRD 46 as 18.4, is left out.
func TestLogKOfBarePartners(t *testing.T) {
	around := Surroundings{Temperature: chem.Celsius(25), IonicStrength: 0.1, Free: map[string]float64{"K+": 0.1}}
	for metal, logK := range map[string]float64{"Mg2+": 8.69, "Ca2+": 10.7, "Mn2+": 13.8, "Fe2+": 14.3, "Zn2+": 16.5, "Cu2+": 18.8, "Fe3+": 25.1} {
		p, err := NewPair(standard(t), metal, "edta4-", around)
		require.NoError(t, err)
		assert.InDelta(t, logK, p.LogK()-p.LogAlphaLigand(13), 0.2, metal)
		assert.InDelta(t, p.LogK()+p.LogAlphaComplex(8)-p.LogAlphaMetal(8)-p.LogAlphaLigand(8), p.LogConditional(8), 1e-9, metal)
	}
	// Citric acid binds aluminium and iron(III) in more forms than one: the one with
	// neither proton nor hydroxide counts, whatever comes first.
	p, err := NewPair(standard(t), "Fe3+", "cit3-", around)
	require.NoError(t, err)
	f, err := standard(t).Formation("Fe(cit)")
	require.NoError(t, err)
	assert.InDelta(t, f.Constant.Log10K(around.Temperature, 0.1), p.LogK(), 1e-9)
}

// A litre of 80 °C is 971.8 g of water, which measure 0.9718 L at 5 °C (999.97 g/L):
// Kell, J. Chem. Eng. Data 20 (1975) 97.
func TestHotWaterShrinksInTheCold(t *testing.T) {
	cold, err := New(standard(t), chem.Celsius(5))
	require.NoError(t, err)
	hot, err := New(standard(t), chem.Celsius(80))
	require.NoError(t, err)
	for _, v := range []*Solution{cold, hot} {
		require.NoError(t, v.AddPureWater(1e-3))
	}
	require.NoError(t, cold.Mix(hot))
	assert.InDelta(t, 1+971.79/999.967, 1000*float64(cold.Volume()), 2e-4)
}

// A refusal says the temperature as it was asked for.
func TestTemperatureRefusedInCelsius(t *testing.T) {
	s := tub(t)
	for c, said := range map[float64]string{-5: "-5 °C", 120: "120 °C"} {
		var in *chem.InputError
		require.True(t, errors.As(s.SetTemperature(chem.Celsius(c)), &in))
		assert.Equal(t, said, in.Value)
	}
}
