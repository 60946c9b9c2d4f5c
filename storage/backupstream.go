package storage

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"io"
)

// WriteBackUp writes a back-up of documents, and of photos that are read while they are
// written: photos calls add for each. None of them is in memory as a whole. Errors: those
// of reading and writing, *InvalidError for a document that cannot be kept.
func WriteBackUp(ctx context.Context, w io.Writer, made string, documents []*Document,
	photos func(add func(id, mediaType string, data io.Reader) error) error) error {
	store := NewStore(&Memory{}, func() string { return made })
	defer store.Close()
	for _, d := range documents {
		if _, err := store.Create(ctx, d); err != nil {
			return err
		}
	}
	b := &backUpWriter{w: w}
	unsealed := &unsealedWriter{}
	if err := store.BackUp(ctx, unsealed); err != nil {
		return err
	}
	for _, line := range unsealed.lines[:len(unsealed.lines)-1] {
		if _, err := b.Write(line); err != nil {
			return err
		}
		b.lines++
	}
	if err := photos(b.photo); err != nil {
		return err
	}
	return b.seal()
}

// unsealedWriter keeps the lines of a back-up.
type unsealedWriter struct{ lines [][]byte }

func (u *unsealedWriter) Write(line []byte) (int, error) {
	u.lines = append(u.lines, line)
	return len(line), nil
}

// Write adds to a line.
func (b *backUpWriter) Write(part []byte) (int, error) {
	b.sum.Write(part)
	return b.w.Write(part)
}

// photoEnds is what follows on a photo's bytes in its line.
const photoEnds = `"}}`

// photo writes the line of a photo as its bytes come.
func (b *backUpWriter) photo(id, mediaType string, data io.Reader) error {
	begins, err := json.Marshal(backUpLine{Photo: &backUpPhoto{ID: id, Type: mediaType, Data: []byte{}}})
	if err != nil {
		return err
	}
	begins = bytes.TrimSuffix(begins, []byte(photoEnds))
	if _, err := b.Write(begins); err != nil {
		return err
	}
	to := base64.NewEncoder(base64.StdEncoding, b)
	if _, err := io.Copy(to, data); err != nil {
		return err
	}
	if err := to.Close(); err != nil {
		return err
	}
	b.lines++
	_, err = io.WriteString(b, photoEnds+"\n")
	return err
}
