package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// rawRows are the rows of all files of checks as they are written, by column.
func rawRows(t *testing.T) (all []map[string]string) {
	t.Helper()
	for _, topic := range topics {
		f, err := os.Open(filepath.Join("../../testdata", topic+".csv"))
		require.NoError(t, err)
		rows, err := csv.NewReader(f).ReadAll()
		require.NoError(t, err)
		require.NoError(t, f.Close())
		for _, cells := range rows[1:] {
			row := map[string]string{}
			for i, name := range rows[0] {
				row[name] = cells[i]
			}
			all = append(all, row)
		}
	}
	return all
}

// lastDigit is one in the last place of a number as it is written.
func lastDigit(text string) float64 {
	mantissa, exponent, _ := strings.Cut(strings.ToLower(text), "e")
	_, decimals, _ := strings.Cut(mantissa, ".")
	n, _ := strconv.Atoi(exponent)
	return math.Pow10(n - len(decimals))
}

// given are the numbers in the conditions of a row.
type given map[string]string

func (g given) number(key string) float64 {
	x, err := strconv.ParseFloat(g[key], 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

// bound returns the mean number of protons on an acid at a pH and the share of it without any.
func (g given) bound(pH float64) (protons, bare float64) {
	weights, ln := []float64{1}, 0.0
	if g["pK"] != "" {
		pK := strings.Split(g["pK"], "|")
		for i := range pK { // the last pK takes up the first proton
			x, _ := strconv.ParseFloat(pK[len(pK)-1-i], 64)
			ln += math.Ln10 * (x - pH)
			weights = append(weights, math.Exp(ln))
		}
	}
	sum := 0.0
	for n, w := range weights {
		sum += w
		protons += float64(n) * w
	}
	return protons / sum, 1 / sum
}

// zero halves the interval in which f rises through zero.
func zero(low, high float64, f func(x float64) float64) float64 {
	for range 200 {
		if mid := (low + high) / 2; f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// textbook are the equations by which figures follow from the numbers in their rows, written anew: none
// of them calls the library.
var textbook = map[string]func(g given) float64{
	"alpha_Y4": func(g given) float64 { _, bare := g.bound(g.number("pH")); return bare },
	"log_inverse_alpha_Y4": func(g given) float64 {
		_, bare := g.bound(g.number("pH"))
		return -math.Log10(bare)
	},
	"pH_in_titration": func(g given) float64 {
		v0, v := g.number("V0_mL"), g.number("V_mL")
		acid, titrant := g.number("c0_M")*v0/(v0+v), g.number("ct_M")*v/(v0+v)
		if g["titrant"] != "base" {
			titrant = -titrant
		}
		pKw := 14.
		if g["pKw"] != "" {
			pKw = g.number("pKw")
		}
		return zero(-2, 16, func(pH float64) float64 { // electrical neutrality
			bound, _ := g.bound(pH)
			return g.number("protons")*acid - titrant - bound*acid - math.Pow(10, -pH) + math.Pow(10, pH-pKw)
		})
	},
	"pM_in_titration": func(g given) float64 {
		v0, v, k, alpha := g.number("V0_mL"), g.number("V_mL"), g.number("K_conditional"), 1.0
		if g["alpha_M"] != "" {
			alpha = g.number("alpha_M")
		}
		metal, edta := g.number("c0_M")*v0/(v0+v), g.number("ct_M")*v/(v0+v)
		return -math.Log10(alpha) - zero(-40, 1, func(log float64) float64 { m := math.Pow(10, log); return m + edta*k*m/(1+k*m) - metal })
	},
	"minimum_pH_for_titration": func(g given) float64 {
		return zero(0, 14, func(pH float64) float64 {
			_, bare := g.bound(pH)
			return g.number("log_K") + math.Log10(bare) - g.number("log_K_conditional")
		})
	},
	"alpha_in_ammonia": func(g given) float64 {
		sum, nh3 := 1.0, g.number("NH3_M")
		for i, logBeta := range strings.Split(g["log_beta"], "|") {
			x, err := strconv.ParseFloat(logBeta, 64)
			if err != nil {
				return math.NaN()
			}
			sum += math.Pow(10, x) * math.Pow(nh3, float64(i+1))
		}
		return 1 / sum
	},
	"titrated_hardness": func(g given) float64 {
		const calcite = 40.078 + 12.011 + 3*15.999 // g/mol
		units := map[string]float64{"mmol/L": 1, "meq/L": 2, "mg/L as CaCO3": calcite}
		return 1000 * g.number("c_edta_M") * g.number("V_edta_mL") / g.number("V_sample_mL") * units[g["unit"]]
	},
	"log_dissolved_at_pH": func(g given) float64 { // Stefánsson 2007, abstract
		pH, sum := g.number("pH"), 1.0
		for i, beta := range []float64{-2.19, -5.76, -14.30, -21.71} {
			sum += math.Pow(10, beta+float64(i+1)*pH)
		}
		return 3.50 - 3*pH + math.Log10(sum)
	},
	"K_conditional":    func(g given) float64 { return math.Pow(10, g.number("log_K")) * g.number("alpha_Y4") },
	"concentration_Y4": func(g given) float64 { return g.number("c_edta_M") * g.number("alpha_Y4") },
	"free_metal_in_MY_solution": func(g given) float64 {
		k := g.number("K_conditional")
		return (math.Sqrt(1+4*k*g.number("c_MY_M")) - 1) / (2 * k)
	},
	"free_metal_with_excess_EDTA": func(g given) float64 {
		v1, v2 := g.number("V1_mL"), g.number("V2_mL")
		bound := g.number("c_metal_M") * v1 / (v1 + v2)
		return bound / ((g.number("c_edta_M")*v2/(v1+v2) - bound) * g.number("K_conditional"))
	},
}

// A figure that is said to follow from the numbers in its row, or from constants that were seen, does so
// to its last digit.
func TestArithmeticFollowsFromTheRow(t *testing.T) {
	inRow := 0
	for _, row := range rawRows(t) {
		equation, ok := textbook[row["quantity"]]
		if !ok || row["trust"] != string(arithmetic) && row["quantity"] != "log_dissolved_at_pH" {
			continue
		}
		g := given{}
		for pair := range strings.SplitSeq(row["conditions"], ";") {
			key, value, _ := strings.Cut(pair, "=")
			g[key] = value
		}
		want, err := strconv.ParseFloat(row["value"], 64)
		require.NoError(t, err)
		require.InDelta(t, want, equation(g), 0.51*lastDigit(row["value"]), row["id"])
		if row["trust"] == string(arithmetic) {
			inRow++
		}
	}
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.Contains(t, string(text), fmt.Sprintf("%d of them,\nmost from textbooks, to their last digit", inRow))
}

// reacting is how many of a species a reaction takes up.
func reacting(t *testing.T, text, species string) float64 {
	r, err := chem.ParseReaction(text)
	require.NoError(t, err)
	for _, term := range r.Terms {
		if term.Species.String() == species {
			return -term.Coefficient
		}
	}
	return 0
}

// A value that is said to be the same in SRD 46 stands there, at the same temperature and ionic strength,
// to the last digit that both print.
func TestSameInTheDatabase(t *testing.T) {
	const pKw = 13.997 // SRD 46, at 25 °C and zero ionic strength
	std, err := tables.Standard()
	require.NoError(t, err)
	printed := map[string][]chem.Observation{}
	for e := range std.Equilibria() {
		printed[e.Reaction.String()] = append(printed[e.Reaction.String()], e.Observations...)
	}
	n := 0
	for _, row := range rawRows(t) {
		if !strings.Contains(row["note"], "the same in SRD 46") {
			continue
		}
		n++
		require.Equal(t, string(compiled), row["trust"], row["id"])
		g, quantity, unit, water := given{}, chem.Log10K, 1.0, 0.0
		for pair := range strings.SplitSeq(row["conditions"], ";") {
			key, value, _ := strings.Cut(pair, "=")
			if reaction, ok := strings.CutPrefix(pair, "reaction="); ok {
				key, value = "reaction", reaction
			}
			g[key] = value
		}
		switch row["quantity"] {
		case "pKa":
			g["reaction"] = g["base"] + " + H+ = " + g["acid"]
		case "log_K_MY":
			for reaction := range printed {
				if strings.HasPrefix(reaction, g["metal"]+" + edta4- = ") {
					g["reaction"] = reaction
				}
			}
		case "enthalpy":
			quantity, unit = chem.Enthalpy, 1000
		case "log_beta": // the database writes hydrolysis with OH-
			for reaction := range printed {
				if strings.Contains(reaction, " OH- = ") && strings.HasSuffix(reaction, "= "+g["species"]) {
					g["reaction"], water = reaction, pKw*reacting(t, reaction, "OH-")
				}
			}
		}
		want, err := strconv.ParseFloat(row["value"], 64)
		require.NoError(t, err)
		found := false
		for _, o := range printed[g["reaction"]] {
			coarser := max(lastDigit(row["value"]), lastDigit(strconv.FormatFloat(o.Value/unit, 'f', -1, 64)))
			found = found || o.Source == "nist46" && o.Quantity == quantity && math.Abs(o.TemperatureC-g.number("T_C")) < 0.1 &&
				o.IonicStrengthMolPerLitre == g.number("I_M") && math.Abs(o.Value/unit-water-want) <= 0.51*coarser
		}
		require.True(t, found, "%s: %s", row["id"], g["reaction"])
	}
	require.Greater(t, n, 20)
}
