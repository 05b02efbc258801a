// Package pseudo is a made-up language for tests: every English text with its
// letters changed, and its gaps kept. Whatever still reads as English was not said
// by the catalogue. It is in no program.
//
//	program := &Program{Out: &out, Log: &log, Spoken: pseudo.Spoken()}
//	err := program.Run(ctx, []string{"verify", file, "--language", pseudo.Tag})
//	left := pseudo.Left(out.String())
package pseudo
