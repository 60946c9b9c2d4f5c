package main

import (
	"net/http"

	"pegpour/storage/yard"
)

func (a *yardAPI) showMark(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	m, err := a.yard.Mark(r.Context(), r.PathValue("site"), r.PathValue("mark"))
	if err != nil {
		return err
	}
	return answerTagged(w, r, m.Tag, m)
}

func (a *yardAPI) setMark(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	return a.mark(w, r, d, "marked", func(site, mark string, still func(*yard.Mark) bool) error {
		m, err := a.yard.SetMark(r.Context(), d.ID, site, mark, still)
		if err == nil {
			w.Header().Set("ETag", `"`+m.Tag+`"`)
		}
		return err
	})
}

func (a *yardAPI) clearMark(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	return a.mark(w, r, d, "unmarked", func(site, mark string, still func(*yard.Mark) bool) error {
		return a.yard.ClearMark(r.Context(), site, mark, still)
	})
}

func (a *yardAPI) mark(w http.ResponseWriter, r *http.Request, d yard.Device, action string, do func(site, mark string, still func(*yard.Mark) bool) error) error {
	site, mark := r.PathValue("site"), r.PathValue("mark")
	if mark == yard.Quoted && d.Role != yard.Office {
		a.note(r, d, "refused", "mark "+mark)
		refuse(w, http.StatusForbidden, wrongRole)
		return nil
	}
	if err := do(site, mark, markCondition(r)); err != nil {
		return err
	}
	a.note(r, d, action+" "+mark, site)
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// markCondition reads If-Match and If-None-Match (RFC 9110, 13.1), so that two
// offices do not overwrite one another unseen; nil when neither is given.
func markCondition(r *http.Request) func(*yard.Mark) bool {
	match, none := r.Header.Get("If-Match"), r.Header.Get("If-None-Match")
	if match == "" && none == "" {
		return nil
	}
	return func(m *yard.Mark) bool {
		if match != "" {
			return m != nil && matches(match, m.Tag)
		}
		return m == nil || !matches(none, m.Tag)
	}
}
