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
	money, per, ok := strings.Cut(s, "/")
	if !ok {
		money, per, ok = strings.Cut(s, " per ")
	}
	if !ok {
		return Price{}, &chem.InputError{Field: "price", Value: strconv.Quote(s), Want: `money per amount, such as "4.50/lb" or "38 per 5 lb"`}
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(money), 64)
	if err != nil || !(x >= 0) || math.IsInf(x, 0) {
		return Price{}, &chem.InputError{Field: "price", Value: strconv.Quote(s), Want: "a number from 0 before the slash"}
	}
	per = strings.TrimSpace(per)
	if !strings.ContainsAny(per, "0123456789½¼¾⅓⅔⅛") {
		per = "1 " + per
	}
	a, err := measure.ParseAmount(per)
	if err != nil {
		return Price{}, &chem.InputError{Field: "price", Value: strconv.Quote(s), Want: "an amount after the slash", Err: err}
	}
	if a == (measure.Amount{}) {
		return Price{}, &chem.InputError{Field: "price", Value: strconv.Quote(s), Want: "an amount above zero after the slash"}
	}
	return Price{x, a, strings.TrimSpace(s)}, nil
}

// String writes the price in the form that [ParsePrice] reads: as it was parsed,
// or with its amount rounded.
func (p Price) String() string {
	if p.written != "" {
		return p.written
	}
	return fmt.Sprintf("%g per %s", p.Money, p.Per)
}

// MarshalJSON writes the price as text.
func (p Price) MarshalJSON() ([]byte, error) { return json.Marshal(p.String()) }

// UnmarshalJSON reads a price as [ParsePrice] does. On an error p is unchanged.
func (p *Price) UnmarshalJSON(data []byte) error {
	var text string
	if err := json.Unmarshal(data, &text); err != nil {
		return err
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

// Cost is what a bath costs, in the currency of the prices.
type Cost struct {
	Chelant   float64 `json:"chelant"`
	Acid      float64 `json:"acid"`
	Extras    float64 `json:"extras,omitempty"`
	Total     float64 `json:"total"`
	PerLitre  float64 `json:"per_l"`
	PerGallon float64 `json:"per_us_gal"`
	// PerKilogram of rust, as FeOOH, that the bath can bind at most.
	PerKilogram float64  `json:"per_kg_rust"`
	Missing     []string `json:"without_price,omitempty"` // reagents that have no price
}

// cost adds up what has a price; nil if nothing has.
func (r Recipe) cost(p *Plan) (*Cost, error) {
	if len(r.Prices) == 0 {
		return nil, nil
	}
	c := &Cost{}
	add := func(x tables.Reagent, m unit.Mass, sum *float64) error {
		price, ok := r.Prices[x.ID]
		if !ok {
			c.Missing = append(c.Missing, x.Name)
			return nil
		}
		cost, err := price.of(x, m)
		*sum += cost
		return err
	}
	if err := add(r.Chelant, p.Chelant.Mass(), &c.Chelant); err != nil {
		return nil, err
	}
	if err := add(r.Acid, p.Acid.Mass(), &c.Acid); err != nil {
		return nil, err
	}
	for _, e := range r.Extras {
		if err := add(e.Reagent, e.Mass, &c.Extras); err != nil {
			return nil, err
		}
	}
	c.Total = c.Chelant + c.Acid + c.Extras
	c.PerLitre = c.Total / p.BathLitres
	c.PerGallon = c.PerLitre * litresPerGallon
	if p.Iron.RustGrams > 0 {
		c.PerKilogram = 1000 * c.Total / p.Iron.RustGrams
	}
	return c, nil
}
