package tables

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What makes no sense in a row is refused by its column: one slip each, in a row that is
// sound without it, and one beside it that is none.
func TestRefusedRows(t *testing.T) {
	base := standardTables(t)
	for _, x := range []struct{ file, id, column, bad, refused string }{
		{"components.csv", "cit3-", "role", "metal", "role"}, {"components.csv", "Na+", "role", "ligand", "role"}, {"components.csv", "Ca2+", "class", "strong chelant", "class"},
		{"components.csv", "cit3-", "class", "iron", "class"}, {"components.csv", "H+", "class", "iron", "class"}, {"components.csv", "Na+", "synonyms", "lead(II)", "name"},
		{"components.csv", "cit3-", "composition", "C6H5O7", "composition"},
		{"names.csv", "OH-", "species", "CaCO3(s, calcite)", "species"}, {"names.csv", "OH-", "species", "Ca2+", "species"}, {"names.csv", "OH-", "species", "HOH-", "species"},
		{"names.csv", "OH-", "name", "", "name"}, {"solids.csv", "CaCO3(s, calcite)", "species", "CaCO3(s, chalk)", "species"}, {"solids.csv", "CaCO3(s, calcite)", "forms", "perhaps", "forms"},
		{"hardness-units.csv", "mg-caco3", "synonyms", "", "synonyms"}, {"hardness-units.csv", "mg-caco3", "formula", "CaMg(CO3)2", "formula"}, {"hardness-units.csv", "mg-caco3", "formula", "NaCl", "formula"},
		{"hardness-units.csv", "mg-caco3", "amount_mmol", "1", "amount_mmol"}, {"hardness-units.csv", "millimole", "mass_mg", "100", "mass_mg"},
		{"reagents.csv", "citric-acid", "dissolution", "2 H3(cit) = 6 H+ + 2 cit3-", "dissolution"}, {"reagents.csv", "citric-acid", "chelant", "edta4-", "chelant"},
		{"reagents.csv", "citric-acid", "remainder", "OH", "remainder"}, {"reagents.csv", "citric-acid", "density", "1000", "density"}, {"reagents.csv", "citric-acid", "bulk", "700", "bulk"},
		{"reagents.csv", "citric-acid", "bulk", "", "bulk_loose"}, {"reagents.csv", "vinegar", "bulk", "700", "bulk"}, {"reagents.csv", "citric-acid", "assay", "0.9", "assay"}, {"reagents.csv", "citric-acid", "form", "gas", "form"},
		{"reagents.csv", "citric-acid", "volume_basis", "", "volume_basis"},
		{"hazards.csv", "acid-on-zinc", "mix", "acid", "mix"}, {"hazards.csv", "acid-on-zinc", "mix", "acid;wool", "mix"}, {"hazards.csv", "acid-on-zinc", "mix", "", "key"},
		{"hazards.csv", "H319", "signal", "beware", "signal"}, {"hazards.csv", "H319", "caution", "", "caution"},
		{"indicators.csv", "methyl-red", "changes", "5.1-6.2", "changes"}, {"indicators.csv", "methyl-red", "colours", "red", "colours"}, {"indicators.csv", "methyl-red", "pka", "", "colours"},
		{"indicators.csv", "methyl-red", "complexes", "Ca2+|5.4|red", "changes"}, {"indicators.csv", "calmagite", "complexes", "Ca2+|6.1", "complexes"}, {"indicators.csv", "calmagite", "complexes", "Ca2+|6.1|", "complexes"},
		{"indicators.csv", "calmagite", "complexes", "cit3-|6.1|red", `complexes is "cit3-|6.1|red": want a bare metal ion, not cit3-`},
		{"indicators.csv", "thymol-blue", "pka", "8.90;8.90", "pka"}, {"indicators.csv", "calmagite", "conditions", "", "conditions"},
		{"strips.csv", "ph-wide", "unit", "ppm", "unit"}, {"strips.csv", "ph-wide", "step", "0.7", "step"}, {"strips.csv", "ph-wide", "quantity", "rH", "quantity"}, {"strips.csv", "ph-wide", "reading_error", "0.49", "reading_error"},
		{"rust-phases.csv", "goethite", "formula", "FeO)", "formula"},
		{"rusts.csv", "fresh-orange", "composition", "goethite 0.4 0.6 0.8;goethite 0.2 0.4 0.6", "composition"}, {"rusts.csv", "fresh-orange", "composition", "goethite 0.4 1", "composition"},
		{"rusts.csv", "fresh-orange", "composition", "chalk 0.4 1 1", "composition"}, {"rusts.csv", "fresh-orange", "composition", "goethite 0.4 0.6 0.8;hematite 0.2 0.3 0.6", "composition"},
		{"rusts.csv", "fresh-orange", "composition", "goethite 0.4 0.5 0.8;hematite 0.2 0.5 0.19", "composition"}, {"rusts.csv", "fresh-orange", "adherence", "sticky", "adherence"}, {"rusts.csv", "fresh-orange", "porosity", "0.94", "porosity"},
		{"couples.csv", "zinc", "oxidised", "Zn3+", "oxidised"}, {"couples.csv", "zinc", "reduced", "Cd(s)", "reduced"},
		{"dissolution-phases.csv", "goethite", "phase", "calcite", "phase"}, {"dissolution.csv", "activation-energy", "typical", "66", "typical"}, {"dissolution.csv", "activation-energy", "typical", "97", "typical"},
		{"materials.csv", "zinc", "couple", "unobtainium", "couple"}, {"materials.csv", "zinc", "admission", "may go in", "admission"},
		{"practice.csv", "brush", "stage", "never", "stage"}, {"signs.csv", "clear", "causes", "too weak", "causes"}, {"signs.csv", "clear", "causes", "too weak 21", "causes"}, {"signs.csv", "clear", "causes", "too weak 0", "causes"},
		{"signs.csv", "clear", "causes", "6", "causes"}, {"corrosivity.csv", "CX", "loss_high_um", "200", "loss_low_um"}, {"corrosivity.csv", "CX", "loss_high_g_m2", "1500", "loss_low_g_m2"},
		{"solid-orders.csv", "", "reaction", "FeOOH(s, goethite) = FeOOH(s, goethite)", "reaction"},
		{"fates.csv", "edta4-", "breakdown", "soon", "breakdown"}, {"doubts.csv", "label", "less", "0.98", "more"}, {"inhibitors.csv", "", "g_per_l", "0.2", "g_per_l"},
		{"sources.csv", "", "access", "heard", "access"}, {"sources.csv", "", "citation", "", "citation"}, {"baking.csv", "mpa-1000", "high_hrc", "30", "high_hrc"},
	} {
		c := corruptor{t: t, file: x.file, base: base}
		c.header, c.rows = table(t, x.file)
		k := slices.IndexFunc(c.rows, func(row []string) bool { return row[0] == x.id || x.id == "" })
		column := slices.Index(c.header, x.column)
		if !(k >= 0 && column >= 0) {
			t.Errorf("%s has no row %q or column %q", x.file, x.id, x.column)
			continue
		}
		rows := slices.Clone(c.rows)
		err, _ := c.load(rows)
		require.NoError(t, err, x.file)
		rows[k] = slices.Clone(rows[k])
		rows[k][column] = x.bad
		err, _ = c.load(rows)
		if err == nil || !strings.Contains(err.Error()+" ", ", column "+x.refused+" ") {
			t.Errorf("%s, %s of %s as %q: %v", x.file, x.column, rows[k][0], x.bad, err)
		}
	}
}
