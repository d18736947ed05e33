module example.com/chelation/examples/schema

go 1.26

replace example.com/chelation => ../..

require (
	example.com/chelation v0.0.0
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3
)

require golang.org/x/text v0.14.0 // indirect
