package app

import (
	"pegpour/engine/refusal"
	"pegpour/engine/text"
)

// refusalWords writes the message of a refusal in the user's units and language.
func (w *workspace) refusalWords(m refusal.Message) string { return w.sentence(text.TextOf(m)) }

// errorWords says what an error means to the person. What no program of ours
// said, the browser did: that stands as it is, behind words that say so.
func (w *workspace) errorWords(err error) string {
	if m, ok := refusal.Known(err); ok {
		return w.refusalWords(m)
	}
	return sayWith("the browser says: {0}", err.Error())
}
