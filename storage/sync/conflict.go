package sync

import (
	"context"
	"encoding/json"

	"pegpour/storage"
)

// Conflicts lists the places at which the version here and one of the yard
// differ so that a person has to choose; none when there is no conflict. Base,
// Ours and Theirs of each are to be shown side by side.
func (c *Client) Conflicts(ctx context.Context, id string) ([]storage.Conflict, error) {
	_, _, conflicts, err := c.conflict(ctx, id)
	return conflicts, err
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
// holds true under its path, else ours. Both stay in the yard's history; the
// result can be undone. Errors: storage.ErrMoved when the site or the yard's
// version changed meanwhile: show the conflicts again.
func (c *Client) Settle(ctx context.Context, id string, useTheirs map[string]bool) error {
	c.step.Lock()
	defer c.step.Unlock()
	in, err := c.store.Inventory(ctx, keySite)
	if err != nil {
		return err
	}
	l := ledgerOf(in.Records)
	t, here, conflicts, err := c.conflict(ctx, id)
	if err != nil || t.Revision == "" {
		return err
	}
	if l.site(id).Conflict != t.Revision {
		return storage.ErrMoved
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
	return c.merged(ctx, id, l, d, here.Revision, t.Revision, labelSettled)
}
