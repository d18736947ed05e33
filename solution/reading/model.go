package reading

import (
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Model is a setup worked out: what can be computed before the first reading.
// It does not change and is safe for concurrent use.
type Model struct {
	setup   Setup
	tables  *tables.Tables
	surface *surface
	salts   []salt
	acid    tables.Reagent
	assay   vary    // of the acid
	water   float64 // change of the logarithm of the ions per unit of the deviate
}

// salt is a candidate in the terms of the surface.
type salt struct {
	reagent tables.Reagent
	prior   float64 // probability before anything is seen
	perGram float64 // mol of EDTA in a gram of the pure formula
	base    float64 // mol of strong base per mol of EDTA, by its formula
	assay   vary
	packing vary // kg/m³
}

// New works a setup out. It titrates the bath at a handful of mixtures with
// the solver, which takes some tens of milliseconds; keep the model for the
// whole course. Errors wrap [chem.ErrInput].
func New(t *tables.Tables, s Setup) (*Model, error) {
	s, err := s.settled(t)
	if err != nil {
		return nil, err
	}
	m := &Model{setup: s, tables: t, acid: s.Acid, assay: share(s.Acid.Assay), water: math.Log1p(s.WaterTolerance) / spread.NineInTen}
	total := 0.0
	for _, c := range s.Bag {
		total += c.Weight
	}
	lowest, highest := math.Inf(1), 0.0
	for _, c := range s.Bag {
		if c.Weight == 0 {
			continue
		}
		k := newSalt(c.Salt)
		k.prior = c.Weight / total
		m.salts = append(m.salts, k)
		mass, err := s.Amount.Weigh(c.Salt.Packing())
		if err != nil {
			return nil, err
		}
		// Beyond the ranges on both sides, and room for more from the bag.
		lowest = min(lowest, 0.8*mass.LowGrams*c.Salt.Assay.Low*k.perGram)
		highest = max(highest, 1.5*mass.HighGrams*c.Salt.Assay.High*k.perGram)
	}
	if m.surface, err = newSurface(t, &m.setup, lowest, highest); err != nil {
		return nil, err
	}
	return m, nil
}

// Setup returns the setup with its defaults filled in.
func (m *Model) Setup() Setup { return m.setup }

func newSalt(r tables.Reagent) salt {
	mol := 1 / r.Formula.MolarMass()
	typical := r.MolPerGram().Typical
	return salt{
		reagent: r, perGram: mol, base: strongBasePerGram(r) / typical,
		assay: share(r.Assay), packing: packingOf(r),
	}
}

// packingOf is the spread of the mass in a level measure. Liquids have none to
// speak of.
func packingOf(r tables.Reagent) vary {
	d := r.Packing()
	if r.Form == tables.Liquid {
		return factor(d.Typical, d.Typical, d.Typical)
	}
	return factor(d.Loose, d.Typical, d.Tapped)
}

// supply tells how a reagent enters the mixture.
type supply int

const (
	fromBag supply = iota
	fromAcid
	fromLye   // alkali hydroxide, nothing but strong base
	fromEDTA  // a known salt of EDTA
	fromOther // anything else, along an axis of its own
)

// portion is an amount measured out, not yet known to the gram.
type portion struct {
	of      supply
	reagent tables.Reagent
	amount  measure.Amount
	salt    salt // for fromEDTA
	axis    axis // for fromOther
	perGram float64
	packing vary
	grams   float64 // as measured out; 0 if spooned
	volume  float64 // m³
	error   float64 // standard deviation of measuring it out, as a fraction
}

func (m *Model) portion(e Added) (portion, error) {
	p := portion{reagent: e.Reagent}
	p.measure(e.Amount)
	if e.Reagent.ID == "" {
		return p, m.spoonable(p)
	}
	if err := m.source(&p); err != nil {
		return p, err
	}
	return p, m.spoonable(p)
}

// source finds out how the reagent of a portion enters.
func (m *Model) source(p *portion) error {
	r := p.reagent
	p.packing = packingOf(r)
	switch {
	case r.ID == m.acid.ID:
		p.of = fromAcid
	case isEDTA(r):
		p.of, p.salt = fromEDTA, newSalt(r)
	case r.ID == "sodium-hydroxide" || r.ID == "potassium-hydroxide":
		p.of, p.perGram = fromLye, r.MolPerGram().Typical
	case r.ID == "":
		p.of = fromBag
	default:
		p.of = fromOther
		var err error
		if p.axis, err = m.surface.axisOf(r); err != nil {
			return err
		}
	}
	return nil
}

// spoonable checks that an amount can be turned into a mass that makes sense.
func (m *Model) spoonable(p portion) error {
	reagents := []tables.Reagent{p.reagent}
	if p.of == fromBag {
		reagents = reagents[:0]
		for _, k := range m.salts {
			reagents = append(reagents, k.reagent)
		}
	}
	for _, r := range reagents {
		mass, err := p.amount.Weigh(r.Packing())
		if err != nil {
			return err
		}
		most := 250.0
		if r.Form == tables.Liquid {
			most = 1500
		}
		if g := float64(mass.Typical()) / float64(m.setup.Volume); !(g > 0 && g <= most) {
			return &chem.InputError{Field: "amount of " + r.Name, Value: p.amount.String(), Want: "more than nothing and less than the water can take"}
		}
	}
	return nil
}

// measure sets the amount. A liquid is measured out as well as it is weighed.
func (p *portion) measure(a measure.Amount) {
	p.amount, p.error = a, weighing
	if a.VolumeLitres == 0 {
		p.grams = a.MassGrams
		return
	}
	p.volume = a.VolumeLitres / 1000
	if p.reagent.Form != tables.Liquid {
		p.error = levelling
	}
}

// measured is the mass of a portion in grams in one bath: packed is the deviate
// of its packing, off that of measuring it out.
func (p *portion) measured(packing *vary, packed, off float64) float64 {
	grams := p.grams
	if p.volume > 0 {
		grams = 1000 * p.volume * packing.at(packed)
	}
	return grams * (1 + p.error*off)
}
