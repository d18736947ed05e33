package solution

import "fmt"

// Target is a value that a dose should bring about: −log10 of the activity of the hydrogen ion (pH), or of the
// concentration of another free component in mol/L (pM).
type Target struct {
	Component string  `json:"component"` // formula or name
	Value     float64 `json:"value"`     // −log10
}

// PH is the target of a pH as a meter reads it.
func PH(value float64) Target { return Target{"H+", value} }

// PM is the target of a free component.
func PM(component string, value float64) Target { return Target{component, value} }

// Name returns pH, or p and the component.
func (t Target) Name() string {
	if t.Component == "H+" {
		return "pH"
	}
	return fmt.Sprintf("p[%s]", t.Component)
}
