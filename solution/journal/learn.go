package journal

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/floats"
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
	Bag         []reading.Candidate `json:"salts"`
	Reagents    []tables.Reagent    `json:"reagents"`     // that were added besides, with their assay as learned
	WaterFactor tables.Range        `json:"water_factor"` // by which the ions of the water are to be multiplied
	// SteelGramsPerM2Hour is what bare steel lost, by dips that tell SteelGrams, BareSteelCM2
	// and Hours, such as those of coupons; zero without any.
	SteelGramsPerM2Hour tables.Range `json:"steel_lost_g_per_m2_h"`
}

// known is what reagents and water are as learned. The zero value goes by the tables.
type known struct {
	reagents map[string]tables.Reagent // by the ID that events give them
	water    tables.Range              // factor on its ions
}

// of returns a reagent with the mass in g that an event adds of it, by its bulk if in spoons.
func (k known) of(r tables.Reagent, e Event) (tables.Reagent, float64) {
	is, ok := k.reagents[r.ID]
	v, err := measure.ParseVolume(e.Measure)
	switch {
	case !ok:
		return r, e.MassGrams
	case err == nil:
		return is, is.Packing().Typical * float64(v/measure.Litre)
	}
	return is, e.MassGrams
}

// Standard deviations of logarithms and of pH before anything is learned: judgement.
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
// The strength and free base of each salt that the bag may hold, the strength of what was added and
// the water are fitted to all readings before the first part together, with normal priors and
// Cauchy's loss for readings that fit nothing (Gauss-Newton with halved steps; the width and the
// odds of the salts from the curvature, Laplace's method: MacKay 2003, Information Theory,
// Inference, and Learning Algorithms, chapter 27). What spoons weigh is the mean of the weighings.
func Learn(bag string, lives ...*Life) (*Lesson, error) {
	f := fit{lives: slices.DeleteFunc(slices.Clone(lives), func(l *Life) bool {
		return l == nil || l.bath == nil || l.mixture.Bag != bag
	})}
	if len(f.lives) == 0 {
		return nil, &chem.InputError{Field: "bag", Value: "of no journal", Want: "the name of one that a bath was mixed from"}
	}
	f.collect(bag)
	var all []known
	var odds []float64
	for r := range tables.All[tables.Reagent](f.lives[0].tables) {
		if r.Form != f.told.Form || !r.Chelant.Equal(f.told.Chelant) {
			continue
		}
		prior := otherSalt
		if r.ID == f.told.ID {
			prior = 1
		}
		if k, logOdds, err := f.run(r); err == nil { // one of which such a bath can be made
			all, odds = append(all, k), append(odds, logOdds+math.Log(prior))
		}
	}
	if len(all) == 0 {
		return nil, &chem.InputError{Field: "journals", Value: "of baths that no salt makes", Want: "some of " + f.told.Name}
	}
	best, whole := all[floats.MaxIdx(odds)], floats.LogSumExp(odds)
	out := &Lesson{Baths: len(f.lives), Readings: f.readings, SteelGramsPerM2Hour: spread.Of(f.steel), WaterFactor: best.water}
	for _, r := range f.others {
		out.Reagents = append(out.Reagents, best.reagents[r.ID])
	}
	for i, k := range all {
		out.Bag = append(out.Bag, reading.Candidate{Salt: k.reagents[f.told.ID], Weight: math.Exp(odds[i] - whole)})
	}
	slices.SortStableFunc(out.Bag, func(a, b reading.Candidate) int { return cmp.Compare(b.Weight, a.Weight) })
	return out, nil
}

// fit is what the journals hold.
type fit struct {
	lives    []*Life
	told     tables.Reagent
	others   []tables.Reagent
	bulk     measure.BulkDensity // of the bag, as weighed; zero if it never was
	readings int
	steel    []float64 // that went, g/(m² h)
}

// collect finds what was added and read before the first part, and steel that went later.
func (f *fit) collect(bag string) {
	f.told, _ = f.lives[0].tables.Reagent(f.lives[0].mixture.Reagent)
	grams, litres, weighings := 0.0, 0.0, 0.0
	for _, l := range f.lives {
		for e := range l.fresh() {
			switch {
			case e.Kind == Reading:
				f.readings++
			case e.Kind == Weighed && e.Bag == bag:
				grams, litres, weighings = grams+e.MassGrams, litres+e.VolumeLitres, weighings+1
			case e.Kind == Added:
				r, _ := l.tables.Reagent(e.Reagent)
				if r.ID != f.told.ID && !slices.ContainsFunc(f.others, func(o tables.Reagent) bool { return o.ID == r.ID }) {
					f.others = append(f.others, r)
				}
			}
		}
		for e := range l.happened() {
			if e.Kind == Dipped && e.SteelGrams > 0 && e.BareSteelCM2 > 0 && e.Hours > 0 {
				f.steel = append(f.steel, e.SteelGrams/(e.BareSteelCM2/1e4)/e.Hours)
			}
		}
	}
	if weighings > 0 {
		width := math.Exp(spread.NineInTen * levelSpread / math.Sqrt(weighings))
		f.bulk = measure.BulkDensity{Loose: grams / litres / width, Typical: grams / litres, Tapped: grams / litres * width}
	}
}

// fresh yields what happened before the first part.
func (l *Life) fresh() iter.Seq[Event] {
	return func(yield func(Event) bool) {
		for e := range l.happened() {
			if e.Kind == Dipped || e.Kind == Stood || e.Kind == Blended || !yield(e) {
				return
			}
		}
	}
}

// at is what deviates make of bag (strength, free base), water and what else was added.
func (f *fit) at(salt tables.Reagent, z []float64) known {
	strength := func(r tables.Reagent, width, z float64) float64 {
		return min(1, r.Assay.Typical*math.Exp(width*z))
	}
	salt.Assay.Typical = strength(salt, bagSpread, z[0])
	salt.ExcessBase.Typical = spread.At(salt.ExcessBase, z[1])
	if f.bulk.Typical > 0 {
		salt.Bulk = f.bulk
	}
	k := known{map[string]tables.Reagent{f.told.ID: salt}, tables.Range{Typical: math.Exp(waterSpread * z[2])}}
	for i, r := range f.others {
		r.Assay.Typical = strength(r, acidSpread, z[3+i])
		k.reagents[r.ID] = r
	}
	return k
}

// misfit writes how far off deviates and readings are, in standard deviations: half the sum
// of squares is minus the logarithm of how likely they are.
func (f *fit) misfit(off []float64, salt tables.Reagent, z []float64) error {
	k, n := f.at(salt, z), copy(off, z)
	for _, l := range f.lives {
		next := &Life{tables: l.tables, known: k}
		for e := range l.fresh() {
			if err := next.Apply(e); err != nil {
				return err
			}
			if e.Kind != Reading {
				continue
			}
			st, err := next.bath.State()
			if err != nil {
				return err
			}
			x := (st.PH - *e.PH) / math.Hypot(modelPH, eyePerStep*e.ResolutionPH) / outlying
			off[n] = math.Copysign(outlying*math.Sqrt(math.Log1p(x*x)), x)
			n++
		}
	}
	return nil
}

// run fits one salt and returns its odds as a logarithm, apart from the prior.
func (f *fit) run(salt tables.Reagent) (known, float64, error) {
	z := make([]float64, 3+len(f.others))
	off, there, next := make([]float64, len(z)+f.readings), make([]float64, len(z)+f.readings), make([]float64, len(z))
	err := f.misfit(off, salt, z)
	slopes := mat.NewDense(len(off), len(z), nil)
	var square mat.SymDense
	var curvature mat.Cholesky
	var pull, step mat.VecDense
	const mostSteps, chord, shortest = 12, 0.1, 1e-3 // steps, their chord and least share of one: chosen by trial
	for moved, n := 1.0, 0; moved > settledBelow && n < mostSteps; n++ {
		fd.Jacobian(slopes, func(y, x []float64) { err = cmp.Or(err, f.misfit(y, salt, x)) }, z,
			&fd.JacobianSettings{Formula: fd.Forward, Step: chord, OriginValue: off})
		square.SymOuterK(1, slopes.T())
		curvature.Factorize(&square) // one at least on the diagonal: positive definite
		pull.MulVec(slopes.T(), mat.NewVecDense(len(off), off))
		if err = cmp.Or(err, curvature.SolveVecTo(&step, &pull)); err != nil {
			return known{}, 0, err
		}
		moved = 0
		for share := 1.0; share > shortest && moved == 0; share /= 2 {
			floats.AddScaledTo(next, z, -share, step.RawVector().Data)
			if f.misfit(there, salt, next) == nil && floats.Norm(there, 2) < floats.Norm(off, 2) {
				moved = share * mat.Norm(&step, math.Inf(1))
				z, off, next, there = next, there, z, off
			}
		}
	}
	return f.within(salt, z, &curvature), -floats.Dot(off, off)/2 - curvature.LogDet()/2, nil
}

// within puts ranges about a fit.
func (f *fit) within(salt tables.Reagent, z []float64, curvature *mat.Cholesky) known {
	var covariance mat.SymDense
	_ = curvature.InverseTo(&covariance) // of what has solved for a step
	low, high := slices.Clone(z), slices.Clone(z)
	for i := range z {
		width := spread.NineInTen * math.Sqrt(covariance.At(i, i))
		low[i], high[i] = z[i]-width, z[i]+width
	}
	is, from, to := f.at(salt, z), f.at(salt, low), f.at(salt, high)
	is.water.Low, is.water.High = from.water.Typical, to.water.Typical
	for id, r := range is.reagents {
		a, b := from.reagents[id], to.reagents[id]
		r.Assay.Low, r.Assay.High = a.Assay.Typical, b.Assay.Typical
		if id == f.told.ID {
			r.ExcessBase.Low, r.ExcessBase.High = a.ExcessBase.Typical, b.ExcessBase.Typical
		}
		is.reagents[id] = r
	}
	return is
}
