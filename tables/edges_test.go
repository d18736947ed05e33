package tables

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// edges are the ranges that numbers of the data files keep to, in the units of their
// columns: judgement, wide enough for any row that means something. Columns with an
// & are set together; in a row that holds the words after it.
var edges = []struct {
	file, columns string
	low, high     float64
	rows          string
}{
	{"corrosivity.csv", "loss_low_um", 0, 1000, ""}, {"corrosivity.csv", "loss_high_um", 0, 1000, ""},
	{"corrosivity.csv", "loss_low_g_m2", 0, 1e4, ""}, {"corrosivity.csv", "loss_high_g_m2", 0, 1e4, ""},
	{"couples.csv", "potential_v", -4, 4, ""}, {"couples.csv", "uncertainty_v", 0, 0.2, ""},
	{"dissolution-phases.csv", "activation_energy_kj_mol", 10, 200, ""}, {"dissolution-phases.csv", "frequency_g_fe_m2_h", 1, 1e20, ""},
	{"dissolution.csv", "low", 0, 1e6, ""}, {"dissolution.csv", "typical", 0, 1e6, ""}, {"dissolution.csv", "high", 0, 1e6, ""},
	{"doubts.csv", "told", 0, 14, ""}, {"doubts.csv", "less", 0, 1, ""}, {"doubts.csv", "more", 0, 1, ""}, {"doubts.csv", "odds", 1, 1000, ""},
	{"hardness-units.csv", "mass_mg", 0.01, 1000, ""}, {"hardness-units.csv", "amount_mmol", 0.01, 1000, "millimole"},
	{"hardness-units.csv", "volume_l", 0.1, 10, ""}, {"hardness-units.csv", "equivalents", 1, 2, ""},
	{"indicators.csv", "pka", 0, 15, "Methyl red"}, {"materials.csv", "low_ph", 0, 14, "plain steel"}, {"materials.csv", "high_ph", 5, 14, "plain steel"},
	{"inhibitors.csv", "g_per_l_low&g_per_l&g_per_l_high", 0.1, 100, ""}, {"inhibitors.csv", "low_ph", 0, 14, ""},
	{"baking.csv", "low_mpa", 500, 3000, ""}, {"baking.csv", "low_hrc", 20, 70, ""}, {"baking.csv", "low_c", 100, 250, ""}, {"baking.csv", "minimum_h", 1, 100, ""},
	{"baking.csv", "high_mpa", 1000, 3000, "mpa-1000"}, {"baking.csv", "high_hrc", 31, 70, "mpa-1000"}, {"baking.csv", "high_c", 190, 250, "mpa-1000"},
	{"reagents.csv", "assay_low&assay&assay_high", 1e-3, 1, ""}, {"reagents.csv", "base_low&base&base_high", -1, 1, ""},
	{"reagents.csv", "volume", -1, 2, ""}, {"reagents.csv", "volume_tolerance", 1e-3, 0.5, ""},
	{"reagents.csv", "density_low&density&density_high", 500, 2500, "Vinegar"}, {"reagents.csv", "density_c", 0, 40, "Vinegar"},
	{"reagents.csv", "bulk_loose&bulk&bulk_tapped", 100, 3000, "Tetrasodium EDTA"},
	{"rust-phases.csv", "density", 500, 8000, ""}, {"rusts.csv", "porosity_low&porosity&porosity_high", 0, 0.95, ""},
	{"solids.csv", "density_g_cm3", 0.5, 15, "goethite"}, {"waters.csv", "ph", 4.5, 10.5, "tap water"},
	{"strips.csv", "low", 0, 14, "pool pH strip"}, {"strips.csv", "high", 0, 14, "pool pH strip"}, {"strips.csv", "step", 0.01, 14, "pool pH strip"},
	{"strips.csv", "low", 0, 5000, "hardness"}, {"strips.csv", "high", 0, 5000, "hardness"}, {"strips.csv", "step", 0.01, 5000, "hardness"},
	{"dispensers.csv", "capacity_ml", 0.1, 1e4, ""}, {"dispensers.csv", "tolerance_ml", 0, 100, ""}, {"dispensers.csv", "relative_limit", 0, 0.5, ""},
	{"dispensers.csv", "step_ml", 0.001, 1e4, ""},
	{"constants/edta.csv", "temperature_c", 0, 100, ""}, {"constants/edta.csv", "ionic_strength_mol_l", 0, 12, ""},
	{"constants/edta.csv", "value", -250, 350, "log K"}, {"constants/edta.csv", "value", -700, 500, "enthalpy"}, {"constants/edta.csv", "uncertainty", 0, 50, ""},
}

// The ends of every range are taken, what lies a thousandth beyond is refused by its
// column and with the range in words.
func TestEdges(t *testing.T) {
	base := standardTables(t)
	for _, e := range edges {
		t.Run(e.file+" "+e.columns+" "+e.rows, func(t *testing.T) {
			c := corruptor{t: t, file: e.file, base: base}
			c.header, c.rows = table(t, e.file)
			columns := strings.Split(e.columns, "&")
			k := slices.IndexFunc(c.rows, func(row []string) bool {
				whole := strings.Contains(strings.Join(row, ","), e.rows)
				for _, column := range columns {
					whole = whole && row[slices.Index(c.header, column)] != ""
				}
				return whole
			})
			require.GreaterOrEqual(t, k, 0, "no such row")
			for _, column := range columns {
				refused := func(x float64) bool {
					row := slices.Clone(c.rows[k])
					for _, name := range columns {
						row[slices.Index(c.header, name)] = strconv.FormatFloat(x, 'g', 17, 64)
					}
					err, _ := c.load([][]string{row})
					if err == nil {
						return false
					}
					for line := range strings.Lines(err.Error()) {
						if strings.Contains(line, "column "+column+" ") && strings.Contains(line, fmt.Sprintf(" from %g to %g", e.low, e.high)) {
							return true
						}
					}
					return false
				}
				beyond := 1e-3 * (e.high - e.low)
				assert.False(t, refused(e.low), "%s at %g", column, e.low)
				assert.True(t, refused(e.low-beyond), "%s below %g", column, e.low)
				assert.False(t, refused(e.high), "%s at %g", column, e.high)
				assert.True(t, refused(e.high+beyond), "%s above %g", column, e.high)
			}
		})
	}
}
