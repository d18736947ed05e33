package recipe

import (
	"encoding/json"
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
	refused := func(want string, err error) (Price, error) {
		return Price{}, &chem.InputError{Field: "price", Value: strconv.Quote(s), Want: want, Err: err}
	}
	money, per, ok := strings.Cut(s, "/")
	if !ok {
		money, per, ok = strings.Cut(s, " per ")
	}
	if !ok {
		return refused(`money per amount, such as "4.50/lb" or "38 per 5 lb"`, nil)
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(money), 64)
	if err != nil || !(x >= 0) || math.IsInf(x, 0) {
		return refused("a number from 0 before the slash", nil)
	}
	per = strings.TrimSpace(per)
	if !strings.ContainsAny(per, "0123456789½¼¾⅓⅔⅛") {
		per = "1 " + per
	}
	a, err := measure.ParseAmount(per)
	if err != nil {
		return refused("an amount after the slash", err)
	}
	if a == (measure.Amount{}) {
		return refused("an amount above zero after the slash", nil)
	}
	return Price{x, a, strings.TrimSpace(s)}, nil
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

// MarshalJSON writes the price as text.
func (p Price) MarshalJSON() ([]byte, error) { return json.Marshal(p.String()) }

// UnmarshalJSON reads a price as [ParsePrice] does; a price of nothing is the zero
// value. On an error p is unchanged.
func (p *Price) UnmarshalJSON(data []byte) error {
	var text string
	if err := json.Unmarshal(data, &text); err != nil {
		return err
	}
	if text == (Price{}).String() {
		*p = Price{}
		return nil
	}
	read, err := ParsePrice(text)
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
