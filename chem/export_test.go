package chem

// ElementRows is the file with what the library does not keep of the elements.
var ElementRows = elementRows

// Element is an element in the open.
type Element struct {
	Number       int
	Symbol, Name string
	Weight       float64
}

// Elements returns all elements.
func Elements() (all []Element) {
	for i, e := range elements {
		all = append(all, Element{i + 1, e.symbol, e.name, e.weight})
	}
	return all
}

// LookupElement returns the element of a symbol.
func LookupElement(symbol string) (Element, bool) {
	i, ok := elementBySymbol[symbol]
	return Elements()[i], ok
}

// Shop is a notation for tests, with the symbols of a shop that cleans rust.
var Shop, _ = NewNotation(shopDefinitions...)

var (
	shop            = Shop
	shopDefinitions = []string{
		"edta4- = C10H12N2O8^4-", "hedta3- = C10H15N2O7^3-", "dtpa5- = C14H18N3O10^5-", "nta3- = C6H6NO6^3-", "cit3- = C6H5O7^3-",
		"gluc- = C6H11O7^-", "tart2- = C4H4O6^2-", "ox2- = C2O4^2-", "pht2- = C8H4O4^2-", "ac- = C2H3O2^-",
	}
)
