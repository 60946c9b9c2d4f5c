package sites

import (
	"context"
	"errors"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/storage"
)

// Unopened is why a file could not be opened: what it means to a person, and what
// exactly was found.
type Unopened struct{ Words, Detail string }

// FileInQuestion is a survey file of a site that stands here with something else in
// it: a person says what becomes of it.
type FileInQuestion struct {
	// Name, and when the state in the file and the one here were last changed, in
	// RFC 3339.
	Name, InFile, Here string
	// Own says that the one here can be read, and so taken over.
	Own bool

	file     *storage.Document
	revision storage.Revision
}

// OpenFile keeps a survey file as a site and goes there. Where the site is here
// already with something else in it, it asks: see InQuestion.
func (l *List) OpenFile(text string) {
	l.Unopened, l.InQuestion = Unopened{}, nil
	d, err := storage.Decode([]byte(text))
	if err != nil {
		l.Unopened = l.unopened(text, err)
		return
	}
	l.BackgroundOf(d.ID, func(c context.Context) error {
		loaded, err := l.Store.Create(c, d)
		if errors.Is(err, storage.ErrExists) {
			here, err := l.Store.Load(c, d.ID)
			if err == nil && sameSite(here.Document, d) {
				return l.goTo(here, l.Store.Restore(c, d.ID)) // it may have been put away
			}
			q := &FileInQuestion{Name: d.Survey.Site.Name, InFile: d.Changed, file: d, Own: err == nil}
			if q.Own {
				q.Here, q.revision = here.Document.Changed, here.Revision
			}
			l.Dispatch(func(app.Context) { l.InQuestion = q })
			return nil
		}
		return l.goTo(loaded, err)
	})
}

// unopened says what it means that a text is no survey.
func (l *List) unopened(text string, err error) Unopened {
	var newer *storage.NewerError
	words := l.Say("This is no survey that can be opened: it was cut short on its way, or is a file of another kind. Have it saved and sent once more.")
	switch {
	case errors.As(err, &newer):
		words = l.Say("This survey was saved by a newer version of the program. Update this one with signal, then open it again.")
	case strings.Contains(text[:min(len(text), 200)], `"`+storage.BackUpFormat+`"`):
		words = l.Say("This is a back-up, no single survey: it is restored under Keep safe.")
	}
	return Unopened{words, l.ErrorWords(err)}
}

// BringBeside keeps the file in question as a site beside the one here, which
// stays as it is.
func (l *List) BringBeside() {
	q := l.InQuestion
	copied := *q.file
	copied.ID = storage.NewID()
	if q.Name != "" {
		copied.Survey.Site.Name = l.SayWith("{0}, as it was {1}", q.Name, l.LocalTime(q.InFile))
	}
	l.InQuestion = nil
	l.BackgroundOf(copied.ID, func(c context.Context) error { return l.goTo(l.Store.Create(c, &copied)) })
}

// TakeOver makes the state in the file that of the site here, which undo takes
// back.
func (l *List) TakeOver() {
	q := l.InQuestion
	l.BackgroundOf(q.file.ID, func(c context.Context) error {
		loaded, err := l.Store.Receive(c, q.file, q.revision, "Taken over from a file", nil,
			func(storage.Revision) []storage.Record { return nil })
		if errors.Is(err, storage.ErrMoved) { // changed while the question stood
			here, err := l.Store.Load(c, q.file.ID)
			if err == nil {
				l.Dispatch(func(app.Context) { q.Here, q.revision = here.Document.Changed, here.Revision })
			}
			return err
		}
		if err == nil {
			err = l.Store.Restore(c, q.file.ID) // it may have been put away
		}
		return l.goTo(loaded, err)
	})
}

// goTo takes a site in hand and shows it, unless err says why there is none.
func (l *List) goTo(loaded storage.Loaded, err error) error {
	if err == nil {
		l.Dispatch(func(ctx app.Context) {
			l.Failure, l.InQuestion = "", nil
			if in := editing.IDOf(ctx.Page().URL().Path); in != "" && in != loaded.Document.ID {
				return // it took long, and somebody has gone to another site since
			}
			l.site.Asked = ""
			l.site.Hold(loaded)
			ctx.Navigate("/site/" + loaded.Document.ID + "/set-out")
		})
	}
	return err
}

// sameSite reports whether two documents hold the same.
func sameSite(a, b *storage.Document) bool {
	one, err1 := storage.Encode(a)
	two, err2 := storage.Encode(b)
	return err1 == nil && err2 == nil && string(one) == string(two)
}
