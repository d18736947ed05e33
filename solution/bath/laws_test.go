package bath_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// freeIn is the chelant of the strong kind that no metal holds, mol, counted species by
// species: what holds EDTA and neither calcium, magnesium, iron nor another metal.
func freeIn(t *testing.T, b *bath.Bath) float64 {
	t.Helper()
	st, err := b.State()
	require.NoError(t, err)
	free := 0.0
	for _, d := range st.Species {
		n, held := 0.0, false
		for _, part := range d.Made {
			if part.Component == "edta4-" {
				n = part.N
			}
			held = held || st.Class(part.Component).Metal()
		}
		if !held {
			free += n * d.MolPerLitre * st.VolumeLitres
		}
	}
	return free
}

// A plan of upkeep, done: rust lets the pH rise as far as was let, acid brings it back,
// until three quarters of the chelant hold metal; sums are sums, and the room is the
// free chelant in iron.
func TestUpkeepDone(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	for _, acid := range []string{"citric acid", "muriatic acid"} {
		for _, rise := range []float64{0.3, 1} {
			b := demo.Mix(t, demo.Recipe(t))
			whole := 500 * demo.Recipe(t).Chelant.MolPerGram().Typical
			u, err := b.Upkeep(demo.Reagent(t, acid), o, 7, rise)
			require.NoError(t, err)
			require.InDelta(t, 7, u.PH, 0)
			require.InDelta(t, rise, u.PHRise, 0)
			rust, sour := 0.0, 0.0
			for i, d := range u.Doses {
				require.NoError(t, b.Dissolve(o, unit.Mass(d.RustGrams)*measure.Gram))
				require.InDelta(t, state(t, b).PH, d.PHFrom, 2e-4, "%s, dose %d", acid, i)
				require.Less(t, d.PHFrom, 7+rise+1e-3)
				if i < len(u.Doses)-2 { // the last are as much as there is room for
					require.InDelta(t, 7+rise, d.PHFrom, 1e-3, "%s, dose %d", acid, i)
				}
				require.NoError(t, b.Add(demo.Reagent(t, acid), unit.Mass(d.AcidGrams)*measure.Gram))
				require.InDelta(t, 7, state(t, b).PH, 2e-3, "%s, dose %d", acid, i)
				require.InEpsilon(t, 55.845*freeIn(t, b), d.RoomIronGrams, 2e-3)
				rust, sour = rust+d.RustGrams, sour+d.AcidGrams
			}
			require.InEpsilon(t, rust, u.RustGrams, 1e-9)
			require.InEpsilon(t, sour, u.Acid.MassGrams, 1e-9)
			require.InEpsilon(t, sour/rust, u.AcidPerRustGram, 1e-9)
			require.Contains(t, u.Stopped, "75 % of the chelant holds metal")
			require.InDelta(t, 0.25*whole, freeIn(t, b), 0.011*whole)
			// in parts of so much: as many whole ones as make up the first dose, one at least
			for share, after := range map[float64]string{1.5: "after every part of ", 0.7: "after every part of ", 0.4: "after every 2 parts of ", 0.3: "after every 3 parts of "} {
				each, n := share*u.Doses[0].RustGrams, math.Max(1, math.Floor(1/share))
				text, err := u.Parts(demo.Reagent(t, acid), unit.Mass(each/1000))
				require.NoError(t, err)
				due := solution.NewPortion(demo.Reagent(t, acid), unit.Mass(u.AcidPerRustGram*each*n/1000))
				require.Contains(t, text, due.Text()+" of "+u.Acid.Name)
				require.Contains(t, text, after+measure.FormatGrams(each)+" of rust each")
				require.Contains(t, text, fmt.Sprintf("from 7.0 to about %.1f", 7+rise))
			}
		}
	}
}

// Capacities by counting: free chelant in iron, one to one; what dissolves at a held pH as
// the limit less what is in; left alone to the pH at which the oxide stops; three
// quarters of the smaller of two.
func TestCapacitiesByCounting(t *testing.T) {
	for _, oxide := range []string{"goethite", "lepidocrocite", "ferrihydrite", "magnetite"} {
		o := demo.Oxide(t, oxide)
		b := demo.Mix(t, demo.Recipe(t))
		require.NoError(t, b.Dissolve(demo.Oxide(t, "lepidocrocite"), 12*measure.Gram))
		before := amounts(t, b, "Fe3+", "Fe2+")
		const pH = 6.6
		c, err := b.Capacities(o, pH)
		require.NoError(t, err)
		free := freeIn(t, b)
		require.InEpsilon(t, free, c.Chelant.IronMoles, 1e-6)
		require.InEpsilon(t, free*55.845, c.Chelant.IronGrams, 1e-4)
		f, err := demo.Tables(t).Formation(o.Species)
		require.NoError(t, err)
		perIron := f.Species.Formula.MolarMass() / f.Species.Formula.Count("Fe")
		require.InEpsilon(t, free*perIron, c.Chelant.RustGrams, 1e-6)
		l, err := b.Limit(o, pH)
		require.NoError(t, err)
		require.InEpsilon(t, l.IronMoles-before[0]-before[1], c.Equilibrium.IronMoles, 1e-6)
		require.InEpsilon(t, 0.75*min(c.Chelant.IronMoles, c.Equilibrium.IronMoles), c.Practical.IronMoles, 1e-9)
		alone, end, err := b.LeftAlone(o)
		require.NoError(t, err)
		require.Equal(t, alone, c.Proton)
		require.InDelta(t, end, c.EndPH, 0)
		require.True(t, c.ProtonLow.IronMoles <= c.Proton.IronMoles && c.Proton.IronMoles <= c.ProtonHigh.IronMoles)
		held, err := b.Held(o, pH)
		require.NoError(t, err)
		require.InEpsilon(t, min(c.Equilibrium.IronMoles, c.Stoichiometric.IronMoles), held.IronMoles, 1e-6)
		// a path there in ten portions: each as much rust, from nothing to all of it
		points, err := b.Drift(o, 10)
		require.NoError(t, err)
		require.Len(t, points, 11)
		for i, p := range points {
			require.InDelta(t, float64(i)/10*c.Proton.RustGrams, p.RustGrams, 1e-6*(1+c.Proton.RustGrams))
			require.InDelta(t, float64(i)/10*c.Proton.IronGrams, p.IronDissolvedGrams, 1e-3*(1+c.Proton.IronGrams))
			require.InDelta(t, p.FreeChelantMolPerLitre/points[0].FreeChelantMolPerLitre, p.FreeChelantFraction/points[0].FreeChelantFraction, 1e-6)
			if i > 0 {
				require.Greater(t, p.PH, points[i-1].PH)
			}
		}
		require.InDelta(t, c.EndPH, points[10].PH, 1e-4)
		require.InEpsilon(t, free/b.Litres(), points[0].FreeChelantMolPerLitre, 1e-6)
	}
}

// Iron's two states by hand: iron(III) takes half as much iron off bare steel, and of the
// chelant what that new iron wants, as far as some is free; acid below pH 7 takes half a
// mole for each mole of base that would neutralise it; air turns iron(II) and takes up a
// proton for each.
func TestIronByHand(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	require.NoError(t, b.Dissolve(demo.Oxide(t, "lepidocrocite"), 40*measure.Gram))
	r, err := b.Redox()
	require.NoError(t, err)
	ferric := 40 / 88.852
	require.InEpsilon(t, ferric, r.FerricMoles, 1e-4)
	require.Zero(t, r.FerrousMoles)
	require.InEpsilon(t, ferric/2*55.845, r.InBath.SteelGrams, 1e-4)
	require.InEpsilon(t, ferric/2, r.InBath.ChelantMoles, 1e-4)
	whole := 500 * demo.Recipe(t).Chelant.MolPerGram().Typical
	require.InEpsilon(t, ferric/2/whole, r.InBath.ChelantFraction, 1e-4)
	require.Zero(t, r.SteelByAirGramsPerDay, "under a lid")
	// steel: as far as there is iron(III) that is reduced, the rest by acid
	require.NoError(t, b.Corrode(unit.Mass((ferric/2+0.1)*55.845)*measure.Gram))
	after := amounts(t, b, "Fe3+", "Fe2+")
	require.InDelta(t, 0, after[0], 1e-9)
	require.InEpsilon(t, 1.5*ferric+0.1, after[1], 1e-4)
	protons := amounts(t, b, "H+")[0]
	require.NoError(t, b.Air())
	turned := amounts(t, b, "Fe3+", "Fe2+", "H+")
	require.InEpsilon(t, after[1], turned[0], 1e-9)
	require.InDelta(t, 0, turned[1], 1e-9)
	require.InDelta(t, protons-after[1], turned[2], 1e-9)
	// little free chelant: what is free is all that it can cost
	full := demo.Mix(t, demo.Recipe(t))
	require.NoError(t, full.Dissolve(demo.Oxide(t, "lepidocrocite"), 85*measure.Gram))
	r, err = full.Redox()
	require.NoError(t, err)
	require.InEpsilon(t, freeIn(t, full), r.InBath.ChelantMoles, 1e-6)
	require.Less(t, r.InBath.ChelantMoles, r.FerricMoles/2)
	sour, err := demo.Mix(t, demo.Recipe(t)).At(4)
	require.NoError(t, err)
	lye := demo.Reagent(t, "lye")
	d, err := sour.Dose(lye, solution.PH(7))
	require.NoError(t, err)
	steel, err := sour.SteelAtRisk()
	require.NoError(t, err)
	require.InEpsilon(t, d.MassGrams*lye.MolPerGram().Typical/2*55.845, steel, 2e-3)
	// zinc by its charge: Zn + 2 H⁺ = Zn²⁺ + H2
	was := amounts(t, sour, "H+", "Zn2+")
	require.NoError(t, sour.Strip("zinc", 6.538*measure.Gram))
	now := amounts(t, sour, "H+", "Zn2+")
	require.InEpsilon(t, 0.1, now[1]-was[1], 1e-4)
	require.InEpsilon(t, 0.2, was[0]-now[0], 1e-4)
	require.ErrorIs(t, sour.Strip("ferric-ferrous", measure.Gram), chem.ErrInput)
}

// What a diagnosis says are its figures, and those are the bath's.
func TestDiagnosesSayTheirFigures(t *testing.T) {
	o, citric, bag := demo.Oxide(t, "lepidocrocite"), demo.Reagent(t, "citric acid"), demo.Reagent(t, "tetrasodium EDTA tetrahydrate")
	fresh := func() *bath.Bath { return demo.Mix(t, demo.Recipe(t)) }
	whole := 500 * bag.MolPerGram().Typical
	grams := measure.FormatGrams
	say := func(b *bath.Bath, cause bath.Cause, atHand ...tables.Reagent) bath.Diagnosis {
		t.Helper()
		d, err := b.Diagnose(o, 7, atHand...)
		require.NoError(t, err)
		require.Equal(t, cause, d.Cause, d.Text)
		require.InDelta(t, state(t, b).PH, d.PH, 1e-9)
		require.InDelta(t, freeIn(t, b)/whole, d.FreeChelantFraction, 2e-3)
		return d
	}
	d := say(fresh(), bath.Working, citric)
	require.Contains(t, d.Text, "takes about "+grams(d.Now.RustGrams)+" more of rust (lepidocrocite), and about "+grams(d.After.RustGrams)+" when its pH is held at 7.0")
	alone, _, err := fresh().LeftAlone(o)
	require.NoError(t, err)
	require.Equal(t, alone, d.Now)
	held, err := fresh().Held(o, 7)
	require.NoError(t, err)
	require.InEpsilon(t, held.RustGrams, d.After.RustGrams, 1e-9)

	used := fresh()
	require.NoError(t, used.Dissolve(o, 90*measure.Gram))
	used, err = used.At(7)
	require.NoError(t, err)
	d = say(used, bath.Spent, bag)
	require.Contains(t, d.Text, fmt.Sprintf(" %.0f %% of it holds metal", 100-100*freeIn(t, used)/whole))
	require.InEpsilon(t, whole-freeIn(t, used), d.Remedy.MassGrams*bag.MolPerGram().Typical, 2e-3, "as much as there was, free")

	drifted := fresh()
	require.NoError(t, drifted.Dissolve(o, 45*measure.Gram))
	d = say(drifted, bath.Drifted, citric)
	require.Contains(t, d.Text, fmt.Sprintf("only drifted: %.0f %% of its chelant is still free", 100*freeIn(t, drifted)/whole))
	require.Contains(t, d.Text, fmt.Sprintf("from pH %.1f to 7.0", d.PH))
	require.Contains(t, d.Text, "it takes "+grams(d.Now.RustGrams)+" of rust")
	require.Contains(t, d.Text, "takes about "+grams(d.After.RustGrams)+" while held there")
	back, err := drifted.Dose(citric, solution.PH(7))
	require.NoError(t, err)
	require.InEpsilon(t, back.MassGrams, d.Remedy.MassGrams, 1e-6)
	d = say(drifted, bath.Drifted)
	require.Contains(t, d.Text, "Nothing at hand brings it back to 7.0")

	strong := demo.Recipe(t)
	strong.Amount = measure.AmountOfMass(5 * measure.Kilogram)
	b := demo.Mix(t, strong)
	much := 10 * 500 * strong.Chelant.MolPerGram().Typical
	d, err = b.Diagnose(o, 7)
	require.NoError(t, err)
	require.Equal(t, bath.TooStrong, d.Cause)
	require.InEpsilon(t, much/0.1-b.Litres(), d.WaterLitres, 1e-3, "to a tenth of a mole in a litre")
	require.Contains(t, d.Text, measure.FormatLitres(d.WaterLitres)+" of water")

	weak := demo.Recipe(t)
	weak.Amount = measure.AmountOfMass(50 * measure.Gram)
	b = demo.Mix(t, weak)
	d, err = b.Diagnose(o, 7, citric, bag)
	require.NoError(t, err)
	require.Equal(t, bath.TooWeak, d.Cause)
	require.InEpsilon(t, 0.1*b.Litres()-50*weak.Chelant.MolPerGram().Typical, d.Remedy.MassGrams*bag.MolPerGram().Typical, 1e-3)

	cold := demo.Recipe(t)
	cold.Temperature = chem.Celsius(5)
	d, err = demo.Mix(t, cold).Diagnose(o, 7)
	require.NoError(t, err)
	require.Equal(t, bath.TooCold, d.Cause)
	k, err := tables.Find[tables.Kinetic](demo.Tables(t), "activation-energy")
	require.NoError(t, err)
	slower := math.Exp(1000 * k.Value.Typical / 8.314462618 * (1/278.15 - 1/293.15)) // S. Arrhenius
	require.Contains(t, d.Text, fmt.Sprintf("at 5 °C rust goes about %.1f times slower than at 20 °C", slower))

	sour, err := fresh().At(3)
	require.NoError(t, err)
	d, err = sour.Diagnose(o, 7)
	require.NoError(t, err)
	require.Equal(t, bath.Soured, d.Cause)
	steel, err := sour.SteelAtRisk()
	require.NoError(t, err)
	require.Contains(t, d.Text, "up to "+grams(steel)+" of it")
	settled := 0.0
	for _, s := range state(t, sour).Solids {
		if strings.HasPrefix(s.Species, "H4edta") {
			settled = s.Moles * 292.244
		}
	}
	require.InDelta(t, settled, d.SettledAcidGrams, 1e-3*settled+1e-9)
}

// The ends of what a bath may be asked are taken, what lies a millionth beyond is not.
func TestBoundsOfABath(t *testing.T) {
	b, o, citric := demo.Mix(t, demo.Recipe(t)), demo.Oxide(t, "lepidocrocite"), demo.Reagent(t, "citric acid")
	keeps := func(name string, low, high float64, call func(float64) error) {
		t.Helper()
		for _, x := range []float64{low * (1 + 1e-12), high * (1 - 1e-12)} {
			if err := call(x); err != nil && !errors.Is(err, bath.ErrLimitless) {
				require.NotErrorIs(t, err, chem.ErrInput, "%s %g", name, x)
			}
		}
		for _, x := range []float64{low - 1e-6*max(low, 1e-3), high * (1 + 1e-6), math.NaN()} {
			require.ErrorIs(t, call(x), chem.ErrInput, "%s %g", name, x)
		}
	}
	litres := b.Litres()
	keeps("held pH", 1, 13, func(x float64) error { _, err := b.Limit(o, x); return err })
	keeps("brought to pH", 1, 13, func(x float64) error { _, err := b.At(x); return err })
	keeps("pH wanted", 1, 13, func(x float64) error { _, err := b.Diagnose(o, x); return err })
	keeps("pH to hold", 1, 12, func(x float64) error { _, err := b.Upkeep(demo.Reagent(t, "muriatic acid"), o, x, 1); return err })
	keeps("rise", 0.1, 3, func(x float64) error { _, err := b.Upkeep(citric, o, 7, x); return err })
	keeps("pH read", 1, 13, func(x float64) error { _, _, err := b.Read(x, 0.5); return err })
	keeps("tolerance", 0, 2, func(x float64) error { _, _, err := b.Read(7, x); return err })
	keeps("drained", 0, 0.999*litres, func(x float64) error { return b.Clone().Drain(unit.Volume(x) * measure.Litre) })
	keeps("rust", 0, 1e6*litres, func(x float64) error { return b.Clone().Dissolve(o, unit.Mass(x)*measure.Gram) })
	keeps("portions", 2, 1000, func(x float64) error {
		if x > 2.5 { // a thousand take their time
			x = math.Ceil(x)
		} else {
			x = math.Floor(x)
		}
		if x == 1000 {
			return nil
		}
		_, err := b.Drift(o, int(x))
		if math.IsNaN(x) {
			return chem.ErrInput
		}
		return err
	})
	u, err := b.Upkeep(citric, o, 7, 1)
	require.NoError(t, err)
	keeps("each", 1e-6, 1e6, func(x float64) error { _, err := u.Parts(citric, unit.Mass(x)*measure.Gram); return err })
	keeps("surface", 0, 1e7, func(x float64) error { return b.Clone().Stand(bath.Place{SurfaceCm2: x}) })
	keeps("bare steel", 0, 1e7, func(x float64) error { _, err := b.Attack(unit.Area(x/1e4), measure.Minute); return err })
	open := plainTub(t, bath.Place{Cover: bath.Still}, nil)
	keeps("tolerance of a gas reading", 0.01, 2, func(x float64) error {
		_, _, err := open.Learn(bath.GasReading{Hours: 1, PH: 7, Tolerance: x})
		return err
	})
	require.ErrorIs(t, func() error { _, err := b.Drift(o, 1); return err }(), chem.ErrInput)
	require.ErrorIs(t, func() error { _, err := b.Drift(o, 1001); return err }(), chem.ErrInput)
}
