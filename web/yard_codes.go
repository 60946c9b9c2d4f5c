package main

import (
	"net/http"
	"net/url"
	"strings"
	"time"

	"rsc.io/qr"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
)

// maxAddress is the greatest length of an address to put into a picture; what
// is longer gives squares that a phone no longer reads from a screen.
const maxAddress = 200

// newCode makes a pairing code and, when the form names the address at which
// this yard is reached, the picture that opens it: the server may stand behind
// another one and does not know its own.
func (a *yardAPI) newCode(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form struct {
		Role    yard.Role
		Address string
	}
	if err := readForm(w, r, &form); err != nil {
		return answered(err)
	}
	if form.Address != "" {
		if err := checkAddress(form.Address); err != nil {
			return &yard.InvalidError{Reason: refusal.Of(err)}
		}
	}
	code, expires, err := a.yard.NewCode(r.Context(), form.Role)
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
		answerWith.Link = pairingLink(form.Address, form.Role, code)
		picture, err := qr.Encode(answerWith.Link, qr.M)
		if err != nil {
			return err
		}
		answerWith.Picture = squares(picture)
	}
	a.note(r, d, "made a code", string(form.Role))
	w.Header().Set("Cache-Control", "no-store")
	return answer(w, r, http.StatusCreated, answerWith)
}

// checkAddress wants an address with nothing behind the host but a path.
func checkAddress(address string) error {
	u, err := url.Parse(address)
	if err != nil || len(address) > maxAddress || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.User != nil || u.RawQuery != "" || u.Fragment != "" {
		return refusal.Told(refusal.Say("the address is that of the yard, such as https://yard.example, with at most {0} bytes", refusal.Count(maxAddress)))
	}
	return nil
}

// pairingLink opens the screen at which a device of the role is paired. The
// code stands behind the #, which a browser does not send.
func pairingLink(address string, role yard.Role, code string) string {
	screen := "/sync"
	if role == yard.Office {
		screen = "/office"
	}
	return strings.TrimSuffix(address, "/") + screen + "#pair=" + code
}

// squares writes a QR code row by row, without the quiet zone around it.
func squares(code *qr.Code) []string {
	rows := make([]string, code.Size)
	for y := range rows {
		row := make([]byte, code.Size)
		for x := range row {
			row[x] = '0'
			if code.Black(x, y) {
				row[x] = '1'
			}
		}
		rows[y] = string(row)
	}
	return rows
}
