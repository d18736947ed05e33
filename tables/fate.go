package tables

// Breakdown tells whether bacteria take a chelant in a drain.
type Breakdown string

const (
	BreaksDown Breakdown = "readily" // most of it within four weeks
	Stays      Breakdown = "not"     // most of it passes a treatment plant, with the metals it holds
)

// Fate is what becomes of a chelant, the component of its ID, that gets into a drain.
type Fate struct {
	Entry
	Breakdown Breakdown `json:"breakdown"`
	Text      string    `json:"text"` // to follow the name of the chelant
}

func (r row) fate() Fate {
	r.species("chelant")
	return Fate{r.entry(), oneOf(r, "breakdown", BreaksDown, Stays), r.text("text")}
}
