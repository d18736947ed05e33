package equilibrium

// Forget lets a workspace answer as a new one would, to the last digit, whatever it
// has solved before: a pool of workspaces gives the same answers in every run.
func (w *Workspace) Forget() {
	w.solved, w.medium, w.factored, w.wary, w.near = false, nil, false, false, false
	w.b.version, w.bend.structure = 0, 0 // of no structure
}
