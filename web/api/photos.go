package api

import (
	"net/http"
	"strconv"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage/contentrange"
	"pegpour/storage/yard"
	"pegpour/web/etag"
)

// photos gives and takes photos, piece by piece.
type photos struct {
	yard *yard.Yard
}

// state tells how much of a photo is here: Upload-Offset of Upload-Length.
func (h photos) state(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	p, err := h.yard.Photo(r.Context(), r.PathValue("photo"))
	if err != nil {
		return err
	}
	tellPhoto(w, p)
	w.WriteHeader(http.StatusOK)
	return nil
}

func tellPhoto(w http.ResponseWriter, p yard.PhotoState) {
	header := w.Header()
	header.Set("Upload-Offset", strconv.FormatInt(p.Have, 10))
	header.Set("Upload-Length", strconv.FormatInt(p.Size, 10))
	if p.Complete {
		header.Set("Content-Type", p.Type)
		header.Set("ETag", etag.Quote(p.ID))
	}
}

func (h photos) show(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	p, err := h.yard.OpenPhoto(r.Context(), r.PathValue("photo"))
	if err != nil {
		return err
	}
	defer p.Close()
	// What is damaged or not to be had is found before anything is answered.
	if err := p.Check(rangeBegins(r.Header.Get("Range"))); err != nil {
		return err
	}
	tellPhoto(w, p.PhotoState)
	w.Header().Set("Content-Disposition", "attachment")
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	serveFrom(w, r, p.ID, p)
	return nil
}

// rangeBegins is where a simple range begins, 0 for all else.
func rangeBegins(text string) int64 {
	text, _ = strings.CutPrefix(text, "bytes=")
	text, _, _ = strings.Cut(text, "-")
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return 0
	}
	return n
}

// put takes a piece: Content-Range says which (RFC 9110, section 14.4).
// Without it the body is the whole photo.
func (h photos) put(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	piece, err := readBody(w, r, yard.MaxPieceBytes, "application/octet-stream")
	if err != nil {
		return err
	}
	start, size := int64(0), int64(len(piece))
	if text, once := single(r.Header, "Content-Range"); text != "" || !once {
		part, ok := contentrange.Parse(text)
		if !ok || part.Last-part.First+1 != size {
			return &yard.InvalidError{Reason: refusal.Say("Content-Range is not that of the piece: bytes first-last/size")}
		}
		start, size = part.First, part.Size
	}
	p, err := h.yard.PutPiece(r.Context(), d.ID, r.PathValue("photo"), start, size, piece)
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
