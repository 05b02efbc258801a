package main

import (
	"reflect"

	"whistlestop/entry"
	"whistlestop/rulebook"
	"whistlestop/rules"
)

// names gives every Go type of the contract the name that it has in the schema
// and in TypeScript. Packages entry, rulebook and rules use some words for
// three different things; here each gets one name of its own.
var names = map[reflect.Type]string{
	reflect.TypeFor[entry.Millis]():    "Millis",
	reflect.TypeFor[entry.Jersey]():    "Jersey",
	reflect.TypeFor[entry.Side]():      "Side",
	reflect.TypeFor[entry.Kind]():      "Kind",
	reflect.TypeFor[entry.StageKind](): "StageKind",
	reflect.TypeFor[entry.Stage]():     "Stage",
	reflect.TypeFor[entry.Part]():      "Part",
	reflect.TypeFor[entry.Seat]():      "Seat",
	reflect.TypeFor[entry.GoalOn]():    "GoalOn",
	reflect.TypeFor[entry.At]():        "At",
	reflect.TypeFor[entry.Player]():    "Player",
	reflect.TypeFor[entry.Team]():      "RosterTeam",

	reflect.TypeFor[rulebook.Division](): "Division",
	reflect.TypeFor[rulebook.Lengths]():  "PenaltyLengths",
	reflect.TypeFor[rulebook.Overtime](): "OvertimeSettings",
	reflect.TypeFor[rulebook.ShootOut](): "ShootOutSettings",
	reflect.TypeFor[rulebook.TimeOut]():  "TimeOutSettings",

	reflect.TypeFor[rulebook.Code]():         "Code",
	reflect.TypeFor[rulebook.Charges]():      "Charges",
	reflect.TypeFor[rulebook.Policies]():     "Policies",
	reflect.TypeFor[rulebook.OneMinorEach](): "OneMinorEach",
	reflect.TypeFor[rulebook.CallName]():     "CallName",
	reflect.TypeFor[rulebook.Topic]():        "Topic",
	reflect.TypeFor[rulebook.Cited]():        "Cited",

	reflect.TypeFor[rules.State]():        "State",
	reflect.TypeFor[rules.Info]():         "Info",
	reflect.TypeFor[rules.NextStage]():    "NextStage",
	reflect.TypeFor[rules.Clock]():        "Clock",
	reflect.TypeFor[rules.TimeOutClock](): "TimeOutClock",
	reflect.TypeFor[rules.PeriodSpan]():   "PeriodSpan",
	reflect.TypeFor[rules.Moment]():       "Moment",
	reflect.TypeFor[rules.Team]():         "Team",
	reflect.TypeFor[rules.Class]():        "Class",
	reflect.TypeFor[rules.Goal]():         "Goal",
	reflect.TypeFor[rules.Call]():         "Call",
	reflect.TypeFor[rules.Ended]():        "Ended",
	reflect.TypeFor[rules.Door]():         "Door",
	reflect.TypeFor[rules.Term]():         "Term",
	reflect.TypeFor[rules.Strength]():     "Strength",
	reflect.TypeFor[rules.Release]():      "Release",
	reflect.TypeFor[rules.Reason]():       "Reason",
	reflect.TypeFor[rules.Say]():          "Say",
	reflect.TypeFor[rules.Item]():         "Item",
	reflect.TypeFor[rules.Question]():     "Question",
	reflect.TypeFor[rules.Preview]():      "Preview",
	reflect.TypeFor[rules.Refusal]():      "Refusal",
}

// bodies are the entry bodies by kind, without Amended, which holds another
// body. A test holds this list against entry.Kinds.
var bodies = []entry.Body{
	entry.GameOpened{}, entry.RosterSet{}, entry.StageBegun{}, entry.ClockStarted{},
	entry.ClockStopped{}, entry.ClockSet{}, entry.TimeOut{}, entry.Goal{}, entry.Penalty{},
	entry.Choice{}, entry.SetAside{}, entry.Note{}, entry.Struck{},
}

// folders are where the types, their constants and their comments stand.
var folders = []string{"entry", "rulebook", "rules"}
