package care_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// dissolved is a litre of bath with moles of ions in it.
func dissolved(t *testing.T, ions map[string]float64) *bath.Bath {
	t.Helper()
	v, err := solution.New(demo.Tables(t), chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(measure.Litre))
	for ion, moles := range ions {
		require.NoError(t, v.AddSpecies(ion, unit.Mole(moles)))
	}
	b, err := bath.New(demo.Tables(t), v)
	require.NoError(t, err)
	return b
}

// Nernst by hand for every metal of the tables in baths of all kinds: E = E° + (RT/zF)
// ln a, a the activity of what is left bare of 10⁻⁶ mol/L; hydrogen takes electrons at
// −0.05916 pH, oxygen at 1.229 V (CRC Handbook, standard potentials at 25 °C, from
// memory) less that, iron at what its own two ions give. The words follow from the
// forces, with 0.03 V for doubt and half a volt for bubbles.
func TestMetalsByNernst(t *testing.T) {
	std := demo.Tables(t)
	used := dissolved(t, map[string]float64{"edta4-": 0.05, "Fe3+": 0.03, "Fe2+": 0.001, "H+": 0.02, "Na+": 0.088})
	said := map[string]int{}
	big := dissolved(t, map[string]float64{"Na+": 0.1, "Cl-": 0.1})
	require.NoError(t, big.AddPureWater(2*measure.Litre))
	for name, b := range map[string]*bath.Bath{
		"used": used, "sour": dissolved(t, map[string]float64{"H+": 0.01, "Cl-": 0.01}), "salt water": big,
		"lye":      dissolved(t, map[string]float64{"Na+": 1, "OH-": 1}),
		"alkaline": dissolved(t, map[string]float64{"edta4-": 0.05, "Na+": 0.25, "OH-": 0.05}), "fresh": dissolved(t, map[string]float64{"edta4-": 0.05, "H+": 0.05, "Na+": 0.15}),
	} {
		v := b.Solution.Clone()
		for c := range tables.All[tables.Couple](std) {
			require.NoError(t, v.AddSpecies(c.Oxidised.String(), unit.Mole(1e-6*b.Litres())))
		}
		for s := range tables.All[tables.Solid](std) {
			require.NoError(t, v.Bar(s.Species.String()))
		}
		st, err := v.Equilibrate()
		require.NoError(t, err)
		activity := func(ion chem.Species) float64 {
			i := slices.IndexFunc(st.Components, func(c solution.Share) bool { return c.Species == ion.String() })
			if i < 0 {
				return 1e-60
			}
			z := ion.Formula.Charge()
			return max(st.Components[i].FreeMolPerLitre, 1e-60) * chem.ActivityCoefficient(z, 0, st.IonicStrengthMolPerLitre, chem.Celsius(25))
		}
		const slope = 0.0591597 // V, RT ln 10/F at 25 °C
		iron := math.NaN()
		for c := range tables.All[tables.Couple](std) {
			if c.ID == "ferric-ferrous" {
				iron = 0.771 + slope*math.Log10(activity(c.Oxidised)/activity(c.Reduced))
			}
		}
		found := verdicts(t, b)
		for c := range tables.All[tables.Couple](std) {
			m, is := found[c.Name]
			require.Equal(t, c.ID != "ferric-ferrous", is, c.Name)
			if !is {
				continue
			}
			z := float64(c.Oxidised.Formula.Charge())
			e := c.PotentialVolts + slope/z*math.Log10(activity(c.Oxidised))
			require.InDelta(t, e, m.PotentialVolts, 1e-4, "%s in %s", c.Name, name)
			require.InDelta(t, -slope*st.PH-e, m.WaterForceVolts, 1e-4)
			require.InDelta(t, iron-e, m.IronForceVolts, 1e-4)
			require.InDelta(t, 1.229-slope*st.PH+slope/4*math.Log10(0.21)-e, m.AirForceVolts, 1e-3)
			require.Equal(t, m.WaterForceVolts > 0.03, m.Hydrogen)
			words := "this bath leaves it whole"
			switch {
			case m.WaterForceVolts >= 0.5:
				words = "this bath can take it by itself, with bubbles of hydrogen"
			case m.WaterForceVolts > 0.03 || m.IronForceVolts > 0.03:
				words = "this bath can take it, with the help of air and of the iron in a used bath"
			case m.AirForceVolts > 0.03:
				words = "this bath can take it where air gets in, slowly"
			}
			said[words]++
			if c.Note != "" {
				words = c.Note + "; " + words
			}
			require.Equal(t, words, m.Text, "%s in %s", c.Name, name)
		}
	}
	require.Len(t, said, 4, "each of the four sayings")
}

var milligrams = regexp.MustCompile(`; ([^;]+) mg/L of ([A-Z][a-z]?) stay dissolved`)

// Treatments keep the books: of iron and chelant what settles and what stays are what was
// there, in baths without strong chelant, with both irons, and with other metals; and
// the words say the figures, to two digits.
func TestRecoveriesKeepTheBooks(t *testing.T) {
	acid, lye := demo.Reagent(t, "muriatic acid"), demo.Reagent(t, "lye")
	baths := map[string]*bath.Bath{
		"both irons": dissolved(t, map[string]float64{"edta4-": 0.1, "Fe3+": 0.03, "Fe2+": 0.02, "H+": 0.05, "Na+": 0.22}),
		"citrate":    dissolved(t, map[string]float64{"cit3-": 0.05, "Fe3+": 0.01, "Na+": 0.12}),
		"copper too": dissolved(t, map[string]float64{"edta4-": 0.08, "Fe3+": 0.03, "Cu2+": 0.02, "Na+": 0.19}),
		"salt water": dissolved(t, map[string]float64{"Na+": 0.1, "Cl-": 0.1}),
		"little":     dissolved(t, map[string]float64{"edta4-": 0.004, "Na+": 0.016}),
		"no metal":   dissolved(t, map[string]float64{"edta4-": 0.2, "Na+": 0.8}),
		"NTA":        dissolved(t, map[string]float64{"nta3-": 0.1, "Fe3+": 0.02, "Na+": 0.24}),
	}
	sayings := map[string]bool{}
	for name, b := range baths {
		ways, err := care.Recoveries(b, acid, lye)
		require.NoError(t, err)
		require.Len(t, ways, 3)
		aired := b.Clone()
		require.NoError(t, aired.Air())
		require.NoError(t, aired.Open(solution.AirCO2))
		for i, w := range ways {
			var st *solution.State
			if i < 2 {
				reagent, pH := []tables.Reagent{acid, lye}[i], []float64{1.8, 12.5}[i]
				d, err := b.Dose(reagent, solution.PH(pH))
				require.NoError(t, err)
				require.InDelta(t, pH, w.PH, 1e-6)
				require.Equal(t, reagent.ID, w.Dose.Reagent)
				require.InEpsilon(t, d.MassGrams, w.Dose.MassGrams, 1e-9)
				st = d.After
			} else {
				st, err = aired.State()
				require.NoError(t, err)
				require.Nil(t, w.Dose)
			}
			// by element: iron and copper of the whole less what lies in solids
			left, hydroxides, acids := map[string]float64{}, 0.0, 0.0
			var names []string
			for _, c := range st.Components {
				for _, symbol := range []string{"Fe", "Cu"} {
					if strings.HasPrefix(c.Species, symbol) {
						left[symbol] += c.TotalMolPerLitre * st.VolumeLitres
					}
				}
			}
			for _, s := range st.Solids {
				f, err := demo.Tables(t).Formation(s.Species)
				require.NoError(t, err)
				grams, metal := s.Moles*f.Species.Formula.MolarMass(), false
				for _, symbol := range []string{"Fe", "Cu"} {
					n := f.Species.Formula.Count(symbol)
					left[symbol] -= n * s.Moles
					metal = metal || n > 0
				}
				switch {
				case metal:
					hydroxides += grams
				case s.Moles > 0:
					acids += grams
					names = append(names, s.Name)
				}
			}
			require.InDelta(t, hydroxides, w.HydroxideSettledGrams, 1e-9, "%s, %s", name, w.Name)
			require.InDelta(t, acids, w.AcidSettledGrams, 1e-9, "%s, %s", name, w.Name)
			told := map[string]string{}
			for _, m := range milligrams.FindAllStringSubmatch(w.Text, -1) {
				require.NotContains(t, told, m[2], "one figure for a metal, whatever its charge")
				told[m[2]] = m[1]
			}
			grams := map[string]float64{"Fe": 55.845, "Cu": 63.546} // standard atomic weights
			for _, m := range w.MetalsLeftMgPerLitre {
				want := max(0, 1000*left[m.Name]*grams[m.Name]/st.VolumeLitres)
				require.InDelta(t, want, m.Value, 1e-4*want+1e-6, "%s, %s", name, w.Name)
				requireTwoDigits(t, m.Value, told[m.Name])
			}
			require.Len(t, told, len(w.MetalsLeftMgPerLitre))
			acidMass := map[string]float64{"edta4-": 292.244, "cit3-": 192.123, "nta3-": 191.139} // g/mol, of C10H16N2O8, C6H8O7 and C6H9NO6
			if name == "salt water" {
				require.Zero(t, w.AcidSettledFraction)
			}
			if h := bath.HoldingsOf(st).Counted(); len(h) == 1 {
				require.InDelta(t, h[0].SettledMoles/h[0].TotalMoles, w.AcidSettledFraction, 1e-9)
				require.InEpsilon(t, 1000*(h[0].TotalMoles-h[0].SettledMoles)*acidMass[h[0].Chelant]/st.VolumeLitres, w.ChelantLeftMgPerLitre, 3e-5, "%s, %s", name, w.Name)
			}
			start, _, _ := strings.Cut(w.Text, ";")
			start, _, _ = strings.Cut(start, ", with")
			start, _, _ = strings.Cut(start, ". Not")
			switch {
			case acids > 0:
				require.Equal(t, fmt.Sprintf("%s of %s settles, %.0f %% of what is in the bath",
					measure.FormatMass(unit.Mass(acids/1000)), strings.Join(names, " and "), 100*w.AcidSettledFraction), start)
				sayings["acid"] = true
			case hydroxides > 0:
				require.Equal(t, measure.FormatMass(unit.Mass(hydroxides/1000))+" of metal hydroxides settle", start)
				sayings["hydroxide"] = true
			default:
				require.Equal(t, "nothing settles", start)
				sayings["nothing"] = true
			}
			if _, with, found := strings.Cut(w.Text, "with "); found {
				number, _, _ := strings.Cut(with, " mg/L")
				requireTwoDigits(t, w.ChelantLeftMgPerLitre, number)
			}
		}
	}
	require.Len(t, sayings, 3)
}

// requireTwoDigits wants a figure written with two digits, or as next to nothing.
func requireTwoDigits(t *testing.T, x float64, text string) {
	t.Helper()
	if x < 0.005 {
		require.Equal(t, "less than 0.01", text)
		return
	}
	y, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err, text)
	require.InEpsilon(t, x, y, 0.0501, text)
	digits := strings.Trim(strings.TrimLeft(strings.ReplaceAll(text, ".", ""), "0"), "0")
	require.LessOrEqual(t, len(digits), 2, text)
}

// The text of a part is its name and admission, where it holds, and what to do, for every
// material of the tables.
func TestTextOfAPart(t *testing.T) {
	for m := range tables.All[tables.Material](demo.Tables(t)) {
		parts, err := care.Work{Materials: []string{m.ID, m.Name}}.Parts(demo.Tables(t))
		require.NoError(t, err)
		require.Len(t, parts, 1, "once for two names")
		require.Equal(t, m.Admission, parts[0].Admission, "no pH told")
		within := ""
		if m.HighPH > 0 {
			within = " (pH " + strconv.FormatFloat(m.LowPH, 'f', -1, 64) + " to " + strconv.FormatFloat(m.HighPH, 'f', -1, 64) + ")"
		}
		text := parts[0].Text()
		require.Equal(t, strings.ToUpper(m.Name)[:1], text[:1])
		require.Equal(t, m.Name[1:]+" "+string(m.Admission)+within+". "+m.Does+" "+m.Do, text[1:])
	}
	// the strictest first, and the order told among equals
	parts, err := care.Work{Materials: []string{"rubber", "paint", "wood", "steel", "leather"}}.Parts(demo.Tables(t))
	require.NoError(t, err)
	var names []string
	for _, p := range parts {
		names = append(names, p.Material)
	}
	require.Equal(t, []string{"wood", "leather", "paint", "rubber", "steel"}, names)
}

// Baking by class: ASTM B850 (hours at 190 to 220 °C by strength, from memory; hardness by
// ISO 18265): the harder the longer, up to surface-hardened steel, which is baked cooler.
func TestBakeByHardness(t *testing.T) {
	for hrc, hours := range map[float64]float64{31: 8, 32.5: 8, 36: 10, 39: 12, 42: 14, 44: 16, 46.5: 18, 48.5: 20, 50.5: 22, 60: 8, 70: 8} {
		b, err := care.Bake(demo.Tables(t), hrc)
		require.NoError(t, err)
		require.InDelta(t, hours, b.MinimumHours, 0, "%g HRC", hrc)
		require.Equal(t, hrc > 51.5, b.HighC < 190)
	}
	for _, hrc := range []float64{30.9, 70.1, math.NaN()} {
		_, err := care.Bake(demo.Tables(t), hrc)
		require.ErrorIs(t, err, chem.ErrInput)
	}
}

// Cautions by brute force: for every reagent with every material, what is said is what its
// label says unless a stronger caution says more (GHS: burns skin and eyes stands for
// irritates them), what the groups that meet must not, and bleach, which stands in
// every shop; danger before warnings, in each what meets before what a label says.
func TestCautionsByBruteForce(t *testing.T) {
	std := demo.Tables(t)
	stronger := map[string][]string{"H315": {"H314"}, "H318": {"H314"}, "H319": {"H314", "H318"}, "H332": {"H373"}, "H335": {"H373"}}
	var reagents []tables.Reagent
	for r := range tables.All[tables.Reagent](std) {
		reagents = append(reagents, r)
	}
	bleach, err := std.Material("hypochlorite")
	require.NoError(t, err)
	for i, r := range reagents {
		pair := []tables.Reagent{r, reagents[(i+7)%len(reagents)]}
		labels := slices.Concat(pair[0].Hazards, pair[1].Hazards)
		groups := slices.Concat(pair[0].Groups, pair[1].Groups)
		for m := range tables.All[tables.Material](std) {
			want := map[string][]string{} // caution: what it is about
			about := func(key, name string) {
				for _, more := range stronger[key] {
					if slices.Contains(labels, more) {
						return
					}
				}
				if !slices.Contains(want[key], name) {
					want[key] = append(want[key], name)
				}
			}
			for _, p := range pair {
				for _, key := range p.Hazards {
					about(key, p.Name)
				}
			}
			for h := range tables.All[tables.Hazard](std) {
				all := func(have []string) bool {
					n := 0
					for _, g := range h.Mix {
						if slices.Contains(have, g) {
							n++
						}
					}
					return n > 0 && n == len(h.Mix)
				}
				if all(groups) {
					for _, p := range pair {
						for _, g := range h.Mix {
							if slices.Contains(p.Groups, g) {
								about(h.ID, p.Name)
							}
						}
					}
				}
				for _, material := range []tables.Material{bleach, m} {
					for _, g := range material.Groups {
						if slices.Contains(h.Mix, g) && all(append(slices.Clone(groups), g)) {
							about(h.ID, material.Name)
						}
					}
				}
			}
			got, err := care.Cautions(std, pair, []string{m.ID})
			require.NoError(t, err)
			n := len(got)
			require.Equal(t, []string{"used-bath", "disposal"}, []string{got[n-2].Key, got[n-1].Key})
			last, breaths := -1, map[tables.Signal]int{}
			for _, c := range got[:n-2] {
				rank := 0
				if c.Signal == tables.Warning {
					rank = 2
				}
				if strings.HasPrefix(c.Key, "H") {
					rank++
				}
				require.GreaterOrEqual(t, rank, last, c.Key)
				last = rank
				require.Contains(t, want, c.Key, "%s with %s and %s", pair[0].Name, pair[1].Name, m.Name)
				require.ElementsMatch(t, want[c.Key], c.About, "%s with %s and %s: %s", pair[0].Name, pair[1].Name, m.Name, c.Key)
				delete(want, c.Key)
				if len(c.About) == 1 && c.About[0] == bleach.Name {
					breaths[c.Signal]++
					require.Equal(t, 1, breaths[c.Signal], "bleach alone is told of once")
					for key, names := range want { // said in one breath with another caution on bleach alone
						h, err := tables.Find[tables.Hazard](std, key)
						if err != nil || len(names) != 1 || names[0] != bleach.Name || h.Signal != c.Signal {
							continue
						}
						require.Contains(t, c.Text, h.Caution)
						require.Contains(t, c.Standard, h.Standard)
						delete(want, key)
					}
				}
			}
			require.Empty(t, want, "%s with %s and %s", pair[0].Name, pair[1].Name, m.Name)
		}
	}
}

// Advice by kind: every row of the tables is given where one of its conditions holds, and
// not elsewhere: hot from 45 °C on, sour below pH 6.5, hard from a twentieth of the
// chelant lost, materials and the groups that they count as. What stays out comes first.
func TestPracticeByKind(t *testing.T) {
	std := demo.Tables(t)
	count := func(w care.Work) map[string]int {
		all, err := w.Practice(std)
		require.NoError(t, err)
		out := map[string]int{}
		for _, a := range all {
			out[a.Do]++
			require.NotEmpty(t, a.Why)
			require.NotEmpty(t, a.Source)
		}
		return out
	}
	conditions := map[string][2]care.Work{ // holds, and does not quite
		"hot":        {{TemperatureC: 45}, {TemperatureC: 44.9}},
		"sour":       {{PH: 6.4}, {PH: 6.5}},
		"hard-water": {{HardnessFraction: 0.0501}, {HardnessFraction: 0.05}},
	}
	for m := range tables.All[tables.Material](std) {
		conditions[m.ID] = [2]care.Work{{Materials: []string{m.ID}}, {}}
		for _, g := range m.Groups {
			conditions[g] = conditions[m.ID]
		}
	}
	for p := range tables.All[tables.Practice](std) {
		require.Equal(t, map[bool]int{true: 1}[len(p.When) == 0], count(care.Work{})[p.Do], p.ID)
		for _, when := range p.When {
			if when == "slow" { // for whom a dip takes too long: rust.Pace.Levers
				require.Zero(t, count(care.Work{})[p.Do], p.ID)
				continue
			}
			require.Contains(t, conditions, when)
			require.Equal(t, 1, count(conditions[when][0])[p.Do], "%s: %s", p.ID, when)
			require.Zero(t, count(conditions[when][1])[p.Do], "%s: %s", p.ID, when)
		}
	}
	require.Zero(t, count(care.Work{PH: 0})["Work in moving air with no flame near."], "a pH that is not known is not sour")
	all, err := care.Work{Materials: []string{"wood"}, HardnessFraction: 0.123}.Practice(std)
	require.NoError(t, err)
	require.Equal(t, "Keep out of this bath: wood.", all[0].Do)
	require.True(t, slices.ContainsFunc(all, func(a care.Advice) bool { return strings.HasPrefix(a.Why, "Hardness holds 12.3 % of the chelant. ") }))
}
