//go:build js && wasm

package main

import (
	"syscall/js"

	"whistlestop/game/message"
	"whistlestop/internal/locale"
	"whistlestop/internal/press"
	"whistlestop/internal/worker"
)

func main() {
	all := js.Global().Get("Object").New()
	all.Set("print", js.FuncOf(func(_ js.Value, a []js.Value) any { // order, language, its texts, printed(pdf), failed(why not)
		order := worker.Bytes(a[0])
		go func() {
			pdf, err := press.Print(order, words(a[1].String(), a[2].String()), face)
			if err != nil {
				a[4].Invoke(message.Of(err).String())
				return
			}
			a[3].Invoke(worker.Array(pdf))
		}()
		return nil
	}))
	js.Global().Set("whistlestopPress", all)
	if ready := js.Global().Get("whistlestopReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {} // the worker calls from now on
}

// words are those of a language whose texts the page has read; English if there are none.
func words(language, texts string) *locale.Catalogue {
	if texts != "" {
		if read, err := locale.Read(language, []byte(texts)); err == nil {
			return read
		}
	}
	return locale.English()
}
