package api

import (
	"encoding/json"
	"io"
	"mime"
	"net/http"
	"slices"
	"strconv"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
)

// maxFormBytes is the most that a form may have.
const maxFormBytes = 4 << 10

// typeError refuses a body of a media type that is not taken at the address.
type typeError struct {
	taken []string
}

func (e *typeError) Error() string { return e.Refusal().String() }

// Refusal says which types are taken.
func (e *typeError) Refusal() refusal.Message {
	return refusal.Say("taken here: {0}", refusal.Each(e.taken...))
}

// readBody reads a body of at most limit bytes and of one of the media types.
func readBody(w http.ResponseWriter, r *http.Request, limit int64, types ...string) ([]byte, error) {
	given, once := single(r.Header, "Content-Type")
	kind, _, err := mime.ParseMediaType(given)
	if err != nil || !once || !slices.Contains(types, kind) {
		return nil, &typeError{types}
	}
	if limit > maxFormBytes {
		awaitBody(w, bodyTime)
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, limit))
	if err != nil {
		if _, large := err.(*http.MaxBytesError); !large {
			panic(http.ErrAbortHandler) // the connection is gone: there is nobody to answer
		}
	}
	if err == nil {
		awaitBody(w, 0) // what is worked out now takes the time it takes
	}
	return body, err
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

// readPage reads from the query at which entry a page of a list begins, under
// the name given, and how many entries it may have; 0 is what was not given.
func readPage(r *http.Request, from string) (begin int64, limit int, err error) {
	if begin, err = readNumber(r, from); err != nil {
		return 0, 0, err
	}
	most, err := readNumber(r, "limit")
	return begin, int(min(most, yard.MaxPage)), err
}

// readNumber reads a number from the query, 0 when it is not given.
func readNumber(r *http.Request, name string) (int64, error) {
	text := r.URL.Query().Get(name)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, &yard.InvalidError{Reason: refusal.Say("{0} is a number from 0", refusal.Typed(name))}
	}
	return n, nil
}
