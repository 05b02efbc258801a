//go:build js && wasm

package main

import (
	"syscall/js"

	"whistlestop/game/entry"
	"whistlestop/internal/practice"
)

func main() {
	room := practice.NewRoom()
	call := js.FuncOf(func(_ js.Value, arguments []js.Value) any {
		status, body := 400, []byte(`{"title":"call(method, path, body, now)"}`)
		if len(arguments) == 4 && arguments[3].Type() == js.TypeNumber {
			status, body = room.Call(arguments[0].String(), arguments[1].String(), []byte(arguments[2].String()),
				entry.Millis(arguments[3].Float()))
		}
		return map[string]any{"status": status, "body": string(body)}
	})
	engine := js.Global().Get("Object").New()
	engine.Set("call", call)
	engine.Set("speak", js.FuncOf(func(_ js.Value, arguments []js.Value) any {
		if len(arguments) == 2 {
			if err := room.Speak(arguments[0].String(), []byte(arguments[1].String())); err != nil {
				return err.Error() // the page's own words cannot be read: the engine goes on in English
			}
		}
		return ""
	}))
	js.Global().Set("whistlestopEngine", engine)
	if ready := js.Global().Get("whistlestopReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {} // the page calls from now on
}
