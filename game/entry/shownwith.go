package entry

// ShownWith returns the entry with what text says in the places of texts that are kept
// apart, by their commitments, such as the short form of a name. Nothing of it is held
// against the commitments, so it is for showing, and is in no chain.
func (e Entry) ShownWith(text func(what Text, commitment string) string) Entry {
	return e.places(func(what Text, was string, k Kept) (string, Kept) {
		if k.Commitment == "" {
			return was, k
		}
		return text(what, k.Commitment), k
	})
}

// NamesOf returns the texts of a kind that are known of the entry, with their random
// bytes, each once.
func (e Entry) NamesOf(kind Text) []Name {
	var names []Name
	seen := map[string]bool{}
	e.places(func(what Text, text string, k Kept) (string, Kept) {
		if what == kind && k.Random != "" && text != "" && !seen[k.Commitment] {
			seen[k.Commitment] = true
			names = append(names, Name{Game: e.Game, Commitment: k.Commitment, Random: k.Random, Text: text})
		}
		return text, k
	})
	return names
}
