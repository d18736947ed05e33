package recipe

import (
	"fmt"
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
	Money float64        // in the currency of the caller
	Per   measure.Amount // the amount that it buys

	written string // as it was parsed, since amounts print rounded
}

// ParsePrice reads a price such as "4.50/lb", "38 per 5 lb" or "6/gal".
func ParsePrice(s string) (Price, error) {
	refused := &chem.InputError{Field: "price", Value: strconv.Quote(s)}
	money, per, ok := strings.Cut(strings.Replace(s, " per ", "/", 1), "/")
	x, wrong := strconv.ParseFloat(strings.TrimSpace(money), 64)
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

// String writes the price as it was parsed, or to the last digit in g or L.
func (p Price) String() string {
	if p.written != "" {
		return p.written
	}
	if v := p.Per.VolumeLitres; v != 0 {
		return fmt.Sprintf("%v per %v L", p.Money, v)
	}
	return fmt.Sprintf("%v per %v g", p.Money, p.Per.MassGrams)
}

// MarshalText writes the price as String does.
func (p Price) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads a price as [ParsePrice] does; a price of nothing is the zero
// value. On an error p is unchanged.
func (p *Price) UnmarshalText(text []byte) error {
	read, err := ParsePrice(string(text))
	if string(text) == (Price{}).String() {
		read, err = Price{}, nil
	}
	if err == nil {
		*p = read
	}
	return err
}

// of returns the cost of a mass of a reagent.
func (p Price) of(r tables.Reagent, m unit.Mass) (float64, error) {
	per, err := p.Per.Weigh(r.Packing())
	if err != nil {
		return 0, &chem.InputError{Field: "price of " + r.Name, Value: p.String(), Want: "a price per mass", Err: err}
	}
	return p.Money * float64(m) / float64(per.Typical()), nil
}
