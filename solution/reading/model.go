package reading

import (
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Model is a setup worked out: what can be computed before the first reading.
// It does not change and is safe for concurrent use.
type Model struct {
	setup     Setup
	basis     *basis
	surface   *surface
	salts     []salt // of the chelant, that the bag may hold
	strangers []salt // and what else it may
	extras    []weighed
	setter    tables.Reagent // what sets the pH
	sign      float64        // −1 if it lowers the pH, 1 if it raises it
	doubts    [doubts]doubt
	told      float64 // probability that the bag holds what its label says
	water     float64 // change of the logarithm of the ions per unit of the deviate
	vague     float64 // standard deviation of the pH that comes from constants and temperature
	amiss     float64 // and of the pH after an amount, besides
}

// weighed is a known mass of a reagent.
type weighed struct {
	reagent tables.Reagent
	grams   float64
}

// Beyond the range of the chelant in the bag, as fractions of its ends: below, and
// above for more from the bag.
const spareBelow, spareAbove = 0.8, 1.5

// New works a setup out. It titrates the bath at a handful of mixtures with the solver, which takes
// some tens of milliseconds; keep the model for the whole course. Errors wrap [chem.ErrInput].
func New(t *tables.Tables, s Setup) (*Model, error) {
	if t == nil {
		return nil, &chem.InputError{Field: "tables", Value: "missing", Want: "those of tables.Standard, say"}
	}
	s, err := s.settled(t)
	if err != nil {
		return nil, err
	}
	m := &Model{setup: s, setter: s.Acid, sign: -1, vague: constants, amiss: unsettled, water: math.Log1p(s.WaterTolerance) / spread.NineInTen}
	if s.Acid.ID == "" {
		m.setter, m.sign = s.Base, 1
	}
	if m.doubts, err = openTo(t); err != nil {
		return nil, err
	}
	for _, x := range s.Extras {
		grams, err := s.weigh("Extras", x.Reagent, x.Amount)
		if err != nil {
			return nil, err
		}
		m.extras = append(m.extras, weighed{x.Reagent, grams.Typical})
	}
	lowest, highest, err := m.fill(t)
	if err != nil {
		return nil, err
	}
	if m.surface, err = newSurface(m, lowest, highest); err != nil {
		return nil, err
	}
	m.meet()
	return m, nil
}

// fill reads the bag, and returns the least and the most chelant that is to be
// reckoned with, mol. What it may hold if it is mislabelled are the other salts of the
// chelant that come in the same form.
func (m *Model) fill(t *tables.Tables) (lowest, highest float64, err error) {
	total, named := 0.0, m.setup.Bag
	for _, c := range named {
		if err := chem.Within("Bag: weight of "+c.Salt.String(), c.Weight, 0, math.Inf(1), ""); err != nil {
			return 0, 0, err
		}
		total += c.Weight
	}
	if !(total > 0) {
		return 0, 0, &chem.InputError{Field: "Bag", Value: "empty", Want: "at least one salt with a weight above 0"}
	}
	if m.basis, err = newBasis(t, named[0].Salt); err != nil {
		return 0, 0, err
	}
	bag := slices.Clone(named)
	for _, r := range m.basis.shelf {
		_, ok := m.basis.salt(r)
		isNamed := slices.ContainsFunc(named, func(c Candidate) bool { return c.Salt.ID == r.ID })
		if _, err := m.setup.weigh("", r, m.setup.Amount); ok && !isNamed && err == nil && r.Form == named[0].Salt.Form {
			bag = append(bag, Candidate{r, 1})
		}
	}
	salts, others := 1-m.doubts[inKind].More, float64(len(bag)-len(named))
	if m.told, lowest = salts, math.Inf(1); others > 0 {
		m.told *= 1 - m.doubts[inLabel].More
	}
	for i, c := range bag {
		k, ok := m.basis.salt(c.Salt)
		if !ok {
			return 0, 0, &chem.InputError{Field: "Bag", Value: c.Salt.String(), Want: "salts of one chelating anion that differ in sodium, potassium and protons alone"}
		}
		if c.Weight == 0 {
			continue
		}
		k.named, k.place, k.prior = i < len(named), len(m.salts), m.told*c.Weight/total
		if !k.named {
			k.prior = (salts - m.told) / others
		}
		m.salts = append(m.salts, k)
		grams, err := m.setup.weigh("Amount", c.Salt, m.setup.Amount)
		if err != nil {
			return 0, 0, err
		}
		lowest = min(lowest, spareBelow*grams.Low*c.Salt.Assay.Low*k.perGram)
		highest = max(highest, spareAbove*grams.High*c.Salt.Assay.High*k.perGram)
	}
	return lowest, highest, nil
}

// sound returns the model of a bath of which all that is told is right, and how likely that is.
func (m *Model) sound() (*Model, float64) {
	right, likely := *m, m.told
	right.amiss, right.salts, right.strangers = 0, nil, nil
	for _, k := range m.salts {
		if k.named {
			k.prior /= m.told
			right.salts = append(right.salts, k)
		}
	}
	for _, k := range []int{ofAssay, ofFreeBase, inCount, ofHeap, ofWater, ofGas, ofSetter} {
		d := &right.doubts[k]
		likely *= 1 - d.Less - d.More
		d.below, d.above = math.Inf(-1), math.Inf(1)
	}
	return &right, likely
}

// Setup returns a copy of the setup with its defaults filled in.
func (m *Model) Setup() Setup { return tables.Copy(m.setup) }

// portion is an amount measured out, not yet known to the gram: of what sets the pH, or
// of the bag if it has no reagent. All else brings chelant and strong base in mol per gram
// of its typical assay, and what else it does along an axis of its own.
type portion struct {
	measure.Amount
	reagent       tables.Reagent
	setter        bool
	chelant, base float64
	axis          *axis // nil if that is all
	packing       tables.Range
	packed        int     // the latent of that
	open          bool    // whether what it is needed for is a pH for good, in an open tub
	spread        float64 // standard deviation of measuring it out, as a fraction
}

// portion measures out a reagent; a zero one stands for the bag.
func (m *Model) portion(e Added) (p portion, err error) {
	if e.Reagent.ID != "" {
		if p, err = m.template(e.Reagent); err == nil {
			_, err = m.setup.weigh("amount", e.Reagent, e.Amount)
		}
	}
	for i := 0; err == nil && e.Reagent.ID == "" && i < len(m.salts); i++ {
		_, err = m.setup.weigh("amount", m.salts[i].reagent, e.Amount)
	}
	p.Amount, p.spread = e.Amount, MeasuringError(e.Amount, e.Reagent.Form)
	return p, err
}

// template is a portion of no amount yet, with how the reagent enters.
func (m *Model) template(r tables.Reagent) (p portion, err error) {
	p = portion{reagent: r, packing: packing(r), packed: ofOtherPacking, open: m.setup.Open}
	made := m.basis.makeup(r)
	k, same := m.basis.salt(r)
	switch {
	case r.ID == m.setter.ID:
		p.setter, p.packed = true, ofSetterPacking
	case same:
		p.chelant = r.Assay.Typical * k.perGram
		p.base = p.chelant * (k.base + k.free.Typical)
	case made.lye():
		p.base = made.alkali * made.perGram
	default:
		p.axis, err = m.surface.axisOf(r)
	}
	return p, err
}

// measured is the mass of a portion in g, of which a level litre holds so many: off is
// the deviate of measuring it out.
func (m *Model) measured(p *portion, level, off float64) float64 {
	grams := p.MassGrams
	if p.VolumeLitres > 0 {
		grams = p.VolumeLitres * level
	}
	return grams * (1 + p.spread*off) * m.doubts[inCount].at(off)
}

// level is the mass in g of a litre by level spoons, which may all be heaped.
func (m *Model) level(packing tables.Range, z []float64, packed int) float64 {
	return spread.LogAt(packing, z[packed]) * m.doubts[ofHeap].at(z[ofHeap])
}

// stir adds grams of a reagent, at its typical assay, to a mixture.
func (p *portion) stir(mix *mixture, grams float64) {
	if p.setter {
		mix.setter += grams
		return
	}
	mix.chelant += grams * p.chelant
	mix.base += grams * p.base
	if p.axis != nil {
		mix.other = append(mix.other, dose{p.axis, grams})
	}
}

// stirred is a mixture with grams more of a reagent.
func (p *portion) stirred(mix *mixture, grams float64) mixture {
	more := *mix
	more.other = slices.Clip(more.other)
	p.stir(&more, grams)
	return more
}
