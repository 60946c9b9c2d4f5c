package storage

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"pegpour/storage/canonical"
)

// head says where a document's history and its undo stand.
type head struct {
	Revision Revision `json:"revision"`
	Steps    int      `json:"steps"` // in the history
	Done     int      `json:"done"`  // edits 1..Done are made
	Top      int      `json:"top"`   // edits Done+1..Top can be made again
	Trashed  bool     `json:"trashed,omitempty"`
}

// subject is what the store needs of a Document or a Shop.
type subject interface {
	checkedTree() (map[string]any, error)
	ofTree(map[string]any) (subject, error)
	// typed is the subject after changes that are values and drafts of fields, made on
	// tree, at a time; not ok where they are anything else.
	typed(tree map[string]any, changes []Change, at string) (subject, bool)
	shape() *shape
	summary(id string, h head) (line, bool)
}

func (d *Document) ofTree(tree map[string]any) (subject, error) {
	n, err := documentOf(tree)
	return n, err
}
func (d *Document) shape() *shape { return documentShape }

func (d *Document) summary(id string, h head) (line, bool) {
	s := line{Summary: Summary{
		ID: id, Name: d.Survey.Site.Name, Address: d.Survey.Site.Address, Client: d.Survey.Site.Client,
		Created: d.Created, Changed: d.Changed, Demo: d.Demo, Trashed: h.Trashed, Photos: len(d.Photos), Revision: h.Revision,
	}}
	for _, p := range d.Photos {
		s.PhotoIDs = append(s.PhotoIDs, p.ID)
	}
	return s, true
}

func (s *Shop) ofTree(tree map[string]any) (subject, error) {
	n, err := shopOf(tree)
	return n, err
}
func (s *Shop) typed(map[string]any, []Change, string) (subject, bool) { return nil, false }
func (s *Shop) shape() *shape                                          { return shopShape }
func (s *Shop) summary(string, head) (line, bool)                      { return line{}, false }

func numbered(id string, n int) string { return fmt.Sprintf("%s/%08d", id, n) }

func numberOf(key string) int {
	n, _ := strconv.Atoi(key[strings.LastIndexByte(key, '/')+1:])
	return n
}

func putJSON(tx Tx, t Table, key string, v any) error {
	text, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return tx.Put(t, key, text)
}

// decodeSubject reads the document of a site or of the shop.
func decodeSubject(id string, raw []byte) (subject, error) {
	var s subject
	var err error
	if id == ShopID {
		s, err = DecodeShop(raw)
	} else {
		s, err = Decode(raw)
	}
	if err == nil {
		return s, nil
	}
	if _, newer := err.(*NewerError); newer {
		return nil, err
	}
	return nil, &DamagedError{ID: id, Raw: raw, Cause: err}
}

// state is one document with its head, read inside a transaction.
type state struct {
	id      string
	subject subject
	head    head
	tree    map[string]any // of the subject, for nobody else; nil: to be made
	was     []byte         // the document as it is kept, where an older program wrote it
}

// takeTree is the tree of the subject, to be changed.
func (s *state) takeTree() (map[string]any, error) {
	if tree := s.tree; tree != nil {
		s.tree = nil
		return tree, nil
	}
	return s.subject.checkedTree()
}

// readState reads a document with its head. When it is the one that recent holds it
// is not read again: the head tells.
func readState(tx Tx, id string, recent state) (state, error) {
	if recent.id == id && recent.subject != nil {
		h, ok, err := headAt(tx, id)
		if err != nil {
			return state{}, err
		}
		if ok && h.Revision == recent.head.Revision {
			recent.head = h
			return recent, nil
		}
	}
	s := state{id: id}
	raw, err := tx.Get(TableDocuments, id)
	if err != nil {
		return s, err
	}
	if raw == nil {
		if id == ShopID {
			s.subject = NewShop()
			return s, nil
		}
		return s, ErrNotFound
	}
	if s.head, err = readHead(tx, id, raw); err != nil {
		return s, err
	}
	s.subject, err = decodeSubject(id, raw)
	if format := formatOf(id); err == nil && newest(format) > 1 {
		var says struct{ Version int }
		if err = json.Unmarshal(raw, &says); says.Version < newest(format) {
			s.was = raw
		}
	}
	return s, err
}

func formatOf(id string) string {
	if id == ShopID {
		return ShopFormat
	}
	return Format
}

// headAt reads a head; not ok when it is damaged or there is none.
func headAt(tx Tx, id string) (h head, ok bool, err error) {
	text, err := tx.Get(TableHeads, id)
	if err != nil {
		return h, false, err
	}
	return h, text != nil && json.Unmarshal(text, &h) == nil && h.Revision != "" && h.Done >= 0 && h.Done <= h.Top &&
		h.Steps >= 0, nil
}

// readHead reads a head. A damaged one is worked out again from the history.
func readHead(tx Tx, id string, raw []byte) (head, error) {
	h, ok, err := headAt(tx, id)
	if ok || err != nil {
		return h, err
	}
	h = head{Revision: NameRevision(raw)}
	steps, err := tx.Keys(TableHistory, id+"/")
	if err != nil {
		return h, err
	}
	if len(steps) > 0 {
		h.Steps = numberOf(steps[len(steps)-1])
	}
	edits, err := tx.Keys(TableEdits, id+"/")
	if err != nil {
		return h, err
	}
	if len(edits) > 0 {
		h.Done = numberOf(edits[len(edits)-1])
		h.Top = h.Done
	}
	return h, nil
}

func readEdit(tx Tx, id string, n int) (Edit, error) {
	raw, err := tx.Get(TableEdits, numbered(id, n))
	if err != nil {
		return Edit{}, err
	}
	if raw == nil {
		return Edit{}, ErrNothing
	}
	var e Edit
	if err := json.Unmarshal(raw, &e); err != nil {
		return Edit{}, &DamagedError{ID: numbered(id, n), Raw: raw, Cause: err}
	}
	return e, nil
}

// written is an edit as it is kept: it says of which version its places are.
func (e Edit) written(id string) Edit {
	if v := newest(formatOf(id)); v > 1 {
		e.Version = v
	}
	return e
}

// fits reports whether an edit's places are those of the documents of now. One of an
// older version cannot be undone; the state before it is among those of the past.
func (e Edit) fits(id string) bool { return max(e.Version, 1) == newest(formatOf(id)) }

// keep writes a new state of a document with its step of history.
func keep(tx Tx, s *state, step Step) error {
	var err error
	if s.tree == nil {
		if s.tree, err = s.subject.checkedTree(); err != nil {
			return err
		}
	}
	text, err := canonical.Marshal(s.tree)
	if err != nil {
		return err
	}
	if len(text) > MaxDocumentBytes {
		return &TooLargeError{len(text)}
	}
	step.Was, s.was = s.was, nil
	if s.head.Revision != "" {
		step.Parents = []Revision{s.head.Revision}
	}
	s.head.Revision = NameRevision(text, step.Parents...)
	s.head.Steps++
	step.Number, step.Revision = s.head.Steps, s.head.Revision
	if err := tx.Put(TableDocuments, s.id, text); err != nil {
		return err
	}
	if err := putJSON(tx, TableHistory, numbered(s.id, step.Number), step); err != nil {
		return err
	}
	return keepHead(tx, s)
}

// keepHead writes the head and the summary that goes with it.
func keepHead(tx Tx, s *state) error {
	if err := putJSON(tx, TableHeads, s.id, s.head); err != nil {
		return err
	}
	if s.id == ShopID {
		return tx.Put(TableExchange, ExchangedShop, []byte(s.head.Revision))
	}
	if l, listed := s.subject.summary(s.id, s.head); listed {
		return tx.Put(TableSummaries, s.id, l.text())
	}
	return nil
}
