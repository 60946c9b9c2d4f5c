package replication

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"sync"
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
	// Quiet is how long Run waits after an edit for the next one before it
	// sends, so that a number is sent and not each of its keys, and typing is
	// left alone; it waits no more than five times as long. 0: not at all.
	Quiet time.Duration
	// Beside reports whether something of a site that was never sent is kept beside
	// it; nil: nothing ever is.
	Beside func(ctx context.Context, site string) (bool, error)
	// Deleted hears of each site that went because the yard deleted it; it may be nil.
	Deleted func(site string)
}

// Client exchanges the sites of one store with the yard. Sites of the yard
// come here when they were here before or are asked for with Fetch; demo sites
// are never sent. Putting a site in the bin, or deleting it from the store, does not
// reach the yard; Delete does.
type Client struct {
	store     storage.Store
	transport Transport
	options   Options

	step   sync.Mutex           // one Step at a time
	found  []found              // what the last look at the store found to do; guarded by step
	states map[string]keptState // read before; guarded by mu

	mu       sync.Mutex
	fails    int
	nextTry  time.Time
	lastGood time.Time
	full     string // see Line
	lastErr  error
	nextPoll time.Time
	noted    time.Time            // when contact was written down
	offsets  map[string]int64     // of photos being sent; the yard knows better
	absent   map[string]time.Time // photos that the yard did not have: when to ask again
	holds    map[string]hold      // what went wrong and waits by itself
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
		holds: map[string]hold{}, states: map[string]keptState{},
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
	p.Since = storage.WriteTime(c.options.Now())
	var who yardSeen
	_ = json.Unmarshal(answer.Body, &who) // one that says nothing of itself may be any
	c.step.Lock()                         // what is on its way to the yard before ends first
	defer c.step.Unlock()
	for err = storage.ErrMoved; errors.Is(err, storage.ErrMoved); {
		var in storage.Inventory
		if in, err = c.store.Inventory(ctx, keyYard, keyCursor, keySite, keyPhoto, keyGone, keyShop); err != nil {
			return err
		}
		if l := c.ledger(in); who.known() && who == l.seen() {
			err = c.store.KeepExchanged(ctx, nil, []storage.Record{record(keyPairing, p), removed(keyContact)})
		} else {
			err = c.forget(ctx, l, who, record(keyPairing, p))
		}
	}
	if err != nil {
		return err
	}
	c.Hurry()
	return nil
}

// leaveWait is how long the yard may take to hear that a device leaves.
const leaveWait = 15 * time.Second

// Unpair tells the yard, if it can be reached, and forgets the key to it. What
// is here stays, and what was sent is not forgotten.
func (c *Client) Unpair(ctx context.Context) error {
	asking, stop := context.WithTimeout(ctx, leaveWait)
	defer stop()
	_, _ = c.ask(asking, Request{Method: "DELETE", Path: "/api/v1/device"}, 204)
	if err := c.store.KeepExchanged(ctx, nil, []storage.Record{removed(keyPairing), removed(keyContact)}); err != nil {
		return err
	}
	return c.keepRulesAsOwn(ctx)
}

// Step does the next thing there is to do: it sends a revision or a piece of a
// photo, or takes over a change of the yard. more is false when nothing is
// left. After an error, repeat when Status says; all that was done so far is
// kept. Errors: ErrUnpaired, *AnswerError, ErrGarbled, those of the transport
// and of the store.
func (c *Client) Step(ctx context.Context) (more bool, err error) {
	c.step.Lock()
	defer c.step.Unlock()
	stale := len(c.found) > 0
	more, err = c.next(ctx)
	if err != nil {
		c.found = nil
	}
	if errors.Is(err, storage.ErrMoved) || stale && errors.Is(err, storage.ErrNotFound) {
		more, err = true, nil // an edit came between, or the site went: look again
	}
	if !more || err != nil {
		c.progress(Progress{})
	}
	if !more && err == nil {
		err = c.inContact(ctx)
	}
	c.remember(err)
	return more, err
}

func (c *Client) remember(err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := c.options.Now()
	if err == nil {
		c.fails, c.nextTry, c.lastErr = 0, time.Time{}, nil
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
	clear(c.holds)
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
		wait, woken := c.soonest(max(c.options.PollEvery, time.Second)), edited
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
			c.awaitQuiet(ctx, edited)
		case <-c.hurry:
		}
		timer.Stop()
	}
}

// awaitQuiet returns when no edit came for the time of Options.Quiet.
func (c *Client) awaitQuiet(ctx context.Context, edited <-chan struct{}) {
	if c.options.Quiet <= 0 {
		return
	}
	last := time.NewTimer(5 * c.options.Quiet)
	defer last.Stop()
	for {
		quiet := time.NewTimer(c.options.Quiet)
		select {
		case <-edited:
			quiet.Stop()
			continue
		case <-quiet.C:
		case <-last.C:
		case <-c.hurry:
		case <-ctx.Done():
		}
		quiet.Stop()
		return
	}
}

// foundAtOnce is how much of what a look at the store found is done before the next
// look: a look costs what is there, and an edit made meanwhile waits for it.
const foundAtOnce = 100

// found is one thing to do, with the key of its hold.
type found struct {
	key string
	do  func(context.Context) error
}

// next does the next thing there is to do. What was found is done one after another;
// each is written down only if the site still is as it was found.
func (c *Client) next(ctx context.Context) (more bool, err error) {
	if len(c.found) == 0 {
		if more, err := c.find(ctx); more || err != nil {
			return more, err
		}
	}
	if len(c.found) == 0 {
		return false, nil
	}
	first := c.found[0]
	c.found = c.found[1:]
	return true, c.try(first.key, func() error { return first.do(ctx) })
}

// later adds to what was found.
func (c *Client) later(key string, do func(context.Context) error) {
	if len(c.found) < foundAtOnce {
		c.found = append(c.found, found{key, do})
	}
}

// find looks what there is to do; done: a change of the yard was taken note of.
func (c *Client) find(ctx context.Context) (done bool, err error) {
	in, err := c.store.Inventory(ctx, keyPairing, keyYard, keyCursor, keySite, keyPhoto, keyGone, keyAway, keyShop)
	if err != nil {
		return false, err
	}
	if _, err := c.pairing(ctx); err != nil {
		return false, err
	}
	l := c.ledger(in)
	for _, id := range l.untold() {
		if !c.held(holdGone + id) {
			return true, c.try(holdGone+id, func() error { return c.tellDeleted(ctx, id, l) })
		}
	}
	if l.shop().due(storage.Revision(l.record(storage.ExchangedShop))) && !c.held(keyShop) {
		return true, c.try(keyShop, func() error { return c.shareRules(ctx, l) })
	}
	in.Sites = unsettled(in, l)
	waits := map[string]bool{} // to be sent, but not now
	for _, site := range in.Sites {
		s := l.site(site.ID)
		if s.Gone != "" {
			if more, err := c.follow(ctx, site, l, in.Photos); more || err != nil {
				return more, err
			}
			continue
		}
		switch {
		case !sendable(site):
		case s.Doubt:
			if waits[site.ID] = true; !c.held(holdLook + site.ID) {
				c.laterOf(holdLook, site.ID, l, c.resolve)
			}
		case !s.unsent(site.Revision) || s.refusedAt(site.Revision):
		case c.held(holdSend + site.ID):
			waits[site.ID] = true
		default:
			c.laterOf(holdSend, site.ID, l, c.sendSite)
		}
	}
	if len(c.found) > 0 {
		return false, nil
	}
	for _, site := range in.Sites {
		// What is here is sent before what is there is looked at.
		s := l.site(site.ID)
		if look := s.Look || s.Reads > 0 && s.Reads < storage.KnownVersion(); sendable(site) && look && s.Gone == "" &&
			!waits[site.ID] && !c.held(holdLook+site.ID) {
			c.laterOf(holdLook, site.ID, l, c.look)
		}
	}
	if len(c.found) > 0 {
		return false, nil
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
	for _, id := range send {
		if !c.held(holdPhoto + id) {
			c.later(holdPhoto+id, func(ctx context.Context) error { return c.sendPhoto(ctx, id, l) })
		}
	}
	if len(c.found) > 0 {
		return false, nil
	}
	for _, id := range fetch {
		c.mu.Lock()
		later := c.options.Now().Before(c.absent[id])
		c.mu.Unlock()
		if !later && !c.held(holdPhoto+id) {
			c.later(holdPhoto+id, func(ctx context.Context) error { return c.fetchPhoto(ctx, id, l) })
		}
	}
	return false, nil
}

func sendable(s *storage.InventorySite) bool { return !s.Demo && s.Condition == storage.Sound }

// unsettled are the sites of which anything may be to do with the yard. On a phone with
// many they are few.
func unsettled(in storage.Inventory, l ledger) []*storage.InventorySite {
	var some []*storage.InventorySite
	for _, site := range in.Sites {
		if s := l.site(site.ID); s.unsent(site.Revision) || s.Base == "" || s.Look || s.Reads > 0 || s.Doubt || s.Gone != "" ||
			slices.ContainsFunc(site.PhotoIDs, func(id string) bool {
				return l.record(keyPhoto+id) == nil || !in.Photos[id] && l.record(keyAway+id) == nil
			}) {
			some = append(some, site)
		}
	}
	return some
}

// photosToMove lists the photos that are here and not in the yard, and those
// that a site from the yard names and that are not here.
func photosToMove(in storage.Inventory, l ledger) (send, fetch []string) {
	seen := map[string]bool{}
	for _, site := range in.Sites {
		if !sendable(site) || l.site(site.ID).Gone != "" {
			continue
		}
		for _, id := range site.PhotoIDs {
			if seen[id] {
				continue
			}
			seen[id] = true
			known := l.record(keyPhoto+id) != nil
			switch {
			case in.Photos[id] && !known:
				send = append(send, id)
			case !in.Photos[id] && l.site(site.ID).Base != "" && l.record(keyAway+id) == nil:
				fetch = append(fetch, id)
			}
		}
	}
	return send, fetch
}
