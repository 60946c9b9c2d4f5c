package sync

import (
	"context"
	"encoding/json"
	"errors"
	stdsync "sync"
	"time"

	"pegpour/storage"
)

// Options of a Client. Now and Random must be set.
type Options struct {
	Now    func() time.Time
	Random func() float64 // from 0 up to 1; spreads the retries of many phones
	// PieceBytes is the length of the pieces in which photos go; 0 is 128 KiB,
	// which a weak signal carries in a few seconds.
	PieceBytes int
	// PollEvery is how often the yard is asked for changes; 0 is at each Step.
	PollEvery time.Duration
}

// Client exchanges the sites of one store with the yard. Sites of the yard
// come here when they were here before or are asked for with Fetch; demo sites
// are never sent. Putting a site in the bin or deleting it here does not reach
// the yard.
type Client struct {
	store     storage.Store
	transport Transport
	options   Options

	step stdsync.Mutex // one Step at a time

	mu       stdsync.Mutex
	fails    int
	nextTry  time.Time
	lastGood time.Time
	lastErr  error
	nextPoll time.Time
	offsets  map[string]int64     // of photos being sent; the yard knows better
	absent   map[string]time.Time // photos that the yard did not have: when to ask again
	now      Progress
	hurry    chan struct{}
}

// NewClient returns a client. It does nothing until Step or Run.
func NewClient(store storage.Store, t Transport, o Options) *Client {
	if o.PieceBytes <= 0 {
		o.PieceBytes = 128 << 10
	}
	return &Client{
		store: store, transport: t, options: o,
		offsets: map[string]int64{}, absent: map[string]time.Time{}, hurry: make(chan struct{}, 1),
	}
}

// Pair uses a pairing code up. Errors: ErrUnpaired for a code that is wrong,
// used or too old; *AnswerError; the transport's.
func (c *Client) Pair(ctx context.Context, code, name string) error {
	body, err := json.Marshal(map[string]string{"code": code, "name": name})
	if err != nil {
		return err
	}
	answer, err := c.send(ctx, Request{
		Method: "POST", Path: "/api/v1/pair", Body: body, Header: map[string]string{"Content-Type": "application/json"},
	}, 201)
	if err != nil {
		return err
	}
	var p pairing
	if json.Unmarshal(answer.Body, &p) != nil || p.Token == "" {
		return ErrGarbled
	}
	if err := c.store.KeepExchanged(ctx, nil, []storage.Record{record(keyPairing, p)}); err != nil {
		return err
	}
	c.Hurry()
	return nil
}

// Unpair tells the yard, if it can be reached, and forgets the key to it. What
// is here stays, and what was sent is not forgotten.
func (c *Client) Unpair(ctx context.Context) error {
	_, _ = c.ask(ctx, Request{Method: "DELETE", Path: "/api/v1/device"}, 204)
	return c.store.KeepExchanged(ctx, nil, []storage.Record{removed(keyPairing)})
}

// Step does the next thing there is to do: it sends a revision or a piece of a
// photo, or takes over a change of the yard. more is false when nothing is
// left. After an error, repeat when Status says; all that was done so far is
// kept. Errors: ErrUnpaired, *AnswerError, ErrGarbled, those of the transport
// and of the store.
func (c *Client) Step(ctx context.Context) (more bool, err error) {
	c.step.Lock()
	defer c.step.Unlock()
	more, err = c.next(ctx)
	if errors.Is(err, storage.ErrMoved) {
		more, err = true, nil // an edit came between: look again
	}
	c.remember(err)
	return more, err
}

func (c *Client) remember(err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := c.options.Now()
	if err == nil {
		c.fails, c.nextTry, c.lastErr, c.lastGood = 0, time.Time{}, nil, now
		return
	}
	c.lastErr = err
	c.fails = min(c.fails+1, 9)
	c.nextTry = now.Add(backOff(c.fails, c.options.Random()))
	var answer *AnswerError
	if errors.As(err, &answer) && answer.Wait > 0 {
		c.nextTry = now.Add(answer.Wait + time.Duration(c.options.Random()*float64(answer.Wait)))
	}
}

// backOff is how long to wait after n failures in a row: from half of to the
// full 2^n seconds, up to five minutes.
func backOff(n int, random float64) time.Duration {
	full := min(time.Second<<n, 5*time.Minute)
	return full/2 + time.Duration(random*float64(full/2))
}

// Hurry ends a wait of Run: there is signal again, or a person asked.
func (c *Client) Hurry() {
	c.mu.Lock()
	c.nextTry, c.nextPoll, c.fails = time.Time{}, time.Time{}, 0
	clear(c.absent)
	c.mu.Unlock()
	select {
	case c.hurry <- struct{}{}:
	default:
	}
}

// Run steps until the context ends, waiting after errors and when there is
// nothing to do. told, if not nil, is called after each step. Run it in one
// tab at a time: several do no harm, but send twice.
func (c *Client) Run(ctx context.Context, told func()) {
	edited := make(chan struct{}, 1)
	stop := c.store.Watch(func(string) {
		select {
		case edited <- struct{}{}:
		default:
		}
	})
	defer stop()
	for ctx.Err() == nil {
		more, err := c.Step(ctx)
		if told != nil {
			told()
		}
		if more && err == nil {
			continue
		}
		wait, woken := max(c.options.PollEvery, time.Second), edited
		if err != nil {
			c.mu.Lock()
			wait = c.nextTry.Sub(c.options.Now())
			c.mu.Unlock()
			// The machine's clock may jump: never wait longer than the longest.
			wait = min(max(wait, 100*time.Millisecond), 5*time.Minute)
			woken = nil // an edit is no reason to try sooner
		}
		timer := time.NewTimer(wait)
		select {
		case <-ctx.Done():
		case <-timer.C:
		case <-woken:
		case <-c.hurry:
		}
		timer.Stop()
	}
}

// next finds the next thing to do and does it.
func (c *Client) next(ctx context.Context) (more bool, err error) {
	in, err := c.store.Inventory(ctx, keyPairing, keyCursor, keySite, keyPhoto)
	if err != nil {
		return false, err
	}
	l := ledgerOf(in.Records)
	if _, err := c.pairing(ctx); err != nil {
		return false, err
	}
	for _, site := range in.Sites {
		if s := l.site(site.ID); sendable(site) && s.unsent(site.Revision) && !(s.Refused != "" && s.RefusedAt == site.Revision) {
			return true, c.sendSite(ctx, site.ID, l)
		}
	}
	for _, site := range in.Sites {
		if sendable(site) && l.site(site.ID).Look {
			return true, c.look(ctx, site.ID, l)
		}
	}
	c.mu.Lock()
	due := !c.options.Now().Before(c.nextPoll)
	c.mu.Unlock()
	if due {
		if more, err := c.poll(ctx, l); more || err != nil {
			return more, err
		}
		c.mu.Lock()
		c.nextPoll = c.options.Now().Add(c.options.PollEvery)
		c.mu.Unlock()
	}
	send, fetch := photosToMove(in, l)
	if len(send) > 0 {
		return true, c.sendPhoto(ctx, send[0])
	}
	for _, id := range fetch {
		c.mu.Lock()
		later := c.options.Now().Before(c.absent[id])
		c.mu.Unlock()
		if !later {
			return true, c.fetchPhoto(ctx, id)
		}
	}
	return false, nil
}

func sendable(s storage.InventorySite) bool { return !s.Demo && s.Condition == storage.Sound }

// photosToMove lists the photos that are here and not in the yard, and those
// that a site from the yard names and that are not here.
func photosToMove(in storage.Inventory, l ledger) (send, fetch []string) {
	seen := map[string]bool{}
	for _, site := range in.Sites {
		if !sendable(site) {
			continue
		}
		for _, id := range site.PhotoIDs {
			if seen[id] {
				continue
			}
			seen[id] = true
			_, known := l[keyPhoto+id]
			switch {
			case in.Photos[id] && !known:
				send = append(send, id)
			case !in.Photos[id] && l.site(site.ID).Base != "":
				fetch = append(fetch, id)
			}
		}
	}
	return send, fetch
}
