package rulebook

import (
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/entry"
)

// TestEveryValueOfACodeHasASource: a rule's number, or where it was read, or the
// plain word that it is from memory.
func TestEveryValueOfACodeHasASource(t *testing.T) {
	fields := 0
	for _, table := range []any{codeFile{}.Lengths, codeFile{}.Charges, codeFile{}.Policies} {
		fields += reflect.TypeOf(table).NumField()
	}
	for _, code := range Codes() {
		settings := Settings(code.ID)
		if len(settings) != fields {
			t.Errorf("%s has %d settings, and a code has %d", code.ID, len(settings), fields)
		}
		for _, s := range settings {
			if s.Rule == "" && strings.TrimSpace(s.Source) == "" {
				t.Errorf("%s: %s.%s has neither a rule nor a source", code.ID, s.Table, s.Key)
			}
			if s.Source == "" || s.Value == nil {
				t.Errorf("%s: %s.%s does not say where it was read", code.ID, s.Table, s.Key)
			}
		}
		if code.Edition == "" {
			t.Errorf("%s names no edition", code.ID)
		}
		for _, topic := range topics {
			if c := code.Rules[topic]; strings.TrimSpace(c.Source) == "" {
				t.Errorf("%s: topic %s has no source", code.ID, topic)
			}
		}
	}
}

// TestSettingsAreThoseOfTheCode holds the list to the code that the fold uses.
func TestSettingsAreThoseOfTheCode(t *testing.T) {
	for _, code := range Codes() {
		got := map[string]any{}
		for _, s := range Settings(code.ID) {
			got[s.Table+"."+s.Key] = s.Value
		}
		want := map[string]any{
			"lengths.minor": code.Lengths.Minor, "lengths.bench_minor": code.Lengths.BenchMinor,
			"lengths.major": code.Lengths.Major, "lengths.match": code.Lengths.Match,
			"lengths.misconduct": code.Lengths.Misconduct, "charges.game_misconduct": code.Charges.GameMisconduct,
			"charges.match": code.Charges.Match, "policies.one_minor_each": code.Policies.OneMinorEach,
			"policies.late_window": code.Policies.LateWindow, "policies.awarded_goal_ends": code.Policies.AwardedGoalEnds,
			"policies.match_apart": code.Policies.MatchApart, "policies.ejected_sits": code.Policies.EjectedSits,
			"policies.misconducts_to_eject": code.Policies.MisconductsToEject,
			"policies.majors_to_eject":      code.Policies.MajorsToEject,
			"policies.penalties_to_eject":   code.Policies.PenaltiesToEject,
			"policies.matched_pick":         code.Policies.MatchedPick,
			"policies.same_end":             code.Policies.SameEnd,
			"policies.signalled_counts":     code.Policies.SignalledCounts,
			"policies.signalled_shot_minor": code.Policies.SignalledShotMinor,
			"policies.second_misconduct":    code.Policies.SecondMisconduct,
			"policies.team_penalties":       code.Policies.TeamPenalties,
			"policies.stick_fouls_to_eject": code.Policies.StickFoulsToEject,
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: the settings are %v, and the code has %v", code.ID, got, want)
		}
	}
	if Settings("calls") != nil || Settings("no-such-code") != nil {
		t.Error("there are settings of what is no code")
	}
}

// TestEveryDivisionHasSources: the parser asks for them, so that a copy has them
// as well; here it is the files that come with the program.
func TestEveryDivisionHasSources(t *testing.T) {
	for _, d := range Divisions() {
		for key, text := range d.Sources {
			if strings.TrimSpace(text) == "" {
				t.Errorf("%s: the source of %s is empty", d.ID, key)
			}
		}
		for _, key := range []string{"periods", "skaters", "lengths"} {
			if d.Sources[key] == "" {
				t.Errorf("%s: %s has no source", d.ID, key)
			}
		}
		for _, m := range []entry.Millis{d.Lengths.Minor, d.Lengths.Major} {
			if m <= 0 {
				t.Errorf("%s has a penalty of no length", d.ID)
			}
		}
	}
}
