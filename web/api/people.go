package api

import (
	"net/http"

	"pegpour/storage/yard"
)

// people finds what is held of a person, hands it out, and takes it out of the yard.
// What was looked for stands in no address and in no log.
type people struct {
	yard    *yard.Yard
	journal journal
}

// personForm says who is meant, and for erasing in which site and whether the rest of
// that is kept.
type personForm struct {
	Words string
	Site  string
	Keep  bool
}

func (h people) find(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form personForm
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	found, err := h.yard.Person(r.Context(), form.Words)
	if err != nil {
		return err
	}
	h.journal.note(r, d, "looked for a person", "")
	w.Header().Set("Cache-Control", "no-store")
	return answer(w, r, http.StatusOK, found)
}

func (h people) export(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form personForm
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	held, err := h.yard.ExportPerson(r.Context(), form.Words)
	if err != nil {
		return err
	}
	h.journal.note(r, d, "handed out a person's data", "")
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Disposition", `attachment; filename="person.json"`)
	return answer(w, r, http.StatusOK, held)
}

func (h people) erase(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form personForm
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	if !siteID(form.Site) || form.Site == "" {
		return yard.ErrNotFound
	}
	_, heir, err := h.yard.ErasePerson(r.Context(), d.ID, form.Site, form.Words, form.Keep)
	if err != nil {
		return err
	}
	h.journal.note(r, d, "erased a person", form.Site)
	return answer(w, r, http.StatusOK, struct {
		Site string `json:"site"`
	}{heir})
}
