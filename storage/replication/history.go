package replication

import (
	"context"
	"net/url"
	"strconv"

	"pegpour/storage"
)

// past is one revision of a site in the yard.
type past struct {
	Revision storage.Revision
	Parents  []storage.Revision
	Received string
	By       string
	Device   string
	Waiting  bool
}

// history reads who came from whom in a site, and who sent each.
func (c *Client) history(ctx context.Context, id string) (Lineage, map[storage.Revision]past, error) {
	l, all := Lineage{}, map[storage.Revision]past{}
	for after := int64(0); ; {
		var answer struct {
			Revisions []past
			Next      int64
		}
		path := "/api/v1/sites/" + url.PathEscape(id) + "/revisions?limit=200&after=" + strconv.FormatInt(after, 10)
		if err := c.askJSON(ctx, path, &answer); err != nil {
			return nil, nil, err
		}
		if answer.Revisions == nil {
			return nil, nil, ErrGarbled
		}
		for _, p := range answer.Revisions {
			all[p.Revision] = p
			if !p.Waiting {
				l[p.Revision] = p.Parents
			}
		}
		if len(answer.Revisions) == 0 || answer.Next <= after {
			return l, all, nil
		}
		after = answer.Next
	}
}

// documents reads revisions of a site. trouble is why one could not be fetched,
// as against read.
func (c *Client) documents(ctx context.Context, id string, trouble *error) func(storage.Revision) (*storage.Document,
	error) {
	return func(name storage.Revision) (*storage.Document, error) {
		text, err := c.revision(ctx, id, name)
		if err != nil {
			*trouble = err
			return nil, err
		}
		return storage.Decode(text)
	}
}
