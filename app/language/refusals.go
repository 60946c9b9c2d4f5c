package language

import (
	"errors"

	"pegpour/engine/refusal"
	"pegpour/engine/text"
	"pegpour/storage"
)

// RefusalWords writes the message of a refusal in the user's units and language.
func (s *Speaker) RefusalWords(m refusal.Message) string { return s.Sentence(text.TextOf(m)) }

// ErrorWords says what an error means to the person. What no program of ours said, the
// browser did: that stands as it is, behind words that say so.
func (s *Speaker) ErrorWords(err error) string {
	if m, ok := refusal.Known(err); ok {
		return s.RefusalWords(m)
	}
	return s.SayWith("the browser says: {0}", err.Error())
}

// StoreErrorWords says what a failing store means to the person.
func (s *Speaker) StoreErrorWords(err error) string {
	var unavailable *storage.UnavailableError
	switch {
	case errors.As(err, &unavailable) && unavailable.Reason == storage.StoreFailure:
		// Chromium, once its disk was full, may answer so until it is started again.
		return s.SayWith("Nothing can be kept on this device: {0}. If this stays, note what is not kept, close the browser and open it again.",
			s.RefusalWords(unavailable.Refusal()))
	case errors.As(err, &unavailable):
		return s.SayWith("Nothing can be kept on this device: {0}.", s.RefusalWords(unavailable.Refusal()))
	case errors.Is(err, storage.ErrFull):
		return s.Say("This device has no room left: the last change is not kept yet. Free some room and try again.")
	}
	return s.SayWith("The last change is not kept yet: {0}", s.ErrorWords(err))
}
