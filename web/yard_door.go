package main

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"pegpour/storage/yard"
	"pegpour/web/api"
	"pegpour/web/health"
)

// yardDoor is the yard of a server: there once its database answers. Until then who
// comes is told to come again.
type yardDoor struct {
	open func(context.Context) (*yard.Yard, error)
	// work runs beside the requests from when the yard is there until the context ends.
	work []func(context.Context, *yard.Yard)
	make func(*yard.Yard) http.Handler
	log  *slog.Logger

	mu      sync.RWMutex
	yard    *yard.Yard
	api     http.Handler
	workers sync.WaitGroup
}

// How long the server waits until it tries again to open the database.
const (
	firstWait = time.Second
	longWait  = 30 * time.Second
)

// start opens the yard. Where its database is down it goes on trying until the context
// ends, and start returns at once; any other error ends it: failed hears of one that
// comes later.
func (d *yardDoor) start(ctx context.Context, failed func(error)) error {
	err := d.try(ctx)
	if err == nil || !yard.IsDown(err) {
		return err
	}
	d.log.Error("the database does not answer: it is tried again", "error", err)
	d.workers.Go(func() {
		for wait := firstWait; ; wait = min(2*wait, longWait) {
			select {
			case <-ctx.Done():
				return
			case <-time.After(wait):
			}
			err := d.try(ctx)
			switch {
			case err == nil:
				d.log.Info("the database answers")
				return
			case ctx.Err() != nil:
				return
			case !yard.IsDown(err):
				failed(err)
				return
			}
			d.log.Warn("the database does not answer yet", "error", err)
		}
	})
	return nil
}

func (d *yardDoor) try(ctx context.Context) error {
	y, err := d.open(ctx)
	if err != nil {
		return err
	}
	d.mu.Lock()
	d.yard, d.api = y, d.make(y)
	d.mu.Unlock()
	for _, work := range d.work {
		d.workers.Go(func() { work(ctx, y) })
	}
	return nil
}

// close waits for the workers, whose context has ended, and closes the database.
func (d *yardDoor) close() error {
	d.workers.Wait()
	if y := d.now(); y != nil {
		return y.Close()
	}
	return nil
}

func (d *yardDoor) now() *yard.Yard {
	d.mu.RLock()
	defer d.mu.RUnlock()
	return d.yard
}

func (d *yardDoor) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	d.mu.RLock()
	h := d.api
	d.mu.RUnlock()
	if h == nil {
		api.NotReady(w)
		return
	}
	h.ServeHTTP(w, r)
}

// probes are the parts of a yard that have to be well. What they say may be read by
// anybody: why it is so stands in the log.
func (d *yardDoor) probes(leastRoom int64) []health.Probe {
	return []health.Probe{
		{Name: "database", Ask: func(ctx context.Context) (string, error) {
			y := d.now()
			if y == nil {
				return "", fmt.Errorf("the database has not answered yet: it is tried again")
			}
			if err := y.Ping(ctx); err != nil {
				d.log.Warn("the database does not answer", "error", err)
				return "", fmt.Errorf("the database does not answer")
			}
			return "answers", nil
		}},
		{Name: "photos", Ask: func(ctx context.Context) (string, error) {
			y := d.now()
			if y == nil {
				return "not known yet", nil
			}
			if err := y.CheckStore(ctx); err != nil {
				d.log.Warn("the store of photos does not answer", "error", err)
				return "", fmt.Errorf("the store of photos does not answer, or is not this yard's")
			}
			return "answers", nil
		}},
		{Name: "room", Ask: func(context.Context) (string, error) {
			y := d.now()
			if y == nil {
				return "not known yet", nil
			}
			free := y.Room()
			switch {
			case free < 0:
				return "cannot be told here", nil
			case free < leastRoom:
				return "", fmt.Errorf("%d MB are free on the disk, at least %d are wanted", free>>20, leastRoom>>20)
			}
			return fmt.Sprintf("%d MB are free on the disk", free>>20), nil
		}},
	}
}

// figures are what the yard holds, for who looks at the metrics.
func (d *yardDoor) figures(ctx context.Context) ([]health.Figure, error) {
	y := d.now()
	if y == nil {
		return []health.Figure{{Name: "pegpour_ready", Help: readyHelp, Value: 0}}, nil
	}
	c, err := y.Counts(ctx)
	if err != nil {
		return []health.Figure{{Name: "pegpour_ready", Help: readyHelp, Value: 0}}, err
	}
	all := []health.Figure{
		{Name: "pegpour_ready", Help: readyHelp, Value: 1},
		{Name: "pegpour_sites", Help: "Sites in the yard.", Value: float64(c.Sites)},
		{Name: "pegpour_revisions", Help: "Versions of sites in the yard.", Value: float64(c.Revisions)},
		{Name: "pegpour_revisions_waiting", Help: "Versions that wait for what they came from.",
			Value: float64(c.WaitingRevisions)},
		{Name: "pegpour_photos", Help: "Photos in the yard.", Value: float64(c.Photos)},
		{Name: "pegpour_photos_waiting", Help: "Photos that sites show and that have not come, or not whole.",
			Value: float64(c.WaitingPhotos)},
		{Name: "pegpour_devices", Help: "Devices that may come in.", Value: float64(c.Devices)},
		{Name: "pegpour_devices_quiet", Help: "Devices that may come in and did not for a day.", Value: float64(c.QuietDevices)},
	}
	if free := y.Room(); free >= 0 {
		all = append(all, health.Figure{Name: "pegpour_room_bytes", Help: "Room on the disk of the yard's data.",
			Value: float64(free)})
	}
	return all, nil
}

const readyHelp = "1 when the database answers, else 0."
