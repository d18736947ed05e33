package tables

import (
	"errors"
	"io/fs"
)

// reference holds the tables that are looked up, not computed with: what is
// sold, what comes from the tap, what a reading means, what rust is made of.
type reference struct {
	reagents      catalogue[Reagent]
	hazards       catalogue[Hazard]
	hardnessUnits catalogue[HardnessUnit]
	waters        catalogue[Water]
	indicators    catalogue[Indicator]
	strips        catalogue[Strip]
	rustPhases    catalogue[RustPhase]
	rusts         catalogue[Rust]
	corrosivities catalogue[Corrosivity]
	couples       catalogue[Couple]
	phaseRates    catalogue[PhaseRate]
	kinetics      catalogue[Kinetic]
}

// loadReference reads the reference tables and reports all that is wrong.
func (t *Tables) loadReference(fsys fs.FS) error {
	return errors.Join(
		t.loadReagents(fsys),
		t.loadHazards(fsys),
		t.loadHardnessUnits(fsys),
		t.loadWaters(fsys),
		t.loadIndicators(fsys),
		t.loadStrips(fsys),
		t.loadRustPhases(fsys),
		t.loadRusts(fsys),
		t.loadCorrosivities(fsys),
		t.loadCouples(fsys),
		t.loadPhaseRates(fsys),
		t.loadKinetics(fsys),
	)
}
