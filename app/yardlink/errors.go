package yardlink

import (
	"context"
	"errors"
	"strings"

	"pegpour/app/language"
	"pegpour/storage/replication"
)

// ErrorWords says what a failing request to the yard means to the person.
func ErrorWords(l *language.Speaker, err error) string {
	var answer *replication.AnswerError
	switch {
	case errors.Is(err, replication.ErrUnpaired):
		return l.Say("The yard does not let this device in: its key was withdrawn, or it was never paired.")
	case errors.Is(err, replication.ErrNotInYard):
		return l.Say("The yard does not have this.")
	case errors.Is(err, replication.ErrGarbled):
		return l.Say("The answer did not come from a yard: a sign-in page of the network is in between, or there is no yard at this address. What waits stays here.")
	case errors.As(err, &answer):
		switch {
		case answer.Status == 403:
			return l.Say("A crew's device may not do this: the office has to.")
		case answer.Status == 412:
			return l.Say("Somebody else changed this meanwhile. Here is how it stands now.")
		case answer.Status == 429:
			return l.Say("Too many requests: wait a little and try again.")
		case answer.Status == 507 && answer.Kind != "quota-full":
			return l.Say("The yard has no room left.")
		case answer.Status >= 500 && answer.Status != 507:
			return l.Say("The yard failed. Nothing was lost that it had acknowledged. Try again.")
		}
		return l.SayWith("The yard says: {0}", l.RefusalWords(answer.Said))
	case errors.Is(err, context.DeadlineExceeded):
		return l.Say("The yard did not answer in time. Try again.")
	}
	return l.Say("The yard is not reachable: no signal, or it is not running.")
}

// FullWords say to which limit of the yard this device comes near, "" for none.
func FullWords(l *language.Speaker, full string) string {
	what, percent, _ := strings.Cut(full, " ")
	switch what {
	case "device-megabytes", "device-sites":
		return l.SayWith("This device has used {0} % of what the yard keeps of one device. The office can allow more.", percent)
	case "yard-megabytes", "yard-sites":
		return l.SayWith("The yard is {0} % full. The office can allow more, or delete sites.", percent)
	}
	return ""
}

// CodeInAddress takes a pairing code out of what stands behind the # of an
// address, as a scanned picture has it.
func CodeInAddress(fragment string) string {
	code, _ := strings.CutPrefix(fragment, "pair=")
	if code == fragment {
		return ""
	}
	return code
}

// MissingToPair says what is still to be typed before a code can be used; ""
// when nothing is.
func MissingToPair(l *language.Speaker, code, name, noName string) string {
	switch {
	case code == "":
		return l.Say("The code is missing: ten letters and digits, such as ABCDE-FGHJK.")
	case name == "":
		return noName
	}
	return ""
}
