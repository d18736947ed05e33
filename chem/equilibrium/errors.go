package equilibrium

import (
	"errors"
	"fmt"

	"example.com/chelation/chem"
)

// Errors to test for with [errors.Is]. All but ErrConvergence wrap [chem.ErrInput] too.
var (
	// ErrInfeasible marks totals that no amounts of species and solids can add up to.
	ErrInfeasible = errors.New("totals cannot be met")
	// ErrUnbounded marks held concentrations that oversaturate a solid made of held
	// components only: it would precipitate without end.
	ErrUnbounded = errors.New("a solid of held components is oversaturated")
	// ErrCrowded marks constants or totals with which some species of the answer is proved to
	// exceed 1000 mol/L, or that lead to free concentrations beyond e^±1 000 000 mol/L, from
	// which no float64 tells species to 1e-10.
	ErrCrowded = errors.New("constants that no water holds")
	// ErrIonicStrength marks a [Medium] in which no I up to 1000 mol/L is that of its answer.
	ErrIonicStrength = errors.New("no ionic strength is consistent with itself")
	// ErrConvergence marks a solve that ended short of its tolerance. The problem is convex,
	// so this is a defect of the package: please report it.
	ErrConvergence = errors.New("no convergence")
)

const crowded = 1e3 // mol/L, that no water holds: 55 mol of it make a litre, molten salts have some 30 mol/L

// A ComponentError names the component that a problem founders on, by its index.
type ComponentError struct {
	Component  int     // index of the component (for ErrUnbounded, of the solid; for ErrCrowded, of one that the species contains)
	Value      float64 // its total, mol/L (for ErrUnbounded, ln(Q/Ks); for ErrCrowded, the concentration of the species; for ErrIonicStrength, the ionic strength)
	Iterations int     // Newton steps until then
	Err        error   // ErrInfeasible, ErrUnbounded, ErrCrowded, ErrIonicStrength or ErrConvergence
}

func (e *ComponentError) Error() string {
	switch e.Err {
	case ErrUnbounded:
		return fmt.Sprintf("%v: solid %d, %.4g beyond saturation", e.Err, e.Component, e.Value)
	case ErrCrowded:
		return fmt.Sprintf("%v: a species of component %d at %.4g mol/L", e.Err, e.Component, e.Value)
	case ErrIonicStrength:
		return fmt.Sprintf("%v: not %.4g mol/L", e.Err, e.Value)
	}
	return fmt.Sprintf("%v: component %d at %.4g mol/L", e.Err, e.Component, e.Value)
}

// Unwrap returns the sentinel, and chem.ErrInput unless the fault is ours.
func (e *ComponentError) Unwrap() []error {
	if e.Err == ErrConvergence {
		return []error{e.Err}
	}
	return []error{e.Err, chem.ErrInput}
}

// refuse complains about number i of a field, or the whole of it where i is negative.
func refuse(field string, i int, value float64, want string) error {
	if i >= 0 {
		field = fmt.Sprintf("%s[%d]", field, i)
	}
	return &chem.InputError{Field: field, Value: fmt.Sprintf("%.6g", value), Want: want}
}

// miscounted complains about the length of a slice.
func miscounted(field string, length, want int, of string) error {
	if length == want {
		return nil
	}
	return &chem.InputError{Field: field, Value: fmt.Sprintf("%d values", length), Want: fmt.Sprintf("%d, one per %s", want, of)}
}
