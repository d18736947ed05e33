package compiled

// Stocks counts the tables that have a stock.
func Stocks() (n int) {
	stocks.Range(func(any, any) bool { n++; return true })
	return n
}
