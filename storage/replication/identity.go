package replication

import (
	"context"
	"encoding/json"
	"errors"

	"pegpour/storage"
)

// yardSeen is who the yard said it was: Yard names it, Generation is new after
// each restore. Both are empty for a yard that does not say.
type yardSeen struct {
	Yard       string `json:"yard,omitempty"`
	Generation string `json:"generation,omitempty"`
}

func (y yardSeen) known() bool { return y.Yard != "" && y.Generation != "" }

// seen is who the yard was the last time it said so.
func (l ledger) seen() yardSeen {
	var y yardSeen
	if json.Unmarshal(l.record(keyYard), &y) != nil {
		return yardSeen{}
	}
	return y
}

// meet takes note of who the yard says it is. When that is another one, or a
// restored one, what was thought to be there is forgotten: sites, photos and
// cursor; what was deleted there is to be told again. It returns what has to stand still for the records to be written.
func (l ledger) meet(who yardSeen) (still, records []storage.Record) {
	still = []storage.Record{l.as(keyYard), l.as(keyCursor)}
	records = []storage.Record{record(keyYard, who), removed(keyCursor), removed(keyContact)}
	for key := range l.in.Records(keyPhoto) {
		records = append(records, removed(key))
	}
	// A yard that was restored may not know any more what it deleted, and hears it
	// again; another one has nothing to do with it.
	if r, ok := l.shop().forgotten(); ok {
		still, records = append(still, l.as(keyShop)), append(records, r)
	}
	before := l.seen()
	for key := range l.in.Records(keyGone) {
		id := key[len(keyGone):]
		switch {
		case before.Yard != "" && who.Yard != "" && before.Yard != who.Yard:
			records = append(records, removed(key))
		default:
			d := l.deletion(id)
			d.Ask = true
			records = append(records, record(key, d))
		}
	}
	for _, id := range l.sites() {
		s := l.site(id)
		s.Refused, s.Why, s.RefusedAt, s.Gone, s.Away = "", nil, "", "", false
		s.Look, s.Doubt = true, s.Base != ""
		still = append(still, l.as(keySite+id))
		records = append(records, record(keySite+id, s))
	}
	return still, records
}

// forget is meet, at once and with more to be written.
func (c *Client) forget(ctx context.Context, l ledger, who yardSeen, more ...storage.Record) error {
	still, records := l.meet(who)
	err := c.store.KeepExchanged(ctx, still, append(records, more...))
	if err == nil {
		c.mu.Lock()
		clear(c.offsets)
		clear(c.absent)
		clear(c.holds)
		c.mu.Unlock()
	}
	return err
}

// resolve finds out whether a yard that is another one, or was restored, has the
// revision that the site's state rests on.
func (c *Client) resolve(ctx context.Context, id string, l ledger) error {
	s := l.site(id)
	heads, err := c.heads(ctx, id, s.Base)
	if err != nil && !errors.Is(err, ErrNotInYard) {
		return err
	}
	if !descends(heads) {
		return c.beginAnew(ctx, id, l)
	}
	var with []storage.Revision
	for _, r := range s.With {
		seen, err := c.heads(ctx, id, r)
		if err != nil && !errors.Is(err, ErrNotInYard) {
			return err
		}
		if descends(seen) {
			with = append(with, r)
		}
	}
	if len(with) < len(s.With) {
		s.Local = "" // what was merged of them is sent as a change of ours
	}
	s.With, s.Doubt, s.Look = with, false, true
	return c.keepSite(ctx, id, l, s)
}

// descends reports whether one of the heads came from the revision asked from.
func descends(heads []head) bool {
	for _, h := range heads {
		if len(h.Common) > 0 {
			return true
		}
	}
	return false
}

// sameYard has to stand still for what the yard answered to be written down.
func (l ledger) sameYard() []storage.Record {
	return []storage.Record{l.as(keyPairing), l.as(keyYard)}
}

// still is sameYard with the state of a site.
func (l ledger) still(id string) []storage.Record { return append(l.sameYard(), l.as(keySite+id)) }
