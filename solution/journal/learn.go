package journal

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// Lesson is what journals of baths that were mixed from one bag teach together: with what
// to begin the next one.
type Lesson struct {
	Baths    int `json:"baths"`
	Readings int `json:"readings"` // before the first part went in, which are those that tell of the bag
	// Bag is what the bag may hold, likeliest first, each salt with its assay, free base
	// and bulk density as learned: see [reading.Setup].
	Bag []reading.Candidate `json:"bag"`
	// Reagents are those that were added besides, with their assay as learned.
	Reagents []tables.Reagent `json:"reagents"`
	// WaterFactor is by how much the ions of the water are to be multiplied.
	WaterFactor tables.Range `json:"water_factor"`
	// SteelGramsPerM2Hour is what bare steel lost, by dips that tell SteelGrams, BareSteelCM2
	// and Hours, such as those of coupons; zero without any.
	SteelGramsPerM2Hour tables.Range `json:"steel_lost_g_per_m2_h"`
}

// known are reagents, by the ID that events give them, and water as they are rather than
// as the tables have them.
type known struct {
	reagents map[string]tables.Reagent
	water    float64
}

// of returns a reagent with the mass in g that an event adds of it: spoons weigh what
// they weigh.
func (k *known) of(r tables.Reagent, e Event) (tables.Reagent, float64) {
	is, ok := tables.Reagent{}, false
	if k != nil {
		is, ok = k.reagents[r.ID]
	}
	if !ok {
		return r, e.MassGrams
	}
	if v, err := measure.ParseVolume(e.Measure); err == nil && e.Measure != "" {
		return is, is.Packing().Typical * float64(v/measure.Litre)
	}
	return is, e.MassGrams
}

// tap returns the water as it is.
func (k *known) tap(w tables.Water) tables.Water {
	if k == nil {
		return w
	}
	w.Alkalinity *= tables.Alkalinity(k.water)
	w.Ions = slices.Clone(w.Ions)
	for i := range w.Ions {
		w.Ions[i].MolPerLitre *= k.water
	}
	return w
}

// Standard deviations of natural logarithms and of pH before anything is learned:
// judgement.
const (
	bagSpread    = 0.10         // of what a bag holds of its salt
	acidSpread   = 0.05         // of the strength of what else is added
	waterSpread  = 0.15 / 1.645 // of its ions: nine kits in ten are right within 15 %
	levelSpread  = 0.05         // of what level spoons of one bag weigh
	eyePerStep   = 0.6          // of a step of strip or meter, the rounding among it
	modelPH      = 0.07
	outlying     = 3.0 // standard deviations from which a reading counts for less and less
	otherSalt    = 0.03
	settledBelow = 0.02 // standard deviations, the last step of a fit
)

// Learn returns what lives of baths that were mixed from the bag of a name teach; those from
// other bags are passed over. The empty name is that of events without one.
//
// The strength and free base of each salt that the bag may hold, the strength of what was
// added and the water are fitted to all readings before the first part together, with
// normal priors and Cauchy's weights for readings that fit nothing (Gauss-Newton with halved
// steps; the width and the odds of the salts from the curvature, Laplace's method:
// MacKay 2003, Information Theory, Inference, and Learning Algorithms, chapter 27).
// What spoons weigh is the mean of the weighings. Without a bath of that bag the error
// wraps [chem.ErrInput].
func Learn(bag string, lives ...*Life) (*Lesson, error) {
	f := fit{}
	for _, l := range lives {
		if l != nil && l.mixture.Bag == bag && l.bath != nil {
			f.lives = append(f.lives, l)
		}
	}
	if len(f.lives) == 0 {
		return nil, &chem.InputError{Field: "bag", Value: "of no journal", Want: "the name of one that a bath was mixed from"}
	}
	if err := f.collect(bag); err != nil {
		return nil, err
	}
	out := &Lesson{Baths: len(f.lives), Readings: len(f.read), SteelGramsPerM2Hour: f.steel()}
	most, best := math.Inf(-1), ends{}
	var evidence []float64
	for r := range f.lives[0].tables.Reagents() {
		if r.Form != f.told.Form || !r.Chelant.Equal(f.told.Chelant) {
			continue
		}
		prior := otherSalt
		if r.ID == f.told.ID {
			prior = 1
		}
		e, logOdds, err := f.run(r)
		if err != nil {
			continue // a salt of which such a bath cannot be made
		}
		if logOdds += math.Log(prior); logOdds > most {
			most, best = logOdds, e
		}
		out.Bag, evidence = append(out.Bag, reading.Candidate{Salt: e.salt}), append(evidence, logOdds)
	}
	if len(out.Bag) == 0 {
		return nil, &chem.InputError{Field: "journals", Value: "of baths that no salt makes", Want: "some of " + f.told.Name}
	}
	all := 0.0
	for i := range out.Bag {
		out.Bag[i].Weight = math.Exp(evidence[i] - most)
		all += out.Bag[i].Weight
	}
	for i := range out.Bag {
		out.Bag[i].Weight /= all
	}
	slices.SortStableFunc(out.Bag, func(a, b reading.Candidate) int { return cmp.Compare(b.Weight, a.Weight) })
	out.Reagents, out.WaterFactor = best.others, best.water
	return out, nil
}

// fit is what the journals hold.
type fit struct {
	lives  []*Life
	told   tables.Reagent
	others []tables.Reagent
	bulk   measure.BulkDensity // of the bag, as weighed; zero if it never was
	read   []Event
}

// ends are what a fit of one salt comes to.
type ends struct {
	salt   tables.Reagent
	others []tables.Reagent
	water  tables.Range
}

// collect finds what was added and read before the first part.
func (f *fit) collect(bag string) (err error) {
	if f.told, err = f.lives[0].tables.Reagent(f.lives[0].mixture.Reagent); err != nil {
		return err
	}
	grams, litres, weighings := 0.0, 0.0, 0.0
	for _, l := range f.lives {
		for e := range l.fresh() {
			switch e.Kind {
			case Reading:
				f.read = append(f.read, e)
			case Weighed:
				if e.Bag == bag {
					grams, litres, weighings = grams+e.MassGrams, litres+e.VolumeLitres, weighings+1
				}
			case Added:
				r, err := l.tables.Reagent(e.Reagent)
				if err != nil {
					return err
				}
				if r.ID != f.told.ID && !slices.ContainsFunc(f.others, func(o tables.Reagent) bool { return o.ID == r.ID }) {
					f.others = append(f.others, r)
				}
			}
		}
	}
	if weighings > 0 {
		width := math.Exp(spread.NineInTen * levelSpread / math.Sqrt(weighings))
		f.bulk = measure.BulkDensity{Loose: grams / litres / width, Typical: grams / litres, Tapped: grams / litres * width}
	}
	return nil
}

// steel is what bare steel lost, in g/(m² h).
func (f *fit) steel() tables.Range {
	var rates []float64
	for _, l := range f.lives {
		for _, e := range standing(l.events) {
			if e.Kind == Dipped && e.BareSteelCM2 > 0 && e.Hours > 0 {
				rates = append(rates, e.SteelGrams/(e.BareSteelCM2/1e4)/e.Hours)
			}
		}
	}
	return spread.Of(rates)
}

// fresh yields what stands of the events before the first part.
func (l *Life) fresh() iter.Seq[Event] {
	return func(yield func(Event) bool) {
		for _, e := range standing(l.events) {
			if e.Kind == Dipped || e.Kind == Stood || e.Kind == Blended || !yield(e) {
				return
			}
		}
	}
}

// at is a bath's make as deviates have it: of the strength and the free base of the
// bag, of the water, of what else was added.
func (f *fit) at(salt tables.Reagent, z []float64) ends {
	strength := func(r tables.Reagent, width, z float64) float64 {
		return min(1, r.Assay.Typical*math.Exp(width*z))
	}
	e := ends{salt: salt, water: tables.Range{Typical: math.Exp(waterSpread * z[2])}, others: slices.Clone(f.others)}
	e.salt.Assay.Typical = strength(salt, bagSpread, z[0])
	e.salt.ExcessBase.Typical = spread.At(salt.ExcessBase, z[1])
	if f.bulk.Typical > 0 {
		e.salt.Bulk = f.bulk
	}
	for i := range e.others {
		e.others[i].Assay.Typical = strength(e.others[i], acidSpread, z[3+i])
	}
	return e
}

// misfit returns how far all readings are off, in standard deviations.
func (f *fit) misfit(salt tables.Reagent, z []float64) ([]float64, error) {
	is := f.at(salt, z)
	k := &known{map[string]tables.Reagent{f.told.ID: is.salt}, is.water.Typical}
	for _, r := range is.others {
		k.reagents[r.ID] = r
	}
	var out []float64
	for _, l := range f.lives {
		next := &Life{tables: l.tables, known: k}
		for e := range l.fresh() {
			if err := next.Apply(e); err != nil {
				return nil, err
			}
			if e.Kind != Reading {
				continue
			}
			st, err := next.bath.State()
			if err != nil {
				return nil, err
			}
			out = append(out, (st.PH-*e.PH)/math.Hypot(modelPH, eyePerStep*e.ResolutionPH))
		}
	}
	return out, nil
}

// cost is minus the logarithm of how likely deviates and misfits are together.
func cost(z, off []float64) float64 {
	sum := 0.0
	for _, x := range z {
		sum += x * x / 2
	}
	for _, x := range off {
		sum += outlying * outlying / 2 * math.Log1p(x*x/outlying/outlying)
	}
	return sum
}

// run fits one salt and returns its odds as a logarithm, apart from the prior.
func (f *fit) run(salt tables.Reagent) (ends, float64, error) {
	n := 3 + len(f.others)
	z := make([]float64, n)
	off, err := f.misfit(salt, z)
	if err != nil {
		return ends{}, 0, err
	}
	var curvature mat.Cholesky
	const mostSteps, chord = 12, 0.1
	for range mostSteps {
		a, g := mat.NewSymDense(n, nil), mat.NewVecDense(n, slices.Clone(z))
		slopes := make([][]float64, n)
		for i := range n {
			near := slices.Clone(z)
			near[i] += chord
			if slopes[i], err = f.misfit(salt, near); err != nil {
				return ends{}, 0, err
			}
			a.SetSym(i, i, 1)
			for k := range off {
				slopes[i][k] = (slopes[i][k] - off[k]) / chord
				g.SetVec(i, g.AtVec(i)+slopes[i][k]*off[k]/(1+off[k]*off[k]/outlying/outlying))
			}
			for j := range i + 1 {
				sum := a.At(i, j)
				for k := range off {
					sum += slopes[i][k] * slopes[j][k] / (1 + off[k]*off[k]/outlying/outlying)
				}
				a.SetSym(i, j, sum)
			}
		}
		curvature.Factorize(a) // one at least on the diagonal: positive definite
		var step mat.VecDense
		if err := curvature.SolveVecTo(&step, g); err != nil {
			return ends{}, 0, err
		}
		next, moved := slices.Clone(z), 0.0
		for share := 1.0; share > 1e-3; share /= 2 {
			for i := range z {
				next[i] = z[i] - share*step.AtVec(i)
			}
			there, err := f.misfit(salt, next)
			if err == nil && cost(next, there) < cost(z, off) {
				z, off, moved = next, there, share*mat.Norm(&step, math.Inf(1))
				break
			}
		}
		if moved < settledBelow {
			break
		}
	}
	return f.widths(salt, z, &curvature), -cost(z, off) - curvature.LogDet()/2, nil
}

// widths puts ranges about a fit.
func (f *fit) widths(salt tables.Reagent, z []float64, curvature *mat.Cholesky) ends {
	out := f.at(salt, z)
	var covariance mat.SymDense
	if err := curvature.InverseTo(&covariance); err != nil {
		return out
	}
	low, high := slices.Clone(z), slices.Clone(z)
	for i := range z {
		width := spread.NineInTen * math.Sqrt(covariance.At(i, i))
		low[i], high[i] = z[i]-width, z[i]+width
	}
	from, to := f.at(salt, low), f.at(salt, high)
	between := func(r *tables.Range, a, b tables.Range) { r.Low, r.High = a.Typical, b.Typical }
	between(&out.salt.Assay, from.salt.Assay, to.salt.Assay)
	between(&out.salt.ExcessBase, from.salt.ExcessBase, to.salt.ExcessBase)
	between(&out.water, from.water, to.water)
	for i := range out.others {
		between(&out.others[i].Assay, from.others[i].Assay, to.others[i].Assay)
	}
	return out
}
