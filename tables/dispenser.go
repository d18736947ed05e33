package tables

// Dispenser is what measures a volume: a pipette, a burette, a syringe, a bottle of drops. Its
// limits of error are half widths of rectangular distributions: a standard uncertainty is the limit
// over √3 (JCGM 100:2008, 4.3.7).
type Dispenser struct {
	Entry
	Serves      string  `json:"serves"`         // sample, titrant or both: for what one takes it
	CapacityML  float64 `json:"capacity_ml"`    // the most that it gives at one filling; 0 is no limit
	ToleranceML float64 `json:"tolerance_ml"`   // limit of error of a volume, however large
	Relative    float64 `json:"relative_limit"` // limit of error as a fraction of the volume: of the size of a drop, say
	StepML      float64 `json:"step_ml"`        // the smallest addition that can be made and read: a drop, a mark
}

func (r row) dispenser() Dispenser {
	return Dispenser{
		r.entry(), oneOf(r, "serves", "sample", "titrant", "both"), r.number("capacity_ml", 0.1, 1e4),
		r.number("tolerance_ml", 0, 100), r.number("relative_limit", 0, 0.5), r.number("step_ml", 0.001, 1e4),
	}
}
