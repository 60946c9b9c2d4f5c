package editing

import (
	"context"
	"encoding/json"
	"sync"

	"pegpour/storage"
)

// Journal keeps a text outside the store, for what waits while the store fails: the
// page may be loaded again meanwhile.
type Journal interface {
	// Write keeps the text of this run; "" removes it. That it cannot is no error:
	// then what waits is on the page only.
	Write(text string)
	// Take returns the texts of earlier runs. They stay until Done.
	Take() []string
	Done()
}

// entry is an edit in a Journal.
type entry struct {
	Site string       `json:"site"`
	Edit storage.Edit `json:"edit"`
}

// writeJournal writes down what waits, while something fails.
func (d *Device) writeJournal() {
	if d.Journal == nil || len(d.holds) == 0 && !d.journaled {
		return
	}
	var all []entry
	for _, w := range d.queue {
		if w.edit == nil {
			continue
		}
		if e, _ := w.edit(); !e.Empty() {
			all = append(all, entry{w.site, e})
		}
	}
	text := ""
	if d.journaled = len(all) > 0; d.journaled {
		if b, err := json.Marshal(all); err == nil {
			text = string(b)
		}
	}
	d.Journal.Write(text)
}

// takeJournal has stored what waited when an earlier run ended. An edit that had
// been stored by then changes nothing the second time.
func (d *Device) takeJournal() {
	if d.Journal == nil {
		return
	}
	for _, text := range d.Journal.Take() {
		var all []entry
		if json.Unmarshal([]byte(text), &all) != nil {
			continue
		}
		d.journaled = true
		for _, e := range all {
			d.store(e.Site, func() (storage.Edit, error) { return e.Edit, nil }, func(c context.Context) error {
				if e.Site == storage.ShopID {
					_, err := d.Store.CommitShop(c, e.Edit)
					return err
				}
				_, err := d.Store.Commit(c, e.Site, e.Edit, "")
				return err
			})
		}
	}
	d.Journal.Done()
}

// once is edit, made once: both the store's call and the journal ask for it.
func once(edit func() (storage.Edit, error)) func() (storage.Edit, error) {
	var made sync.Once
	var e storage.Edit
	var err error
	return func() (storage.Edit, error) {
		made.Do(func() { e, err = edit() })
		return e, err
	}
}

// ahead is a site as the store has it with what still waits to be stored.
func (s *Saver) ahead(d *storage.Document) *storage.Document {
	for _, w := range s.queue {
		if w.site != d.ID || w.edit == nil {
			continue
		}
		if e, _ := w.edit(); !e.Empty() {
			if next, err := storage.Apply(d, e); err == nil {
				d = next
			}
		}
	}
	return d
}
