package api

import (
	"net/http"

	"pegpour/storage/yard"
)

// users are the people to whom devices belong, the crews, and other programs.
type users struct {
	yard    *yard.Yard
	journal journal
}

func (h users) list(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	all, err := h.yard.Users(r.Context())
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Users []yard.User `json:"users"`
	}{all})
}

func (h users) add(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form struct {
		Name, Email string
		Role        yard.Role
	}
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	u, err := h.yard.AddUser(r.Context(), form.Name, form.Email, form.Role)
	if err != nil {
		return err
	}
	h.journal.note(r, d, "added a person", u.ID)
	return answer(w, r, http.StatusCreated, u)
}

func (h users) change(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form yard.UserChange
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	u, err := h.yard.ChangeUser(r.Context(), r.PathValue("user"), form)
	if err != nil {
		return err
	}
	action := "changed a person"
	if form.Withdrawn != nil {
		action = map[bool]string{true: "shut a person out", false: "let a person in again"}[*form.Withdrawn]
	}
	h.journal.note(r, d, action, u.ID)
	return answer(w, r, http.StatusOK, u)
}

// changeDevice puts a device into a crew, or says whose it is.
func (h users) changeDevice(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form yard.DeviceChange
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	changed, err := h.yard.ChangeDevice(r.Context(), r.PathValue("device"), form)
	if err != nil {
		return err
	}
	h.journal.note(r, d, "changed a device", changed.ID)
	return answer(w, r, http.StatusOK, changed)
}

// addMachine lets another program in.
func (h users) addMachine(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form struct {
		Name  string
		Scope []string
	}
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	m, token, err := h.yard.AddMachine(r.Context(), form.Name, form.Scope)
	if err != nil {
		return err
	}
	h.journal.note(r, d, "let a machine in", m.Name)
	w.Header().Set("Cache-Control", "no-store")
	return answer(w, r, http.StatusCreated, struct {
		Device yard.Device `json:"device"`
		Token  string      `json:"token"`
	}{m, token})
}

func (h users) crews(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	all, err := h.yard.Crews(r.Context())
	if err != nil {
		return err
	}
	work, err := h.yard.WorkByCrew(r.Context())
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Crews []string    `json:"crews"`
		Work  []yard.Work `json:"work"`
	}{all, work})
}

func (h users) setSiteCrews(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form struct{ Crews []string }
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	if err := h.yard.SetSiteCrews(r.Context(), r.PathValue("site"), form.Crews); err != nil {
		return err
	}
	h.journal.note(r, d, "said whose a site is", r.PathValue("site"))
	w.WriteHeader(http.StatusNoContent)
	return nil
}
