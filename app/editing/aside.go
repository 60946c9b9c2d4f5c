package editing

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/refusal"
	"pegpour/storage"
)

// Aside is a change that can never be stored as it is: what it was for is gone, or
// it is too large. It is kept beside the site until a person drops it.
type Aside struct {
	ID   string          `json:"id"`
	Site string          `json:"site"`
	Edit storage.Edit    `json:"edit"`
	Why  refusal.Message `json:"why"`
	At   string          `json:"at"` // RFC 3339
}

// asideKey is the record of the store that holds all asides.
const asideKey = "aside"

func asideOf(w *waiting, why error) (Aside, bool) {
	e, _ := w.edit()
	return Aside{storage.NewID(), w.site, e, refusal.Of(why), Now()}, !e.Empty()
}

// Words are what was to be stored, to be copied and entered elsewhere: what each
// place was to hold, a line each.
func (a Aside) Words() string {
	lines := []string{a.Edit.Label}
	for _, c := range a.Edit.Changes {
		var text string
		var entry struct{ Text string }
		switch {
		case c.After == nil:
			text = "–"
		case json.Unmarshal(c.After, &text) == nil:
		case json.Unmarshal(c.After, &entry) == nil && entry.Text != "":
			text = entry.Text
		default:
			text = string(c.After)
		}
		lines = append(lines, text)
	}
	return strings.Join(lines, "\n")
}

// changeAsides changes the list of asides in the store.
func (d *Device) changeAsides(c context.Context, store storage.Store, change func([]Aside) []Aside) ([]Aside, error) {
	for {
		text, err := store.Exchanged(c, asideKey)
		if err != nil {
			return nil, err
		}
		var all []Aside
		if text != nil && json.Unmarshal(text, &all) != nil {
			all = nil // cannot be read, and nobody could show it
		}
		all = change(all)
		var next []byte
		if len(all) > 0 {
			if next, err = json.Marshal(all); err != nil {
				return nil, err
			}
		}
		err = store.KeepExchanged(c, []storage.Record{{Key: asideKey, Value: text}},
			[]storage.Record{{Key: asideKey, Value: next}})
		if !errors.Is(err, storage.ErrMoved) { // else another tab was at work
			return all, err
		}
	}
}

// DropAside forgets an aside for good.
func (d *Device) DropAside(id string) {
	is := func(a Aside) bool { return a.ID == id }
	d.BackgroundOf(asideKey, func(c context.Context) error {
		_, err := d.changeAsides(c, d.Store, func(all []Aside) []Aside { return slices.DeleteFunc(all, is) })
		if err == nil {
			d.Dispatch(func(app.Context) { d.Asides = slices.DeleteFunc(d.Asides, is) })
		}
		return err
	})
}

// Depart has a site go from this device by how, which may name an heir; nil deletes it
// here. What was set aside of it goes to the heir, or goes too. then is called when it
// is gone.
func (d *Device) Depart(id string, how func(c context.Context, id string) (heir string, err error), then func()) {
	if how == nil {
		how = func(c context.Context, id string) (string, error) { return "", d.Store.DeleteForever(c, id) }
	}
	d.BackgroundOf(id, func(c context.Context) error {
		heir, err := how(c, id)
		if err != nil && !errors.Is(err, storage.ErrNotFound) {
			return err // not found: another tab was faster
		}
		left, err := d.changeAsides(c, d.Store, func(all []Aside) []Aside {
			for i := range all {
				if all[i].Site == id {
					all[i].Site = heir
				}
			}
			return slices.DeleteFunc(all, func(a Aside) bool { return a.Site == "" })
		})
		if err == nil {
			d.Dispatch(func(app.Context) {
				d.Asides = left
				then()
			})
		}
		return err
	})
}

// HasAside reports whether something is set aside of a site.
func (d *Device) HasAside(c context.Context, site string) (bool, error) {
	text, err := d.Store.Exchanged(c, asideKey)
	var all []Aside
	if err == nil && text != nil {
		_ = json.Unmarshal(text, &all) // cannot be read, and nobody could show it
	}
	return slices.ContainsFunc(all, func(a Aside) bool { return a.Site == site }), err
}

// readAsides reads what earlier runs set aside.
func (d *Device) readAsides() {
	d.Background(func(c context.Context) error {
		text, err := d.Store.Exchanged(c, asideKey)
		var all []Aside
		if err == nil && text != nil && json.Unmarshal(text, &all) == nil {
			d.Dispatch(func(app.Context) { d.Asides = all })
		}
		return nil
	})
}
