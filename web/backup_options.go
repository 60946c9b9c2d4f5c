package main

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"time"

	"pegpour/storage/yard"
	"pegpour/web/backups"
	"pegpour/web/health"
)

// backUpOptions is how the server makes back-ups by itself.
type backUpOptions struct {
	folder *string
	every  *time.Duration
	keep   *int
}

func backUpFlags(flags *flag.FlagSet) backUpOptions {
	return backUpOptions{
		folder: backUpFolderFlag(flags),
		every:  flags.Duration("backup-every", 24*time.Hour, "how `long` from one back-up to the next"),
		keep:   flags.Int("backup-keep", 14, "how `many` back-ups are kept; the oldest go first"),
	}
}

func backUpFolderFlag(flags *flag.FlagSet) *string {
	return flags.String("backup-folder", "",
		"`folder` for the back-ups that the server makes by itself, best on another disk; without it there are none")
}

// check refuses what would keep no back-up of use.
func (o backUpOptions) check(place yardPlace) error {
	if *o.folder == "" {
		return nil
	}
	if *o.every < time.Minute {
		return fmt.Errorf("%w: backup-every is %s, allowed from 1m on", errUsage, *o.every)
	}
	if *o.keep < 1 {
		return fmt.Errorf("%w: backup-keep is %d, allowed from 1 on", errUsage, *o.keep)
	}
	if within(*o.folder, *place.folder) {
		return fmt.Errorf("%w: backup-folder is in the yard's own folder: what takes the one takes the other", errUsage)
	}
	return nil
}

// within reports whether one folder is in another, or the same.
func within(folder, other string) bool {
	if other == "" {
		return false
	}
	a, err := filepath.Abs(folder)
	b, otherErr := filepath.Abs(other)
	in, relErr := filepath.Rel(b, a)
	return errors.Join(err, otherErr, relErr) == nil && in != ".." && !strings.HasPrefix(in, ".."+string(filepath.Separator))
}

// look says what back-ups there would be, and changes nothing.
func (o backUpOptions) look(place yardPlace) (string, error) {
	if err := o.check(place); err != nil {
		return "", err
	}
	if *o.folder == "" {
		return "The server would make no back-ups by itself.", nil
	}
	info, err := os.Stat(*o.folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Sprintf("Back-ups would be made every %s in %s, which would be made.", *o.every, *o.folder), nil
	case err != nil:
		return "", err
	case !info.IsDir():
		return "", fmt.Errorf("backup-folder: %s is no folder", *o.folder)
	}
	all, err := yard.BackUps(*o.folder)
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("Back-ups would be made every %s in %s, where %d are.", *o.every, *o.folder, len(all)), nil
}

// schedule is nil where the server makes none.
func (o backUpOptions) schedule(log *slog.Logger, done func(time.Duration, error)) *backups.Schedule {
	if *o.folder == "" {
		return nil
	}
	return backups.New(backups.Options{Folder: *o.folder, Every: *o.every, Keep: *o.keep, Now: time.Now, Log: log, Done: done})
}

// backUpFigures are for who looks at the metrics.
func backUpFigures(s *backups.Schedule) ([]health.Figure, error) {
	if s == nil {
		return nil, nil
	}
	state, err := s.State()
	if err != nil {
		return nil, err
	}
	late := 0.0
	if state.Late {
		late = 1
	}
	all := []health.Figure{
		{Name: "pegpour_backups", Help: "Back-ups that are there and were found good.", Value: float64(len(state.Backups))},
		{Name: "pegpour_backup_late", Help: "1 when the newest back-up is older than it should be by more than half, else 0.",
			Value: late},
		{Name: "pegpour_backup_damaged", Help: "What was damaged in the yard when the newest back-up was made.",
			Value: float64(state.Damaged)},
	}
	if state.AgeSeconds >= 0 {
		all = append(all, health.Figure{Name: "pegpour_backup_age_seconds", Help: "How old the newest good back-up is.",
			Value: float64(state.AgeSeconds)})
	}
	if free := yard.RoomOn(s.Folder); free >= 0 {
		all = append(all, health.Figure{Name: "pegpour_backup_room_bytes", Help: "Room on the disk of the back-ups.",
			Value: float64(free)})
	}
	return all, nil
}
