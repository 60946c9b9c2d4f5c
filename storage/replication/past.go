package replication

import (
	"context"

	"pegpour/engine/sorting"
	"pegpour/storage"
)

// PastRevision is a state of a site that the yard holds.
type PastRevision struct {
	Revision storage.Revision
	Received string // RFC 3339
	By       string // the device's name; "" where the yard brought several together
}

// PastElsewhere lists the states of a site that the yard holds and that did not come
// from this device, the latest received first; before is the time of the first state
// here, so that what this device sent and has no more is among them. Errors: those of
// Step.
func (c *Client) PastElsewhere(ctx context.Context, id, before string) ([]PastRevision, error) {
	mine, err := c.pairing(ctx)
	if err != nil {
		return nil, err
	}
	_, all, err := c.history(ctx, id)
	if err != nil {
		return nil, err
	}
	var out []PastRevision
	for _, p := range all {
		if p.Device != mine.Device.ID || storage.CompareTimes(p.Received, before) < 0 {
			out = append(out, PastRevision{p.Revision, p.Received, p.By})
		}
	}
	sorting.By(out, func(a, b PastRevision) int { return storage.CompareTimes(b.Received, a.Received) })
	return out, nil
}

// PastDocument fetches a state of a site from the yard. Errors: those of Step and
// storage.Decode.
func (c *Client) PastDocument(ctx context.Context, id string, name storage.Revision) (*storage.Document, error) {
	text, err := c.revision(ctx, id, name)
	if err != nil {
		return nil, err
	}
	return storage.Decode(text)
}
