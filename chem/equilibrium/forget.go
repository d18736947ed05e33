package equilibrium

// Forget lets a workspace answer as a new one would, to the last digit, whatever it
// has solved before: a pool of workspaces gives the same answers in every run.
func (w *Workspace) Forget() {
	w.solved, w.medium, w.quick, w.victim = false, nil, nil, 0
	for i := range w.frames {
		f := &w.frames[i]
		f.fast.known, f.fast.valid = false, false
	}
}
