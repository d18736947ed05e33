package compiled

import (
	"encoding/binary"
	"maps"
	"sync"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Setting is what a vessel's constants and solids depend on, its contents apart. It is not changed
// once it is in use: clones share it, together with the problems compiled for it.
type Setting struct {
	*Stock
	Temperature unit.Temperature
	CO2         float64             // pressure over the vessel in atm, 0 when closed
	Forming     map[string]bool     // whether a solid may form, where the caller says so
	Constants   map[string]Constant // the caller's, by species
	Ideal       bool                // activity coefficients are one

	mutex    sync.Mutex
	problems map[string]*Problem // compiled for this setting, by components
}

// Constant is a constant of formation of the caller's.
type Constant struct {
	Log10K        float64 // at the ionic strength and the vessel's temperature
	IonicStrength float64 // mol/L
}

func (s *Setting) like(o *Setting) bool {
	return s.Temperature == o.Temperature && s.CO2 == o.CO2 && s.Ideal == o.Ideal &&
		maps.Equal(s.Forming, o.Forming) && maps.Equal(s.Constants, o.Constants)
}

// With returns the setting with something changed.
func (s *Setting) With(change func(*Setting)) *Setting {
	c := &Setting{Stock: s.Stock, Temperature: s.Temperature, CO2: s.CO2, Forming: s.Forming, Constants: s.Constants, Ideal: s.Ideal}
	change(c)
	return s.Stock.shared(c)
}

// Problem returns the problem of a vessel that holds these components, in rising order, with H⁺
// among them or not.
func (s *Setting) Problem(components []int) (*Problem, error) {
	key := make([]byte, 0, 64)
	for _, c := range components {
		key = binary.AppendUvarint(key, uint64(c))
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if p := s.problems[string(key)]; p != nil {
		return p, nil
	}
	p, err := s.compile(components)
	if err != nil {
		return nil, err
	}
	if s.problems == nil || len(s.problems) >= kept {
		s.problems = map[string]*Problem{}
	}
	s.problems[string(key)] = p
	return p, nil
}

// Henry returns the formation of dissolved carbonic acid from the gas.
func (s *Setting) Henry() (tables.Formation, error) {
	gas, err := s.Tables.Formation("CO2(g)")
	if err != nil {
		return gas, err
	}
	acid, err := s.Tables.Formation(carbonicAcid.String())
	s.override(&gas)
	s.override(&acid)
	return acid.Plus(-1, gas), err
}

// override puts a constant of the caller's in the place of that of the tables. It moves with ionic
// strength as that does.
func (s *Setting) override(f *tables.Formation) {
	c, set := s.Constants[f.Species.String()]
	if !set {
		return
	}
	own := chem.Constant{DeltaZ2: f.Constant.DeltaZ2, DeltaEps: f.Constant.DeltaEps}
	moved := 0.0 // since zero ionic strength
	if !s.Ideal {
		moved = own.Log10K(s.Temperature, c.IonicStrength)
	}
	own.LogK = c.Log10K - moved
	f.Constant, f.Steps = own, nil
}
