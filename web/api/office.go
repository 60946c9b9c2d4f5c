package api

import (
	"io"
	"net/http"

	"pegpour/storage/yard"
)

// office answers with what stands over all sites: the audit log and the whole
// yard as a file.
type office struct {
	yard    *yard.Yard
	journal journal
}

func (h office) audit(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	h.journal.writeRefusals(r.Context())
	before, limit, err := readPage(r, "before")
	if err != nil {
		return err
	}
	all, err := h.yard.Audit(r.Context(), before, limit)
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
func (h office) backUp(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	f, err := h.yard.OpenBackUp(r.Context(), yard.WithoutKeys)
	if err != nil {
		return err
	}
	defer f.Close()
	h.journal.note(r, d, "backed up", "")
	w.Header().Set("Content-Type", "application/vnd.sqlite3")
	w.Header().Set("Content-Disposition", `attachment; filename="`+yard.FileName+`"`)
	w.Header().Set("Cache-Control", "no-store")
	if _, err := io.Copy(paced(w), f.File); err != nil {
		panic(http.ErrAbortHandler)
	}
	return nil
}
