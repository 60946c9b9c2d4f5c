package storage

import (
	"context"
	"encoding/json"
	"errors"
	"slices"

	"pegpour/storage/canonical"
)

// PastState is a state that a site was in on this device.
type PastState struct {
	Number   int // of the step that left it
	Action   Action
	At       string // RFC 3339
	Revision Revision
	// Who measured with this device then, as its settings said; "" where they did not,
	// or where the state came from elsewhere.
	Who string
	// Path is a place that the step changed, Places how many; "" and 0 where that is
	// not known.
	Path   string
	Places int
	Run    string // of the step's edit
	// Here: what leads back to it is kept on this device.
	Here bool
}

// rewinder goes back from state to state of a document, the newest first.
type rewinder struct {
	tree  map[string]any // of the state after the first at edits; nil: only numbers are wanted
	at    int
	shape *shape
	edits []Edit // the n-th stands at n-1; one without changes cannot be read
	done  int    // the state gone back to is that after so many edits; beyond the last: it is not kept
	// unsure: an older program did not say how many edits a step moved.
	unsure bool
}

func newRewinder(tx Tx, s state) (*rewinder, error) {
	records, err := tx.All(TableEdits, s.id+"/")
	if err != nil {
		return nil, err
	}
	r := &rewinder{shape: s.subject.shape(), edits: make([]Edit, s.head.Top), done: s.head.Done, at: s.head.Done}
	for _, record := range records {
		if n := numberOf(record.Key); n >= 1 && n <= s.head.Top {
			_ = json.Unmarshal(record.Value, &r.edits[n-1]) // else it cannot be gone past
		}
	}
	return r, nil
}

// edit is the edit of the step that led to where r stands; nil when there is none.
func (r *rewinder) edit(s Step) *Edit {
	if (s.Action == Edited || s.Action == Merged) && r.done >= 1 && r.done <= len(r.edits) {
		return &r.edits[r.done-1]
	}
	return nil
}

// here reports whether the state gone back to can be made of what is kept.
func (r *rewinder) here() bool { return r.unsure || r.done >= 0 && r.done <= len(r.edits) }

// back goes to before a step. Errors: ErrNotFound where nothing leads there.
func (r *rewinder) back(s Step) error {
	switch s.Action {
	case Created:
		return ErrNotFound
	case Edited, Merged:
		r.done--
	case Redone:
		r.done -= r.run(r.done-1, -1, s.Edits)
	case Undone:
		r.done += r.run(r.done, 1, s.Edits)
	}
	if r.done < 0 {
		return ErrNotFound
	}
	if err := r.move(min(r.done, len(r.edits)), s.Was != nil); err != nil {
		return err
	}
	if r.done < len(r.edits) && (s.Action == Edited || s.Action == Merged) {
		r.edits = append(slices.Clip(r.edits[:r.done]), s.Left...)
	}
	if r.tree == nil || s.Was == nil {
		return nil
	}
	before, err := canonical.Parse(s.Was, canonical.Limits{Bytes: MaxDocumentBytes, Depth: MaxDocumentDepth})
	tree, ok := before.(map[string]any)
	if err == nil && !ok {
		err = ErrNotFound
	}
	r.tree = tree
	return err
}

// move makes the tree that of the state after so many edits; jump: it is replaced
// after that.
func (r *rewinder) move(to int, jump bool) error {
	for r.at != to {
		n, by := r.at-1, -1
		if r.at < to {
			n, by = r.at, 1
		}
		e := r.edits[n]
		if e.Empty() {
			return ErrNotFound
		}
		r.at += by
		if r.tree == nil || jump {
			continue
		}
		changes := e.Changes
		if by < 0 {
			changes = e.inverse()
		}
		if err := applyTo(r.tree, r.shape, changes); err != nil {
			return err
		}
	}
	return nil
}

// is reports whether the tree is the state that a step left.
func (r *rewinder) is(s Step) (bool, error) {
	r.shape.prune(r.tree) // what was made for an edit that is taken back
	text, err := canonical.Marshal(r.tree)
	return err == nil && NameRevision(text, s.Parents...) == s.Revision, err
}

// run counts the edits of one run from the place at, in one direction; known where
// the step says how many.
func (r *rewinder) run(at, by, known int) int {
	if known > 0 {
		return known
	}
	r.unsure = true
	n := 1
	for next := at + by; at >= 0 && at < len(r.edits) && next >= 0 && next < len(r.edits) && r.edits[at].Run != "" &&
		r.edits[next].Run == r.edits[at].Run; next += by {
		n++
	}
	return n
}

func (k *keeper) Past(ctx context.Context, id string) ([]PastState, error) {
	var out []PastState
	err := k.backend.View(ctx, func(tx Tx) error {
		s, err := readState(tx, id, state{})
		if err != nil {
			return err
		}
		steps, err := readHistory(tx, id)
		if err != nil {
			return err
		}
		r, err := newRewinder(tx, s)
		if err != nil {
			return err
		}
		crews, err := crewsOf(tx)
		if err != nil {
			return err
		}
		lost, later := false, ""
		for i, step := range slices.Backward(steps) {
			p := PastState{
				Number: step.Number, Action: step.Action, At: step.At, Revision: step.Revision,
				Who: crewAt(crews, step), Here: !lost && r.here(),
			}
			if e := r.edit(step); e != nil && p.Here {
				p.Run = e.Run
				for _, c := range e.Changes {
					if c.Path == "/changed" {
						continue
					}
					if p.Places++; p.Places == 1 {
						p.Path = c.Path
					}
				}
			}
			run := p.Run + step.At[:min(len(step.At), 10)] // what was typed on another day is a state
			if p.Run == "" || run != later {
				out = append(out, p)
			}
			later = run
			lost = lost || r.back(step) != nil || i > 0 && steps[i-1].Number != step.Number-1
		}
		return nil
	})
	return out, err
}

func (k *keeper) PastDocument(ctx context.Context, id string, number int) (*Document, error) {
	var d *Document
	err := k.backend.View(ctx, func(tx Tx) error {
		s, err := readState(tx, id, state{})
		if err != nil {
			return err
		}
		tree, err := rewound(tx, s, func(step Step) bool { return step.Number == number })
		if err != nil {
			return err
		}
		if tree, err = migrateTree(tree, Format); err == nil {
			d, err = documentOf(tree)
		}
		return err
	})
	return d, err
}

// rewound is the tree of the newest state whose step is wanted.
func rewound(tx Tx, s state, wanted func(Step) bool) (map[string]any, error) {
	steps, err := readHistory(tx, s.id)
	if err != nil {
		return nil, err
	}
	r, err := newRewinder(tx, s)
	if err != nil {
		return nil, err
	}
	if s.was != nil {
		err = json.Unmarshal(s.was, &r.tree)
	} else {
		r.tree, err = s.subject.checkedTree()
	}
	if err != nil {
		return nil, err
	}
	line, number := *r, s.head.Steps
	line.tree = copyTree(r.tree)
	lost := false
	for _, step := range slices.Backward(steps) {
		if step.Number != number { // a step is lost
			return nil, ErrNotFound
		}
		number--
		if !wanted(step) {
			lost = lost || r.back(step) != nil
			continue
		}
		if !lost && r.done == r.at {
			if same, err := r.is(step); same || err != nil {
				return r.tree, err
			}
		}
		if !r.unsure {
			return nil, ErrNotFound
		}
		return line.seek(step)
	}
	return nil, ErrNotFound
}

// seek finds the state that a step left among those that undo and redo lead to.
func (r *rewinder) seek(s Step) (map[string]any, error) {
	_ = r.move(len(r.edits), false)
	for {
		if same, err := r.is(s); same || err != nil {
			return r.tree, err
		}
		if r.at == 0 || r.move(r.at-1, false) != nil {
			return nil, ErrNotFound
		}
	}
}

func (k *keeper) PastShop(ctx context.Context, at string) (shop *Shop, known bool, err error) {
	err = k.backend.View(ctx, func(tx Tx) error {
		s, err := readState(tx, ShopID, state{})
		if err != nil {
			return err
		}
		shop, _ = s.subject.(*Shop)
		steps, err := readHistory(tx, ShopID)
		if err != nil {
			return err
		}
		if len(steps) == 0 || steps[0].Number == 1 && CompareTimes(steps[0].At, at) > 0 {
			known = true
			if len(steps) > 0 {
				shop = NewShop() // how every shop begins
			}
			return nil
		}
		tree, err := rewound(tx, s, func(step Step) bool { return CompareTimes(step.At, at) <= 0 })
		if errors.Is(err, ErrNotFound) {
			return nil
		}
		if err == nil {
			tree, err = migrateTree(tree, ShopFormat)
		}
		if err == nil {
			shop, err = shopOf(tree)
			known = err == nil
		}
		return err
	})
	return shop, known, err
}

// crewSince is who measured from a time on.
type crewSince struct{ at, who string }

// crewsOf reads from the shop's history who measured with this device, the latest
// first.
func crewsOf(tx Tx) ([]crewSince, error) {
	s, err := readState(tx, ShopID, state{})
	if conditionOf(err) != Sound {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	steps, err := readHistory(tx, ShopID)
	if err != nil {
		return nil, err
	}
	shop, _ := s.subject.(*Shop)
	r, err := newRewinder(tx, s)
	if err != nil {
		return nil, err
	}
	var out []crewSince
	who := shop.Settings.Crew
	if r.tree, err = shop.checkedTree(); err != nil {
		return nil, err
	}
	for _, step := range slices.Backward(steps) {
		out = append(out, crewSince{step.At, who})
		if r.back(step) != nil {
			return out, nil
		}
		crew, _ := lookUp(r.tree, []string{"settings", "crew"})
		who, _ = crew.(string)
	}
	return append(out, crewSince{"", who}), nil
}

func crewAt(crews []crewSince, s Step) string {
	if s.Action == Merged || s.Action == Restored {
		return ""
	}
	for _, c := range crews {
		if CompareTimes(c.at, s.At) <= 0 {
			return c.who
		}
	}
	return ""
}

// TakeBack returns the edit that makes of now what stood in a past state. It is kept,
// sent and undone like any other.
func TakeBack(now, past *Document) (Edit, error) {
	e, err := Diff(now, past)
	e.Label = "Taken back to an earlier state"
	e.Changes = slices.DeleteFunc(e.Changes, func(c Change) bool { return c.Path == "/changed" || c.Path == "/created" })
	return e, err
}
