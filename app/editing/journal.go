package editing

import (
	"bytes"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"sync"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage"
)

// Journal keeps a text outside the store, for what waits while the store fails: the
// page may be loaded again meanwhile.
type Journal interface {
	// Write keeps the text of this run; "" removes it. That it cannot is no error:
	// then what waits is on the page only.
	Write(text string)
	// Take returns the texts of earlier runs and of other tabs by their keys. They stay
	// until Done, and longer where a tab has written another text in the place of its
	// own since.
	Take() map[string]string
	Done()
	// Text is what stands at a key now, "" for nothing; known is false where that
	// cannot be told.
	Text(key string) (text string, known bool)
	// Hold notes how many sites of somebody's own the store holds, Held tells what
	// was noted last: a store that is found empty then was thrown away.
	Hold(sites int)
	Held() int
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

// takeJournal has stored what waited when an earlier run ended, or still waits in
// another tab. An edit that had been stored by then changes nothing the second time;
// those of a site at which something else was entered since are set aside. The texts
// of earlier runs go once all of that is done.
func (d *Device) takeJournal() {
	if d.Journal == nil {
		return
	}
	left := 0
	taken := d.Journal.Take()
	for _, key := range slices.Sorted(maps.Keys(taken)) {
		text := taken[key]
		var all []entry
		if json.Unmarshal([]byte(text), &all) != nil {
			continue
		}
		bySite := map[string][]storage.Edit{}
		for _, e := range all {
			bySite[e.Site] = append(bySite[e.Site], e.Edit)
		}
		d.journaled = true
		late := map[string]error{} // why those of a site are not made any more
		for _, e := range all {
			left++
			done := false
			d.store(e.Site, func() (storage.Edit, error) { return e.Edit, nil }, func(c context.Context) error {
				err := late[e.Site]
				if err == nil { // looked at each time: while one waits, another tab goes on
					err = d.overtaken(c, e.Site, bySite[e.Site])
				}
				if err == nil {
					if d.stillWaits(key, e) {
						err = d.replay(c, e)
					}
				} else if storage.Final(err) {
					late[e.Site] = err
				}
				if (err == nil || storage.Final(err)) && !done {
					done = true
					d.Dispatch(func(app.Context) {
						if left--; left == 0 {
							d.Journal.Done()
						}
					})
				}
				return err
			})
		}
	}
	if left == 0 {
		d.Journal.Done()
	}
}

// stillWaits reports whether an edit stands in the journal that it was taken from. A tab
// that is open stores its own by itself, and may have taken it back since.
func (d *Device) stillWaits(key string, e entry) bool {
	text, known := d.Journal.Text(key)
	if known && text == "" {
		return false
	}
	var all []entry
	if !known || json.Unmarshal([]byte(text), &all) != nil {
		return true // it cannot be told: better stored twice than not at all
	}
	want, _ := json.Marshal(e)
	return slices.ContainsFunc(all, func(o entry) bool {
		text, err := json.Marshal(o)
		return err == nil && bytes.Equal(text, want)
	})
}

// overtaken looks whether edits of an earlier run still fit: ErrOvertaken where not.
func (d *Device) overtaken(c context.Context, site string, edits []storage.Edit) error {
	var is bool
	if site == storage.ShopID {
		shop, err := d.Store.Shop(c)
		if err == nil {
			is, err = shop.Shop.Overtaken(edits)
		}
		if err != nil {
			return err
		}
	} else {
		loaded, err := d.Store.Load(c, site)
		if err == nil {
			is, err = loaded.Document.Overtaken(edits)
		}
		if err != nil {
			return err
		}
	}
	if is {
		return storage.ErrOvertaken
	}
	return nil
}

func (d *Device) replay(c context.Context, e entry) error {
	if e.Site == storage.ShopID {
		_, err := d.Store.CommitShop(c, e.Edit)
		return err
	}
	_, err := d.Store.Commit(c, e.Site, e.Edit, "")
	return err
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
