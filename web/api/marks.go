package api

import (
	"errors"
	"net/http"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
	"pegpour/web/etag"
)

// marks gives, sets and clears what a site is marked as, such as poured.
type marks struct {
	yard    *yard.Yard
	journal journal
}

func (h marks) show(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	m, err := h.yard.Mark(r.Context(), r.PathValue("site"), r.PathValue("mark"))
	if err != nil {
		return err
	}
	return answerTagged(w, r, m.Tag, m)
}

func (h marks) set(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	return h.change(w, r, d, "marked", func(site, mark string, still func(*yard.Mark) bool) error {
		m, err := h.yard.SetMark(r.Context(), d.ID, site, mark, still)
		if err == nil {
			w.Header().Set("ETag", etag.Quote(m.Tag))
		}
		return err
	})
}

func (h marks) clear(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	return h.change(w, r, d, "unmarked", func(site, mark string, still func(*yard.Mark) bool) error {
		return h.yard.ClearMark(r.Context(), site, mark, still)
	})
}

// change has a mark changed by do, if the device may and the condition of the
// request holds.
func (h marks) change(
	w http.ResponseWriter, r *http.Request, d yard.Device, action string,
	do func(site, mark string, still func(*yard.Mark) bool) error,
) error {
	site, mark := r.PathValue("site"), r.PathValue("mark")
	if d.Role != yard.Office && d.Role != yard.Machine { // a machine has the scope for it
		may, err := h.crewMay(r, d, site, mark)
		if err != nil {
			return err
		}
		if !may {
			h.journal.refuse(r, d, "refused", "mark "+mark)
			refuseFor(w, http.StatusForbidden, wrongRole,
				refusal.Say("a crew marks as poured what it sent measurements of, and takes back its own mark; the office marks any site"))
			return nil
		}
	}
	if err := do(site, mark, markCondition(r)); err != nil {
		return err
	}
	h.journal.note(r, d, action+" "+mark, site)
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// crewMay reports whether a device that is none of the office may set or clear a mark:
// poured, on a site of which it sent a version, and no mark that another one set.
func (h marks) crewMay(r *http.Request, d yard.Device, site, mark string) (bool, error) {
	if mark == yard.Quoted {
		return false, nil
	}
	m, err := h.yard.Mark(r.Context(), site, mark)
	switch {
	case err == nil:
		return m.Device == d.ID, nil
	case !errors.Is(err, yard.ErrNotFound):
		return false, err
	}
	return h.yard.SentTo(r.Context(), d.ID, site)
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
			return m != nil && etag.Matches(match, etag.Quote(m.Tag))
		}
		return m == nil || !etag.Matches(none, etag.Quote(m.Tag))
	}
}
