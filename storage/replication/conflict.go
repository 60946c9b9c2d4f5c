package replication

import (
	"context"
	"encoding/json"

	"pegpour/storage"
)

// Contest is a site of which here and the yard have different versions between
// which a person has to choose.
type Contest struct {
	Name string // the site's, as it is here
	// Conflicts are the places at which both differ. Base, Ours and Theirs of
	// each are to be shown side by side.
	Conflicts []storage.Conflict
	// Changed is when the version here was changed, RFC 3339.
	Changed string
	// By sent the yard's version ("" when the yard brought several together),
	// which came at Received and was changed on its device at TheirsChanged.
	By, Received, TheirsChanged string
}

// Conflicts lists the places at which the version here and one of the yard
// differ so that a person has to choose; none when there is no conflict.
func (c *Client) Conflicts(ctx context.Context, id string) ([]storage.Conflict, error) {
	_, _, conflicts, err := c.conflict(ctx, id)
	return conflicts, err
}

// Contested is Conflicts with who stands on either side.
func (c *Client) Contested(ctx context.Context, id string) (Contest, error) {
	t, here, conflicts, err := c.conflict(ctx, id)
	if err != nil || t.Revision == "" {
		return Contest{}, err
	}
	out := Contest{
		Name: here.Document.Survey.Site.Name, Conflicts: conflicts,
		Changed: here.Document.Changed, By: t.By, Received: t.Received,
	}
	if other, err := storage.Decode(t.Text); err == nil {
		out.TheirsChanged = other.Changed
	}
	return out, nil
}

func (c *Client) conflict(ctx context.Context, id string) (theirs, storage.Loaded, []storage.Conflict, error) {
	var t theirs
	text, err := c.store.Exchanged(ctx, keyTheirs+id)
	if err != nil || text == nil {
		return t, storage.Loaded{}, nil, err
	}
	if err := json.Unmarshal(text, &t); err != nil {
		return t, storage.Loaded{}, nil, err
	}
	here, err := c.store.Load(ctx, id)
	if err != nil {
		return t, here, nil, err
	}
	_, conflicts, err := t.join(here.Document)
	return t, here, conflicts, err
}

// Settle makes one version of both: for each conflict theirs, where the map
// holds true under its path, else ours. Both stay in the yard's history, also
// what here was not sent yet: it goes first. The result can be undone. Errors:
// storage.ErrMoved when the site or the yard's version changed meanwhile: show
// the conflicts again; those of Step when something has to be sent before.
func (c *Client) Settle(ctx context.Context, id string, useTheirs map[string]bool) error {
	c.step.Lock()
	defer c.step.Unlock()
	in, err := c.store.Inventory(ctx, keyPairing, keyYard, keySite)
	if err != nil {
		return err
	}
	l := c.ledger(in)
	t, here, conflicts, err := c.conflict(ctx, id)
	if err != nil || t.Revision == "" {
		return err
	}
	if s := l.site(id); s.Conflict != t.Revision {
		return storage.ErrMoved
	} else if s.Sending != nil && s.Sending.Local != here.Revision {
		// An older state is on its way: this one can only follow when that has arrived.
		if err := c.sendSite(ctx, id, l); err != nil {
			return err
		}
		if in, err = c.store.Inventory(ctx, keyPairing, keyYard, keySite); err != nil {
			return err
		}
		if l = c.ledger(in); l.site(id).Sending != nil {
			return storage.ErrMoved
		}
	}
	d, _, err := t.join(here.Document)
	if err != nil {
		return err
	}
	for _, conflict := range conflicts {
		if d, err = storage.Apply(d, conflict.Choose(useTheirs[conflict.Path])); err != nil {
			return err
		}
	}
	return c.merged(ctx, id, l, d, here, t.Revision, labelSettled)
}
