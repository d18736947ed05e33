package reading

import (
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Model is a setup worked out: what can be computed before the first reading.
// It does not change and is safe for concurrent use.
type Model struct {
	setup   Setup
	basis   *basis
	surface *surface
	salts   []salt
	setter  tables.Reagent // what sets the pH
	sign    float64        // −1 if it lowers the pH, 1 if it raises it
	assay   vary           // of the setter
	water   float64        // change of the logarithm of the ions per unit of the deviate
}

// New works a setup out. It titrates the bath at a handful of mixtures with
// the solver, which takes some tens of milliseconds; keep the model for the
// whole course. Errors wrap [chem.ErrInput].
func New(t *tables.Tables, s Setup) (*Model, error) {
	if t == nil {
		return nil, &chem.InputError{Field: "tables", Value: "missing", Want: "those of tables.Standard, say"}
	}
	s, err := s.settled(t)
	if err != nil {
		return nil, err
	}
	m := &Model{setup: s, sign: -1, water: math.Log1p(s.WaterTolerance) / spread.NineInTen}
	setter, field := s.setter()
	if field == "Base" {
		m.sign = 1
	}
	m.setter, m.assay = setter, share(setter.Assay)
	if m.basis, err = newBasis(t, s.Bag[0].Salt); err != nil {
		return nil, err
	}
	total := 0.0
	for _, c := range s.Bag {
		total += c.Weight
	}
	lowest, highest := math.Inf(1), 0.0
	for _, c := range s.Bag {
		if !m.basis.shares(m.basis.makeup(c.Salt)) {
			return nil, &chem.InputError{Field: "Bag", Value: c.Salt.String(), Want: "salts of one chelating anion that differ in sodium, potassium and protons alone"}
		}
		if c.Weight == 0 {
			continue
		}
		k := m.basis.newSalt(c.Salt)
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
	m.surface, err = newSurface(m, lowest, highest)
	return m, err
}

// Setup returns the setup with its defaults filled in.
func (m *Model) Setup() Setup {
	s := m.setup
	return s
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
	fromBag    supply = iota
	fromSetter        // what sets the pH
	fromLye           // alkali hydroxide, nothing but strong base
	fromSalt          // a known salt of the chelant
	fromOther         // anything else, along an axis of its own
)

// portion is an amount measured out, not yet known to the gram.
type portion struct {
	of      supply
	reagent tables.Reagent
	amount  measure.Amount
	salt    salt // for fromSalt
	axis    axis // for fromOther
	perGram float64
	packing vary
	grams   float64 // as measured out; 0 if spooned
	volume  float64 // m³
	spread  float64 // standard deviation of measuring it out, as a fraction
}

// portion measures out a reagent; a zero one stands for the bag.
func (m *Model) portion(e Added) (portion, error) {
	p := portion{reagent: e.Reagent}
	if e.Reagent.ID != "" {
		var err error
		if p, err = m.template(e.Reagent); err != nil {
			return p, err
		}
	}
	p.measure(e.Amount)
	return p, m.measurable(p)
}

// template is a portion of no amount yet, with how the reagent enters.
func (m *Model) template(r tables.Reagent) (portion, error) {
	p := portion{reagent: r, packing: packingOf(r)}
	made := m.basis.makeup(r)
	switch {
	case r.ID == m.setter.ID:
		p.of = fromSetter
	case m.basis.shares(made):
		p.of, p.salt = fromSalt, m.basis.newSalt(r)
	case made.lye():
		p.of, p.perGram = fromLye, made.alkali*r.MolPerGram().Typical
	default:
		p.of = fromOther
		var err error
		if p.axis, err = m.surface.axisOf(r, made); err != nil {
			return p, err
		}
	}
	return p, nil
}

// measurable checks that an amount can be turned into a mass that makes sense.
func (m *Model) measurable(p portion) error {
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
		most := m.setup.most(r)
		if g := mass.TypicalGrams; !(g > 0 && g <= most) {
			return &chem.InputError{Field: "amount of " + r.Name, Value: p.amount.String(), Want: "above 0 to " + measure.FormatMass(unit.Mass(most)*measure.Gram)}
		}
	}
	return nil
}

// measure sets the amount. A liquid is measured out as well as it is weighed.
func (p *portion) measure(a measure.Amount) {
	p.amount, p.spread = a, WeighingError
	if a.VolumeLitres == 0 {
		p.grams = a.MassGrams
		return
	}
	p.volume = a.VolumeLitres / 1000
	if p.reagent.Form != tables.Liquid {
		p.spread = LevellingError
	}
}

// measured is the mass of a portion in grams in one bath: packed is the deviate
// of its packing, off that of measuring it out.
func (p *portion) measured(packing *vary, packed, off float64) float64 {
	grams := p.grams
	if p.volume > 0 {
		grams = 1000 * p.volume * packing.at(packed)
	}
	return grams * (1 + p.spread*off)
}

// packed is the latent of the packing of anything but the bag.
func (p *portion) packed() int {
	if p.of == fromSetter {
		return ofSetterPacking
	}
	return ofOtherPacking
}

// brings is the mol of chelant in a gram of the portion, at its typical assay.
func (p *portion) brings(f *surface) float64 {
	switch p.of {
	case fromSetter:
		return f.brings
	case fromSalt:
		return p.reagent.Assay.Typical * p.salt.perGram
	}
	return 0
}

// stir adds grams of a reagent, at its typical assay, to a mixture.
func (p *portion) stir(mix *mixture, grams float64) {
	switch p.of {
	case fromSetter:
		mix.setter += grams
	case fromLye:
		mix.base += grams * p.perGram
	case fromSalt:
		p.salt.pour(mix, grams*p.reagent.Assay.Typical, 0)
	case fromOther:
		mix.other = append(mix.other, dose{p.axis, grams})
	}
}
