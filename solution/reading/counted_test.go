package reading

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// counted is a belief set by hand: of a hundred baths of the same weight so many lie at each
// pH, after so many readings, of which the last says what it says. Mixtures stay what they are
// in a belief that was read once.
func counted(read *Posterior, last float64, at map[float64]int, readings int) *Posterior {
	w, c, sight := *read.cloud, *read.course, *read.course.last
	sight.value, c.last, c.readings, w.course, w.baths = last, &sight, readings, &c, nil
	for _, pH := range slices.Sorted(maps.Keys(at)) {
		for range at[pH] {
			b := read.baths[len(w.baths)]
			b.pH, b.weight, b.salt, b.z = pH, 0.01, &read.model.salts[0], make([]float64, len(b.z)) // as told, by any odds
			w.baths = append(w.baths, b)
		}
	}
	return &Posterior{cloud: &w, gross: []float64{0}}
}

// When to stop, counted: with 95 of a hundred baths within a unit of the target after one
// reading, 85 after two or three, and after four in any case. The window is half a unit, and
// what is poor is told.
func TestWhenToStopCounted(t *testing.T) {
	read := infer(t, model(t, labelled(t)), Read{strip(t, "pH meter"), 9})
	for _, near := range []int{80, 84, 86, 94, 96, 99} {
		for readings := 1; readings <= 5; readings++ {
			inside := near - 35
			a := advise(t, counted(read, 7.2, map[float64]int{7: inside, 7.6: 20, 6.4: 15, 8.1: (100 - near) / 2, 5.9: 100 - near - (100-near)/2}, readings))
			stop := near >= 95 || readings >= 2 && near >= 85 || readings >= 4
			require.Equal(t, stop, a.Action == Stop, "%d near after %d readings: %s", near, readings, a.Why)
			require.InDelta(t, float64(inside)/100, a.Window, 1e-9)
			said := fmt.Sprintf("within 1 of the target with a chance of %d %%", near)
			if stop {
				said += fmt.Sprintf(" and within 6.5 to 7.5, where it works alike, with one of at least %d %%", inside)
				assert.Equal(t, inside < 60, strings.Contains(a.Why, "A finer strip"), a.Why)
			}
			require.Contains(t, a.Why, said)
		}
	}
}

// When to add, counted: while fewer than 85 of a hundred baths that were read twice lie within a
// unit, once more than a fifth lie beyond the window on one side, more than half where something
// was added that works the other way; on the side on which more of them lie, and never against the
// last reading.
func TestWhenToAddCounted(t *testing.T) {
	s := labelled(t)
	read := infer(t, model(t, s), Read{strip(t, "pH meter"), 9})
	for _, other := range []int{0, 1} {
		for _, side := range []float64{1, -1} {
			for _, x := range []struct{ beyond, opposite int }{{19, 0}, {21, 0}, {49, 0}, {51, 0}, {40, 41}, {41, 40}, {30, 30}} {
				for _, last := range []float64{7 + 0.6*side, 7 - 0.6*side, 7 + 0.5*side, 7 - 0.5*side} { // the window is half a unit
					high, low := x.beyond, x.opposite
					if side < 0 {
						high, low = low, high
					}
					p := counted(read, last, map[float64]int{8.1: min(high, 16), 7.6: high - min(high, 16), 5.9: min(low, 16), 6.4: low - min(low, 16), 7: 100 - high - low}, 2)
					p.course.bases, p.course.acids = other, other
					a := advise(t, p)
					enough := 20 // of a hundred
					if other > 0 {
						enough = 50
					}
					works := ""
					switch {
					case math.Abs(last-7) < 0.55: // in the window
					case high >= low && high > enough && last > 7:
						works = s.Acid.Name
					case low > high && low > enough && last < 7:
						works = s.Base.Name
					}
					name := fmt.Sprintf("%d above, %d below, last %.1f, other way %d", high, low, last, other)
					if a.Action == Add {
						require.Equal(t, works, a.Reagent, name)
					} else if works != "" { // nothing that is safe moves these baths, which are high all
						require.Contains(t, a.Why, "no addition that is safe", name)
					} else {
						require.NotContains(t, a.Why, "no addition that is safe", name)
						require.Contains(t, a.Why, "The bath is at pH", name)
					}
				}
			}
		}
	}
}

// A reading that is a mistake in more than half of the baths, or in more than one of twenty
// where it is the only one, is read again before anything is added.
func TestOddReadingsCounted(t *testing.T) {
	read := infer(t, model(t, labelled(t)), Read{strip(t, "pH meter"), 9})
	for _, x := range []struct {
		gross    float64
		readings int
		again    bool
	}{{0.049, 1, false}, {0.051, 1, true}, {0.051, 2, false}, {0.499, 2, false}, {0.501, 2, true}, {0.501, 3, true}} {
		p := counted(read, 9, map[float64]int{11: 90, 7: 10}, x.readings)
		p.gross[0] = x.gross
		a := advise(t, p)
		assert.Equal(t, x.again, strings.Contains(a.Why, "hardly fits"), x)
		assert.Equal(t, x.again, a.Action == Look && strings.Contains(a.Why, "before anything is added"), x)
		assert.Equal(t, x.gross > 0.5, len(a.Flags) == 1, x)
	}
}

// What is safe, by hand, of six baths: the largest amount that takes no more than the risk
// past the limit, where those that are past it already (0 and less) do not count; of baths
// of a powder for which the readings speak, twice as likely as it was, no more than six in a
// hundred of them, four times that at twice the risk, and nearly all of them at four times.
func TestSafeByHand(t *testing.T) {
	s := labelled(t)
	s.Risk = 0.5
	m := model(t, s)
	limits := []float64{40, -3, 10, 30, 20, 0}
	weights := []float64{0.2, 0.3, 0.05, 0.1, 0.15, 0.2}
	made := func(other []int, pH float64, added int) *Posterior {
		p := infer(t, m)
		stranger := &m.strangers[len(m.strangers)-1] // 0.02 likely
		require.True(t, stranger.other)
		p.baths = p.baths[:len(limits)]
		for i := range p.baths {
			p.baths[i].weight, p.baths[i].pH, p.baths[i].salt = weights[i], pH, &m.salts[0]
		}
		for _, i := range other {
			p.baths[i].salt = stranger
		}
		p.course.acids = added
		return p
	}
	plain := made(nil, 11, 1)
	for risk, want := range map[float64]float64{0.01: 10, 0.049: 10, 0.051: 20, 0.9: 20} { // a tenth at most
		assert.InDelta(t, want, plain.safe(limits, risk), 0, "risk %g", risk)
	}
	bold := made(nil, 11, 0) // or what is tolerated at first, 0.175
	for i := range bold.baths {
		bold.baths[i].weight /= 2
	}
	for risk, want := range map[float64]float64{0.099: 20, 0.101: 30, 0.149: 30, 0.151: 40, 0.9: 40} {
		assert.InDelta(t, want, bold.safe(limits, risk), 0, "risk %g", risk)
	}
	assert.Zero(t, plain.safe([]float64{0, -1, 0, -5, 0, 0}, 0.5), "all are past it")
	const first = 0.5 * 0.35
	for _, x := range []struct {
		other      []int
		risk, want float64
	}{
		{nil, first, 20}, {[]int{2}, first, 10}, {[]int{2, 3}, first, 10}, {[]int{4, 3}, first, 20},
		{nil, 2 * first, 20}, {[]int{2, 3}, 2 * first, 10}, {[]int{4, 2}, 2 * first, 10}, {[]int{2, 3}, 4 * first, 20},
	} {
		assert.InDelta(t, x.want, made(x.other, 11, 0).safe(limits, x.risk), 0, x)
	}
	m.strangers[len(m.strangers)-1].prior = 0.026 // 0.05 is not twice that
	assert.InDelta(t, 20, made([]int{2}, 11, 0).safe(limits, first), 0)
}

// In an open tub what is no carbonate gives off no gas, and its note tells of none; what is one
// needs as many mol of sodium for good as lye.
func TestRemediesInTheOpen(t *testing.T) {
	s := labelled(t)
	s.Open = true
	p := infer(t, model(t, s), Read{strip(t, "pH meter"), 11.1}, Added{s.Acid, amount(t, "140 g")}, Read{strip(t, "pH meter"), 5.6})
	all, err := p.Remedies()
	require.NoError(t, err)
	require.Len(t, all, 4)
	sodium := map[string]float64{}
	for _, r := range all {
		soda := reagent(t, r.Reagent).Carbonated()
		assert.Equal(t, soda, r.GasLitres > 0, r.Reagent)
		assert.Equal(t, soda, strings.Contains(r.Note, "of it in all"), r.Reagent)
		assert.InDelta(t, r.ForGoodGrams, r.MassGrams.Typical, 1e-9, r.Reagent)
		sodium[r.ReagentID] = r.SaltMoles
	}
	for id, n := range sodium {
		if reagent(t, id).Carbonated() {
			assert.InEpsilon(t, sodium["sodium-hydroxide"], n, 0.02, id)
		}
	}
}

// Read twice, a bath that no safe addition would move is given twice the risk and twice that
// again, counted: of a hundred baths so many stand a pinch before the limit, and twenty 15 g
// before it. Read once it is read again.
func TestRiskDoublesWhereReadTwice(t *testing.T) {
	s, meter := labelled(t), strip(t, "pH meter")
	for _, c := range []struct {
		risk            float64
		pinch, readings int
		said            string
	}{
		{0.05, 0, 2, "one bath in 57;"}, {0.05, 1, 2, "one bath in 57;"}, {0.05, 3, 2, "one bath in 29;"}, {0.05, 3, 3, "one bath in 29;"}, {0.05, 6, 2, "one bath in 14;"},
		{0.05, 3, 1, "no addition that is safe would move it by more than 0.1: read"}, {0.05, 18, 2, "no addition that is safe"},
		{0.14, 9, 2, "one bath in 10;"}, {0.145, 9, 2, "one bath in 10;"}, {0.145, 11, 2, "no addition that is safe"}, // a tenth ends it
	} {
		s.Risk = c.risk
		m := model(t, s)
		x, err := m.template(s.Acid)
		require.NoError(t, err)
		p := infer(t, m, Read{meter, 11.1}, Read{meter, 11.1})
		p.course.readings = c.readings
		p.baths = p.baths[:100]
		limit, _ := p.needs(&x, -1, 6)
		for i := range p.baths {
			b := &p.baths[i]
			b.weight, b.salt = 0.01, &m.salts[0]
			switch {
			case i < c.pinch:
				b.mix.setter += (limit[i] - 0.05) * m.strength(&x, b.z)
			case i < c.pinch+20:
				b.mix.setter += (limit[i] - 15) * m.strength(&x, b.z)
			}
			b.pH = p.pH(b, &b.mix)
		}
		a := advise(t, p)
		assert.Contains(t, a.Why, c.said, "%d a pinch before, %d readings", c.pinch, c.readings)
		assert.Equal(t, strings.Contains(c.said, "one bath"), a.Action == Add)
	}
}

// What reading a strip would tell of the bag, by hand: each mark is read where the pH lies
// within half a step of it, give or take the eye's error, the first and the last beyond too,
// and one reading in fifty is any of them.
func TestBitsOfAStrip(t *testing.T) {
	p := infer(t, model(t, tub(t)))
	for name, step := range map[string]float64{"universal strip": 1, "pH meter": 0.05} { // a meter's finer marks tell no more
		s := strip(t, name)
		tests, err := p.Tests(s)
		require.NoError(t, err)
		deviation := Misreading(s)
		marks := int(math.Round((s.High-s.Low)/step)) + 1
		want := p.tells(func(b *bath) []float64 {
			below := func(x float64) float64 { return 0.5 * math.Erfc((b.pH-x)/deviation/math.Sqrt2) }
			out := make([]float64, marks)
			for i := range out {
				mark := s.Low + float64(i)*step
				from, to := below(mark-step/2), below(mark+step/2)
				if i == 0 {
					from = 0
				}
				if i == marks-1 {
					to = 1
				}
				out[i] = 0.98*(to-from) + 0.02/float64(marks)
			}
			return out
		})
		i := slices.IndexFunc(tests, func(x Test) bool { return strings.HasPrefix(x.Text, "read the bath") })
		assert.InDelta(t, want, tests[i].Bits, 1e-9, name)
		assert.InDelta(t, 1, tests[i].Minutes, 0)
	}
}

// A base of which no amount reaches the target is no remedy, and none is told of without a
// mass: baking soda holds a bath near pH 8 (pK of bicarbonate 6.35 and 10.33).
func TestNoRemedyThatDoesNotReach(t *testing.T) {
	s := labelled(t)
	s.PH = 10
	p := infer(t, model(t, s), Read{strip(t, "pH meter"), 11.1}, Added{s.Acid, amount(t, "140 g")}, Read{strip(t, "pH meter"), 5.6})
	all, err := p.Remedies()
	require.NoError(t, err)
	require.NotEmpty(t, all)
	for _, r := range all {
		assert.NotEqual(t, "sodium-bicarbonate", r.ReagentID)
		assert.Positive(t, r.MassGrams.Typical)
	}
	above, err := infer(t, model(t, labelled(t)), Read{strip(t, "pH meter"), 11.1}).Remedies()
	require.NoError(t, err)
	assert.Empty(t, above, "nothing is to be raised")
}

// Of baths of a powder that is spoken for six in a hundred may go past: of 401 in 800 twenty-four,
// and the next one ends it.
func TestStrangersCounted(t *testing.T) {
	s := labelled(t)
	s.Risk = 0.5
	m := model(t, s)
	p := infer(t, m)
	p.baths = p.baths[:800]
	limits := make([]float64, len(p.baths))
	for i := range p.baths {
		b := &p.baths[i]
		b.weight, b.salt, limits[i] = 1./800, &m.salts[0], 1e6
		if i < 401 {
			b.salt, limits[i] = &m.strangers[0], float64(1+i)
		}
	}
	assert.InDelta(t, 25, p.safe(limits, 0.5*0.35), 0)
	assert.InDelta(t, 1, p.safe(limits, 8.5/800), 0, "at a sixteenth of the risk none of them")
	for i := range p.baths {
		p.baths[i].salt = &m.salts[0]
	}
	assert.InDelta(t, 9, p.safe(limits, 8.5/800), 0, "and the risk of all, where they are none")
}

// What a pH strays by, and an eye, by their standard deviations: 0.05 by the constants always, 0.15
// besides after each amount of its own; of the eye's variance half stays from reading to reading.
func TestStrayingByHand(t *testing.T) {
	m := model(t, labelled(t))
	c, err := m.compile([]Event{Added{m.setup.Acid, amount(t, "20 g")}, Read{strip(t, "pH meter"), 9}})
	require.NoError(t, err)
	z := make([]float64, c.latents())
	assert.Len(t, z, common+2+2+1)
	z[ofModel], z[c.offset()], z[c.offset()+1] = 2, 1, -3
	assert.InDelta(t, 0.05*2+0.15, m.astray(c, z, 0), 1e-12)
	assert.InDelta(t, 0.05*2-0.15*3, m.astray(c, z, 1), 1e-12)
	for _, name := range []string{"pH meter", "universal strip"} {
		s := strip(t, name)
		x, err := newSight(Read{s, 7})
		require.NoError(t, err)
		assert.InDelta(t, Misreading(s)/math.Sqrt2, x.spread, 1e-12)
		assert.InDelta(t, Misreading(s)/math.Sqrt2, x.bias, 1e-12)
		assert.InDelta(t, 7-s.Step/2, x.low, 1e-12)
		assert.InDelta(t, 7+s.Step/2, x.high, 1e-12)
	}
	tests, err := infer(t, m).Tests(strip(t, "pH meter"))
	require.NoError(t, err)
	for _, x := range tests {
		for begins, minutes := range map[string]float64{"read": 1, "stir": 6, "weigh": 2, "look": 5} {
			if strings.HasPrefix(x.Text, begins) {
				assert.InDelta(t, minutes, x.Minutes, 0, x.Text)
			}
		}
	}
}
