package storage

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"sync"

	"pegpour/engine/refusal"
	"pegpour/engine/sorting"
)

// keeper is the Store over any Backend.
type keeper struct {
	backend *noted
	now     func() string

	mu     sync.Mutex
	recent state // what the last edit left, so that the next key need not read it again
}

// NewStore returns a Store that keeps everything in b. now gives the time as
// RFC 3339.
func NewStore(b Backend, now func() string) Store { return &keeper{backend: newNoted(b), now: now} }

func (k *keeper) Sites(ctx context.Context) ([]Summary, error) {
	var sites []Summary
	err := k.backend.View(ctx, func(tx Tx) error {
		values, err := tx.Values(TableSummaries, "")
		if err != nil {
			return err
		}
		sites = make([]Summary, 0, len(values))
		for _, text := range values {
			l, ok := readLineOf(text)
			if !ok {
				sites, err = sitesOneByOne(tx)
				return err
			}
			sites = append(sites, l.Summary)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	sorting.By(sites, func(a, b Summary) int {
		return cmp.Or(CompareTimes(b.Changed, a.Changed), cmp.Compare(a.ID, b.ID))
	})
	return sites, nil
}

// sitesOneByOne reads the list when a line of it is damaged.
func sitesOneByOne(tx Tx) ([]Summary, error) {
	records, err := tx.All(TableSummaries, "")
	if err != nil {
		return nil, err
	}
	sites := make([]Summary, 0, len(records))
	for _, r := range records {
		l, err := readLineAt(tx, r.Key, r.Value)
		if err != nil {
			return nil, err
		}
		sites = append(sites, l.Summary)
	}
	return sites, nil
}

// rebuiltLine makes the list's line of a site anew from its document.
func rebuiltLine(tx Tx, id string) (line, error) {
	s, err := readState(tx, id, state{})
	if err == nil {
		l, _ := s.subject.summary(id, s.head)
		return l, nil
	}
	l := line{Summary: Summary{ID: id, Trashed: s.head.Trashed}}
	if c := conditionOf(err); c != Sound {
		l.Condition = c
		return l, nil
	}
	if errors.Is(err, ErrNotFound) {
		l.Condition = IsDamaged
		return l, nil
	}
	return l, err
}

func conditionOf(err error) Condition {
	var damaged *DamagedError
	var newer *NewerError
	switch {
	case errors.As(err, &damaged):
		return IsDamaged
	case errors.As(err, &newer):
		return IsNewer
	}
	return Sound
}

func (k *keeper) Load(ctx context.Context, id string) (Loaded, error) {
	var out Loaded
	err := k.backend.View(ctx, func(tx Tx) error {
		s, err := readState(tx, id, state{})
		if err == nil && id == ShopID {
			return ErrNotFound
		}
		if err == nil {
			out, err = loadedOf(tx, s)
		}
		return err
	})
	if c := conditionOf(err); c != Sound {
		k.mark(ctx, id, c)
	}
	if err != nil {
		return Loaded{}, err
	}
	return out, nil
}

// mark notes in the list that a site cannot be opened. Failing to do so is no
// loss: the next Load finds out again.
func (k *keeper) mark(ctx context.Context, id string, c Condition) {
	_ = k.backend.Update(ctx, func(tx Tx) error {
		raw, err := tx.Get(TableSummaries, id)
		if err != nil || raw == nil {
			return err
		}
		l, _ := readLineOf(raw)
		if l.Condition == c {
			return nil
		}
		l.ID, l.Condition = id, c
		return tx.Put(TableSummaries, id, l.text())
	})
}

func loadedOf(tx Tx, s state) (Loaded, error) {
	d, _ := s.subject.(*Document)
	out := Loaded{Document: d, Revision: s.head.Revision}
	var err error
	out.CanUndo, out.UndoLabel, err = labelAt(tx, s, s.head.Done, s.head.Done > 0)
	if err == nil {
		out.CanRedo, out.RedoLabel, err = labelAt(tx, s, s.head.Done+1, s.head.Done < s.head.Top)
	}
	return out, err
}

func labelAt(tx Tx, s state, n int, any bool) (bool, string, error) {
	if !any {
		return false, "", nil
	}
	e, err := readEdit(tx, s.id, n)
	var damaged *DamagedError
	if errors.Is(err, ErrNothing) || errors.As(err, &damaged) {
		return false, "", nil // the entry is lost, the document is not
	}
	if err != nil || !e.fits(s.id) {
		return false, "", err
	}
	return true, e.Label, nil
}

func (k *keeper) Create(ctx context.Context, d *Document) (Loaded, error) {
	text, err := Encode(d)
	if err != nil {
		return Loaded{}, err
	}
	d, err = Decode(text)
	if err != nil {
		return Loaded{}, err
	}
	if !usableID(d.ID) {
		return Loaded{}, &DecodeError{Path: "id", Reason: refusal.Say("cannot be {0}", refusal.Typed(d.ID))}
	}
	at := k.now()
	if d.Created == "" {
		d.Created = at
	}
	if d.Changed == "" {
		d.Changed = at
	}
	var out Loaded
	err = k.backend.Update(ctx, func(tx Tx) error {
		old, err := tx.Get(TableDocuments, d.ID)
		if err != nil {
			return err
		}
		if old != nil {
			return ErrExists
		}
		s := state{id: d.ID, subject: d}
		if err := keep(tx, &s, Step{Action: Created, At: at}); err != nil {
			return err
		}
		out, err = loadedOf(tx, s)
		return err
	})
	return k.told(out, err, d.ID)
}

// usableID reports whether a site may have this identity.
func usableID(id string) bool { return id != "" && id != ShopID && !strings.Contains(id, "/") }

func (k *keeper) told(out Loaded, err error, id string) (Loaded, error) {
	if err != nil {
		return Loaded{}, err
	}
	k.backend.Announce(id)
	return out, nil
}

func (k *keeper) Commit(ctx context.Context, id string, e Edit, base Revision) (Loaded, error) {
	if id == ShopID {
		return Loaded{}, ErrNotFound
	}
	return k.commit(ctx, id, e, base)
}

func (k *keeper) commit(ctx context.Context, id string, e Edit, base Revision) (Loaded, error) {
	at := k.now()
	var out Loaded
	k.mu.Lock()
	s := k.recent
	k.recent = state{} // its tree is about to change
	k.mu.Unlock()
	err := k.backend.Update(ctx, func(tx Tx) error {
		var err error
		if s, err = readState(tx, id, s); err != nil {
			return err
		}
		moved := base != "" && base != s.head.Revision
		made, err := commitTo(tx, &s, e, at)
		if err != nil {
			return err
		}
		if made.Empty() {
			out, err = loadedOf(tx, s)
		} else {
			d, _ := s.subject.(*Document)
			out = Loaded{Document: d, Revision: s.head.Revision, CanUndo: true, UndoLabel: made.Label}
		}
		out.Moved = moved
		if moved {
			out.Overwrote = overwritten(e, made)
		}
		return err
	})
	if err == nil {
		k.mu.Lock()
		k.recent = s
		k.mu.Unlock()
	}
	return k.told(out, err, id)
}

// commitTo makes an edit on s, drops what could have been redone, and keeps it. It
// returns the edit as made, without the time.
func commitTo(tx Tx, s *state, e Edit, at string) (Edit, error) {
	tree, err := s.takeTree()
	if err != nil {
		return Edit{}, err
	}
	made, err := rebase(tree, s.subject.shape(), e)
	if err != nil || made.Empty() {
		return made, err
	}
	stamp, err := rebase(tree, s.subject.shape(), Edit{}.Stamped(at))
	if err != nil {
		return made, err
	}
	if next, ok := s.subject.typed(tree, made.Changes, at); ok {
		s.subject, s.tree = next, tree
	} else if s.subject, err = s.subject.ofTree(tree); err != nil {
		return made, err
	}
	left, err := dropLeft(tx, s)
	if err != nil {
		return made, err
	}
	s.head.Done++
	s.head.Top = s.head.Done
	stamped := made.written(s.id)
	stamped.Changes = append(slices.Clone(made.Changes), stamp.Changes...)
	if err := putJSON(tx, TableEdits, numbered(s.id, s.head.Done), stamped); err != nil {
		return made, err
	}
	return made, keep(tx, s, Step{Action: Edited, Label: made.Label, At: at, Left: left})
}

// dropLeft removes the edits that could have been made again and returns them.
func dropLeft(tx Tx, s *state) (left []Edit, err error) {
	for n := s.head.Done + 1; n <= s.head.Top; n++ {
		e, err := readEdit(tx, s.id, n)
		var damaged *DamagedError
		switch {
		case errors.Is(err, ErrNothing) || errors.As(err, &damaged): // those after it lead nowhere
		case err != nil:
			return nil, err
		case len(left) == n-s.head.Done-1:
			left = append(left, e)
		}
		if err := tx.Delete(TableEdits, numbered(s.id, n)); err != nil {
			return nil, err
		}
	}
	return left, nil
}

// overwritten lists the changes of an edit, as made, that replaced something
// other than what the person had seen.
func overwritten(seen, made Edit) []Change {
	before := map[string]string{}
	for _, c := range slices.Backward(seen.Changes) {
		before[c.Path] = string(c.Before)
	}
	var over []Change
	for _, c := range made.Changes {
		if was, ok := before[c.Path]; ok && was != string(c.Before) {
			over = append(over, c)
		}
	}
	return over
}

func (k *keeper) Undo(ctx context.Context, id string) (Loaded, error) {
	return k.step(ctx, id, Undone)
}

func (k *keeper) Redo(ctx context.Context, id string) (Loaded, error) {
	return k.step(ctx, id, Redone)
}

// step undoes or redoes one edit, and those of the same run beside it.
func (k *keeper) step(ctx context.Context, id string, action Action) (Loaded, error) {
	at := k.now()
	var out Loaded
	err := k.backend.Update(ctx, func(tx Tx) error {
		s, err := readState(tx, id, state{})
		if err != nil {
			return err
		}
		label, run, n := "", "", 0
		for ; ; n++ {
			next := s.head.Done
			if action == Redone {
				next++
			}
			if next < 1 || next > s.head.Top {
				if n == 0 {
					return ErrNothing
				}
				break
			}
			e, err := readEdit(tx, id, next)
			if err != nil {
				return err
			}
			if n > 0 && (run == "" || e.Run != run) {
				break
			}
			if !e.fits(id) { // of a document as an older program wrote it
				if n == 0 {
					return ErrNothing
				}
				break
			}
			label, run = e.Label, e.Run
			changes := e.Changes
			s.head.Done = next
			if action == Undone {
				changes = e.inverse()
				s.head.Done = next - 1
			}
			tree, err := s.takeTree()
			if err == nil {
				err = applyTo(tree, s.subject.shape(), changes)
			}
			if err == nil {
				s.subject, err = s.subject.ofTree(tree)
			}
			if err != nil {
				return err
			}
		}
		if err := keep(tx, &s, Step{Action: action, Label: label, At: at, Edits: n}); err != nil {
			return err
		}
		out, err = loadedOf(tx, s)
		return err
	})
	return k.told(out, err, id)
}

func (k *keeper) History(ctx context.Context, id string) ([]Step, error) {
	var steps []Step
	err := k.backend.View(ctx, func(tx Tx) error {
		var err error
		steps, err = readHistory(tx, id)
		return err
	})
	return steps, err
}

// readHistory reads the steps that can be read.
func readHistory(tx Tx, id string) ([]Step, error) {
	records, err := tx.All(TableHistory, id+"/")
	if err != nil {
		return nil, err
	}
	steps := make([]Step, 0, len(records))
	for _, r := range records {
		var s Step
		if json.Unmarshal(r.Value, &s) == nil {
			steps = append(steps, s)
		}
	}
	return steps, nil
}

func (k *keeper) Raw(ctx context.Context, id string) ([]byte, error) {
	var raw []byte
	err := k.backend.View(ctx, func(tx Tx) error {
		var err error
		if raw, err = tx.Get(TableDocuments, id); err == nil && raw == nil {
			err = ErrNotFound
		}
		return err
	})
	return raw, err
}

func (k *keeper) Shop(ctx context.Context) (LoadedShop, error) {
	var out LoadedShop
	err := k.backend.View(ctx, func(tx Tx) error {
		s, err := readState(tx, ShopID, state{})
		if err != nil {
			return err
		}
		l, err := loadedOf(tx, s)
		out = loadedShop(s, l)
		return err
	})
	return out, err
}

func loadedShop(s state, l Loaded) LoadedShop {
	shop, _ := s.subject.(*Shop)
	return LoadedShop{shop, s.head.Revision, l.CanUndo, l.CanRedo, l.UndoLabel, l.RedoLabel}
}

func (k *keeper) CommitShop(ctx context.Context, e Edit) (LoadedShop, error) {
	if _, err := k.commit(ctx, ShopID, e, ""); err != nil {
		return LoadedShop{}, err
	}
	return k.Shop(ctx)
}

func (k *keeper) Persist(ctx context.Context) (bool, error)      { return k.backend.Persist(ctx) }
func (k *keeper) Estimate(ctx context.Context) (Estimate, error) { return k.backend.Estimate(ctx) }
func (k *keeper) Watch(changed func(id string)) (stop func())    { return k.backend.Watch(changed) }
func (k *keeper) Close() error                                   { return k.backend.Close() }
