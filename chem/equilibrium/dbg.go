package equilibrium

import "fmt"

var Debug bool

func (w *Workspace) dbg(s string) {
	if Debug && false {
		fmt.Println(s, "steps", w.iterations, "active", w.active, "chosen", w.b.chosen, "pivot", w.pivot, "theta", w.imbalance(), "maxlead", largest(w.b.lead), "maxu", largest(w.b.u), "maxc", largest(w.c[:w.p.species.len()]), "res", w.residual, "m", w.m, "want", w.want)
	}
}
