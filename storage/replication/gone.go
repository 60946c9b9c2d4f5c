package replication

import (
	"context"
	"encoding/json"
	"errors"
	"slices"

	"pegpour/storage"
)

// deletion is the record that a site was deleted: no name, no address, no measure.
type deletion struct {
	At  string `json:"at,omitempty"`  // when, by the yard's clock; "" until the yard was told
	Ask bool   `json:"ask,omitempty"` // the yard is to be told
}

func (l ledger) deletion(id string) deletion {
	var d deletion
	_ = json.Unmarshal(l.record(keyGone+id), &d) // a damaged one was told already
	return d
}

// untold lists the deletions that the yard is to hear of.
func (l ledger) untold() []string {
	var ids []string
	for key := range l.in.Records(keyGone) {
		if id := key[len(keyGone):]; l.deletion(id).Ask {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids
}

// sent reports whether the yard has something of a site, or may have.
func (s siteState) sent() bool { return s.Base != "" || s.Sending != nil }

// Delete deletes a site from this device, and from the yard and all other devices as
// soon as there is signal. It has no heir, as KeepOwn's has.
func (c *Client) Delete(ctx context.Context, id string) (heir string, err error) {
	return "", c.store.Forget(ctx, id, "", nil, []storage.Record{record(keyGone+id, deletion{Ask: true})})
}

// tellDeleted has the yard delete a site.
func (c *Client) tellDeleted(ctx context.Context, id string, l ledger) error {
	answer, err := c.ask(ctx, Request{Method: "DELETE", Path: sitePath(id)}, 200)
	var no *AnswerError
	d := deletion{}
	switch {
	case errors.Is(err, ErrNotInYard) || errors.As(err, &no) && no.final(): // it cannot have one of this identity
	case err != nil:
		return err
	case json.Unmarshal(answer.Body, &d) != nil || d.At == "":
		return ErrGarbled
	}
	d.Ask = false
	return c.store.KeepExchanged(ctx, append(l.sameYard(), l.as(keyGone+id)), []storage.Record{record(keyGone+id, d)})
}

// laterOf adds something to do of a site with the yard; where the yard says that it was
// deleted, that is noted.
func (c *Client) laterOf(hold, id string, l ledger, do func(context.Context, string, ledger) error) {
	c.later(hold+id, func(ctx context.Context) error {
		err := do(ctx, id, l)
		var no *AnswerError
		if !errors.As(err, &no) || no.Status != 410 || no.Deleted == "" {
			return err
		}
		s := l.site(id)
		s.Gone, s.Sending, s.Look = no.Deleted, nil, false
		return c.keepSite(ctx, id, l, s, removed(keySend+id), record(keyGone+id, deletion{At: no.Deleted}))
	})
}

// follow deletes a site here that the yard deleted, if the yard had all that is here.
func (c *Client) follow(ctx context.Context, site *storage.InventorySite, l ledger, here map[string]bool) (done bool,
	err error) {
	s := l.site(site.ID)
	if s.Base == "" || s.unsent(site.Revision) || slices.ContainsFunc(site.PhotoIDs, func(p string) bool {
		return here[p] && string(l.record(keyPhoto+p)) != string(inYard)
	}) {
		return false, nil
	}
	if c.options.Beside != nil {
		if beside, err := c.options.Beside(ctx, site.ID); beside || err != nil {
			return false, err
		}
	}
	var noted []storage.Record
	if !s.Away { // what is another crew's may come back, and nobody is to be told that it was deleted
		noted = []storage.Record{record(keyGone+site.ID, deletion{At: s.Gone})}
	}
	err = c.store.Forget(ctx, site.ID, site.Revision, l.still(site.ID), noted)
	if err == nil && c.options.Deleted != nil {
		c.options.Deleted(site.ID)
	}
	return true, err
}

// LetGo deletes a site here of which the yard says that it was deleted.
func (c *Client) LetGo(ctx context.Context, id string) (heir string, err error) {
	return "", c.store.Forget(ctx, id, "", nil, nil)
}

// KeepOwn makes what is here of a site that the yard deleted a site of its own, under
// an identity of its own, and returns that; the deleted one goes. Errors: those of
// storage.Store.Load and Create.
func (c *Client) KeepOwn(ctx context.Context, id string) (string, error) {
	here, err := c.store.Load(ctx, id)
	if err != nil {
		return "", err
	}
	d := *here.Document
	d.ID = storage.HeirOf(id, here.Revision)
	if _, err := c.store.Create(ctx, &d); err != nil && !errors.Is(err, storage.ErrExists) {
		return "", err
	}
	return d.ID, c.store.Forget(ctx, id, here.Revision, nil, nil)
}
