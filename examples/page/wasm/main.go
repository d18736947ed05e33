//go:build js && wasm

// Command wasm is what the page's worker runs: it makes the calls of package bridge
// a function of the worker, chelation(message), which takes and returns JSON text,
// and calls ready() once.
package main

import (
	"syscall/js"

	"example.com/chelation/examples/page/bridge"
)

func main() {
	b, err := bridge.New()
	if err != nil {
		panic(err) // the tables are compiled in
	}
	js.Global().Set("chelation", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return string(b.Answer([]byte(args[0].String())))
	}))
	js.Global().Call("ready")
	select {}
}
