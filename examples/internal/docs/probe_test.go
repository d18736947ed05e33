package docs

import (
	"reflect"

	"example.com/chelation/examples/internal/docs/probe"
)

// plainRecord keeps all promises.
type plainRecord struct {
	MassGrams float64            `json:"mass_g"`
	Names     []string           `json:"names"`
	Shares    map[string]float64 `json:"shares"`
	Inner     *plainRecord       `json:"inner,omitempty"`
}

// hidden loses a field on the way and panics when it is empty.
type hidden struct {
	MassGrams float64 `json:"-"`
	names     []string
}

// Length is of the first name.
func (h *hidden) Length() int { return len(h.names[0]) }

// handle shows nothing.
type handle struct{ inner *plainRecord }

// Name does not panic.
func (h handle) Name() string {
	if h.inner == nil {
		return ""
	}
	return h.inner.Names[0]
}

// handled holds a handle, which no text becomes.
type handled struct {
	Handle handle
}

func probeOwn() []probe.Trouble {
	return probe.Check(reflect.TypeFor[plainRecord](), reflect.TypeFor[hidden](), reflect.TypeFor[handle](), reflect.TypeFor[handled]())
}
