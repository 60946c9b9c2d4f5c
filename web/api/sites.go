package api

import (
	"net/http"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
)

// sites answers with what the yard has and what changed there.
type sites struct {
	yard *yard.Yard
}

func (h sites) changes(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	after, limit, err := readPage(r, "after")
	if err != nil {
		return err
	}
	all, next, newest, err := h.yard.Changes(r.Context(), d, after, limit)
	if err != nil {
		return err
	}
	who, err := h.yard.Identity(r.Context())
	if err != nil {
		return err
	}
	rules, err := h.yard.RulesRevision(r.Context())
	if err != nil {
		return err
	}
	// The list is asked for now and then by every device: with it goes a new key.
	token, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	if next, err := h.yard.Renewal(r.Context(), d, token); err == nil && next != "" {
		w.Header().Set("Pegpour-Next-Key", next)
		w.Header().Set("Cache-Control", "no-store")
	}
	return answer(w, r, http.StatusOK, struct {
		Changes []yard.Change `json:"changes"`
		Next    int64         `json:"next"`
		Newest  int64         `json:"newest"`
		Rules   int64         `json:"rules"` // revision of the shop's rules
		yard.Identity
	}{all, next, newest, rules, who})
}

func (h sites) list(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	before, limit, err := readPage(r, "before")
	if err != nil {
		return err
	}
	search := r.URL.Query().Get("search")
	if len(search) > 200 {
		return &yard.InvalidError{Reason: refusal.Say("search is at most 200 bytes")}
	}
	query := yard.Query{Search: search, State: r.URL.Query().Get("state"), Before: before, Limit: limit, For: d,
		Crew: r.URL.Query().Get("crew"), Far: r.URL.Query().Get("far")}
	all, err := h.yard.Sites(r.Context(), query)
	if err != nil {
		return err
	}
	untold := 0
	if query.Far != "" {
		if untold, err = h.yard.FarUntold(r.Context(), query); err != nil {
			return err
		}
	}
	next := int64(0)
	if n := len(all); n > 0 {
		next = all[n-1].Turn
	}
	return answer(w, r, http.StatusOK, struct {
		Sites  []yard.Site `json:"sites"`
		Next   int64       `json:"next"`
		Untold int         `json:"untold"`
	}{all, next, untold})
}

func (h sites) show(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	s, err := h.yard.Site(r.Context(), r.PathValue("site"))
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, s)
}
