package replication

import (
	"context"
	"errors"
	"time"

	"pegpour/engine/refusal"
)

// State is how a site here stands to the yard.
type State string

// The states.
const (
	InYard    State = "in the yard"
	Waiting   State = "waiting" // changes here are not in the yard yet
	Checking  State = "checking"
	Conflicts State = "conflict" // a person has to choose; see Client.Conflicts
	Refused   State = "refused"  // the yard does not take it; Reason says why
	OnlyHere  State = "only here"
	Gone      State = "gone" // the yard deleted it, and never had all that is here; see Client.KeepOwn
)

// SiteStatus is one site of a Status.
type SiteStatus struct {
	Name   string // the site's
	State  State
	Reason refusal.Message // of Refused
	Never  bool            // Waiting, and nothing of the site was ever sent
	Err    error           // why it is still Waiting or Checking; nil when it was not tried
	Photos int             // not yet in the yard
	// Sent: the yard has something of it, or may have.
	Sent bool
	Gone string // when the yard deleted it, RFC 3339
	Away bool   // it did not: the site is another crew's since Gone
	// PhotoReason is why the yard does not take one of them; empty while none
	// was refused.
	PhotoReason refusal.Message
}

// Progress is what is on its way.
type Progress struct {
	Site, Photo string // one of them
	Done, Total int64  // bytes
	Down        bool   // from the yard
}

// Status is what a screen shows. What is not yet in the yard is worked out from
// the store each time.
type Status struct {
	Paired bool
	Device Device
	Since  string // when it was paired, RFC 3339
	// Waiting and WaitingPhotos count what is not yet in the yard; Coming the
	// photos of the yard that are not here.
	Waiting, WaitingPhotos, Coming int
	Conflicts                      int
	Gone                           int
	Sites                          map[string]SiteStatus
	// LastGood is when the yard last answered, LastError what went wrong since.
	LastGood  time.Time
	LastError error
	NextTry   time.Time
	Now       Progress
}

// Status reads how things stand.
func (c *Client) Status(ctx context.Context) (Status, error) {
	in, err := c.store.Inventory(ctx, keySite, keyPhoto, keyContact, keyAway)
	if err != nil {
		return Status{}, err
	}
	l := c.ledger(in)
	out := Status{Sites: map[string]SiteStatus{}}
	p, err := c.pairing(ctx)
	if err != nil && !errors.Is(err, ErrUnpaired) {
		return out, err
	}
	out.Paired, out.Device, out.Since = err == nil, p.Device, p.Since
	for _, site := range in.Sites {
		if !sendable(site) {
			out.Sites[site.ID] = SiteStatus{Name: site.Name, State: OnlyHere}
			continue
		}
		s := l.site(site.ID)
		t := SiteStatus{Name: site.Name, State: InYard, Sent: s.sent(), Gone: s.Gone, Away: s.Away}
		if s.Gone != "" {
			t.State = Gone
			out.Gone++
			out.Sites[site.ID] = t
			continue
		}
		switch {
		case s.Refused != "" && (s.RefusedAt == "" || s.RefusedAt == site.Revision):
			t.State, t.Reason = Refused, s.why()
		case s.unsent(site.Revision) || s.Doubt:
			t.State, t.Never = Waiting, !t.Sent && !s.Doubt
		case s.Conflict != "":
			t.State = Conflicts
		case s.Look:
			t.State = Checking
		}
		switch t.State {
		case Waiting:
			if t.Err = c.heldError(holdSend + site.ID); t.Err == nil {
				t.Err = c.heldError(holdLook + site.ID)
			}
		case Checking:
			t.Err = c.heldError(holdLook + site.ID)
		}
		if s.unsent(site.Revision) || s.Doubt {
			out.Waiting++
		}
		if s.Conflict != "" {
			out.Conflicts++
		}
		for _, id := range site.PhotoIDs {
			value := l.record(keyPhoto + id)
			if in.Photos[id] && value == nil {
				t.Photos++
			} else if value != nil && string(value) != string(inYard) {
				t.Photos++
				t.PhotoReason = photoWhy(value)
			}
		}
		out.Sites[site.ID] = t
	}
	send, fetch := photosToMove(in, l)
	out.WaitingPhotos, out.Coming = len(send), len(fetch)
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.lastGood.IsZero() {
		c.lastGood, _ = time.Parse(time.RFC3339, string(l.record(keyContact)))
	}
	out.LastGood, out.LastError, out.NextTry, out.Now = c.lastGood, c.lastErr, c.nextTry, c.now
	return out, nil
}

func (c *Client) progress(p Progress) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = p
}

// Line is how the line to the yard is at the moment.
type Line struct {
	LastGood time.Time // when the yard last answered
	Error    error     // what went wrong since
	NextTry  time.Time
	Now      Progress
	// Full is the limit of the yard that this device comes near to, "" for none, and how
	// near in percent: "device-megabytes 93".
	Full string
}

// Line says how the line is, without reading the store.
func (c *Client) Line() Line {
	c.mu.Lock()
	defer c.mu.Unlock()
	return Line{c.lastGood, c.lastErr, c.nextTry, c.now, c.full}
}
