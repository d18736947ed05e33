package tables

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A reaction's window is its kind's, times how often it counts, and moved by log Kw
// for a hydroxide that is taken up: M2+ + OH- = MOH+ is M2+ + H2O = MOH+ + H+ with 14.0
// more (pKw = 13.995 at 25 °C: Marshall & Franck, J. Phys. Chem. Ref. Data 10, 1981,
// 295), so that -16 to 2 of a hydrolysis are -2 to 16. Its ends are taken, a hundredth
// beyond is refused with the ends in words.
func TestWindowsOfReactions(t *testing.T) {
	std := standardTables(t)
	for _, c := range []struct {
		reaction, low, high string
		ends                [2]float64
	}{
		{"mal2- + H+ = Hmal-", "-1", "14", [2]float64{-1, 14}},
		{"mal2- + 2 H+ = H2mal", "-2", "28", [2]float64{-2, 28}},
		{"mal2- + Zn2+ = Zn(mal)", "-1.5", "17", [2]float64{-1.5, 17}},
		{"Be2+ + H2O = Be(OH)+ + H+", "-16", "2", [2]float64{-16, 2}},
		{"Be2+ + OH- = Be(OH)+", "-2", "16", [2]float64{-2, 16}},
		{"Be2+ + mal2- + H2O = Be(OH)(mal)- + H+", "-10", "12", [2]float64{-10, 12}},
		{"Be(OH)2(s, amorphous) + 2 H+ = Be2+ + 2 H2O", "-100", "100", [2]float64{-100, 100}},
		{"Be(mal)(s, powder) = Be2+ + mal2-", "-50", "5", [2]float64{-50, 5}},
	} {
		load := func(logK float64) error {
			own := malonate()
			own["components.csv"] += "Be2+,,beryllium,metal,other metal,\n"
			own["constants/mal.csv"] = constantHeader + fmt.Sprintf("%q,log K,25,0,,%.10g,,fit,nist46,\n", c.reaction, logK)
			delete(own, "names.csv")
			if from, _, solid := strings.Cut(c.reaction, " ="); solid && strings.Contains(from, "(s, ") {
				own["solids.csv"] = fmt.Sprintf("species,name,synonyms,density_g_cm3,forms,source,note\n%q,crust,,2,no,judgement,\n", strings.TrimSuffix(from, " + 2 H+"))
			}
			_, err := std.With(files(own))
			return err
		}
		for k, sign := range []float64{-1, 1} {
			assert.NoError(t, load(c.ends[k]), "%s, %g", c.reaction, c.ends[k])
			err := load(c.ends[k] + sign*0.01)
			require.Error(t, err, "%s, %g", c.reaction, c.ends[k])
			assert.ErrorContains(t, err, "from "+c.low+" to "+c.high)
		}
	}
}

// Water twice as hard has twice of everything in it, and the first stays as it is.
func TestWaterTimes(t *testing.T) {
	w, err := standardTables(t).Water("moderately hard tap water")
	require.NoError(t, err)
	require.NotEmpty(t, w.Ions)
	for _, f := range []float64{0, 0.5, 3} {
		more := w.Times(f)
		for i, ion := range w.Ions {
			assert.InDelta(t, f*ion.MolPerLitre, more.Ions[i].MolPerLitre, 1e-15)
		}
		assert.InDelta(t, f*float64(w.Alkalinity), float64(more.Alkalinity), 1e-15)
		assert.InDelta(t, f*float64(w.Hardness()), float64(more.Hardness()), 1e-15)
	}
}
