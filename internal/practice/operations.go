package practice

import (
	"whistlestop/game/card"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
)

// Operations is the table of a practice: what every bench answers, and what only
// practice asks.
func Operations() []api.Operation { return append(rows[:len(rows):len(rows)], api.Operations()...) }

// rows are the operations that only practice has.
var rows = []api.Operation{
	{Method: "POST", Path: "/api/fold", Practice: true, TakesMedia: "application/jsonl", Handler: api.Handler{Gives: rules.State{}, Do: fold}},
	{Method: "GET", Path: "/api/practice/scripts", Practice: true, Handler: api.Handler{Gives: Scripts{}, Do: scripts}},
	{Method: "POST", Path: "/api/practice/scripts", Practice: true, Handler: api.Handler{Takes: ScriptFile{}, Gives: ScriptTitle{}, Do: add}},
	{Method: "POST", Path: "/api/practice/scripts/made", Practice: true, Handler: api.Handler{Takes: ScriptOrder{}, Gives: ScriptTitle{}, Do: makeScript}},
	{Method: "POST", Path: "/api/practice/begin", Practice: true, Handler: api.Handler{Takes: Beginning{}, Gives: Begun{}, Do: begin}},
	{Method: "POST", Path: "/api/practice/codes", Practice: true, Handler: api.Handler{Takes: SentCodes{}, Gives: CodesRead{}, Do: readCodes}},
	{Method: "POST", Path: "/api/practice/today", Practice: true, Handler: api.Handler{Takes: Asking{}, Gives: Today{}, Do: today}},
	{Method: "POST", Path: "/api/practice/everybody", Practice: true, Handler: api.Handler{Takes: Listing{}, Gives: Listed{}, Do: everybody}},
	{Method: "POST", Path: "/api/practice/own", Practice: true, Handler: api.Handler{Takes: Own{}, Gives: OwnTaken{}, Do: takeOwn}},
	{Method: "GET", Path: "/api/practice/cards", Practice: true, Handler: api.Handler{Gives: CardTexts{}, Do: cardTexts}},
	{Method: "POST", Path: "/api/practice/cards/read", Practice: true, Handler: api.Handler{Takes: CardText{}, Gives: card.Form{}, Do: readCard}},
	{Method: "POST", Path: "/api/practice/cards/check", Practice: true, Handler: api.Handler{Takes: card.Form{}, Gives: CardChecked{}, Do: checkCard}},
	{Method: "POST", Path: "/api/practice/console/drills", Practice: true, Handler: api.Handler{Takes: CardText{}, Gives: ConsoleDrills{}, Do: consoleDrills}},
	{Method: "POST", Path: "/api/practice/console/play", Practice: true, Handler: api.Handler{Takes: ConsolePlay{}, Gives: ConsoleSeen{}, Do: consolePlay}},
	{Method: "POST", Path: "/api/practice/console/bench", Practice: true, Handler: api.Handler{Takes: ConsolePlay{}, Gives: ConsoleTable{}, Do: consoleBench}},
	{Method: "POST", Path: "/api/practice/look", Practice: true, Game: true, Handler: api.Handler{Gives: Seen{}, Do: look}},
	{Method: "POST", Path: "/api/practice/next", Practice: true, Game: true, Handler: api.Handler{Gives: Seen{}, Do: next}},
	{Method: "POST", Path: "/api/practice/pace", Practice: true, Game: true, Handler: api.Handler{Takes: Pacing{}, Gives: Seen{}, Do: setPace}},
	{Method: "POST", Path: "/api/practice/act", Practice: true, Game: true, Handler: api.Handler{Takes: Deed{}, Gives: Seen{}, Do: act}},
	{Method: "GET", Path: "/api/practice/frames/{cue}", Practice: true, Game: true, Handler: api.Handler{Gives: Frames{}, Do: frames}},
	{Method: "GET", Path: "/api/practice/told", Practice: true, Game: true, Handler: api.Handler{Gives: Told{}, Do: told}},
	{Method: "GET", Path: "/api/practice/grade", Practice: true, Game: true, Handler: api.Handler{Gives: Graded{}, Do: graded}},
	{Method: "GET", Path: "/api/practice/record", Practice: true, Game: true, Handler: api.Handler{Gives: Record{}, Do: record}},
	{Method: "POST", Path: "/api/practice/result", Practice: true, Game: true, Handler: api.Handler{Takes: Naming{}, Gives: Kept{}, Do: result}},
}
