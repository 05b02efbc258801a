package locale

import "syscall/js"

// category asks the browser, which knows CLDR: the tables of a library would cost
// the engine more than all its texts.
func category(tag string, n int) string {
	return js.Global().Get("Intl").Get("PluralRules").New(tag).Call("select", n).String()
}
