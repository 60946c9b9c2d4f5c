// Package backups makes back-ups of a yard on a schedule, beside its server.
//
// # What is due is read from the folder
//
// The names of the back-ups say when they were made. Nothing else is kept, so that a
// server that is started anew, moved or killed goes on where the last one stopped, and of
// two servers with one folder the second finds that nothing is due.
package backups

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"time"

	"pegpour/storage/yard"
)

// How long the schedule waits: between two looks at what is due, and after a failure.
const (
	lookEvery  = time.Minute
	afterFault = 15 * time.Minute
)

// Options of a schedule.
type Options struct {
	Folder string
	Every  time.Duration
	Keep   int
	Now    func() time.Time
	Log    *slog.Logger
	// Done, which may be nil, hears of each back-up that was tried.
	Done func(took time.Duration, err error)
}

// Schedule makes back-ups.
type Schedule struct {
	Options

	mu       sync.Mutex
	failure  string // of the last one, "" when it went well
	failedAt time.Time
	last     yard.BackUpReport // that this server made
}

// New returns a schedule. It does nothing until Run.
func New(o Options) *Schedule { return &Schedule{Options: o} }

// State is how the back-ups are. JSON names are those of the HTTP API.
type State struct {
	// Kept: there is a schedule.
	Kept bool `json:"kept"`
	// EverySeconds is how far back-ups should be apart.
	EverySeconds int64 `json:"everySeconds"`
	Keep         int   `json:"keep"`
	// Backups are those that are there and were found good when they were made, the
	// newest first.
	Backups []Made `json:"backups"`
	// AgeSeconds is how old the newest is; -1 where there is none.
	AgeSeconds int64 `json:"ageSeconds"`
	// Late: the newest is older than it should be by more than half of the time between.
	Late bool `json:"late"`
	// Failed says when the last one that this server tried failed, "" when it did not.
	Failed string `json:"failed"`
	// Damaged is how much was damaged in the yard when the newest was made by this server.
	Damaged int `json:"damaged"`
}

// Made is one back-up.
type Made struct {
	Name  string `json:"name"`
	Made  string `json:"made"` // RFC 3339
	Bytes int64  `json:"bytes"`
}

// State reads how the back-ups are. A nil schedule is none.
func (s *Schedule) State() (State, error) {
	if s == nil {
		return State{Backups: []Made{}, AgeSeconds: -1}, nil
	}
	all, err := yard.BackUps(s.Folder)
	if err != nil {
		return State{}, err
	}
	now := s.Now()
	out := State{Kept: true, EverySeconds: int64(s.Every.Seconds()), Keep: s.Keep, Backups: []Made{}, AgeSeconds: -1}
	for _, b := range all {
		out.Backups = append(out.Backups, Made{b.File, b.Made.Format(time.RFC3339), b.Size})
	}
	if len(all) > 0 {
		out.AgeSeconds = max(0, int64(now.Sub(all[0].Made).Seconds()))
	}
	out.Late = len(all) == 0 || now.Sub(all[0].Made) > s.Every+s.Every/2
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.failure != "" {
		out.Failed = s.failedAt.UTC().Format(time.RFC3339)
	}
	out.Damaged = len(s.last.Examined.Findings) + len(s.last.Lacking)
	return out, nil
}

// Run makes back-ups of a yard when they are due, until the context ends.
func (s *Schedule) Run(ctx context.Context, y *yard.Yard) {
	for {
		wait := lookEvery
		if due, err := s.due(); err != nil {
			s.failed(err)
			wait = afterFault
		} else if due {
			if err := s.Make(ctx, y); err != nil && ctx.Err() == nil && !errors.Is(err, yard.ErrBackingUp) {
				wait = min(afterFault, s.Every)
			}
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
	}
}

// due reports whether it is time. A newest one that was made in times to come counts as
// none: the clock was wrong, then or now.
func (s *Schedule) due() (bool, error) {
	all, err := yard.BackUps(s.Folder)
	if err != nil || len(all) == 0 {
		return true, err
	}
	age := s.Now().Sub(all[0].Made)
	return age >= s.Every || age < -time.Hour, nil
}

// Make makes one now, and lets go of those that are too many.
func (s *Schedule) Make(ctx context.Context, y *yard.Yard) error {
	began := time.Now()
	report, err := y.BackUpTo(ctx, s.Folder)
	switch {
	case errors.Is(err, yard.ErrBackingUp): // another server does
		return err
	case err != nil && ctx.Err() != nil:
		return err
	}
	took := time.Since(began)
	if s.Done != nil {
		s.Done(took, err)
	}
	if err != nil {
		s.failed(err)
		return err
	}
	s.mu.Lock()
	s.failure, s.last = "", report
	s.mu.Unlock()
	s.Log.Info("a back-up was made and found good", "name", report.File, "bytes", report.Size, "photos", report.Photos,
		"photos copied", report.New, "took", took.Round(time.Millisecond))
	for _, f := range report.Examined.Findings {
		s.Log.Warn("the yard is damaged, and so is its back-up", "kind", f.Kind, "subject", f.Subject, "words", f.Words)
	}
	for _, id := range report.Lacking {
		s.Log.Warn("a photo is damaged in the yard, and in no back-up", "photo", id)
	}
	removed, photos, err := yard.PruneBackUps(ctx, s.Folder, s.Keep)
	if err != nil {
		s.Log.Error("older back-ups could not be let go", "error", err)
	} else if len(removed) > 0 {
		s.Log.Info("older back-ups were let go", "number", len(removed), "photos", photos)
	}
	return nil
}

func (s *Schedule) failed(err error) {
	s.mu.Lock()
	s.failure, s.failedAt = err.Error(), s.Now()
	s.mu.Unlock()
	s.Log.Error("no back-up could be made", "error", err)
}
