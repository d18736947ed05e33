module example.com/chelation/examples/page

go 1.26

require (
	example.com/chelation v0.0.0
	github.com/chromedp/cdproto v0.159.0
	github.com/chromedp/chromedp v0.23.0
	github.com/google/go-cmp v0.7.0
	gonum.org/v1/gonum v0.17.0
)

require github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect

replace example.com/chelation => ../..
