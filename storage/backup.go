package storage

import (
	"bufio"
	"bytes"
	"context"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"slices"

	"pegpour/engine/refusal"
	"pegpour/storage/digest"
)

// A back-up is a text file of JSON lines: first what it is, then the shop, the
// sites with their undo and history, the photos in base64, and last a seal: the
// number of lines before it and the SHA-256 of their bytes, line ends included.

// BackUpFormat and BackUpVersion are what a back-up says of itself in its first line.
// The version is that of the file; each document in it says its own.
const (
	BackUpFormat  = "pegpour-backup"
	BackUpVersion = 1
)

// MaxBackUpLine is the longest line read, in bytes.
const MaxBackUpLine = 96 << 20

type backUpLine struct {
	Format  string         `json:"format,omitempty"`
	Version int            `json:"version,omitempty"`
	Made    string         `json:"made,omitempty"`
	Record  *backUpRecord  `json:"record,omitempty"`
	Photo   *backUpPhoto   `json:"photo,omitempty"`
	End     *backUpEndSeal `json:"end,omitempty"`
}

type backUpRecord struct {
	ID       string          `json:"id"`
	Document json.RawMessage `json:"document,omitempty"`
	Raw      []byte          `json:"raw,omitempty"` // instead of Document when that is no JSON
	Head     head            `json:"head"`
	Edits    []numberedEdit  `json:"edits,omitempty"`
	History  []Step          `json:"history,omitempty"`
}

type numberedEdit struct {
	Number int  `json:"number"`
	Edit   Edit `json:"edit"`
}

type backUpPhoto struct {
	ID   string `json:"id"`
	Type string `json:"type,omitempty"`
	Data []byte `json:"data"`
}

type backUpEndSeal struct {
	Lines  int    `json:"lines"`
	SHA256 string `json:"sha256"`
}

type backUpWriter struct {
	w     io.Writer
	sum   digest.SHA256
	lines int
}

func (b *backUpWriter) line(l backUpLine) error {
	var text bytes.Buffer
	to := json.NewEncoder(&text)
	to.SetEscapeHTML(false) // a document's bytes stay as they are kept
	if err := to.Encode(l); err != nil {
		return err
	}
	b.sum.Write(text.Bytes())
	b.lines++
	_, err := b.w.Write(text.Bytes())
	return err
}

func (k *keeper) BackUp(ctx context.Context, w io.Writer) error {
	var ids, photos []string
	err := k.backend.View(ctx, func(tx Tx) error {
		var err error
		if ids, err = tx.Keys(TableDocuments, ""); err != nil {
			return err
		}
		photos, err = tx.Keys(TablePhotos, "")
		return err
	})
	if err != nil {
		return err
	}
	return k.backUp(ctx, w, k.now(), ids, photos)
}

func (k *keeper) BackUpSite(ctx context.Context, w io.Writer, id string, withPhotos bool) error {
	loaded, err := k.Load(ctx, id)
	if err != nil {
		return err
	}
	var photos []string
	for _, p := range loaded.Document.Photos {
		if withPhotos && !slices.Contains(photos, p.ID) {
			photos = append(photos, p.ID)
		}
	}
	// Its time is the site's: the same state gives the same bytes whenever it is written.
	return k.backUp(ctx, w, loaded.Document.Changed, []string{id}, photos)
}

// BackUpRules writes a back-up of nothing but a shop's rules and terms: what another shop
// may take over, without the settings of a phone.
func BackUpRules(w io.Writer, s *Shop) error {
	given := &Shop{Rules: s.Rules, Settings: Settings{Firm: s.Settings.Firm, Terms: s.Settings.Terms,
		Currency: s.Settings.Currency}, Changed: s.Changed}
	text, err := EncodeShop(given)
	if err != nil {
		return err
	}
	b := &backUpWriter{w: w}
	record := &backUpRecord{ID: ShopID, Document: text, Head: head{Revision: NameRevision(text)}}
	for _, l := range []backUpLine{{Format: BackUpFormat, Version: BackUpVersion, Made: s.Changed}, {Record: record}} {
		if err := b.line(l); err != nil {
			return err
		}
	}
	return b.seal()
}

// backUp writes a back-up of some records and photos. What is not there is left out.
func (k *keeper) backUp(ctx context.Context, w io.Writer, made string, ids, photos []string) error {
	b := &backUpWriter{w: w}
	if err := b.line(backUpLine{Format: BackUpFormat, Version: BackUpVersion, Made: made}); err != nil {
		return err
	}
	for _, id := range ids {
		var r *backUpRecord
		err := k.backend.View(ctx, func(tx Tx) error {
			var err error
			r, err = readRecord(tx, id)
			return err
		})
		if errors.Is(err, ErrNotFound) {
			continue // deleted meanwhile
		}
		if err == nil {
			err = b.line(backUpLine{Record: r})
		}
		if err != nil {
			return err
		}
	}
	for _, id := range photos {
		var p *backUpPhoto
		err := k.backend.View(ctx, func(tx Tx) error {
			info, data, err := readPhoto(tx, id)
			p = &backUpPhoto{id, info.Type, data}
			return err
		})
		var damaged *DamagedError
		if errors.Is(err, ErrNotFound) {
			continue
		}
		if errors.As(err, &damaged) {
			p.Data, err = damaged.Raw, nil
		}
		if err == nil {
			err = b.line(backUpLine{Photo: p})
		}
		if err != nil {
			return err
		}
	}
	return b.seal()
}

func (b *backUpWriter) seal() error {
	sum := b.sum.Sum()
	seal := &backUpEndSeal{Lines: b.lines, SHA256: hex.EncodeToString(sum[:])}
	return b.line(backUpLine{End: seal})
}

func readRecord(tx Tx, id string) (*backUpRecord, error) {
	raw, err := tx.Get(TableDocuments, id)
	if err != nil {
		return nil, err
	}
	if raw == nil {
		return nil, ErrNotFound
	}
	r := &backUpRecord{ID: id}
	if json.Valid(raw) {
		r.Document = raw
	} else {
		r.Raw = raw
	}
	if r.Head, err = readHead(tx, id, raw); err != nil {
		return nil, err
	}
	edits, err := tx.All(TableEdits, id+"/")
	if err != nil {
		return nil, err
	}
	for _, e := range edits {
		n := numberedEdit{Number: numberOf(e.Key)}
		if json.Unmarshal(e.Value, &n.Edit) == nil {
			r.Edits = append(r.Edits, n)
		}
	}
	r.History, err = readHistory(tx, id)
	return r, err
}

// readLines calls each with every line of a back-up, unread for each that cannot be
// read, and returns what is said of the whole.
func readLines(r io.Reader, each func(backUpLine) error, unread func()) (made string, complete bool, err error) {
	in := bufio.NewReaderSize(r, 1<<16)
	var sum digest.SHA256
	var first *BackUpError
	for n := 1; ; n++ {
		text, err := readLine(in)
		if errors.Is(err, io.EOF) && len(text) == 0 {
			if n == 1 {
				return made, false, &BackUpError{Line: n, Reason: refusal.Say("the file is empty")}
			}
			return made, false, &BackUpError{Line: n, Reason: refusal.Say("the file was cut short: its end is missing")}
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return made, false, &BackUpError{Line: n, Reason: refusal.Of(err), Cause: err}
		}
		var l backUpLine
		if bad := json.Unmarshal(text, &l); bad != nil {
			reason := refusal.Say("a part of it cannot be read")
			switch {
			case n == 1:
				reason = refusal.Say("this is no back-up of this program")
			case err != nil: // the line has no end
				reason = refusal.Say("the file was cut short: its end is missing")
			}
			fault := &BackUpError{Line: n, Reason: reason, Cause: bad}
			if n == 1 || err != nil {
				return made, false, fault
			}
			if first == nil {
				first = fault
			}
			unread()
			continue // what follows may be sound
		}
		switch {
		case l.End != nil && first != nil:
			return made, false, first
		case n == 1 && l.Format != BackUpFormat:
			return made, false, &BackUpError{Line: n, Reason: refusal.Say("this is no back-up of this program")}
		case n == 1 && l.Version > BackUpVersion:
			return made, false, &BackUpError{Line: n, Reason: refusal.Say("written by a newer version"),
				Cause: &NewerError{Version: l.Version, Known: BackUpVersion}}
		case n == 1:
			made = l.Made
		case l.End != nil:
			if sum := sum.Sum(); l.End.Lines != n-1 || l.End.SHA256 != hex.EncodeToString(sum[:]) {
				return made, false, &BackUpError{Line: n, Reason: refusal.Say("the file was altered: its seal does not hold")}
			}
			return made, true, nil
		default:
			if err := each(l); err != nil {
				return made, false, err
			}
		}
		sum.Write(text)
	}
}

var errLongLine = error(refusal.Error("longer than allowed"))

// readLine returns a line with its end.
func readLine(in *bufio.Reader) ([]byte, error) {
	var text []byte
	for {
		part, err := in.ReadSlice('\n')
		text = append(text, part...)
		if len(text) > MaxBackUpLine {
			return nil, errLongLine
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return text, err
		}
	}
}

// documentBytes returns the record's document as it was kept.
func (r *backUpRecord) documentBytes() []byte {
	if r.Document != nil {
		return bytes.Clone(r.Document)
	}
	return r.Raw
}
