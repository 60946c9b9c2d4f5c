package api

import (
	"net/http"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/etag"
)

// revisions gives and takes the states of a site.
type revisions struct {
	yard *yard.Yard
}

func (h revisions) heads(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	since := r.URL.Query().Get("since")
	if since != "" && !yard.IsHash(since) {
		return &yard.InvalidError{Reason: refusal.Say("since is the name of a revision")}
	}
	heads, err := h.yard.Heads(r.Context(), r.PathValue("site"), storage.Revision(since))
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Heads []yard.Head `json:"heads"`
	}{heads})
}

func (h revisions) history(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	after, limit, err := readPage(r, "after")
	if err != nil {
		return err
	}
	past, err := h.yard.History(r.Context(), r.PathValue("site"), after, limit)
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

func (h revisions) show(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	text, past, err := h.yard.Revision(r.Context(), r.PathValue("site"), storage.Revision(r.PathValue("revision")))
	if err != nil {
		return err
	}
	header := w.Header()
	header.Set("Content-Type", "application/json")
	header.Set("Cache-Control", "private, max-age=31536000, immutable")
	header.Set("Pegpour-Parents", joinNames(past.Parents))
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

func (h revisions) put(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	site, name := r.PathValue("site"), storage.Revision(r.PathValue("revision"))
	if !yard.IsHash(string(name)) {
		return &yard.InvalidError{Reason: refusal.Say("a revision is named by a SHA-256")}
	}
	if etag.Matches(r.Header.Get("If-None-Match"), etag.Quote(string(name))) {
		if _, _, err := h.yard.Revision(r.Context(), site, name); err == nil {
			refuse(w, http.StatusPreconditionFailed, precondition)
			return nil
		} else if !notHere(err) {
			return err
		}
	}
	text, err := readBody(w, r, storage.MaxDocumentBytes, "application/json")
	if err != nil {
		return err
	}
	var parents []storage.Revision
	for _, p := range r.URL.Query()["parent"] {
		parents = append(parents, storage.Revision(p))
	}
	stored, err := h.yard.PutRevision(r.Context(), d.ID, site, name, parents, text)
	if err != nil {
		return err
	}
	if len(parents) == 0 && len(stored.Missing) == 0 {
		if err := h.yard.Claim(r.Context(), d, site); err != nil {
			return err
		}
	}
	status := http.StatusOK
	switch {
	case len(stored.Missing) > 0:
		status = http.StatusAccepted
	case stored.New:
		status = http.StatusCreated
	}
	w.Header().Set("ETag", etag.Quote(string(name)))
	return answer(w, r, status, struct {
		Revision storage.Revision   `json:"revision"`
		Missing  []storage.Revision `json:"missing"`
		Heads    []storage.Revision `json:"heads"`
		Lacks    []string           `json:"lacks"`
		Until    string             `json:"until,omitempty"`
	}{name, append([]storage.Revision{}, stored.Missing...), append([]storage.Revision{}, stored.Heads...),
		append([]string{}, stored.Lacks...), stored.Until})
}
