package bath_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Areal masses by geometry (arithmetic): 10 µm of FeO(OH) at 4.1 g/cm³ and 30 %
// porosity are 28.7 g/m², 18.0 of it iron; 50 µm are 143.5; 100 µm of dense
// magnetite at 5.2 g/cm³ are 520.0 g/m² with 376.3 of iron.
func TestLayersByGeometry(t *testing.T) {
	std := standard(t)
	layer := func(phase string, density, porosity, um float64) bath.Layer {
		p, err := std.RustPhase(phase)
		require.NoError(t, err)
		p.Density = density
		one := tables.Range{Low: 1, Typical: 1, High: 1}
		r := tables.Rust{Name: phase, Constituents: []tables.Constituent{{Phase: p, Share: one}}, Porosity: one.Times(porosity)}
		l, err := bath.LayerOfThickness(r, unit.Length(um*1e-6))
		require.NoError(t, err)
		return l
	}
	for _, tc := range []struct {
		layer        bath.Layer
		rust, ironed float64
	}{
		{layer("goethite", 4100, 0.3, 10), 28.7, 18.0},
		{layer("goethite", 4100, 0.3, 50), 143.5, 90.2},
		{layer("magnetite", 5200, 0, 100), 520.0, 376.3},
	} {
		require.InDelta(t, tc.rust, tc.layer.Rust.Typical, 0.2)
		require.InDelta(t, tc.ironed, tc.layer.Iron.Typical, 0.2)
	}
}

// ISO 9223:2012, carbon steel, first year: at most 200 g/m² in C2 and 650 in C4
// (mass from memory); as FeO(OH) 320 and 1030 g/m²; 8.10 g of tetrasodium EDTA
// tetrahydrate for each gram of iron make 1620 and 5260 g/m² (arithmetic). So a
// square metre that spent a year in a damp shed can hold more iron than the
// library's tub can bind.
func TestRustOfAYear(t *testing.T) {
	std := standard(t)
	goethite, err := std.RustPhase("goethite")
	require.NoError(t, err)
	one := tables.Range{Low: 1, Typical: 1, High: 1}
	pureRust := tables.Rust{Name: "goethite", Constituents: []tables.Constituent{{Phase: goethite, Share: one}}}
	salt := reagent(t, "tetrasodium EDTA tetrahydrate")
	salt.Assay = one
	for class, want := range map[string][3]float64{"C2": {200, 320, 1620}, "C4": {650, 1030, 5260}} {
		c, err := std.Corrosivity(class)
		require.NoError(t, err)
		l, err := bath.LayerOfYears(c, pureRust, 1)
		require.NoError(t, err)
		require.InDelta(t, want[0], l.Iron.High, 1e-9)
		require.InDelta(t, want[1], l.Rust.High, 5)
		require.InDelta(t, want[2], l.Iron.High/55.845/salt.MolPerGram().Typical, 10)
	}
	c2, err := std.Corrosivity("C2")
	require.NoError(t, err)
	shed, err := bath.LayerOfYears(c2, pureRust, 1)
	require.NoError(t, err)
	tub, err := mix(t, recipe(t)).Capacities(oxide(t, "goethite"), 7)
	require.NoError(t, err)
	require.Greater(t, shed.Iron.High, tub.Chelant.Iron)
	// Years count less and less: ISO 9224:2012.
	decade, err := bath.LayerOfYears(c2, pureRust, 10)
	require.NoError(t, err)
	require.InDelta(t, math.Pow(10, 0.523), decade.Iron.High/shed.Iron.High, 1e-9)

	load, err := shed.Load(0.5, tables.Loose, salt, 0.054)
	require.NoError(t, err)
	require.InDelta(t, load.Iron.Typical, load.Brushed+load.Left, 1e-9)
	require.InDelta(t, 8.10*load.Brushed, load.Saved, 0.01*load.Saved)
	require.Less(t, load.Litres, load.LitresUnbrushed)
	_, err = shed.Load(0, tables.Loose, salt, 0.05)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = shed.Load(1, "fluffy", salt, 0.05)
	require.ErrorIs(t, err, chem.ErrInput)
}

// A bucket by hand: a frustum of diameters 26 and 30 cm, 36 cm high, holds
// π/12 · 36 · (26² + 26·30 + 30²) = 22.2 L (geometry).
func TestTubs(t *testing.T) {
	bucket, err := bath.Bucket(0.26, 0.30, 0.36)
	require.NoError(t, err)
	require.InDelta(t, math.Pi/12*0.36*(0.26*0.26+0.26*0.30+0.30*0.30), float64(bucket.Brimful()), 1e-12)
	tote, err := bath.TaperedBox(0.50, 0.35, 0.58, 0.41, 0.30)
	require.NoError(t, err)
	box, err := bath.Box(0.5, 0.4, 0.3)
	require.NoError(t, err)
	require.InDelta(t, 0.06, float64(box.Brimful()), 1e-12)

	r := rand.New(rand.NewPCG(5, 4))
	for _, tub := range []bath.Tub{bucket, tote, box} {
		for range 50 {
			depth := unit.Length(0.3 * r.Float64())
			got, err := tub.Depth(tub.Volume(depth))
			require.NoError(t, err)
			require.InDelta(t, float64(depth), float64(got), 1e-9)

			part := bath.SteelPart(unit.Mass(10*r.Float64()), unit.Length(0.1+0.15*r.Float64()))
			fill, err := tub.Cover(part, 0.02)
			require.NoError(t, err)
			require.Less(t, fill.Without, fill.With)
			require.InDelta(t, 1000*float64(tub.Volume(unit.Length(fill.With))), fill.Litres+1000*float64(part.Volume), 1e-9)
			level, err := tub.Level(unit.Volume(fill.Litres/1000), part)
			require.NoError(t, err)
			require.InDelta(t, fill.With, float64(level), 1e-9)
			require.InDelta(t, 1000*float64(tub.Brimful()), fill.Litres+1000*float64(part.Volume)+fill.Room, 1e-9)
		}
	}
	// A vise of 12 kg displaces a litre and a half: 12 / 7.85.
	vise := bath.SteelPart(12, 0.12)
	require.InDelta(t, 1.529, 1000*float64(vise.Volume), 0.001)
	_, err = box.Cover(bath.SteelPart(12, 0.4), 0)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = box.Cover(vise, 0.3)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = box.Depth(0.061)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = box.Level(0.01, bath.Part{Height: 0.01, Volume: 0.05}) // no room for it
	require.ErrorIs(t, err, chem.ErrInput)
}

// A litre that was tried, made for the tub, reads the same.
func TestScale(t *testing.T) {
	small := recipe(t)
	small.Volume, small.Amount = 1e-3, measure.AmountOfMass(0.025)
	small.Extras = []bath.Extra{{Reagent: reagent(t, "trisodium citrate"), Mass: 0.005}}
	large, err := small.Scale(20e-3)
	require.NoError(t, err)
	a, err := small.Plan(standard(t))
	require.NoError(t, err)
	b, err := large.Plan(standard(t))
	require.NoError(t, err)
	require.InDelta(t, a.PHBefore.Typical, b.PHBefore.Typical, 1e-9)
	require.InDelta(t, 20, b.Acid.MassGrams/a.Acid.MassGrams, 1e-6)
	require.InDelta(t, a.Strength, b.Strength, 1e-9)
	require.InDelta(t, a.IonicAfter, b.IonicAfter, 1e-9)
	require.Equal(t, unit.Mass(0.005), small.Extras[0].Mass)
	_, err = small.Scale(0)
	require.ErrorIs(t, err, chem.ErrInput)
}

// What is topped up has the strength it had.
func TestTopUp(t *testing.T) {
	r := recipe(t)
	b := mix(t, r)
	before, err := b.Holdings()
	require.NoError(t, err)
	litres := b.Litres()
	require.NoError(t, b.Drain(2e-3))
	require.NoError(t, b.Evaporate(1e-3))
	u, err := r.TopUp(standard(t), 2e-3, 1e-3)
	require.NoError(t, err)
	require.NoError(t, b.AddWater(r.Water, unit.Volume(u.Litres/1000)))
	require.NoError(t, b.Add(r.Chelant, u.Chelant.Mass()))
	require.NoError(t, b.Add(r.Acid, u.Acid.Mass()))
	after, err := b.Holdings()
	require.NoError(t, err)
	require.InDelta(t, litres, b.Litres(), 1e-6*litres)
	for i := range before {
		require.InDelta(t, before[i].Total, after[i].Total, 1e-6*before[i].Total, before[i].Chelant)
	}
	st, err := b.State()
	require.NoError(t, err)
	require.InDelta(t, 7, st.PH, 0.05) // the water evaporated left its hardness behind
	_, err = r.TopUp(standard(t), -1, 0)
	require.ErrorIs(t, err, chem.ErrInput)
}

// Blending conserves, and the blend takes what the two could together, nearly.
func TestBlend(t *testing.T) {
	old, fresh := mix(t, recipe(t)), mix(t, recipe(t))
	o := oxide(t, "lepidocrocite")
	require.NoError(t, old.Dissolve(o, 40))
	a, err := old.Holdings()
	require.NoError(t, err)
	litres := fresh.Litres() + old.Litres()
	require.NoError(t, fresh.Blend(old))
	both, err := fresh.Holdings()
	require.NoError(t, err)
	require.InDelta(t, 2*a[0].Total, both[0].Total, 1e-9)
	require.InDelta(t, a[0].Iron, both[0].Iron, 0.01*a[0].Iron)
	require.InDelta(t, litres, fresh.Litres(), 1e-9)
}

// Acids compared: all reach the same pH; the weak ones buffer better there than
// the strong one; citric, with three protons for 192 g, needs about 0.5 to 0.6 g
// where muriatic acid of 31.45 % needs one (116 g for a proton; arithmetic).
func TestCompare(t *testing.T) {
	r := recipe(t)
	price := func(s string) bath.Price {
		p, err := bath.ParsePrice(s)
		require.NoError(t, err)
		return p
	}
	r.Prices = map[string]bath.Price{r.Chelant.ID: price("6/lb"), r.Acid.ID: price("4/lb")}
	o := oxide(t, "lepidocrocite")
	choices := []bath.Choice{{}}
	for _, acid := range []string{"vinegar", "muriatic acid", "phosphoric acid", "sodium bisulfate"} {
		choices = append(choices, bath.Choice{Acid: reagent(t, acid)})
	}
	choices = append(choices,
		bath.Choice{Extra: bath.Extra{Reagent: reagent(t, "trisodium citrate"), Mass: 0.3}},
		bath.Choice{Chelant: reagent(t, "disodium EDTA"), Base: reagent(t, "lye")})
	ways, err := r.Compare(standard(t), o, choices...)
	require.NoError(t, err)
	citric, muriatic, citrate, disodium := ways[0], ways[2], ways[5], ways[6]
	require.InDelta(t, 0.55, citric.Dose/muriatic.Dose, 0.05)
	require.Greater(t, ways[3].Buffer, muriatic.Buffer) // phosphate has pKa2 near 7
	require.Greater(t, citrate.Alone.Moles, citric.Alone.Moles)
	require.Greater(t, citrate.Buffer, citric.Buffer)
	require.Equal(t, tables.Danger, muriatic.Signal)
	require.True(t, citric.Priced)
	require.False(t, muriatic.Priced)
	// The same moles of chelant: 452.2 against 372.2 g/mol.
	require.InDelta(t, 372.24/452.23*0.99/0.995, disodium.Mass/citric.Mass, 1e-3)
	require.Less(t, disodium.PHBefore, 7.0)
	require.Equal(t, citric.Acid, disodium.Keeper)
	for _, w := range ways {
		require.InDelta(t, citric.Kept, w.Kept, 0.02*citric.Kept, w.Acid) // the chelant sets the end
		require.Positive(t, w.KeptAcid)
	}
	require.NotEmpty(t, bath.BetterBuy(ways))
	_, err = r.Compare(standard(t), o, bath.Choice{Acid: reagent(t, "lye")})
	require.ErrorIs(t, err, chem.ErrInput)
}

func TestBagsAndBought(t *testing.T) {
	salt := reagent(t, "tetrasodium EDTA tetrahydrate")
	var prices []bath.Price
	for _, s := range []string{"9 per lb", "90 per 25 kg", "25 per 5 lb"} {
		p, err := bath.ParsePrice(s)
		require.NoError(t, err)
		prices = append(prices, p)
	}
	bags, err := bath.CompareBags(salt, prices...)
	require.NoError(t, err)
	require.InDelta(t, 3.6, bags[0].PerKilogram, 1e-9)
	require.InDelta(t, 25/(5*0.45359237), bags[1].PerKilogram, 1e-9)
	require.InDelta(t, 9/0.45359237, bags[2].PerKilogram, 1e-9)

	rust, err := standard(t).Rust("fresh orange rust")
	require.NoError(t, err)
	l, err := bath.LayerOfMass(rust, 100)
	require.NoError(t, err)
	b, err := bath.Bought{Price: 30, Volume: 3.785411784e-3, Rust: 0.15}.Terms(l)
	require.NoError(t, err)
	require.InDelta(t, 30, b.PerGallon, 1e-9)
	require.InDelta(t, 200, b.PerKilogram, 1e-9)
	require.InDelta(t, 20, b.PerArea, 1e-9)
}

// More chelant takes more rust in proportion and costs in proportion; common
// practice, no source: rust on lightly rusted sheet comes off within a day in
// about 30 g/L at pH 7. Capacity at least does not stand in the way: a litre
// takes the 10 µm on a tenth of a square metre, both sides of a hand's sheet.
func TestStrengths(t *testing.T) {
	r := recipe(t)
	s, err := r.Strengths(standard(t), oxide(t, "lepidocrocite"), 15, 30, 45)
	require.NoError(t, err)
	require.InDelta(t, 2, s[1].Practical.Moles/s[0].Practical.Moles, 0.1)
	require.InDelta(t, 1.5, s[2].Practical.Moles/s[1].Practical.Moles, 0.05)
	rust, err := standard(t).Rust("fresh orange rust")
	require.NoError(t, err)
	light, err := bath.LayerOfThickness(rust, 10e-6)
	require.NoError(t, err)
	require.Greater(t, float64(light.Area(s[1].Practical))/20, 0.1)
}

// Cautions come from what the recipe and the parts contain, the strongest
// first.
func TestCautions(t *testing.T) {
	keys := func(change func(*bath.Recipe)) []string {
		r := recipe(t)
		change(&r)
		p, err := r.Plan(standard(t))
		require.NoError(t, err)
		var out []string
		warned := false
		for _, c := range p.Cautions {
			out = append(out, c.Key)
			if c.Signal != tables.Danger {
				warned = true
			} else {
				require.False(t, warned, "%s comes after a warning", c.Key)
			}
			require.NotEmpty(t, c.Text)
		}
		for _, a := range p.Practice {
			require.NotEmpty(t, a.Source, a.Do)
		}
		return out
	}
	plain := keys(func(*bath.Recipe) {})
	require.Contains(t, plain, "acid-with-bleach")
	require.Contains(t, plain, "used-bath")
	require.Contains(t, plain, "disposal")
	require.NotContains(t, plain, "chelant-on-zinc")
	require.NotContains(t, plain, "paint")
	require.LessOrEqual(t, len(plain), 8)
	parts := keys(func(r *bath.Recipe) { r.Materials = []string{"zinc", "paint", "lead", "hardened-steel"} })
	for _, key := range []string{"chelant-on-zinc", "chelant-on-lead", "paint", "acid-on-hard-steel"} {
		require.Contains(t, parts, key)
	}
	strong := keys(func(r *bath.Recipe) { r.Acid = reagent(t, "muriatic acid") })
	require.Contains(t, strong, "H314")
}

// One caution on bleach says both that chlorine comes of it and that the chelant
// suffers.
func TestOneCautionOnBleach(t *testing.T) {
	p, err := recipe(t).Plan(standard(t))
	require.NoError(t, err)
	found := 0
	for _, c := range p.Cautions {
		if strings.Contains(c.Text, "bleach") {
			found++
			require.Contains(t, c.Text, "chlorine gas")
			require.Contains(t, c.Text, "chelant")
			require.Equal(t, tables.Danger, c.Signal)
		}
	}
	require.Equal(t, 1, found)
}

// Results survive a round trip through JSON, and their numbers carry units.
func TestJSON(t *testing.T) {
	b := mix(t, recipe(t))
	o := oxide(t, "goethite")
	c, err := b.Capacities(o, 7)
	require.NoError(t, err)
	data, err := json.Marshal(c)
	require.NoError(t, err)
	var back bath.Capacities
	require.NoError(t, json.Unmarshal(data, &back))
	require.Equal(t, c, back)
	drift, err := b.Drift(o, 3)
	require.NoError(t, err)
	data, err = json.Marshal(drift)
	require.NoError(t, err)
	var again []bath.DriftPoint
	require.NoError(t, json.Unmarshal(data, &again))
	require.Equal(t, drift, again)
}

// Prices come back as they were written, and add up in a plan.
func TestPricesAndCost(t *testing.T) {
	for _, text := range []string{"4.50/lb", "38 per 5 lb", "6/gal", "90 per 25 kg"} {
		p, err := bath.ParsePrice(text)
		require.NoError(t, err)
		data, err := json.Marshal(p)
		require.NoError(t, err)
		var back bath.Price
		require.NoError(t, json.Unmarshal(data, &back))
		require.Equal(t, p, back)
		require.Equal(t, text, back.String())
	}
	var kept bath.Price
	require.Error(t, json.Unmarshal([]byte(`"cheap"`), &kept))
	require.Equal(t, bath.Price{}, kept)

	r := recipe(t)
	price := func(s string) bath.Price {
		p, err := bath.ParsePrice(s)
		require.NoError(t, err)
		return p
	}
	citrate := reagent(t, "trisodium citrate")
	r.Extras = []bath.Extra{{Reagent: citrate, Mass: 0.1}}
	r.Prices = map[string]bath.Price{r.Chelant.ID: price("6 per kg"), citrate.ID: price("10 per kg")}
	p, err := r.Plan(standard(t))
	require.NoError(t, err)
	require.InDelta(t, 3, p.Cost.Chelant, 1e-9)
	require.InDelta(t, 1, p.Cost.Extras, 1e-9)
	require.InDelta(t, 4, p.Cost.Total, 1e-9)
	require.InDelta(t, 4/p.BathLitres*3.785411784, p.Cost.PerGallon, 1e-9)
	require.Equal(t, []string{r.Acid.Name}, p.Cost.Missing)

	ways, err := r.Compare(standard(t), oxide(t, "lepidocrocite"), bath.Choice{})
	require.NoError(t, err)
	rust, err := standard(t).Rust("fresh orange rust")
	require.NoError(t, err)
	l, err := bath.LayerOfMass(rust, 100)
	require.NoError(t, err)
	terms, err := ways[0].Terms(20, l)
	require.NoError(t, err)
	require.InDelta(t, ways[0].Cost/20, terms.PerLitre, 1e-9)
	require.InDelta(t, terms.PerKilogram/10, terms.PerArea, 1e-9)
	_, err = ways[0].Terms(0, l)
	require.ErrorIs(t, err, chem.ErrInput)
}
