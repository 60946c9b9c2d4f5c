package storage

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage/canonical"
	"pegpour/storage/identity"
)

func (k *keeper) RestoreBackUp(ctx context.Context, r io.Reader, how Restoring) (RestoreReport, error) {
	return k.restore(ctx, r, how, restoreBeside)
}

// apart says what becomes of a site that went on here and in the file.
type apart func(tx Tx, r *backUpRecord, d *Document, item RestoreItem, at string, dry bool) (RestoreItem, error)

func (k *keeper) restore(ctx context.Context, r io.Reader, how Restoring, both apart) (RestoreReport, error) {
	var report RestoreReport
	dry := how == LookOnly
	run := k.backend.Update
	if dry {
		run = k.backend.View
	}
	lost := map[string]string{} // photos that sites of the file name, with the site's name
	made, complete, err := readLines(r, func(l backUpLine) error {
		switch {
		case l.Record != nil:
			var item RestoreItem
			err := run(ctx, func(tx Tx) error {
				var err error
				item, err = restoreRecord(tx, l.Record, k.now(), how, both)
				return err
			})
			if err != nil {
				return err
			}
			report.Items = append(report.Items, item)
			for _, id := range item.photos {
				lost[id] = item.Name
			}
			if !dry && item.Outcome != RestoreSame && item.Outcome != RestoreOlder {
				k.backend.Announce(item.ID)
			}
		case l.Photo != nil:
			report.Photos++
			if PhotoID(l.Photo.Data) != l.Photo.ID {
				report.DamagedPhotos++
				return nil
			}
			delete(lost, l.Photo.ID)
			return run(ctx, func(tx Tx) error {
				there, err := tx.Get(TablePhotoInfo, l.Photo.ID)
				if err != nil || there != nil {
					return err
				}
				report.NewPhotos++
				if dry {
					return nil
				}
				return putPhoto(tx, l.Photo.ID, l.Photo.Type, l.Photo.Data)
			})
		}
		return nil
	}, func() { report.Unread++ })
	report.Made, report.Complete = made, complete
	if len(lost) > 0 {
		in, wrong := k.Inventory(ctx)
		if wrong != nil {
			return report, errors.Join(err, wrong)
		}
		for id, name := range lost {
			if !in.Photos[id] && !slices.Contains(report.LostPhotosOf, name) {
				report.LostPhotosOf = append(report.LostPhotosOf, name)
			}
		}
		slices.Sort(report.LostPhotosOf)
	}
	return report, err
}

// restoreRecord finds how a record of a back-up stands to the one here and,
// unless it only looks, does what RestoreOutcome says.
func restoreRecord(tx Tx, r *backUpRecord, at string, how Restoring, both apart) (RestoreItem, error) {
	dry := how == LookOnly
	item := RestoreItem{ID: r.ID}
	raw := r.documentBytes()
	if r.ID == "" || strings.Contains(r.ID, "/") || len(raw) == 0 {
		item.Outcome = RestoreDamaged
		return item, nil
	}
	incoming, bad := decodeSubject(r.ID, raw)
	if d, ok := incoming.(*Document); ok && d != nil {
		item.Name, item.Changed = d.Survey.Site.Name, d.Changed
		for _, p := range d.Photos {
			item.photos = append(item.photos, p.ID)
		}
		if d.ID != r.ID {
			bad = error(refusal.Error("the document has another identity"))
		}
	}
	if bad != nil {
		var says struct {
			Survey struct{ Site struct{ Name string } }
		}
		_ = json.Unmarshal(raw, &says) // as far as it can be read
		item.Name = says.Survey.Site.Name
	}
	here, err := tx.Get(TableDocuments, r.ID)
	if err != nil {
		return item, err
	}
	h := head{}
	var history []Step
	if here != nil {
		if h, err = readHead(tx, r.ID, here); err != nil {
			return item, err
		}
		if history, err = readHistory(tx, r.ID); err != nil {
			return item, err
		}
	}
	_, broken := decodeSubject(r.ID, here)
	switch {
	case conditionOf(bad) == IsNewer:
		item.Outcome = RestoreTooNew
	case bad != nil:
		item.Outcome = RestoreDamaged
	case here == nil:
		item.Outcome = RestoreNew
	case bytes.Equal(here, raw):
		item.Outcome = RestoreSame
	case conditionOf(broken) == IsDamaged && r.ID == ShopID:
		item.Outcome = RestoreNewer // rules that cannot be read are of no use to anybody
	case conditionOf(broken) == IsDamaged:
		item.Outcome = RestoreConflict // the damaged one stays for rescue
	case hasRevision(history, r.Head.Revision):
		item.Outcome = RestoreOlder
	case hasRevision(r.History, h.Revision):
		item.Outcome = RestoreNewer
	default:
		item.Outcome = RestoreConflict
	}
	if file, ok := incoming.(*Shop); ok && item.Outcome == RestoreConflict {
		return joinShops(tx, file, item, at, how)
	}
	if item.Outcome == RestoreConflict && r.ID != ShopID {
		if broken != nil {
			both = restoreBeside
		}
		return both(tx, r, incoming.(*Document), item, at, dry)
	}
	if dry {
		return item, nil
	}
	switch item.Outcome {
	case RestoreNew, RestoreNewer:
		return item, writeRecord(tx, r, incoming, at)
	case RestoreDamaged, RestoreTooNew:
		if here == nil && r.ID != ShopID {
			return item, writeDamaged(tx, r, raw, bad)
		}
	}
	return item, nil
}

func hasRevision(steps []Step, name Revision) bool {
	for _, s := range steps {
		if s.Revision == name {
			return true
		}
	}
	return false
}

// labelShopRestored is the step that restoring a back-up makes in the shop's history.
const labelShopRestored = "Rules of a back-up"

// joinShops adds what the shop of a back-up sets and the one here does not. Where both
// set the same in different ways, how decides. It can be undone.
func joinShops(tx Tx, file *Shop, item RestoreItem, at string, how Restoring) (RestoreItem, error) {
	s, err := readState(tx, ShopID, state{})
	if err != nil {
		return item, err
	}
	trees := [2]map[string]any{}
	here, _ := s.subject.(*Shop)
	for i, shop := range []*Shop{here, file} {
		if trees[i], err = shop.checkedTree(); err != nil {
			return item, err
		}
	}
	d := differ{deep: true}
	if d.object(nil, shopShape, trees[0], trees[1]); d.err != nil {
		return item, d.err
	}
	e := Edit{Label: labelShopRestored}
	added := false
	for _, c := range d.changes {
		switch {
		case c.Path == "/changed" || c.Path == "/yard" || c.After == nil: // only the one here sets it
		case strings.HasPrefix(c.Path, "/drafts/"): // what could not be used there is nothing here
		case c.Before == nil:
			e.Changes, added = append(e.Changes, c), true
		default:
			if item.Differ++; how == TakeFile {
				e.Changes = append(e.Changes, c)
			}
		}
	}
	if item.Outcome = RestoreJoined; !added && item.Differ == 0 {
		item.Outcome = RestoreOlder
	}
	if how == LookOnly || e.Empty() {
		return item, nil
	}
	_, err = commitTo(tx, &s, e, at)
	return item, err
}

// HeirOf is the identity of the site that a state of another one becomes, the same each
// time.
func HeirOf(id string, at Revision) string {
	space, ok := identity.Parse(id)
	if !ok {
		space = identity.Of(identity.UUID{}, id)
	}
	return identity.Of(space, string(at)).String()
}

// restoreBeside adds the back-up's site under an identity of its own, the same
// each time the same state is restored.
func restoreBeside(tx Tx, r *backUpRecord, d *Document, item RestoreItem, at string, dry bool) (RestoreItem, error) {
	item.CopyID = HeirOf(r.ID, r.Head.Revision)
	there, err := tx.Get(TableDocuments, item.CopyID)
	if err != nil || there != nil || dry {
		return item, err
	}
	c := *d
	c.ID = item.CopyID
	c.Survey.Site.Name = strings.TrimSpace(c.Survey.Site.Name + " (from back-up)")
	s := state{id: c.ID, subject: &c}
	return item, keep(tx, &s, Step{Action: Restored, At: at})
}

func writeRecord(tx Tx, r *backUpRecord, incoming subject, at string) error {
	for _, t := range []Table{TableEdits, TableHistory} {
		keys, err := tx.Keys(t, r.ID+"/")
		if err != nil {
			return err
		}
		for _, key := range keys {
			if err := tx.Delete(t, key); err != nil {
				return err
			}
		}
	}
	h := head{Revision: r.Head.Revision, Trashed: r.Head.Trashed}
	for i, e := range r.Edits {
		if e.Number != i+1 { // a gap: what stands after it cannot be relied on
			break
		}
		if err := putJSON(tx, TableEdits, numbered(r.ID, e.Number), e.Edit); err != nil {
			return err
		}
		h.Top = e.Number
	}
	if h.Done = r.Head.Done; h.Done < 0 || h.Done > h.Top {
		h.Done, h.Top = 0, 0
	}
	for i, s := range r.History {
		s.Number = i + 1
		if err := putJSON(tx, TableHistory, numbered(r.ID, s.Number), s); err != nil {
			return err
		}
		h.Steps = s.Number
	}
	s := state{id: r.ID, subject: incoming, head: h}
	tree, err := incoming.checkedTree()
	if err != nil {
		return err
	}
	text, err := canonical.Marshal(tree)
	if err != nil {
		return err
	}
	// The same state has the same name on every device; only one that does not
	// follow from its history gets a step of its own.
	if n := len(r.History); n > 0 && r.History[n-1].Revision == h.Revision &&
		NameRevision(text, r.History[n-1].Parents...) == h.Revision {
		if err := tx.Put(TableDocuments, r.ID, text); err != nil {
			return err
		}
		return keepHead(tx, &s)
	}
	return keep(tx, &s, Step{Action: Restored, At: at})
}

func writeDamaged(tx Tx, r *backUpRecord, raw []byte, why error) error {
	c := conditionOf(why)
	if c == Sound {
		c = IsDamaged
	}
	if err := tx.Put(TableDocuments, r.ID, raw); err != nil {
		return err
	}
	if err := putJSON(tx, TableHeads, r.ID, head{Revision: NameRevision(raw), Trashed: r.Head.Trashed}); err != nil {
		return err
	}
	return tx.Put(TableSummaries, r.ID, line{Summary: Summary{ID: r.ID, Trashed: r.Head.Trashed, Condition: c}}.text())
}
