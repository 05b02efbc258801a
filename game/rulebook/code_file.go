package rulebook

import (
	"slices"

	"whistlestop/game/datafile"
	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// cited is a value in a code file with the rule behind it. Where Source is
// missing the value was read in the book that the file names as its edition.
type cited[T any] struct {
	Value  T      `toml:"value"`
	Rule   string `toml:"rule"`
	Source string `toml:"source"`
}

type codeFile struct {
	ID      string `toml:"id"`
	Name    string `toml:"name"`
	Body    string `toml:"body"`
	Edition string `toml:"edition"`
	Lengths struct {
		Minor      cited[entry.Millis] `toml:"minor"`
		BenchMinor cited[entry.Millis] `toml:"bench_minor"`
		Major      cited[entry.Millis] `toml:"major"`
		Match      cited[entry.Millis] `toml:"match"`
		Misconduct cited[entry.Millis] `toml:"misconduct"`
	} `toml:"lengths"`
	Charges struct {
		GameMisconduct cited[entry.Millis] `toml:"game_misconduct"`
		Match          cited[entry.Millis] `toml:"match"`
	} `toml:"charges"`
	Policies struct {
		OneMinorEach       cited[OneMinorEach]     `toml:"one_minor_each"`
		MatchedPick        cited[WhoChooses]       `toml:"matched_pick"`
		SameEnd            cited[WhoChooses]       `toml:"same_end"`
		SignalledCounts    cited[bool]             `toml:"signalled_counts"`
		SignalledShotMinor cited[bool]             `toml:"signalled_shot_minor"`
		LateWindow         cited[entry.Millis]     `toml:"late_window"`
		AwardedGoalEnds    cited[bool]             `toml:"awarded_goal_ends"`
		MatchApart         cited[bool]             `toml:"match_apart"`
		EjectedSits        cited[bool]             `toml:"ejected_sits"`
		MisconductsToEject cited[int]              `toml:"misconducts_to_eject"`
		SecondMisconduct   cited[SecondMisconduct] `toml:"second_misconduct"`
		MajorsToEject      cited[int]              `toml:"majors_to_eject"`
		PenaltiesToEject   cited[int]              `toml:"penalties_to_eject"`
		TeamPenalties      cited[int]              `toml:"team_penalties"`
		StickFoulsToEject  cited[int]              `toml:"stick_fouls_to_eject"`
	} `toml:"policies"`
	Rules map[Topic]Cited `toml:"rules"`
}

type callsFile struct {
	Calls []CallName `toml:"calls"`
}

// ParseCode reads a code file.
func ParseCode(text []byte, name string) (*Code, error) {
	var f codeFile
	if err := datafile.Decode(text, name, &f); err != nil {
		return nil, err
	}
	code := &Code{
		ID: f.ID, Name: f.Name, Body: f.Body, Edition: f.Edition,
		Lengths: Lengths{
			Minor: f.Lengths.Minor.Value, BenchMinor: f.Lengths.BenchMinor.Value,
			Major: f.Lengths.Major.Value, Match: f.Lengths.Match.Value,
			Misconduct: f.Lengths.Misconduct.Value,
		},
		Charges: Charges{
			GameMisconduct: f.Charges.GameMisconduct.Value,
			Match:          f.Charges.Match.Value,
		},
		Policies: Policies{
			OneMinorEach:       f.Policies.OneMinorEach.Value,
			MatchedPick:        f.Policies.MatchedPick.Value,
			SameEnd:            f.Policies.SameEnd.Value,
			SignalledCounts:    f.Policies.SignalledCounts.Value,
			SignalledShotMinor: f.Policies.SignalledShotMinor.Value,
			LateWindow:         f.Policies.LateWindow.Value,
			AwardedGoalEnds:    f.Policies.AwardedGoalEnds.Value,
			MatchApart:         f.Policies.MatchApart.Value,
			EjectedSits:        f.Policies.EjectedSits.Value,
			MisconductsToEject: f.Policies.MisconductsToEject.Value,
			SecondMisconduct:   f.Policies.SecondMisconduct.Value,
			MajorsToEject:      f.Policies.MajorsToEject.Value,
			PenaltiesToEject:   f.Policies.PenaltiesToEject.Value,
			TeamPenalties:      f.Policies.TeamPenalties.Value,
			StickFoulsToEject:  f.Policies.StickFoulsToEject.Value,
		},
		Rules: f.Rules,
	}
	switch code.Policies.OneMinorEach {
	case Substitute, FourOnFour:
	default:
		return nil, message.At(name, datafile.LineOf(text, "one_minor_each"), message.New("code_file.one_of_two", "setting", "one_minor_each", "one", message.Plain(Substitute), "other", message.Plain(FourOnFour)))
	}
	for _, key := range []struct {
		key   string
		value WhoChooses
	}{{"matched_pick", code.Policies.MatchedPick}, {"same_end", code.Policies.SameEnd}} {
		if key.value != Captain && key.value != Reported {
			return nil, message.At(name, datafile.LineOf(text, key.key), message.New("code_file.one_of_two", "setting", key.key, "one", message.Plain(Captain), "other", message.Plain(Reported)))
		}
	}
	switch code.Policies.SecondMisconduct {
	case NoSecond, Besides, Instead:
	default:
		return nil, message.At(name, datafile.LineOf(text, "second_misconduct"), message.New("code_file.one_of_three", "setting", "second_misconduct", "one", message.Plain(NoSecond), "other", message.Plain(Besides), "third", message.Plain(Instead)))
	}
	for topic, cited := range code.Rules {
		if !slices.Contains(topics, topic) {
			return nil, message.At(name, datafile.LineOf(text, string(topic)), message.New("code_file.topic", "topic", message.Plain(topic)))
		}
		if cited.Source == "" {
			cited.Source = code.Edition
			code.Rules[topic] = cited
		}
	}
	for _, topic := range topics {
		if _, ok := code.Rules[topic]; !ok {
			return nil, message.In(name, message.New("code_file.topic_missing", "topic", message.Plain(topic)))
		}
	}
	return code, nil
}
