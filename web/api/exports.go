package api

import (
	"context"
	"errors"
	"io"
	"net/http"
	"time"

	"github.com/google/uuid"

	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/yard"
)

// exports makes back-up files that the app restores.
type exports struct {
	yard    *yard.Yard
	now     func() time.Time
	journal journal
}

// site answers with a back-up file of one site.
func (h exports) site(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	site := r.PathValue("site")
	export, err := NewExport(r.Context(), h.yard, site, h.now())
	if err != nil {
		return err
	}
	h.journal.note(r, d, "exported", site)
	w.Header().Set("Content-Type", "application/x-ndjson")
	w.Header().Set("Content-Disposition", `attachment; filename="site.pegpour-backup"`)
	if err := export.Write(r.Context(), paced(w)); err != nil {
		h.journal.of(r).Error("an export broke off", "site", site, "error", err)
		panic(http.ErrAbortHandler) // the file has no end: whoever reads it is told
	}
	return nil
}

// Export is one site as a back-up file, which the app restores. A second head is in it
// as a site of its own.
type Export struct {
	yard      *yard.Yard
	made      string
	documents []*storage.Document
	photos    []string
}

// NewExport reads what is to be written, but the photos. Errors: yard.ErrNotFound,
// *yard.GoneError, *yard.InvalidError, and *yard.StoreError where the store of photos
// does not answer.
func NewExport(ctx context.Context, y *yard.Yard, site string, now time.Time) (*Export, error) {
	e := &Export{yard: y, made: now.UTC().Format("2006-01-02T15:04:05Z")}
	heads, err := y.Heads(ctx, site, "")
	if err != nil {
		return nil, err
	}
	for i, head := range heads {
		text, _, err := y.Revision(ctx, site, head.Revision)
		if err != nil {
			return nil, err
		}
		doc, err := storage.Decode(text)
		if err != nil {
			return nil, &yard.InvalidError{Reason: refusal.Of(err)}
		}
		if i > 0 {
			doc.ID = uuid.NewSHA1(uuid.NameSpaceOID, []byte(head.Revision)).String()
			doc.Survey.Site.Name += " (other version)"
		}
		e.documents = append(e.documents, doc)
	}
	if e.photos, err = y.SitePhotos(ctx, site); err != nil || len(e.photos) == 0 {
		return e, err
	}
	// A store that does not answer is found before anything is said.
	p, err := y.OpenPhoto(ctx, e.photos[0])
	if err == nil {
		err = errors.Join(p.Check(0), p.Close())
	}
	if notHere(err) {
		err = nil
	}
	return e, err
}

// Write writes the file, one photo after another. What was not sent yet, or has to be
// sent again, is not in it.
func (e *Export) Write(ctx context.Context, w io.Writer) error {
	return storage.WriteBackUp(ctx, w, e.made, e.documents, func(add func(id, mediaType string, data io.Reader) error) error {
		for _, id := range e.photos {
			p, err := e.yard.OpenPhoto(ctx, id)
			begun := false
			if err == nil {
				if err = p.Check(0); err == nil {
					begun = true
					err = add(id, p.Type, p)
				}
				_ = p.Close()
			}
			if err != nil && (begun || !notHere(err)) {
				return err
			}
		}
		return nil
	})
}

// notHere reports a photo that was not sent yet, or has to be sent again.
func notHere(err error) bool {
	var damaged *yard.DamagedError
	return errors.Is(err, yard.ErrNotFound) || errors.As(err, &damaged)
}
