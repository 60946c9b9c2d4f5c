package sites

import (
	"context"
	"errors"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage"
	"pegpour/storage/demo"
)

// Prepare puts the demo sites on a device that has no others. What is on the device
// when it put none is the first list.
func (l *List) Prepare(c context.Context, store storage.Store) error {
	sites, err := store.Sites(c)
	if err != nil {
		return err
	}
	if len(sites) == 0 && l.Journal != nil {
		if lost := l.Journal.Held(); lost > 0 {
			l.Dispatch(func(app.Context) { l.Lost = lost })
		}
	}
	have := map[string]bool{}
	for _, s := range sites {
		if !s.Demo || s.Trashed {
			l.first = sites // somebody works here
			return nil
		}
		have[s.ID] = true
	}
	made := time.Now().UTC()
	for i, site := range demo.Sites() {
		if have[site.ID] {
			continue // the first start was cut off half-way
		}
		// The first one stands first in the list, which goes by time.
		d := storage.NewDocument(storage.WriteTime(made.Add(-time.Duration(i) * time.Minute)))
		d.ID, d.Demo, d.Survey, d.Ticks, d.Practice = site.ID, true, site.Survey, site.Ticks, site.Practice
		demo.Translate(&d.Survey, l.Say) // in the language of the first start
		if then := site.Accepted; then != nil {
			demo.Translate(then, l.Say)
			if err := storage.BindQuote(d, nil, *then); err != nil {
				return err
			}
		}
		if _, err := store.Create(c, d); err != nil && !errors.Is(err, storage.ErrExists) {
			return err
		}
		sites = nil
	}
	// Not waited for: Firefox asks the person, who may let the question stand.
	go store.Persist(context.WithoutCancel(c))
	l.first = sites
	return nil
}
