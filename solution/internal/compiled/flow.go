package compiled

import "gonum.org/v1/gonum/floats"

// Flow is a vessel in which several reactions go on at once. Its run is left warm by each answer
// for the next.
type Flow struct {
	*Run
	Litres  float64
	Moles   []float64 // of the tables' components, by now
	start   []float64
	filled  []float64
	changes [][]float64 // by reaction and component of the tables: mol for a mol
}

// NewFlow starts from what a vessel holds; changes tell what a mole of each reaction does to the
// components.
func NewFlow(r *Run, moles []float64, litres float64, changes [][]float64) *Flow {
	n := len(moles)
	return &Flow{r, litres, make([]float64, n), moles, make([]float64, n), changes}
}

// Go carries the reactions to extents in mol since the start.
func (f *Flow) Go(extents []float64) {
	copy(f.Moles, f.start)
	for i, n := range extents {
		floats.AddScaled(f.Moles, n, f.changes[i])
	}
}

// Trace in mol/L stands in for what is used up or not there yet: a component that comes and goes
// makes another problem.
const Trace = 1e-13

// Solve brings the vessel to rest at what it holds.
func (f *Flow) Solve() error {
	copy(f.filled, f.Moles)
	for _, c := range f.Members {
		if c != f.Proton {
			f.filled[c] = max(f.filled[c], Trace*f.Litres)
		}
	}
	f.Fill(f.filled, f.Litres)
	return f.Run.Solve()
}

// Short returns the reaction that takes most of a component that ran out, and how many mol it went
// too far, or -1.
func (f *Flow) Short() (reaction int, moles float64) {
	for c, n := range f.Moles {
		if n >= 0 || c == f.Proton {
			continue
		}
		worst := -1
		for i, change := range f.changes {
			if change[c] < 0 && (worst < 0 || change[c] < f.changes[worst][c]) {
				worst = i
			}
		}
		if worst >= 0 {
			return worst, n / f.changes[worst][c]
		}
	}
	return -1, 0
}

// PHPerMole writes how the pH moves with each reaction, in 1/mol.
func (f *Flow) PHPerMole(out []float64) error {
	for i, change := range f.changes {
		d, err := f.Drift(func(rate []float64) { f.Totals(rate, change, f.Litres) })
		if err != nil {
			return err
		}
		out[i] = d.PH
	}
	return nil
}
