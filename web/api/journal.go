package api

import (
	"context"
	"fmt"
	"io"
	"net/http"

	"pegpour/storage/yard"
)

// journal writes down what was done, in the yard's audit log, and what went
// wrong inside, in the server's own log.
type journal struct {
	yard *yard.Yard
	log  io.Writer
}

// note adds to the audit log; that it cannot does not undo what was done.
func (j journal) note(r *http.Request, d yard.Device, action, subject string) {
	entry := yard.Entry{Device: d.ID, Address: addressOf(r), Action: action, Subject: subject}
	if err := j.yard.Note(context.WithoutCancel(r.Context()), entry); err != nil {
		j.logf("audit: %v", err)
	}
}

func (j journal) logf(format string, values ...any) {
	fmt.Fprintf(j.log, "yard: "+format+"\n", values...)
}
