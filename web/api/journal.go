package api

import (
	"context"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"pegpour/storage/yard"
	"pegpour/web/request"
)

// journal writes down what was done, in the yard's audit log, and what went
// wrong inside, in the server's own log.
type journal struct {
	yard    *yard.Yard
	log     *slog.Logger
	refused *refusals
}

// refusals are those that are not in the audit log yet: it is written to once in a
// while, however many are refused.
type refusals struct {
	mu      sync.Mutex
	now     func() time.Time
	waiting map[yard.Entry]int64
	written time.Time
}

// How often refusals are written down, and how many kinds of them wait for it at most;
// beyond that strangers are not told apart.
const (
	writeRefusalsEvery = 10 * time.Second
	maxRefusalsWaiting = 100
)

func newJournal(y *yard.Yard, log *slog.Logger, now func() time.Time) journal {
	return journal{y, log, &refusals{now: (&steady{now: now}).time, waiting: map[yard.Entry]int64{}}}
}

// refuse notes that something was refused. The first one stands in the audit log at
// once; what a server counted that is killed is lost.
func (j journal) refuse(r *http.Request, d yard.Device, action, subject string) {
	entry := yard.Entry{Device: d.ID, Address: addressOf(r), Action: action, Subject: subject}
	j.refused.mu.Lock()
	if _, known := j.refused.waiting[entry]; !known && len(j.refused.waiting) >= maxRefusalsWaiting {
		entry = yard.Entry{Action: action}
	}
	j.refused.waiting[entry]++
	due := j.refused.now().Sub(j.refused.written) >= writeRefusalsEvery
	j.refused.mu.Unlock()
	if due {
		j.writeRefusals(r.Context())
	}
}

// writeRefusals writes down what waits.
func (j journal) writeRefusals(ctx context.Context) {
	j.refused.mu.Lock()
	waiting := j.refused.waiting
	j.refused.waiting, j.refused.written = map[yard.Entry]int64{}, j.refused.now()
	j.refused.mu.Unlock()
	for entry, times := range waiting {
		if err := j.yard.NoteRefusals(context.WithoutCancel(ctx), entry, times); err != nil {
			j.log.Error("refusals could not be added to the audit log", "error", err)
			return
		}
	}
}

// note adds to the audit log; that it cannot does not undo what was done.
func (j journal) note(r *http.Request, d yard.Device, action, subject string) {
	entry := yard.Entry{Device: d.ID, Address: addressOf(r), Action: action, Subject: subject}
	if err := j.yard.Note(context.WithoutCancel(r.Context()), entry); err != nil {
		j.of(r).Error("nothing could be added to the audit log", "action", action, "error", err)
	}
}

// of is the log of a request.
func (j journal) of(r *http.Request) *slog.Logger { return request.Log(r.Context(), j.log) }
