package api

import (
	"bytes"
	"errors"
	"net/http"
	"slices"
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

// export answers with a back-up file of one site, which the app restores. A
// second head is in it as a site of its own.
func (h exports) site(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	ctx, site := r.Context(), r.PathValue("site")
	heads, err := h.yard.Heads(ctx, site, "")
	if err != nil {
		return err
	}
	made := h.now().UTC().Format("2006-01-02T15:04:05Z")
	store := storage.NewStore(&storage.Memory{}, func() string { return made })
	defer store.Close()
	var photos []string
	for i, head := range heads {
		text, _, err := h.yard.Revision(ctx, site, head.Revision)
		if err != nil {
			return err
		}
		doc, err := storage.Decode(text)
		if err != nil {
			return &yard.InvalidError{Reason: refusal.Of(err)}
		}
		if i > 0 {
			doc.ID = uuid.NewSHA1(uuid.NameSpaceOID, []byte(head.Revision)).String()
			doc.Survey.Site.Name += " (other version)"
		}
		if _, err := store.Create(ctx, doc); err != nil {
			return err
		}
		for _, p := range doc.Photos {
			photos = append(photos, p.ID)
		}
	}
	slices.Sort(photos)
	for _, id := range slices.Compact(photos) {
		p, data, err := h.yard.PhotoBytes(ctx, id)
		if errors.Is(err, yard.ErrNotFound) {
			continue // not sent yet
		}
		if err != nil {
			return err
		}
		if _, err := store.PutPhoto(ctx, p.Type, data); err != nil {
			return err
		}
	}
	var file bytes.Buffer
	if err := store.BackUp(ctx, &file); err != nil {
		return err
	}
	h.journal.note(r, d, "exported", site)
	w.Header().Set("Content-Type", "application/x-ndjson")
	w.Header().Set("Content-Disposition", `attachment; filename="site.pegpour-backup"`)
	_, err = w.Write(file.Bytes())
	return err
}
