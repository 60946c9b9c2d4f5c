package main

import (
	"net/http"
	"strconv"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
)

// photoState tells how much of a photo is here: Upload-Offset of Upload-Length.
func (a *yardAPI) photoState(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	p, err := a.yard.Photo(r.Context(), r.PathValue("photo"))
	if err != nil {
		return err
	}
	tellPhoto(w, p)
	w.WriteHeader(http.StatusOK)
	return nil
}

func tellPhoto(w http.ResponseWriter, p yard.PhotoState) {
	h := w.Header()
	h.Set("Upload-Offset", strconv.FormatInt(p.Have, 10))
	h.Set("Upload-Length", strconv.FormatInt(p.Size, 10))
	if p.Complete {
		h.Set("Content-Type", p.Type)
		h.Set("ETag", `"`+p.ID+`"`)
	}
}

func (a *yardAPI) photo(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	p, data, err := a.yard.PhotoBytes(r.Context(), r.PathValue("photo"))
	if err != nil {
		return err
	}
	tellPhoto(w, p)
	w.Header().Set("Content-Disposition", "attachment")
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	serveBytes(w, r, p.ID, data)
	return nil
}

// putPhoto takes a piece: Content-Range says which (RFC 9110, section 14.4).
// Without it the body is the whole photo.
func (a *yardAPI) putPhoto(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	piece, err := readBody(w, r, yard.MaxPieceBytes, "application/octet-stream")
	if err != nil {
		return answered(err)
	}
	start, size := int64(0), int64(len(piece))
	if text := r.Header.Get("Content-Range"); text != "" {
		var end int64
		var ok bool
		if start, end, size, ok = parseRange(text); !ok || end-start+1 != int64(len(piece)) {
			return &yard.InvalidError{Reason: refusal.Say("Content-Range is not that of the piece: bytes first-last/size")}
		}
	}
	p, err := a.yard.PutPiece(r.Context(), d.ID, r.PathValue("photo"), start, size, piece)
	if err != nil {
		return err
	}
	tellPhoto(w, p)
	status := http.StatusAccepted
	if p.Complete {
		status = http.StatusOK
	}
	return answer(w, r, status, struct {
		Have     int64 `json:"have"`
		Size     int64 `json:"size"`
		Complete bool  `json:"complete"`
	}{p.Have, p.Size, p.Complete})
}

// parseRange reads "bytes first-last/size".
func parseRange(text string) (first, last, size int64, ok bool) {
	rest, isBytes := strings.CutPrefix(text, "bytes ")
	a, rest, dash := strings.Cut(rest, "-")
	b, c, slash := strings.Cut(rest, "/")
	if !isBytes || !dash || !slash {
		return 0, 0, 0, false
	}
	for _, n := range []struct {
		text string
		to   *int64
	}{{a, &first}, {b, &last}, {c, &size}} {
		v, err := strconv.ParseUint(n.text, 10, 48)
		if err != nil {
			return 0, 0, 0, false
		}
		*n.to = int64(v)
	}
	return first, last, size, first <= last && last < size
}
