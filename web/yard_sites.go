package main

import (
	"bytes"
	"errors"
	"net/http"
	"slices"
	"strings"

	"github.com/google/uuid"

	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/yard"
)

func (a *yardAPI) changes(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	after, err := number(r, "after")
	if err != nil {
		return err
	}
	limit, err := number(r, "limit")
	if err != nil {
		return err
	}
	all, next, newest, err := a.yard.Changes(r.Context(), after, int(min(limit, yard.MaxPage)))
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Changes []yard.Change `json:"changes"`
		Next    int64         `json:"next"`
		Newest  int64         `json:"newest"`
	}{all, next, newest})
}

func (a *yardAPI) sites(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	before, err := number(r, "before")
	if err != nil {
		return err
	}
	limit, err := number(r, "limit")
	if err != nil {
		return err
	}
	search := r.URL.Query().Get("search")
	if len(search) > 200 {
		return &yard.InvalidError{Reason: refusal.Say("search is at most 200 bytes")}
	}
	all, err := a.yard.Sites(r.Context(), yard.Query{Search: search, State: r.URL.Query().Get("state"), Before: before, Limit: int(min(limit, yard.MaxPage))})
	if err != nil {
		return err
	}
	next := int64(0)
	if n := len(all); n > 0 {
		next = all[n-1].Turn
	}
	return answer(w, r, http.StatusOK, struct {
		Sites []yard.Site `json:"sites"`
		Next  int64       `json:"next"`
	}{all, next})
}

func (a *yardAPI) site(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	s, err := a.yard.Site(r.Context(), r.PathValue("site"))
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, s)
}

func (a *yardAPI) heads(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	since := r.URL.Query().Get("since")
	if since != "" && !yard.IsHash(since) {
		return &yard.InvalidError{Reason: refusal.Say("since is the name of a revision")}
	}
	heads, err := a.yard.Heads(r.Context(), r.PathValue("site"), storage.Revision(since))
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Heads []yard.Head `json:"heads"`
	}{heads})
}

func (a *yardAPI) history(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	after, err := number(r, "after")
	if err != nil {
		return err
	}
	limit, err := number(r, "limit")
	if err != nil {
		return err
	}
	past, err := a.yard.History(r.Context(), r.PathValue("site"), after, int(min(limit, yard.MaxPage)))
	if err != nil {
		return err
	}
	if len(past) == 0 && after == 0 {
		return yard.ErrNotFound
	}
	next := after
	if n := len(past); n > 0 {
		next = past[n-1].Turn
	}
	return answer(w, r, http.StatusOK, struct {
		Revisions []yard.Past `json:"revisions"`
		Next      int64       `json:"next"`
	}{past, next})
}

func (a *yardAPI) revision(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	text, past, err := a.yard.Revision(r.Context(), r.PathValue("site"), storage.Revision(r.PathValue("revision")))
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "application/json")
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	h.Set("Pegpour-Parents", joinNames(past.Parents))
	serveBytes(w, r, string(past.Revision), text)
	return nil
}

func joinNames(names []storage.Revision) string {
	texts := make([]string, len(names))
	for i := range names {
		texts[i] = string(names[i])
	}
	return strings.Join(texts, ", ")
}

func (a *yardAPI) putRevision(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	site, name := r.PathValue("site"), storage.Revision(r.PathValue("revision"))
	if !yard.IsHash(string(name)) {
		return &yard.InvalidError{Reason: refusal.Say("a revision is named by a SHA-256")}
	}
	if matches(r.Header.Get("If-None-Match"), string(name)) {
		if _, _, err := a.yard.Revision(r.Context(), site, name); err == nil {
			refuse(w, http.StatusPreconditionFailed, precondition)
			return nil
		} else if !errors.Is(err, yard.ErrNotFound) {
			return err
		}
	}
	text, err := readBody(w, r, storage.MaxDocumentBytes, "application/json")
	if err != nil {
		return answered(err)
	}
	var parents []storage.Revision
	for _, p := range r.URL.Query()["parent"] {
		parents = append(parents, storage.Revision(p))
	}
	stored, err := a.yard.PutRevision(r.Context(), d.ID, site, name, parents, text)
	if err != nil {
		return err
	}
	status := http.StatusOK
	switch {
	case len(stored.Missing) > 0:
		status = http.StatusAccepted
	case stored.New:
		status = http.StatusCreated
	}
	w.Header().Set("ETag", `"`+string(name)+`"`)
	return answer(w, r, status, struct {
		Revision storage.Revision   `json:"revision"`
		Missing  []storage.Revision `json:"missing"`
		Heads    []storage.Revision `json:"heads"`
	}{name, append([]storage.Revision{}, stored.Missing...), append([]storage.Revision{}, stored.Heads...)})
}

// export answers with a back-up file of one site, which the app restores. A
// second head is in it as a site of its own.
func (a *yardAPI) export(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	ctx, site := r.Context(), r.PathValue("site")
	heads, err := a.yard.Heads(ctx, site, "")
	if err != nil {
		return err
	}
	made := a.now().UTC().Format("2006-01-02T15:04:05Z")
	store := storage.NewStore(&storage.Memory{}, func() string { return made })
	defer store.Close()
	var photos []string
	for i, h := range heads {
		text, _, err := a.yard.Revision(ctx, site, h.Revision)
		if err != nil {
			return err
		}
		doc, err := storage.Decode(text)
		if err != nil {
			return &yard.InvalidError{Reason: refusal.Of(err)}
		}
		if i > 0 {
			doc.ID = uuid.NewSHA1(uuid.NameSpaceOID, []byte(h.Revision)).String()
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
		p, data, err := a.yard.PhotoBytes(ctx, id)
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
	a.note(r, d, "exported", site)
	w.Header().Set("Content-Type", "application/x-ndjson")
	w.Header().Set("Content-Disposition", `attachment; filename="site.pegpour-backup"`)
	_, err = w.Write(file.Bytes())
	return err
}
