package main

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/unit"
	"gonum.org/v1/plot/plotter"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// fractions shows in which forms EDTA is, in the sodium of its own salt.
func fractions(t *tables.Tables) (*figure, error) {
	v, err := solution.New(t, chem.Celsius(20))
	if err != nil {
		return nil, err
	}
	if err := v.AddPureWater(unit.Volume(1e-3)); err != nil {
		return nil, err
	}
	for species, n := range map[string]float64{"edta4-": 0.05, "Na+": 0.2} {
		if err := v.AddSpecies(species, unit.Mole(n)); err != nil {
			return nil, err
		}
	}
	if err := v.Bar("H4edta(s)"); err != nil {
		return nil, err
	}
	forms := []struct {
		species   string // several are added up
		name      string
		x, dx, dy float64
	}{
		{"H6edta2+ H5edta+ H4edta", "H₄edta", 0.1, 1, -62},
		{"H3edta-", "H₃edta⁻", 1.5, -50, 12},
		{"H2edta2-", "H₂edta²⁻", 4.45, -26, -28},
		{"Hedta3-", "Hedta³⁻", 7.85, -20, -30},
		{"Na(edta)^3-", "Na(edta)³⁻", 11.4, -16, 8},
		{"edta4-", "edta⁴⁻", 12.2, -6, 10},
	}
	curves := make([]plotter.XYs, len(forms))
	for _, pH := range grid(0, 14, 280) {
		if err := v.HoldPH(pH); err != nil {
			return nil, err
		}
		st, err := v.Equilibrate()
		if err != nil {
			return nil, err
		}
		for i, f := range forms {
			sum := 0.0
			for s := range strings.FieldsSeq(f.species) {
				c, err := st.Concentration(s)
				if err != nil {
					return nil, err
				}
				sum += c / 0.05 * st.VolumeLitres
			}
			if sum < 0.003 { // along the axis a curve says nothing
				sum = math.NaN()
			}
			curves[i] = append(curves[i], plotter.XY{X: pH, Y: sum})
		}
	}
	p := newPanel(axis{0, 14, 1}, "pH", axis{0, 1, 0.2}, "fraction of the EDTA")
	for i, hue := range hues(len(forms)) {
		p.curve(curves[i], hue)
		f := forms[i]
		p.label(curves[i], f.x, points(f.dx), points(f.dy), f.name, hue)
		if i == 0 {
			p.label(curves[i], f.x, points(f.dx), points(f.dy-15), "and above", hue)
		}
	}
	return &figure{
		title:      "Protons hold EDTA up to pH 9, sodium from its own salt above pH 10",
		conditions: "0.05 mol/L EDTA and 0.2 mol/L sodium at 20 °C, no other metal; settling of EDTA acid below pH 4 left out",
		panels:     []*panel{p},
	}, nil
}
