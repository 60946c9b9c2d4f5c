package main

import (
	"encoding/json"
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
)

const maxFormBytes = 4 << 10

// errAnswered says that a refusal was written already.
var errAnswered = errors.New("answered")

func answered(err error) error {
	if errors.Is(err, errAnswered) {
		return nil
	}
	return err
}

// readForm reads a small JSON object.
func readForm(w http.ResponseWriter, r *http.Request, to any) error {
	text, err := readBody(w, r, maxFormBytes, "application/json")
	if err != nil {
		return err
	}
	if err := json.Unmarshal(text, to); err != nil {
		return &yard.InvalidError{Reason: refusal.Say("the body is not the JSON object it should be")}
	}
	return nil
}

func (a *yardAPI) describe(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	return answer(w, r, http.StatusOK, json.RawMessage(openAPI))
}

func (a *yardAPI) explain(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	title, known := problemTitles[r.PathValue("problem")]
	if !known {
		return yard.ErrNotFound
	}
	return answer(w, r, http.StatusOK, problem{Type: problemTypes + r.PathValue("problem"), Title: title})
}

func (a *yardAPI) pair(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	from := addressOf(r)
	if a.byFailure.empty(from) {
		slowDown(w, 5*time.Second)
		return nil
	}
	var form struct{ Code, Name string }
	if err := readForm(w, r, &form); err != nil {
		return answered(err)
	}
	d, token, err := a.yard.Pair(r.Context(), form.Code, form.Name)
	if errors.Is(err, yard.ErrRefused) {
		a.byFailure.allow(from)
		a.note(r, yard.Device{}, "pairing refused", "")
	}
	if err != nil {
		return err
	}
	a.note(r, d, "paired", string(d.Role)+" "+d.Name)
	w.Header().Set("Cache-Control", "no-store")
	return answer(w, r, http.StatusCreated, struct {
		Device yard.Device `json:"device"`
		Token  string      `json:"token"`
	}{d, token})
}

func (a *yardAPI) self(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	return answer(w, r, http.StatusOK, d)
}

func (a *yardAPI) leave(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	if err := a.yard.Withdraw(r.Context(), d.ID); err != nil {
		return err
	}
	a.note(r, d, "left", d.Name)
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (a *yardAPI) devices(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	all, err := a.yard.Devices(r.Context())
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Devices []yard.Device `json:"devices"`
	}{all})
}

func (a *yardAPI) withdraw(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	id := r.PathValue("device")
	if err := a.yard.Withdraw(r.Context(), id); err != nil {
		return err
	}
	a.note(r, d, "withdrew", id)
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (a *yardAPI) audit(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	before, err := number(r, "before")
	if err != nil {
		return err
	}
	limit, err := number(r, "limit")
	if err != nil {
		return err
	}
	all, err := a.yard.Audit(r.Context(), before, int(min(limit, yard.MaxPage)))
	if err != nil {
		return err
	}
	next := int64(0)
	if n := len(all); n > 0 {
		next = all[n-1].Number
	}
	return answer(w, r, http.StatusOK, struct {
		Entries []yard.Entry `json:"entries"`
		Next    int64        `json:"next"`
	}{all, next})
}

// backUp answers with the whole yard, without what lets devices in.
func (a *yardAPI) backUp(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	folder, err := os.MkdirTemp("", "pegpour-backup-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	name := filepath.Join(folder, yard.FileName)
	if err := a.yard.BackUpWithoutKeys(r.Context(), name); err != nil {
		return err
	}
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	a.note(r, d, "backed up", "")
	w.Header().Set("Content-Type", "application/vnd.sqlite3")
	w.Header().Set("Content-Disposition", `attachment; filename="`+yard.FileName+`"`)
	w.Header().Set("Cache-Control", "no-store")
	_, err = f.WriteTo(w)
	return err
}
