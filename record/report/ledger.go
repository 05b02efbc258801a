package report

import (
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/seal"
)

// ledger fills in what a folded game leaves in its ledger: what was drawn, and
// the fingerprints, which are those of whole entries.
func (d *Document) ledger(ledger []entry.Entry, lines []rules.Line) {
	drawn := map[string]string{}
	for at, e := range ledger {
		for i := range d.Seals {
			if d.Seals[i].Entry == e.ID {
				d.Seals[i].Fingerprint = seal.Fingerprint(e)
			}
		}
		switch body := e.Body.(type) {
		case entry.Signed:
			drawn[e.ID] = body.Drawing
		case entry.Amended:
			if to, ok := body.To.(entry.Signed); ok && !lines[at].Struck {
				drawn[lines[at].About()] = to.Drawing
			}
		default: // the other entries say nothing here
		}
	}
	for i := range d.Signatures {
		d.Signatures[i].Drawing = drawn[d.Signatures[i].Entry]
	}
}
