package api

import (
	"net/http"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
	"pegpour/web/pairing"
)

// codes makes the codes that let devices in.
type codes struct {
	yard    *yard.Yard
	journal journal
}

// create makes a pairing code and, when the form names the address at which
// this yard is reached, the picture that opens it: the server may stand behind
// another one and does not know its own.
func (h codes) create(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form struct {
		Role    yard.Role
		Address string
		Crew    string // the device joins it
		Person  string // whose the device is; the role is the person's then
	}
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	if form.Address != "" {
		if err := pairing.CheckAddress(form.Address); err != nil {
			return &yard.InvalidError{Reason: refusal.Of(err)}
		}
	}
	code, expires, err := h.yard.NewCodeFor(r.Context(), yard.CodeFor{Role: form.Role, Crew: form.Crew, Person: form.Person})
	if err != nil {
		return err
	}
	answerWith := struct {
		Code    string    `json:"code"`
		Expires time.Time `json:"expires"`
		// Seconds counts from now, so that a wrong clock does not matter.
		Seconds int      `json:"seconds"`
		Link    string   `json:"link"`
		Picture []string `json:"picture"` // rows of the QR code, 1 is dark
	}{Code: code, Expires: expires, Seconds: int(yard.CodeLife.Seconds()), Picture: []string{}}
	if form.Address != "" {
		answerWith.Link = pairing.Link(form.Address, form.Role, code)
		if answerWith.Picture, err = pairing.Squares(answerWith.Link); err != nil {
			return err
		}
	}
	h.journal.note(r, d, "made a code", string(form.Role))
	w.Header().Set("Cache-Control", "no-store")
	return answer(w, r, http.StatusCreated, answerWith)
}
