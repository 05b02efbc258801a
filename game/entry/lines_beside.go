package entry

// beside adds the texts that lie beside an entry and were not written before.
func (l *Lines) beside(content []byte, e Entry) ([]byte, error) {
	shown := e
	if l.Shows != nil {
		shown = e.places(func(what Text, text string, k Kept) (string, Kept) {
			if !l.Shows(what) {
				k.Random = ""
			}
			return text, k
		})
	}
	for _, name := range shown.Names() {
		if l.written[name.Commitment] {
			continue
		}
		if l.written == nil {
			l.written = map[string]bool{}
		}
		l.written[name.Commitment] = true
		line, err := name.MarshalJSON()
		if err != nil {
			return content, err
		}
		content = append(append(content, line...), '\n')
	}
	return content, nil
}
