//go:build js && wasm

package main

import (
	"context"
	"fmt"
	"os"
	"syscall/js"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/pocket"
	"whistlestop/internal/store/browser"
	"whistlestop/internal/worker"
)

// real is the bench, once the worker has opened its files.
type real struct {
	bench *pocket.Bench
	work  *work
}

func main() {
	js.Global().Set("whistlestopBench", (&real{work: newWork()}).functions())
	if ready := js.Global().Get("whistlestopReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {} // the worker calls from now on
}

// functions are what the worker calls. None waits: each answers by the function that
// it is given.
func (r *real) functions() js.Value {
	all := js.Global().Get("Object").New()
	all.Set("open", js.FuncOf(func(_ js.Value, a []js.Value) any { // files, language, texts, opened(why not)
		go func() { a[3].Invoke(r.open(a[0], a[1].String(), a[2].String())) }()
		return nil
	}))
	all.Set("ask", js.FuncOf(func(_ js.Value, a []js.Value) any { // method, path, body, device or null, answered(status, media, name, body, paired, leaves)
		body := worker.Bytes(a[2])
		r.work.do(func() {
			ask := r.bench.Ask
			if device, is := deviceOf(a[3]); is {
				ask = func(method, path string, body []byte) pocket.Answer {
					return r.bench.AskFrom(device, method, path, body)
				}
			}
			answer := ask(a[0].String(), a[1].String(), body)
			a[4].Invoke(answer.Status, answer.Media, answer.Name, worker.Array(answer.Body), answer.Paired, answer.Leaves)
		})
		return nil
	}))
	all.Set("listen", js.FuncOf(func(_ js.Value, a []js.Value) any { // game, view, device or null, told(name, data, id)
		stopped := false
		stop := func() {}
		tell := func(e pocket.Event) { a[3].Invoke(e.Name, e.Data, e.ID) }
		go func() {
			listen := r.bench.Listen
			if device, is := deviceOf(a[2]); is {
				listen = func(game, view string, tell func(pocket.Event)) (func(), error) {
					return r.bench.ListenFrom(device, game, view, tell)
				}
			}
			end, err := listen(a[0].String(), a[1].String(), tell)
			switch {
			case err != nil:
				tell(pocket.Event{Name: "error", Data: err.Error()})
			case stopped:
				end()
			default:
				stop = end
			}
		}()
		return js.FuncOf(func(js.Value, []js.Value) any {
			stopped = true
			stop()
			return nil
		})
	}))
	all.Set("hub", js.FuncOf(func(js.Value, []js.Value) any {
		hub, secret := r.bench.HubLink()
		return []any{hub, secret}
	}))
	all.Set("beat", js.FuncOf(func(js.Value, []js.Value) any { return r.bench.Beat().Data }))
	return all
}

// deviceOf is the device that the page asks for; none where it asks for itself.
func deviceOf(v js.Value) (device pocket.Device, is bool) {
	if v.IsNull() {
		return pocket.Device{}, false
	}
	return pocket.Device{Token: v.Get("token").String(), From: v.Get("from").String()}, true
}

// open opens the bench over six files: two for the ledgers, two for what lies beside
// them, two for the time.
func (r *real) open(files js.Value, language, texts string) string {
	file := func(i int) browser.Handle { return browser.HandleOf(files.Index(i)) }
	ledgers, err := browser.Open(file(0), file(1))
	if err != nil {
		return fmt.Sprint(err)
	}
	papers, err := browser.OpenPaper(file(2), file(3))
	if err != nil {
		return fmt.Sprint(err)
	}
	instant, err := browser.OpenPaper(file(4), file(5))
	if err != nil {
		return fmt.Sprint(err)
	}
	r.bench, err = pocket.Open(pocket.Config{Ledgers: ledgers, Papers: papers, Instant: instant, Hub: askHub{}, Print: printed, Face: face, Log: os.Stderr, Zone: zone})
	if err != nil {
		return fmt.Sprint(err)
	}
	if texts != "" {
		if err := r.bench.Speak(language, []byte(texts)); err != nil {
			fmt.Fprintln(os.Stderr, err) // it goes on in English
		}
	}
	go r.bench.KeepTime(context.Background())
	return ""
}

// zone is the browser's zone as it is at an instant.
func zone(at entry.Millis) *time.Location {
	behind := js.Global().Get("Date").New(float64(at)).Call("getTimezoneOffset").Int() // minutes
	return time.FixedZone("", -behind*60)
}
