package replication

import (
	"context"
	"encoding/json"
)

// Ask sends a request as this device, for screens that work on the yard itself.
// An answer whose status is none of wanted is an error. Errors: ErrUnpaired,
// ErrNotInYard, *AnswerError, ErrGarbled, the transport's.
func (c *Client) Ask(ctx context.Context, r Request, wanted ...int) (Response, error) {
	return c.ask(ctx, r, wanted...)
}

// Paired returns this device as the yard knew it when it was paired. Errors:
// ErrUnpaired.
func (c *Client) Paired(ctx context.Context) (Device, error) {
	p, err := c.pairing(ctx)
	return p.Device, err
}

// Look reads JSON that anybody may read, also without a key. Errors: those of Ask.
func (c *Client) Look(ctx context.Context, path string, to any) error {
	answer, err := c.send(ctx, Request{Method: "GET", Path: path}, 200)
	if err == nil && json.Unmarshal(answer.Body, to) != nil {
		err = ErrGarbled
	}
	return err
}
