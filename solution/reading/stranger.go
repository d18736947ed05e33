package reading

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// thin is the ionic strength, and the sodium, among which powders are taken to hold their
// protons, mol/L: judgement.
const thin = 0.2

// meet fills in what the bag may hold instead of the chelant: any powder of the tables, as it
// takes up acid, and as the last a blend of two of them.
func (m *Model) meet() {
	for _, r := range m.basis.shelf {
		if _, same := m.basis.salt(r); same || r.Form != tables.Powder || r.Packing().Typical == 0 {
			continue
		}
		if a := m.surface.powder(r); a != nil {
			m.strangers = append(m.strangers, salt{reagent: r, powder: a, packing: packing(r)})
		}
	}
	chance, blend := m.doubts[inKind].More, m.doubts[inBlend].More
	each := chance * (1 - blend) / float64(len(m.strangers))
	m.strangers = append(m.strangers, salt{packing: tables.Range{Low: 500, Typical: 750, High: 1100}})
	for i := range m.strangers {
		k := &m.strangers[i]
		if k.other, k.place, k.prior = true, len(m.salts), each; k.powder == nil {
			k.prior = chance * blend
		}
	}
}

// pourStrange adds grams of what is no salt of the chelant to a mixture.
func (m *Model) pourStrange(mix *mixture, k *salt, z []float64, grams float64) {
	p, part := &mix.powders, 1.0
	if mix.strange, p[0].axis = true, k.powder; k.powder != nil {
		grams *= share(k.reagent.Assay, z[ofAssay]) * m.doubts[ofAssay].at(z[ofAssay])
	} else {
		for i := range p {
			u := min(distuv.UnitNormal.CDF(z[ofBlend+i]), 1-1e-9)
			p[i].axis = m.strangers[int(u*float64(len(m.strangers)-1))].powder
		}
		part = distuv.UnitNormal.CDF(z[ofBlend+2])
	}
	p[0].grams += grams * part
	p[1].grams += grams * (1 - part)
}

// powder returns the strong base that a gram of a powder asks for: the protons that it brings
// less those that its ligands hold at a pH. It is nil where other than alkali metals come with it.
func (f *surface) powder(r tables.Reagent) *axis {
	b, at := f.model.basis, f.model.setup.Temperature
	made := b.makeup(r)
	a := &axis{of: [2][]float64{make([]float64, len(f.grid)), make([]float64, len(f.grid))}, lye: made.aired() / r.Assay.Typical}
	for species, n := range r.Components() {
		name := species.String()
		c, isComponent := b.components[name]
		switch n /= r.Formula.MolarMass(); {
		case name == proton:
			floats.AddConst(n, a.of[0])
			continue
		case !isComponent || b.alkali(name):
			continue
		case c.Role == "metal":
			return nil
		}
		var forms [][2]float64 // protons of each, and its log10 at pH 0
		for _, x := range b.tables.Formations([]int{b.places[proton], b.places[sodium], b.places[name]}, chem.Aqueous) {
			if h := x.Of(b.places[proton]); x.Of(b.places[name]) == 1 {
				forms = append(forms, [2]float64{h, x.Constant.Log10K(at, thin) + x.Of(b.places[sodium])*math.Log10(thin) + h*chem.DebyeHuckel(thin, at)})
			}
		}
		for j, pH := range f.grid {
			var all, protons, squares float64
			for _, x := range forms {
				share := math.Pow(10, x[1]-x[0]*pH)
				all, protons, squares = all+share, protons+x[0]*share, squares+x[0]*x[0]*share
			}
			held := protons / all
			a.of[0][j] -= n * held
			a.of[1][j] += n * math.Ln10 * (squares/all - held*held)
		}
	}
	return a
}
