// Package wording puts what the pure packages know of a crew and a season into the
// words of a language: a seat, a game, a sentence, a person's message, a table's rows.
// The commands print it and the pages show it, so that both say the same.
//
//	say := wording.Crew{Words: locale.English(), Rota: made}
//	for _, line := range say.Few(desk.Missing(plan, 3)) {
//		fmt.Println(line)
//	}
package wording
