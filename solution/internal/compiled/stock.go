// Package compiled is a vessel's chemistry made ready for the solver: what can form from its
// components, at its temperature, once for all vessels alike; and the room in which one of them is
// solved. It serves the rooms under solution.
package compiled

import (
	"runtime"
	"slices"
	"sync"
	"weak"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Stock is the components of some tables, as vessels ask for them, and what was compiled from them.
type Stock struct {
	Tables     *tables.Tables
	Components []tables.Component
	Text       []string                       // of each component's formula
	Proton     int                            // index of H⁺ among Components
	solids     func() map[string]tables.Solid // by formula

	mutex    sync.Mutex
	settings []*Setting // lately used, the newest last
}

// stocks finds the stock that the vessels of some tables share. It keeps neither alive.
var stocks sync.Map // from weak.Pointer[tables.Tables] to weak.Pointer[Stock]

// StockOf returns the stock of tables.
func StockOf(t *tables.Tables) *Stock {
	key := weak.Make(t)
	if known, ok := stocks.Load(key); ok {
		if k := known.(weak.Pointer[Stock]).Value(); k != nil {
			return k
		}
	}
	k := &Stock{Tables: t, Components: t.Components()}
	for _, c := range k.Components {
		k.Text = append(k.Text, c.Species.String())
	}
	k.Proton = slices.IndexFunc(k.Components, func(c tables.Component) bool { return c.Role == "proton" })
	k.solids = sync.OnceValue(func() map[string]tables.Solid {
		out := map[string]tables.Solid{}
		for s := range tables.All[tables.Solid](t) {
			out[s.Species.String()] = s
		}
		return out
	})
	entry := weak.Make(k)
	stocks.Store(key, entry)
	runtime.AddCleanup(k, func(key weak.Pointer[tables.Tables]) { stocks.CompareAndDelete(key, entry) }, key)
	return k
}

// Component finds a component by formula, name or synonym.
func (k *Stock) Component(name string) (int, error) {
	if i := slices.Index(k.Text, name); i >= 0 {
		return i, nil
	}
	c, err := k.Tables.Component(name)
	return slices.Index(k.Text, c.Species.String()), err
}

// kept bounds the settings of a stock and the problems of a setting that are kept: a bath meets a
// handful of either, a sweep over temperatures does not come back.
const kept = 16

// At returns the setting of a closed vessel at a temperature.
func (k *Stock) At(t unit.Temperature) *Setting {
	return k.shared(&Setting{Stock: k, Temperature: t})
}

// shared returns the setting like this one that vessels have already, if any.
func (k *Stock) shared(s *Setting) *Setting {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	for _, known := range k.settings {
		if known.like(s) {
			return known
		}
	}
	if len(k.settings) >= kept {
		k.settings = slices.Delete(k.settings, 0, 1)
	}
	k.settings = append(k.settings, s)
	return s
}

// carbonate and carbonicAcid change places in a vessel that is open to the air.
const carbonate = "CO3^2-"

var carbonicAcid, _ = chem.ParseSpecies("H2CO3")
