package main

import (
	"cmp"
	"fmt"
	"os"
	"strings"

	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/locale"
	"whistlestop/internal/web"
	"whistlestop/internal/wording"
)

// words are the texts of the language that the program speaks to whoever started it.
type words struct{ catalogue *locale.Catalogue }

// in is the catalogue: English until a command line or the surroundings said
// otherwise.
func (w words) in() *locale.Catalogue { return cmp.Or(w.catalogue, locale.English()) }

// say is a sentence of the catalogue, with what fills its gaps by name.
func (w words) say(key string, pairs ...string) string {
	return w.shown(message.Say{Key: key, Args: message.Pairs(pairs...)})
}

// Text is the same for whoever takes a language: wording.Words.
func (w words) Text(key string, args message.Args) string {
	return w.shown(message.Say{Key: key, Args: args})
}

// reason is what went wrong, in words.
func (w words) reason(err error) string { return w.shown(message.Of(err)) }

// sentence is a sentence of the pure packages, as it is.
func (w words) sentence(s message.Say) string { return w.in().Say(s) }

func (w words) shown(say message.Say) string { return w.in().Say(wording.Visible(say)) }

// spoken are the languages that the program speaks.
func (p *Program) spoken() *locale.Spoken {
	if p.Spoken == nil {
		return locale.Shipped()
	}
	return p.Spoken
}

// languages are the same for the API, which speaks each caller's.
func (p *Program) languages() api.Languages { return web.Speaks(p.spoken()) }

// languageFlag is how a command line names its language.
const languageFlag = "--language"

// chooseLanguage takes the language that the command line asks for, or the
// surroundings do, before anything is said: help and mistakes of the command line
// speak it too. What is asked for and not there is told in English. The language of
// the computer was not asked for: there English is spoken without a word about it.
func (p *Program) chooseLanguage(arguments []string) {
	lookUp := p.Getenv
	if lookUp == nil {
		lookUp = os.Getenv
	}
	asked := lookUp("WHISTLESTOP_LANGUAGE")
	for i, argument := range arguments {
		if argument == "--" {
			break
		}
		if value, found := strings.CutPrefix(argument, languageFlag+"="); found {
			asked = value
		} else if argument == languageFlag && i+1 < len(arguments) {
			asked = arguments[i+1]
		}
	}
	if asked != "" {
		found, there := p.spoken().Best(asked)
		p.words = words{found}
		if !there {
			fmt.Fprintln(p.Log, p.words.say("language.unknown", "language", asked, "known", strings.Join(p.spoken().Tags(), ", ")))
		}
		return
	}
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if tag, _, _ := strings.Cut(lookUp(name), "."); tag != "" { // without the letters: fi_FI.UTF-8
			found, _ := p.spoken().Best(tag)
			p.words = words{found}
			return
		}
	}
}
