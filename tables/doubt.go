package tables

// Doubt is a way in which what is told of a bath may be wrong: how likely that is, how far it goes,
// and how to tell. The figures are judgement, and each row says why. A doubt that is no number, as
// of a label, has a chance alone, in More.
type Doubt struct {
	Entry
	Told  float64 `json:"told"`             // when nothing is wrong: a factor of one, or an excess of zero
	Less  float64 `json:"less_probability"` // of less than that
	Least float64 `json:"least"`            // how far down
	More  float64 `json:"more_probability"` // of more
	Most  float64 `json:"most"`             // how far up
	Odds  float64 `json:"odds_factor"`      // its odds may be so many times what is told here, or one part in so many, from 1
	Tell  string  `json:"tell"`             // what to do to find out
}

func (r row) doubt() Doubt {
	d := Doubt{Entry: r.entry(), Told: r.number("told", 0, 14), Less: r.number("less", 0, 1), More: r.number("more", 0, 1), Tell: r.text("tell")}
	d.Least, d.Most = r.number("least", -14, d.Told), r.number("most", d.Told, 14)
	d.Odds = r.number("odds", 1, 1000)
	if d.Less+d.More > 1 {
		r.fail("more", "a chance that leaves room for that of less")
	}
	return d
}
