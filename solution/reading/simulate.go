package reading

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Trial is a bath drawn from the priors, to try advice on: every quantity that
// the model holds uncertain has one value, and the pH comes from the solver.
type Trial struct {
	Salt tables.Reagent // what the bag holds, with its own assay and free base
	// BiasShare is the part of the variance of a strip's error, rounding apart,
	// that is a bias: a half, as the model believes, unless it is changed to see
	// what a wrong belief costs.
	BiasShare float64

	model  *Model
	random *rand.Rand
	vessel *solution.Solution
	fresh  *solution.Solution // the bag in water
	poured []pour             // what came after it
	z      []float64
	biases map[string]float64
	edta   float64
	shift  float64
}

// Trial draws a bath. Trials of the same seed are the same bath whatever is
// done to them, so that two ways of proceeding can be compared.
func (m *Model) Trial(seed uint64) (*Trial, error) {
	random := rand.New(rand.NewPCG(seed, 0x747269616c))
	k := &m.salts[m.pick(random.Float64())]
	z := make([]float64, common)
	for i := range z {
		z[i] = random.NormFloat64()
	}
	t := &Trial{Salt: k.reagent, BiasShare: biasShare, model: m, random: random, z: z, biases: map[string]float64{}, shift: constants * z[ofModel]}
	t.Salt.Assay.Typical = k.assay.at(z[ofAssay])
	t.Salt.ExcessBase.Typical = spread.At(k.reagent.ExcessBase, z[ofFreeBase])
	var err error
	if t.vessel, err = solution.New(m.tables, m.setup.Temperature); err != nil {
		return nil, err
	}
	factor := math.Exp(m.water * z[ofWater])
	if err := t.vessel.AddWater(scaled(m.setup.Water, factor), m.setup.Volume); err != nil {
		return nil, err
	}
	return t, t.Add(Added{Amount: m.setup.Amount})
}

// Add stirs something in, as badly measured as the model takes it to be.
func (t *Trial) Add(e Added) error {
	p := portion{reagent: e.Reagent}
	packed := ofPacking
	actual := t.Salt
	switch e.Reagent.ID {
	case "":
		p.reagent = t.Salt
	case t.model.acid.ID:
		packed = ofAcidPacking
		actual = e.Reagent
		actual.Assay.Typical = t.model.assay.at(t.z[ofAcid])
	default:
		packed = ofBasePacking
		actual = e.Reagent
	}
	p.packing = packingOf(p.reagent)
	p.measure(e.Amount)
	grams := p.measured(&p.packing, t.z[packed], t.random.NormFloat64())
	if isEDTA(actual) {
		t.edta += grams * actual.MolPerGram().Typical
	}
	if err := t.vessel.Add(actual, unit.Mass(grams/1000)); err != nil {
		return err
	}
	if t.fresh == nil {
		t.fresh = t.vessel.Clone()
	} else {
		t.poured = append(t.poured, pour{actual, grams})
	}
	return nil
}

// pour is what went into a trial.
type pour struct {
	reagent tables.Reagent
	grams   float64
}

// PH returns the pH that a perfect meter would read.
func (t *Trial) PH() (float64, error) {
	st, err := t.vessel.Equilibrate()
	if err != nil {
		return 0, err
	}
	return st.PH + t.shift, nil
}

// EDTA returns the mol of EDTA in the bath.
func (t *Trial) EDTA() float64 { return t.edta }

// Need returns the mass in g of a reagent, of its own strength, that would bring
// the bath from here to a pH. It is negative when so much less of it should have
// gone in, and an error that wraps solution.ErrUnreachable says that none of it
// ever should.
func (t *Trial) Need(r tables.Reagent, pH float64) (float64, error) {
	v := t.fresh.Clone()
	had := 0.0
	for _, x := range t.poured {
		if x.reagent.ID == r.ID {
			had += x.grams
		} else if err := v.Add(x.reagent, unit.Mass(x.grams/1000)); err != nil {
			return 0, err
		}
	}
	if r.ID == t.model.acid.ID {
		r.Assay.Typical = t.model.assay.at(t.z[ofAcid])
	}
	d, err := v.Dose(r, solution.PH(pH-t.shift))
	return d.MassGrams - had, err
}

// Read reads a strip or a meter, with its bias and with gross errors as often as
// the model expects them.
func (t *Trial) Read(s tables.Strip) (Read, error) {
	pH, err := t.PH()
	if err != nil {
		return Read{}, err
	}
	bias, ok := t.biases[s.ID]
	if !ok {
		bias = t.random.NormFloat64()
		t.biases[s.ID] = bias
	}
	value := s.Read(pH + eye(s)*(math.Sqrt(t.BiasShare)*bias+math.Sqrt(1-t.BiasShare)*t.random.NormFloat64()))
	if t.random.Float64() < gross {
		marks := s.Marks()
		value = marks[t.random.IntN(len(marks))]
	}
	return Read{s, value}, nil
}
