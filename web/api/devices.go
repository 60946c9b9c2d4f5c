package api

import (
	"errors"
	"net/http"

	"pegpour/storage/yard"
)

// devices lets devices in and shuts them out.
type devices struct {
	yard    *yard.Yard
	limits  *limits
	journal journal
}

// pair takes a code and answers with the token that the device sends from then
// on.
func (h devices) pair(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	var form struct{ Code, Name string }
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	d, token, err := h.yard.Pair(r.Context(), form.Code, form.Name)
	if errors.Is(err, yard.ErrRefused) {
		h.journal.refuse(r, yard.Device{}, "pairing refused", "")
		if ok, wait := h.limits.failed(r, "code "+yard.CleanCode(form.Code)); !ok {
			slowDown(w, wait)
			return nil
		}
	}
	if err != nil {
		return err
	}
	h.journal.note(r, d, "paired", string(d.Role)+" "+d.Name)
	who, err := h.yard.Identity(r.Context())
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "no-store")
	return answer(w, r, http.StatusCreated, struct {
		Device yard.Device `json:"device"`
		Token  string      `json:"token"`
		yard.Identity
	}{d, token, who})
}

func (h devices) self(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	return answer(w, r, http.StatusOK, d)
}

func (h devices) leave(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	if err := h.yard.Withdraw(r.Context(), d.ID); err != nil {
		return err
	}
	h.journal.note(r, d, "left", d.Name)
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (h devices) list(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	all, err := h.yard.Devices(r.Context())
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Devices []yard.Device `json:"devices"`
	}{all})
}

func (h devices) withdraw(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	id := r.PathValue("device")
	if err := h.yard.Withdraw(r.Context(), id); err != nil {
		return err
	}
	h.journal.note(r, d, "withdrew", id)
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// forget deletes what is kept of a device that was withdrawn: see yard.ForgetDevice.
func (h devices) forget(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	id := r.PathValue("device")
	if err := h.yard.ForgetDevice(r.Context(), id); err != nil {
		return err
	}
	h.journal.note(r, d, "forgot", id)
	w.WriteHeader(http.StatusNoContent)
	return nil
}
