package editing

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// Commit makes an edit at once on the screen and then in the store. err is what
// went wrong with making it; a value that is refused is kept as it was typed.
func (s *Site) Commit(ctx app.Context, e storage.Edit, err error) {
	var refusal *input.FieldError
	if err != nil && !errors.As(err, &refusal) {
		s.Fail(err)
		s.Refresh(ctx)
		return
	}
	next := s.Doc
	if !e.Empty() {
		if next, err = storage.Apply(s.Doc, e); err != nil {
			s.Fail(err)
			s.Refresh(ctx)
			return
		}
	}
	s.showThenStore(next, func() (storage.Edit, error) { return e, nil })
	s.Refresh(ctx)
}

// CommitTo makes an edit at the site where it was begun, whichever is in hand by
// now. edit makes it on the document given.
func (s *Site) CommitTo(ctx app.Context, id string, edit func(*storage.Document) (storage.Edit, error)) {
	if s.Doc != nil && s.Doc.ID == id {
		e, err := edit(s.Doc)
		s.Commit(ctx, e, err)
		return
	}
	blank := storage.NewDocument("")
	blank.ID = id
	e, err := edit(blank)
	if err != nil {
		s.Fail(err)
		return
	}
	s.store(id, func() (storage.Edit, error) { return e, nil }, func(c context.Context) error {
		_, err := s.Store.Commit(c, id, e, "")
		return err
	})
}

// showThenStore shows the site as an edit leaves it, and then makes the edit and
// stores it.
func (s *Site) showThenStore(next *storage.Document, edit func() (storage.Edit, error)) {
	if next == s.Doc {
		s.Design()
		return
	}
	s.Doc, s.CanUndo, s.CanRedo = next, true, false
	s.Design() // first of all: it draws
	edit = once(edit)
	s.store(next.ID, edit, func(c context.Context) error {
		// The edits before this one are stored by now, so this is what it
		// was made on, unless another tab came between.
		e, err := edit()
		var refusal *input.FieldError // the edit then keeps what was typed
		if err != nil && !errors.As(err, &refusal) {
			return err
		}
		if e.Empty() {
			return nil
		}
		base := s.Revision
		if s.moved {
			base = unseen
		}
		if s.Doc == nil || s.Doc.ID != next.ID {
			// Another site is in hand by now: nobody would see what it replaces, so
			// it is set aside where another tab entered something since.
			base = ""
			if err := s.overtaken(c, next.ID, []storage.Edit{e}); err != nil {
				return err
			}
		}
		loaded, err := s.Store.Commit(c, next.ID, e, base)
		if err == nil {
			s.Dispatch(func(app.Context) { s.noteStored(loaded) })
		}
		return err
	})
}

// unseen stands for the revision that edits rest on while the screen does not show what
// came from elsewhere: whatever of that they replace is said.
const unseen storage.Revision = "unseen"

// noteStored takes note of what the store has; while more edits wait the screen is
// ahead of it.
func (s *Site) noteStored(l storage.Loaded) {
	if s.Doc == nil || s.Doc.ID != l.Document.ID {
		return
	}
	s.Revision, s.moved = l.Revision, s.moved || l.Moved
	s.Overwrote = append(s.Overwrote, l.Overwrote...)
	if s.WaitingOf(l.Document.ID) <= 1 {
		s.CanUndo, s.CanRedo = l.CanUndo, l.CanRedo
		if s.moved {
			s.Doc, s.moved = l.Document, false
			s.Design()
		}
	}
}

// Undo takes back the last edit, Redo makes it again.
func (s *Site) Undo() { s.stepHistory(storage.Store.Undo) }

// Redo makes an edit again that was taken back.
func (s *Site) Redo() { s.stepHistory(storage.Store.Redo) }

func (s *Site) stepHistory(step func(storage.Store, context.Context, string) (storage.Loaded, error)) {
	id := s.Doc.ID
	var from storage.Revision // where it was tried first: a call that failed may have been done
	s.BackgroundOf(id, func(c context.Context) error {
		loaded, err := s.Store.Load(c, id)
		if err == nil && (from == "" || from == loaded.Revision) {
			from = loaded.Revision
			loaded, err = step(s.Store, c, id)
		}
		if errors.Is(err, storage.ErrNothing) {
			return nil
		}
		if err == nil {
			s.Dispatch(func(app.Context) {
				if s.Doc != nil && s.Doc.ID == id {
					loaded.Document = s.ahead(loaded.Document) // something may have been entered since
					s.Hold(loaded)
				}
			})
		}
		return err
	})
}

// ChangedElsewhere is called when a site was changed, perhaps in another tab or by
// the yard. While something of it waits to be stored the screen is ahead, and looks
// when all of that is stored.
func (s *Site) ChangedElsewhere(id string) {
	s.ShopElsewhere(id)
	s.Dispatch(func(app.Context) {
		if s.Doc == nil || s.Doc.ID != id {
			return
		}
		if s.WaitingOf(id) > 0 {
			s.missed = true
			return
		}
		s.readAgain()
	})
}

// readAgain reads the site in hand anew and takes it over if it is another state.
func (s *Site) readAgain() {
	id := s.Doc.ID
	s.BackgroundOf(id, func(c context.Context) error {
		loaded, err := s.Store.Load(c, id)
		if err == nil || storage.Final(err) {
			s.Dispatch(func(app.Context) {
				switch {
				case s.Doc == nil || s.Doc.ID != id:
				case err != nil: // it is gone, and nothing more can be kept of it
					s.Doc, s.Asked = nil, ""
					s.Failure = s.SayWith("This site cannot be opened: {0}", s.ErrorWords(err))
				case s.WaitingOf(id) > 1:
					s.missed = true
				case loaded.Revision != s.Revision:
					s.Hold(loaded)
				}
			})
		}
		return nil
	})
}

// lookAfter is how long nothing is stored before a site is read again that may have
// been changed meanwhile: typing is left alone.
const lookAfter = 300 * time.Millisecond

// forgetUnstored is called when a change of a site was set aside: the screen shows
// it, and the store does not have it.
func (s *Site) forgetUnstored(id string) {
	if s.Doc != nil && s.Doc.ID == id {
		s.moved, s.missed, s.Revision = true, true, ""
	}
}

// lookAgain is called when nothing of a site waits any more.
func (s *Site) lookAgain(id string) {
	if !s.missed || s.Doc == nil || s.Doc.ID != id {
		return
	}
	s.missed = false
	if s.look != nil {
		s.look()
	}
	s.look = s.after(lookAfter, func() { s.ChangedElsewhere(id) })
}

// Tick ticks something off on site, or takes the tick back.
func (s *Site) Tick(ctx app.Context, name string, on bool) {
	e, err := storage.SetTick(s.Doc, name, on)
	s.Commit(ctx, e, err)
}

// ApplyRemedy makes a remedy's changes, as one edit.
func (s *Site) ApplyRemedy(ctx app.Context, r plan.Remedy) {
	var edits []storage.Edit
	for _, c := range r.Changes {
		var e storage.Edit
		var err error
		if key, rule := strings.CutPrefix(c.Path, practice.PracticePath); rule {
			e, err = storage.SetRule(s.Doc, key, c.Value, "")
		} else if f, ok := survey.FieldAt(c.Path); ok && f.Numeric() {
			e, err = storage.SetValue(s.Doc, c.Path, survey.Measured(c.Value, survey.ByEstimate))
		} else {
			e, err = storage.SetWords(s.Doc, c.Path, c.Words)
		}
		if err != nil {
			s.Fail(err)
			s.Refresh(ctx)
			return
		}
		edits = append(edits, e)
	}
	s.Commit(ctx, storage.Together(s.Sentence(r.Words), edits...), nil)
}
