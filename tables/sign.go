package tables

import (
	"strconv"
	"strings"
)

// Sign is something seen on a bath or a part, and what may lie behind it.
type Sign struct {
	Entry
	Causes []Suspect `json:"causes"`
	Means  string    `json:"means"` // in a sentence or two
	Tell   string    `json:"tell"`  // what would tell the causes apart
}

// Suspect is a cause that a sign speaks for, with how loudly: by what factor more often the sign
// comes with it than with a cause that is not named.
type Suspect struct {
	Cause  string  `json:"cause"`
	Weight float64 `json:"weight"`
}

// loudest is the most that a sign may weigh: judgement, lest one look outweigh a measurement.
const loudest = 20

func (r row) sign() Sign {
	x := Sign{Entry: r.entry(), Means: r.text("means"), Tell: r.text("tell")}
	for _, text := range r.list("causes") {
		cut := strings.LastIndexByte(text, ' ')
		weight, err := strconv.ParseFloat(text[cut+1:], 64)
		if cut < 0 || err != nil || !(weight >= 1 && weight <= loudest) {
			r.fail("causes", `a list such as "working 6;soured 1", with weights from 1 to 20`)
			break
		}
		x.Causes = append(x.Causes, Suspect{text[:cut], weight})
	}
	return x
}
