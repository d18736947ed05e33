package recipe

import (
	"cmp"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Price is money per amount of a reagent, in whatever currency the caller keeps.
type Price struct {
	Money    float64        `json:"money"`              // in the currency of the caller
	Currency string         `json:"currency,omitempty"` // its sign or word, where one was written
	Per      measure.Amount `json:"per"`                // the amount that it buys
	Text     string         `json:"text"`               // as it was written, since amounts print rounded
}

// A price as people write it: sign or word of the currency, number, amount.
var priceText = regexp.MustCompile(`^\s*(([\pL\p{Sc}]*)\s*(\d*\.?\d*)\s*([\pL\p{Sc}]*?)\s*(?:/| per | for )\s*(.*?))\s*$`)

// ParsePrice reads a price such as "4.50/lb", "£3 per kg", "$38 for 5 lb" or "6 euros/gal".
func ParsePrice(s string) (Price, error) {
	refused := &chem.InputError{Field: "price", Value: chem.Echo(s), Want: `money per amount, such as "4.50/lb", "£3 per kg" or "38 for 5 lb"`}
	m := priceText.FindStringSubmatch(s)
	if m == nil {
		return Price{}, refused
	}
	money, wrong := strconv.ParseFloat(m[3], 64)
	if startsNumber := regexp.MustCompile(`^[\d½¼¾⅓⅔⅛]`); !startsNumber.MatchString(m[5]) {
		m[5] = "1 " + m[5]
	}
	per, err := measure.ParseAmount(m[5])
	if refused.Err = cmp.Or(wrong, err); refused.Err != nil || per == (measure.Amount{}) {
		return Price{}, refused
	}
	return Price{money, cmp.Or(m[2], m[4]), per, m[1]}, nil
}

// Money writes a sum to so many decimals with the sign of a currency before it, or its
// word behind: "£3.20", "3.20 euros", "3.20" where none is known.
func Money(sum float64, decimals int, currency string) string {
	const most = 6 // decimals: no currency has as many
	text := strconv.FormatFloat(sum, 'f', min(max(decimals, 0), most), 64)
	if strings.IndexFunc(currency, func(r rune) bool { return unicode.Is(unicode.Sc, r) }) >= 0 {
		return currency + text
	}
	return strings.TrimSpace(text + " " + currency)
}

// of returns the cost of a mass of a reagent.
func (p Price) of(r tables.Reagent, m unit.Mass) (float64, error) {
	per, err := p.Per.Weigh(r.Packing())
	if err != nil {
		return 0, &chem.InputError{Field: "price of " + r.Name, Value: p.Text, Want: "a price per mass", Err: err}
	}
	cost := p.Money * float64(m) / float64(per.Typical())
	return cost, chem.Within("price of "+r.Name, cost, 0, 1e9, "")
}
