package api

import (
	"net/http"

	"pegpour/storage/yard"
)

// deletions deletes sites, lists what was deleted and brings it back, and holds the
// rules that say for how long that can be.
type deletions struct {
	yard    *yard.Yard
	journal journal
}

func (h deletions) site(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	gone, err := h.yard.DeleteSite(r.Context(), d.ID, r.PathValue("site"))
	if err != nil {
		return err
	}
	if gone.Device == d.ID {
		h.journal.note(r, d, "deleted", gone.Site)
	}
	if d.Role != yard.Office {
		gone.Name, gone.Address = "", "" // nothing of it is served to a crew any more
	}
	return answer(w, r, http.StatusOK, gone)
}

func (h deletions) list(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	before, limit, err := readPage(r, "before")
	if err != nil {
		return err
	}
	all, next, err := h.yard.Deletions(r.Context(), before, limit)
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Deletions []yard.Deletion `json:"deletions"`
		Next      int64           `json:"next"`
	}{all, next})
}

func (h deletions) bringBack(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	if err := h.yard.Undelete(r.Context(), r.PathValue("site")); err != nil {
		return err
	}
	h.journal.note(r, d, "brought back", r.PathValue("site"))
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (h deletions) rules(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	rules, err := h.yard.Rules(r.Context())
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, rules)
}

func (h deletions) setRules(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form struct {
		KeepDeletedDays *int
		CrewsApart      *bool
	}
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	set := func(name string, value int) error {
		_, err := h.yard.SetRule(r.Context(), name, value)
		if err == nil {
			h.journal.note(r, d, "set a rule", name)
		}
		return err
	}
	if form.KeepDeletedDays != nil {
		if err := set(yard.KeepDeletedDays, *form.KeepDeletedDays); err != nil {
			return err
		}
	}
	if form.CrewsApart != nil {
		if err := set(yard.CrewsApart, map[bool]int{true: 1}[*form.CrewsApart]); err != nil {
			return err
		}
	}
	return h.rules(w, r, d)
}
