package replication

import (
	"context"
	"errors"
	"time"

	"pegpour/storage"
)

// hold sets one thing aside that went wrong, so that it does not keep back what
// stands behind it. It is known to this run of the program only.
type hold struct {
	fails int
	until time.Time
	err   error
}

// Keys of holds: what was being done, with the site's or photo's identity.
const (
	holdSend  = "send/"
	holdLook  = "look/"
	holdPhoto = "photo/"
	holdGone  = "gone/"
)

// held reports whether a thing is to wait.
func (c *Client) held(key string) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	h, ok := c.holds[key]
	return ok && c.options.Now().Before(h.until)
}

// try does one thing and sets it aside if it fails for a reason that may be its
// own. What certainly is not (no key, the yard asks to be left alone, the
// device's store, the end of the program) sets nothing aside.
func (c *Client) try(key string, do func() error) error {
	err := do()
	c.mu.Lock()
	defer c.mu.Unlock()
	if err == nil {
		delete(c.holds, key)
		return nil
	}
	var answer *AnswerError
	asked := errors.As(err, &answer) && answer.Wait > 0
	if asked || errors.Is(err, ErrUnpaired) || errors.Is(err, storage.ErrMoved) || errors.Is(err, storage.ErrFull) ||
		errors.Is(err, storage.ErrClosed) || errors.Is(err, context.Canceled) {
		return err
	}
	h := c.holds[key]
	h.fails, h.err = min(h.fails+1, 9), err
	h.until = c.options.Now().Add(backOff(h.fails, c.options.Random()))
	c.holds[key] = h
	return err
}

// heldError is why a thing waits; nil when it does not.
func (c *Client) heldError(key string) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.holds[key].err
}

// soonest is how long until the first held thing is tried again; no more than
// most.
func (c *Client) soonest(most time.Duration) time.Duration {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := c.options.Now()
	for _, h := range c.holds {
		if d := h.until.Sub(now); d < most {
			most = max(d, 100*time.Millisecond)
		}
	}
	return most
}
