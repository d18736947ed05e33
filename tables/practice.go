package tables

// Stage is when something is done.
type Stage string

// The stages of a job.
const (
	Before Stage = "before the bath"
	During Stage = "in the bath"
	After  Stage = "after the bath"
)

// Practice is something to do, why, and when it applies.
type Practice struct {
	Entry
	Stage Stage `json:"stage"`
	// When names what calls for it, any of: IDs or groups of a [Material], or "hot", "hard-water",
	// "sour", "slow" for what shortens a dip; empty where it always applies.
	When []string `json:"when,omitempty"`
	Do   string   `json:"do"`
	Why  string   `json:"why"`
}

// Inhibitor is what keeps rinsed steel from rusting before it is oiled.
type Inhibitor struct {
	Entry
	GramsPerLitre Range   `json:"inhibitor_g_per_l"` // of rinse water
	LowPH         float64 `json:"low_ph"`            // below which it fails or harms
	Does          string  `json:"does"`
	Caution       string  `json:"caution"`
}

// Bake is the heat that lets hydrogen out of hard steel.
type Bake struct {
	Entry
	LowMPa       float64 `json:"low_mpa"` // of tensile strength
	HighMPa      float64 `json:"high_mpa"`
	LowHRC       float64 `json:"low_hrc"` // the same as Rockwell C
	HighHRC      float64 `json:"high_hrc"`
	LowC         float64 `json:"low_c"`
	HighC        float64 `json:"high_c"`
	MinimumHours float64 `json:"minimum_h"`
}

func (r row) practice() Practice {
	return Practice{r.entry(), oneOf(r, "stage", Before, During, After), r.list("when"), r.text("do"), r.text("why")}
}

func (r row) inhibitor() Inhibitor {
	return Inhibitor{r.entry(), r.span("g_per_l", 0.1, 100), r.number("low_ph", 0, 14), r.text("does"), r.text("caution")}
}

func (r row) bake() Bake {
	b := Bake{Entry: r.entry(), LowMPa: r.number("low_mpa", 500, 3000), LowHRC: r.number("low_hrc", 20, 70), LowC: r.number("low_c", 100, 250), MinimumHours: r.number("minimum_h", 1, 100)}
	b.HighMPa, b.HighHRC, b.HighC = r.number("high_mpa", b.LowMPa, 3000), r.number("high_hrc", b.LowHRC, 70), r.number("high_c", b.LowC, 250)
	return b
}
