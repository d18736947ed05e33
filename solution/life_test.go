package solution

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// elements are those that neither water brings nor air takes, and carbon and charge beside
// them, which gas does not change by itself: it is booked.
var elements = []string{"Na", "N", "Cl", "Ca", "Mg", "Fe", "S", "P", "Zn", "C"}

// books are what a vessel should hold, kept apart from it by the formulas of what went in.
type books struct {
	moles         map[string]float64 // by element
	litres, water float64
}

func (b *books) add(f chem.Formula, n float64) {
	for _, e := range elements {
		b.moles[e] += n * f.Count(e)
	}
}

func (b *books) scale(f float64) {
	for e := range b.moles {
		b.moles[e] *= f
	}
	b.litres, b.water = b.litres*f, b.water*f
}

// counted is what a state says that there is of an element, in solution and settled.
func counted(t *testing.T, st *State, element string) (n float64) {
	of := func(text string) float64 {
		f, err := st.tables.Formation(text)
		require.NoError(t, err)
		return f.Species.Formula.Count(element)
	}
	for _, d := range st.Species {
		n += of(d.Species) * d.MolPerLitre * st.VolumeLitres
	}
	for _, p := range st.Solids {
		n += of(p.Species) * p.Moles
	}
	return n
}

// Whatever is done to a vessel in whatever order, its elements, its volume and its water are
// those of the books: of the formula and the assay of what went in, of its apparent volume,
// of the water with its density by warmth, of what was bailed out. Charge is none, nothing is
// below zero, and what the vessel refuses changes nothing.
func TestLifeOfAVessel(t *testing.T) {
	tb := standard(t)
	salts := []string{"tetrasodium EDTA tetrahydrate", "disodium EDTA", "citric acid", "vinegar", "washing soda", "baking soda", "calcium chloride", "lye", "muriatic acid", "trisodium citrate"}
	tap, err := tb.Water("moderately hard tap water")
	require.NoError(t, err)
	rust, err := chem.ParseSpecies("FeOOH(s, lepidocrocite)")
	require.NoError(t, err)
	oxidation, err := chem.ParseReaction("4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O")
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(19, 4))
	done := map[string]int{}
	for life := range 12 {
		warmth := chem.Celsius(5 + 60*r.Float64())
		s, err := New(tb, warmth)
		require.NoError(t, err)
		b := books{moles: map[string]float64{}}
		pour := func(w tables.Water, litres float64) {
			require.NoError(t, s.AddWater(w, unit.Volume(litres)*litre))
			for _, ion := range w.Ions {
				b.add(ion.Species.Formula, litres*ion.MolPerLitre)
			}
			if w.Alkalinity != 0 { // its carbonate, by the vessel's own account of a fresh litre
				fresh, err := New(tb, chem.ReferenceTemperature)
				require.NoError(t, err)
				require.NoError(t, fresh.AddWater(w, litre))
				carbonate, err := fresh.Amount("CO3^2-")
				require.NoError(t, err)
				b.moles["C"] += litres * float64(carbonate)
				require.InDelta(t, w.PH, atReference(t, fresh), 1e-6)
			}
			b.litres, b.water = b.litres+litres, b.water+litres
		}
		put := func(name string, grams float64) {
			x := reagent(t, name)
			require.NoError(t, s.Add(x, unit.Mass(grams/1000)))
			pure := grams * x.Assay.Typical
			b.add(x.Formula, pure/x.Formula.MolarMass())
			b.moles["Na"] += pure / x.Formula.MolarMass() * x.ExcessBase.Typical
			rest := (grams - pure) / 1000 * x.ApparentCm3PerGram
			if x.Remainder.String() == "H2O" {
				rest = (grams - pure) / chem.WaterDensity(warmth)
				b.water += rest
			}
			b.litres += pure*x.ApparentCm3PerGram/1000 + rest
		}
		pour(tap, 5+10*r.Float64())
		put(salts[r.IntN(2)], 100+100*r.Float64())
		for range 14 {
			before, kept := *s, s.Clone()
			what := r.IntN(12)
			switch what {
			case 0:
				pour(tap, 3*r.Float64())
			case 1:
				pour(tables.Water{}, 3*r.Float64())
			case 2, 3:
				put(salts[r.IntN(len(salts))], 40*r.Float64())
			case 4:
				n := 0.1 * r.Float64()
				require.NoError(t, s.AddSpecies("FeOOH(s, lepidocrocite)", unit.Mole(n)))
				b.add(rust.Formula, n)
			case 5:
				f := 0.5 * r.Float64()
				require.NoError(t, s.Remove(f))
				b.scale(1 - f)
			case 6: // more than nine tenths, or than there is of water, does not go
				litres := 1.1 * b.litres * r.Float64()
				err := s.Evaporate(unit.Volume(litres) * litre)
				if litres > 0.9*b.litres || litres > b.water {
					require.ErrorIs(t, err, chem.ErrInput)
					require.Equal(t, before.amounts, s.amounts)
					require.Equal(t, before.volume, s.volume)
					continue
				}
				require.NoError(t, err)
				b.litres, b.water = b.litres-litres, b.water-litres
			case 7:
				to := chem.Celsius(2 + 90*r.Float64())
				require.NoError(t, s.SetTemperature(to))
				require.Equal(t, to, s.Temperature())
				f := chem.WaterDensity(warmth) / chem.WaterDensity(to)
				b.litres, b.water, warmth = b.litres*f, b.water*f, to
			case 8: // into a bucket and back
				bucket := s.Clone()
				require.NoError(t, bucket.Remove(0.75))
				require.NoError(t, s.Remove(0.25))
				require.NoError(t, s.Mix(bucket))
			case 9:
				litres, err := s.Degas()
				require.NoError(t, err)
				b.moles["C"] -= litres / (chem.GasConstant * float64(warmth) / 101.325)
			case 10: // more iron than there is, a number that is none
				have, err := s.Amount("Fe3+")
				require.NoError(t, err)
				for _, n := range []float64{-1.001*float64(have)/4 - 1e-6, math.NaN(), math.Inf(1), math.Inf(-1)} {
					require.ErrorIs(t, s.React(oxidation, unit.Mole(n)), chem.ErrInput, "%g of %g", n, have)
					require.Equal(t, kept.amounts, s.amounts)
				}
				require.NoError(t, s.React(oxidation, -have/4))
				gone, err := s.Amount("Fe3+")
				require.NoError(t, err)
				require.Zero(t, float64(gone))
				require.NoError(t, s.React(oxidation, have/4))
			case 11:
				litres, err := s.Fizz()
				require.NoError(t, err)
				require.GreaterOrEqual(t, litres, 0.0)
				b.moles["C"] -= litres / (chem.GasConstant * float64(warmth) / 101.325)
			}
			done[fmt.Sprint(what)]++
			where := fmt.Sprintf("life %d after %d", life, what)
			require.InDelta(t, b.litres, float64(s.Volume()/litre), 1e-9*b.litres, where)
			require.InDelta(t, b.water, s.water, 1e-9*b.litres, where)
			st, err := s.Equilibrate()
			require.NoError(t, err, where)
			for _, e := range elements {
				require.InDelta(t, b.moles[e], counted(t, st, e), 1e-8*(1+b.moles[e]), "%s, %s", e, where)
			}
			total, charge := 0.0, 0.0
			for _, d := range st.Species {
				f, err := tb.Formation(d.Species)
				require.NoError(t, err)
				z := float64(f.Species.Formula.Charge())
				charge += z * d.MolPerLitre
				total += math.Abs(z) * d.MolPerLitre
				require.Positive(t, d.MolPerLitre)
			}
			require.InDelta(t, 0, charge, 1e-9*total, where)
			booked(t, s, st)
			warned(t, tb, st)
		}
	}
	require.Len(t, done, 12)
}

func atReference(t *testing.T, s *Solution) float64 { return equilibrate(t, s).PH }

// booked holds the components of a closed vessel's state to its amounts, H⁺ among them.
func booked(t *testing.T, s *Solution, st *State) {
	n := 0
	for i, c := range s.setting.Components {
		amount, err := s.Amount(c.Species.String())
		require.NoError(t, err)
		k := slices.IndexFunc(st.Components, func(x Share) bool { return x.Species == c.Species.String() })
		if amount == 0 && i != s.setting.Proton {
			require.Negative(t, k)
			continue
		}
		n++
		require.InDelta(t, float64(amount)/st.VolumeLitres, st.Components[k].TotalMolPerLitre, 1e-12)
		require.Equal(t, concentration(t, st, c.Species.String()), st.Components[k].FreeMolPerLitre)
	}
	require.Len(t, st.Components, n)
}

// warned counts by the state alone what share of a component each species holds, and finds
// those beyond two hundredths that lie outside the data of their constants, and no others.
func warned(t *testing.T, tb *tables.Tables, st *State) {
	protons := 0.0
	for _, d := range st.Species {
		protons += math.Abs(contentOf(d.Made, "H+")) * d.MolPerLitre
	}
	share := func(made []Content, molPerLitre float64) (most float64) {
		for _, c := range made {
			all := protons
			if c.Component != "H+" {
				all = st.Components[slices.IndexFunc(st.Components, func(x Share) bool { return x.Species == c.Component })].TotalMolPerLitre
			}
			most = max(most, math.Abs(c.N)*molPerLitre/all)
		}
		return most
	}
	want := map[string]float64{}
	note := func(species string, part float64) {
		f, err := tb.Formation(species)
		require.NoError(t, err)
		if part > 0.02 && !f.Constant.Span.Contains(chem.Celsius(st.TemperatureC), st.IonicStrengthMolPerLitre) {
			want[species] = part
		}
	}
	for _, d := range st.Species {
		note(d.Species, share(d.Made, d.MolPerLitre))
	}
	for _, p := range st.Solids {
		if p.Moles > 0 {
			note(p.Species, 1)
		}
	}
	require.Len(t, st.Warnings, len(want))
	for k, w := range st.Warnings {
		require.InDelta(t, want[w.Species], w.Share, 1e-9, w.Species)
		require.True(t, k == 0 || w.Share <= st.Warnings[k-1].Share)
	}
}
