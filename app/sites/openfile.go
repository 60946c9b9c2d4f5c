package sites

import (
	"context"
	"errors"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage"
)

// OpenFile keeps a survey file as a site and goes there. A file of a site that
// is here already becomes a site beside it when it holds something else: nothing
// is written over.
func (l *List) OpenFile(text string) {
	l.Unopened = ""
	d, err := storage.Decode([]byte(text))
	if err != nil {
		l.Unopened = l.SayWith("This is no survey that can be opened: {0}", l.ErrorWords(err))
		return
	}
	l.BackgroundOf(d.ID, func(c context.Context) error {
		loaded, err := l.Store.Create(c, d)
		if errors.Is(err, storage.ErrExists) {
			here, err2 := l.Store.Load(c, d.ID)
			if err2 == nil && sameSite(here.Document, d) {
				loaded, err = here, nil
			} else {
				copied := *d
				copied.ID = storage.NewID()
				loaded, err = l.Store.Create(c, &copied)
			}
		}
		if err != nil {
			return err
		}
		l.Dispatch(func(ctx app.Context) {
			l.Failure, l.site.Asked = "", ""
			l.site.Hold(loaded)
			ctx.Navigate("/site/" + loaded.Document.ID + "/set-out")
		})
		return nil
	})
}

// sameSite reports whether two documents hold the same.
func sameSite(a, b *storage.Document) bool {
	one, err1 := storage.Encode(a)
	two, err2 := storage.Encode(b)
	return err1 == nil && err2 == nil && string(one) == string(two)
}
