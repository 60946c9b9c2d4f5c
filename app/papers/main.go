//go:build js && wasm

// The program that makes documents in the browser. It is apart from the app,
// so that starting the app does not wait for what is needed only now and then.
// It runs in a worker of its own: see web/assets/papers.js.
package main

import (
	"encoding/json"
	"syscall/js"

	"pegpour/app/papers/order"
	"pegpour/app/papers/press"
	"pegpour/engine/refusal"
	"pegpour/storage/browser/value"
)

func main() {
	js.Global().Set("pegpourPrint", js.FuncOf(func(_ js.Value, arguments []js.Value) any {
		answer := map[string]any{}
		pdf, err := fill(arguments[0].String())
		if err != nil {
			why, _ := json.Marshal(refusal.Of(err)) // of texts and numbers: cannot fail
			answer["error"] = string(why)
			return answer
		}
		answer["pdf"] = value.Array(js.Global().Get("Uint8Array"), js.CopyBytesToJS, pdf)
		return answer
	}))
	select {}
}

func fill(text string) ([]byte, error) {
	var o order.Order
	if err := json.Unmarshal([]byte(text), &o); err != nil {
		return nil, err
	}
	return press.Print(o)
}
