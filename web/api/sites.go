package api

import (
	"net/http"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
)

// sites answers with what the yard has and what changed there.
type sites struct {
	yard *yard.Yard
}

func (h sites) changes(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	after, limit, err := readPage(r, "after")
	if err != nil {
		return err
	}
	all, next, newest, err := h.yard.Changes(r.Context(), after, limit)
	if err != nil {
		return err
	}
	who, err := h.yard.Identity(r.Context())
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Changes []yard.Change `json:"changes"`
		Next    int64         `json:"next"`
		Newest  int64         `json:"newest"`
		yard.Identity
	}{all, next, newest, who})
}

func (h sites) list(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	before, limit, err := readPage(r, "before")
	if err != nil {
		return err
	}
	search := r.URL.Query().Get("search")
	if len(search) > 200 {
		return &yard.InvalidError{Reason: refusal.Say("search is at most 200 bytes")}
	}
	query := yard.Query{Search: search, State: r.URL.Query().Get("state"), Before: before, Limit: limit}
	all, err := h.yard.Sites(r.Context(), query)
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

func (h sites) show(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	s, err := h.yard.Site(r.Context(), r.PathValue("site"))
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, s)
}
