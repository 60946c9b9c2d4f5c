package app

import (
	"context"
	"errors"
	"math/rand/v2"
	"strings"
	"time"

	"pegpour/storage/replication"
)

// YardTransport carries requests to the yard. The program's main sets it before
// the screens start; tests set a line of their own.
var YardTransport replication.Transport

// yard returns the one client of this page that speaks to the yard with the key
// that the device's store keeps. The store must be open.
func (w *workspace) yard() *replication.Client {
	if w.client == nil {
		w.client = replication.NewClient(w.store, YardTransport, replication.Options{Now: time.Now, Random: rand.Float64, PollEvery: time.Minute, Quiet: 2 * time.Second})
	}
	return w.client
}

// yardWords says what a failing request to the yard means to the person.
func yardWords(err error) string {
	var answer *replication.AnswerError
	switch {
	case errors.Is(err, replication.ErrUnpaired):
		return say("The yard does not let this device in: its key was withdrawn, or it was never paired.")
	case errors.Is(err, replication.ErrNotInYard):
		return say("The yard does not have this.")
	case errors.Is(err, replication.ErrGarbled):
		return say("The answer did not come from a yard. Is there a sign-in page of the network in between?")
	case errors.As(err, &answer):
		switch {
		case answer.Status == 403:
			return say("A crew's device may not do this: the office has to.")
		case answer.Status == 412:
			return say("Somebody else changed this meanwhile. Here is how it stands now.")
		case answer.Status == 429:
			return say("Too many requests: wait a little and try again.")
		case answer.Status == 507:
			return say("The yard has no room left.")
		case answer.Status >= 500:
			return say("The yard failed. Nothing was lost that it had acknowledged. Try again.")
		}
		return sayWith("The yard says: {0}", current.refusalWords(answer.Said))
	case errors.Is(err, context.DeadlineExceeded):
		return say("The yard did not answer in time. Try again.")
	}
	return say("The yard is not reachable: no signal, or it is not running.")
}

// codeInAddress takes a pairing code out of what stands behind the # of an
// address, as a scanned picture has it.
func codeInAddress(fragment string) string {
	code, _ := strings.CutPrefix(fragment, "pair=")
	if code == fragment {
		return ""
	}
	return code
}
