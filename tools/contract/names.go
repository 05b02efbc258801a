package main

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"whistlestop/game/announce"
	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/game/slot"
	"whistlestop/internal/bench"
	"whistlestop/internal/practice"
	"whistlestop/internal/seats"
	"whistlestop/practice/console"
	"whistlestop/practice/grade"
	"whistlestop/practice/plot"
	"whistlestop/practice/progress"
	"whistlestop/practice/rink"
	"whistlestop/practice/script"
	"whistlestop/record/audit"
	"whistlestop/record/report"
	"whistlestop/record/roster"
	"whistlestop/record/seal"
	"whistlestop/season/handin"
	"whistlestop/season/tally"
)

// roots are the types that the bench and its screens say to each other; every
// type of ours that they reach gets a definition.
var roots = []reflect.Type{
	reflect.TypeFor[rules.State](), reflect.TypeFor[rules.Preview](),
	reflect.TypeFor[rulebook.Division](), reflect.TypeFor[rulebook.Code](),
	reflect.TypeFor[announce.Announcement](),
	reflect.TypeFor[card.View](), reflect.TypeFor[card.Card](), reflect.TypeFor[slot.Outlook](),
	reflect.TypeFor[report.Document](), reflect.TypeFor[audit.Finding](), reflect.TypeFor[seal.Verdict](),
	reflect.TypeFor[roster.Finding](),
	reflect.TypeFor[entry.At](), reflect.TypeFor[entry.Seat](), reflect.TypeFor[entry.Kind](),
}

// practiceRoots are what the screens of practice and their engine say to each
// other beside, by the table of a practice. They never travel over HTTP.
func practiceRoots() (types []reflect.Type) {
	for _, o := range practice.Operations() {
		for _, value := range []any{o.Takes, o.Gives} {
			if o.Practice && value != nil {
				types = append(types, reflect.TypeOf(value))
			}
		}
	}
	return types
}

// renamed are the types that have another name in the contract than in Go:
// the packages use some words for different things.
var renamed = map[reflect.Type]string{
	reflect.TypeFor[entry.Team]():        "RosterTeam",
	reflect.TypeFor[rulebook.Lengths]():  "PenaltyLengths",
	reflect.TypeFor[rulebook.Overtime](): "OvertimeSettings",
	reflect.TypeFor[rulebook.ShootOut](): "ShootOutSettings",
	reflect.TypeFor[rulebook.TimeOut]():  "TimeOutSettings",
	reflect.TypeFor[announce.Kind]():     "AnnouncementKind",
	reflect.TypeFor[card.View]():         "RinkCardView",
	reflect.TypeFor[card.Card]():         "RinkCard",
	reflect.TypeFor[card.Words]():        "RinkCardWords",
	reflect.TypeFor[card.Template]():     "RinkCardSteps",
	reflect.TypeFor[card.When]():         "RinkCardWhen",
	reflect.TypeFor[card.Step]():         "RinkCardStep",
	reflect.TypeFor[card.Form]():         "RinkCardForm",
	reflect.TypeFor[card.Seen]():         "RinkCardSeen",
	reflect.TypeFor[card.SeenStep]():     "RinkCardSeenStep",
	reflect.TypeFor[card.Mark]():         "KeyMark",
	reflect.TypeFor[card.Lamp]():         "BoardLamp",
	reflect.TypeFor[console.Duty]():      "ConsoleDuty",
	reflect.TypeFor[console.Seen]():      "ConsoleState",
	reflect.TypeFor[console.Grade]():     "ConsoleGrade",
	reflect.TypeFor[console.Slip]():      "ConsoleSlip",
	reflect.TypeFor[console.SlipKind]():  "ConsoleSlipKind",
	reflect.TypeFor[console.Board]():     "ConsoleBoard",
	reflect.TypeFor[console.Line]():      "ConsoleLine",
	reflect.TypeFor[console.Act]():       "ConsoleAct",
	reflect.TypeFor[console.Do]():        "ConsoleDo",
	reflect.TypeFor[console.Bench]():     "ConsoleBench",
	reflect.TypeFor[card.Board]():        "BoardType",
	reflect.TypeFor[card.Reading]():      "BoardReading",
	reflect.TypeFor[card.Side]():         "BoardSide",
	reflect.TypeFor[card.Line]():         "BoardLine",
	reflect.TypeFor[card.Why]():          "BesideWhy",
	reflect.TypeFor[slot.Outlook]():      "SlotForecast",
	reflect.TypeFor[handin.Due]():        "HandInDue",
	reflect.TypeFor[handin.HandedIn]():   "HandInGame",
	reflect.TypeFor[plot.Why]():          "CueWhy",
	reflect.TypeFor[grade.Finding]():     "Slip",
	reflect.TypeFor[script.Right]():      "RightState",
	reflect.TypeFor[script.Moment]():     "DrillMoment",
	reflect.TypeFor[rink.Frame]():        "RinkFrame",
	reflect.TypeFor[rink.Spot]():         "RinkSpot",
	reflect.TypeFor[rink.Skater]():       "RinkSkater",
	reflect.TypeFor[progress.Result]():   "PracticeResult",
	reflect.TypeFor[practice.Record]():   "PracticeRecord",
	reflect.TypeFor[progress.Row]():      "ReadinessRow",
	reflect.TypeFor[progress.Status]():   "ReadinessStatus",
	reflect.TypeFor[progress.Bar]():      "ReadinessBar",
	reflect.TypeFor[progress.Table]():    "ReadinessTable",
	reflect.TypeFor[progress.Cell]():     "ReadinessCell",
	reflect.TypeFor[grade.Fault]():       "SlipFault",
	reflect.TypeFor[progress.Day]():      "PracticeDay",
	reflect.TypeFor[report.Document]():   "Report",
	reflect.TypeFor[audit.Kind]():        "FindingKind",
	reflect.TypeFor[report.Seal]():       "ReportSeal",
	reflect.TypeFor[report.Signature]():  "ReportSignature",
	reflect.TypeFor[report.Side]():       "ReportSide",
	reflect.TypeFor[report.Player]():     "ReportPlayer",
	reflect.TypeFor[report.ShootOut]():   "ReportShootOut",
	reflect.TypeFor[roster.Finding]():    "RosterFinding",
	reflect.TypeFor[roster.Level]():      "RosterLevel",
	reflect.TypeFor[roster.Field]():      "RosterField",
	reflect.TypeFor[seal.Found]():        "FoundSeal",
	reflect.TypeFor[seal.Fault]():        "LedgerFault",
	reflect.TypeFor[seal.Kind]():         "LedgerFaultKind",
	reflect.TypeFor[seal.Verdict]():      "LedgerVerdict",
	reflect.TypeFor[seats.List]():        "SeatList",
	reflect.TypeFor[seats.Invite]():      "SeatInvite",
	reflect.TypeFor[seats.Request]():     "SeatRequest",
	reflect.TypeFor[seats.Info]():        "SeatSession",
	reflect.TypeFor[tally.Place]():       "SeasonPlace",
	reflect.TypeFor[tally.Served]():      "SeasonServed",
	reflect.TypeFor[bench.Title]():       "GameTitle",
}

// byHand are the types whose JSON reflection cannot see, because they write it
// themselves.
var byHand = map[reflect.Type]bool{
	reflect.TypeFor[rules.Args](): true,
	reflect.TypeFor[rules.Line](): true,
}

// bodies are the entry bodies by kind, without Amended, which holds another
// body.
var bodies = func() (list []entry.Body) {
	for _, kind := range entry.Kinds {
		if kind != entry.KindAmended {
			list = append(list, kind.About().Body)
		}
	}
	return list
}()

// folders are where the types, their constants and their comments stand.
var folders = []string{"game/message", "game/entry", "game/rulebook", "game/rules", "game/announce", "game/card", "game/slot", "record/report", "record/audit", "record/seal", "record/roster",
	"internal/api", "internal/api/laptop", "internal/api/season", "internal/api/crew", "internal/seats", "internal/bench", "practice/plot", "practice/script", "practice/grade", "practice/run", "practice/rink", "practice/progress", "internal/practice", "season/tally"}

// publicName is the name of a type as others read it: those of the web server
// alone are its own and end in JSON.
func publicName(t reflect.Type) string {
	name := strings.TrimSuffix(t.Name(), "JSON")
	return strings.ToUpper(name[:1]) + name[1:]
}

// nameAll gives every type that the roots and the bodies reach its name. Two
// types with one name are an error: one of them needs another one above.
func nameAll(more []reflect.Type) (map[reflect.Type]string, error) {
	names := map[reflect.Type]string{}
	taken := map[string]reflect.Type{}
	var clash error
	var reach func(reflect.Type)
	var inside func(reflect.Type)
	inside = func(t reflect.Type) {
		for field := range t.Fields() {
			switch {
			case field.Anonymous: // its fields are the type's own
				inside(field.Type)
			case field.IsExported() && field.Tag.Get("json") != "-":
				reach(field.Type)
			}
		}
	}
	reach = func(t reflect.Type) {
		switch {
		case t == reflect.TypeFor[json.RawMessage](), names[t] != "":
			return
		case strings.HasPrefix(t.PkgPath(), "whistlestop/") && t.Kind() != reflect.Interface:
			name := publicName(t)
			if other := renamed[t]; other != "" {
				name = other
			}
			if before, twice := taken[name]; twice {
				clash = fmt.Errorf("%s and %s would both be called %s: rename one in tools/contract/names.go", before, t, name)
				return
			}
			names[t], taken[name] = name, t
		}
		switch t.Kind() {
		case reflect.Struct:
			inside(t)
		case reflect.Slice, reflect.Array, reflect.Pointer:
			reach(t.Elem())
		case reflect.Map:
			reach(t.Key())
			reach(t.Elem())
		default:
		}
	}
	for _, t := range slices.Concat(roots, more) {
		reach(t)
	}
	for _, b := range bodies {
		inside(reflect.TypeOf(b))
	}
	// Arg is only ever seen through Args.
	delete(names, reflect.TypeFor[rules.Arg]())
	return names, clash
}
