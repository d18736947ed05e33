package recipe

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Price is money per amount of a reagent, in whatever currency the caller keeps.
type Price struct {
	Money float64        `json:"money"` // in the currency of the caller
	Per   measure.Amount `json:"per"`   // the amount that it buys
	Text  string         `json:"text"`  // as it was written, since amounts print rounded
}

// ParsePrice reads a price such as "4.50/lb", "$38 per 5 lb" or "6/gal".
func ParsePrice(s string) (Price, error) {
	refused := &chem.InputError{Field: "price", Value: strconv.Quote(s)}
	money, per, ok := strings.Cut(strings.Replace(s, " per ", "/", 1), "/")
	x, wrong := strconv.ParseFloat(strings.Trim(money, " $€£"), 64)
	if per = strings.TrimSpace(per); !strings.ContainsAny(per, "0123456789½¼¾⅓⅔⅛") {
		per = "1 " + per
	}
	switch a, err := measure.ParseAmount(per); {
	case !ok:
		refused.Want = `money per amount, such as "4.50/lb" or "38 per 5 lb"`
	case wrong != nil || !(x >= 0) || math.IsInf(x, 0):
		refused.Want = "a number from 0 before the slash"
	case err != nil || a == (measure.Amount{}):
		refused.Want, refused.Err = "an amount above zero after the slash", err
	default:
		return Price{x, a, strings.TrimSpace(s)}, nil
	}
	return Price{}, refused
}

// of returns the cost of a mass of a reagent.
func (p Price) of(r tables.Reagent, m unit.Mass) (float64, error) {
	per, err := p.Per.Weigh(r.Packing())
	if err != nil {
		return 0, &chem.InputError{Field: "price of " + r.Name, Value: p.Text, Want: "a price per mass", Err: err}
	}
	return p.Money * float64(m) / float64(per.Typical()), nil
}
