package yard

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"errors"
	"net/netip"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"pegpour/engine/refusal"
)

// The kinds of what webhooks tell.
const (
	TellsSite    = "site.changed"
	TellsDeleted = "site.deleted"
	TellsMark    = "site.marked"
	TellsRules   = "rules.changed"
)

// Kinds lists them.
func Kinds() []string { return []string{TellsSite, TellsDeleted, TellsMark, TellsRules} }

// Webhook is an address of another program that is told of changes.
type Webhook struct {
	ID      string   `json:"id"`
	URL     string   `json:"url"`
	Kinds   []string `json:"kinds"` // none for all
	Created string   `json:"created"`
	Paused  string   `json:"paused"` // since when it is told nothing, "" while it is
	Waiting int      `json:"waiting"`
	Dead    int      `json:"dead"` // given up; see Again
}

// Delivery is one thing that a webhook is told.
type Delivery struct {
	ID       string `json:"id"` // the same each time it is sent
	Webhook  string `json:"webhook"`
	Turn     int64  `json:"turn"`
	Body     string `json:"body"`
	Created  string `json:"created"`
	State    string `json:"state"`
	Attempts int    `json:"attempts"`
	Due      string `json:"due"`  // when it is tried next
	Said     string `json:"said"` // what came of the last try
}

// The states of a delivery. Of those that arrived the last ones are kept, to be looked at.
const (
	DeliveryWaits   = "waiting"
	DeliveryDead    = "dead"
	DeliveryArrived = "arrived"
)

// arrivedKept is how many that arrived are kept of a webhook.
const arrivedKept = 100

// Told is the body of a delivery.
type Told struct {
	Type      string `json:"type"`
	Timestamp string `json:"timestamp"` // RFC 3339, by the yard's clock
	Data      Change `json:"data"`
}

// checkHook wants an address that others do not listen in on: https, or http to this
// machine or a network of one's own.
func checkHook(address string) error {
	u, err := url.Parse(address)
	if err == nil && u.Host != "" && u.User == nil && u.Fragment == "" && len(address) <= 500 {
		ip, bad := netip.ParseAddr(u.Hostname())
		own := u.Hostname() == "localhost" || bad == nil && (ip.IsLoopback() || ip.IsPrivate())
		if u.Scheme == "https" || u.Scheme == "http" && own {
			return nil
		}
	}
	return invalid("a webhook's address begins with https://, or with http:// on this machine or in a network of one's own")
}

// AddWebhook has an address told of what changes from now on and returns the secret
// with which it is signed, which is told once. Errors: *InvalidError.
func (y *Yard) AddWebhook(ctx context.Context, device, address string, kinds []string) (Webhook, string, error) {
	if err := checkHook(address); err != nil {
		return Webhook{}, "", err
	}
	for _, k := range kinds {
		if !slices.Contains(Kinds(), k) {
			return Webhook{}, "", invalid("a webhook tells one or more of: {0}", refusal.Each(Kinds()...))
		}
	}
	random := make([]byte, 32)
	if _, err := rand.Read(random); err != nil {
		return Webhook{}, "", err
	}
	secret, w, id := "whsec_"+base64.StdEncoding.EncodeToString(random), Webhook{}, uuid.NewString()
	err := y.update(ctx, func(s session) error {
		err := s.exec(`INSERT INTO webhooks (id, url, secret, kinds, created, device, paused, cursor) VALUES (?, ?, ?, ?, ?, ?, '',
			(SELECT value FROM counters WHERE name = 'turn'))`, id, address, secret, strings.Join(kinds, " "), y.time(), device)
		if err == nil {
			w, err = readWebhook(s, id)
		}
		return err
	})
	return w, secret, err
}

const webhookColumns = `SELECT id, url, kinds, created, paused,
	(SELECT COUNT(*) FROM deliveries d WHERE d.webhook = webhooks.id AND d.state = 'waiting'),
	(SELECT COUNT(*) FROM deliveries d WHERE d.webhook = webhooks.id AND d.state = 'dead') FROM webhooks`

func scanWebhook(scan func(...any) error) (Webhook, error) {
	var w Webhook
	var kinds string
	err := scan(&w.ID, &w.URL, &kinds, &w.Created, &w.Paused, &w.Waiting, &w.Dead)
	w.Kinds = append([]string{}, strings.Fields(kinds)...)
	return w, err
}

func readWebhook(s session, id string) (Webhook, error) {
	w, missing := Webhook{}, ErrNotFound
	err := s.rows(webhookColumns+" WHERE id = ?", []any{id}, func(scan func(...any) error) error {
		w, missing = scanWebhook(scan)
		return missing
	})
	return w, errors.Join(err, missing)
}

// Webhooks lists them, the oldest first.
func (y *Yard) Webhooks(ctx context.Context) ([]Webhook, error) {
	all := []Webhook{}
	err := y.view(ctx, func(s session) error {
		all = all[:0]
		return s.rows(webhookColumns+" ORDER BY created, id", nil, func(scan func(...any) error) error {
			w, err := scanWebhook(scan)
			all = append(all, w)
			return err
		})
	})
	return all, err
}

// PauseWebhook stops telling an address, or goes on; what changes meanwhile is told then.
// Errors: ErrNotFound.
func (y *Yard) PauseWebhook(ctx context.Context, id string, pause bool) (Webhook, error) {
	var w Webhook
	err := y.update(ctx, func(s session) error {
		at := ""
		if pause {
			at = y.time()
		}
		err := s.exec("UPDATE webhooks SET paused = ? WHERE id = ?", at, id)
		if err == nil {
			w, err = readWebhook(s, id)
		}
		return err
	})
	return w, err
}

// DropWebhook deletes a webhook with what it was to be told. Errors: ErrNotFound.
func (y *Yard) DropWebhook(ctx context.Context, id string) error {
	return y.update(ctx, func(s session) error {
		n, err := s.changed("DELETE FROM webhooks WHERE id = ?", id)
		if err == nil && n == 0 {
			return ErrNotFound
		}
		if err == nil {
			err = s.exec("DELETE FROM deliveries WHERE webhook = ?", id)
		}
		return err
	})
}

const deliveryColumns = "SELECT id, webhook, turn, body, created, state, attempts, due, said FROM deliveries"

func scanDelivery(scan func(...any) error) (Delivery, error) {
	var d Delivery
	err := scan(&d.ID, &d.Webhook, &d.Turn, &d.Body, &d.Created, &d.State, &d.Attempts, &d.Due, &d.Said)
	return d, err
}

// Deliveries lists what a webhook was told or is to be, the latest first; state is one of
// the states, "" for all. before is the turn of the last one seen, 0 to begin. Errors:
// ErrNotFound.
func (y *Yard) Deliveries(ctx context.Context, webhook, state string, before int64, limit int) ([]Delivery, error) {
	all := []Delivery{}
	err := y.view(ctx, func(s session) error {
		all = all[:0]
		if _, err := readWebhook(s, webhook); err != nil {
			return err
		}
		query, args := deliveryColumns+" WHERE webhook = ?", []any{webhook}
		if state != "" {
			query, args = query+" AND state = ?", append(args, state)
		}
		if before > 0 {
			query, args = query+" AND turn < ?", append(args, before)
		}
		return s.rows(query+" ORDER BY turn DESC, id LIMIT "+itoa(page(limit)), args, func(scan func(...any) error) error {
			d, err := scanDelivery(scan)
			all = append(all, d)
			return err
		})
	})
	return all, err
}

// Again has a delivery that was given up, or that arrived, sent again now. Errors:
// ErrNotFound.
func (y *Yard) Again(ctx context.Context, delivery string) (Delivery, error) {
	var d Delivery
	err := y.update(ctx, func(s session) error {
		if err := s.exec("UPDATE deliveries SET state = 'waiting', attempts = 0, due = ?, claimed = '' WHERE id = ?", y.time(),
			delivery); err != nil {
			return err
		}
		missing := ErrNotFound
		err := s.rows(deliveryColumns+" WHERE id = ?", []any{delivery}, func(scan func(...any) error) error {
			d, missing = scanDelivery(scan)
			return missing
		})
		return errors.Join(err, missing)
	})
	return d, err
}

// kindOf is the kind of a change.
func kindOf(c Change) string {
	switch {
	case c.Rules:
		return TellsRules
	case c.Deleted != "":
		return TellsDeleted
	case c.Noted:
		return TellsMark
	}
	return TellsSite
}

// FanOut writes down what webhooks are to be told of changes since the last time. Where
// several servers do it each change is written down once.
func (y *Yard) FanOut(ctx context.Context) error {
	hooks, err := y.Webhooks(ctx)
	if err != nil {
		return err
	}
	for _, w := range hooks {
		for more := w.Paused == ""; more; {
			if more, err = y.fanOut(ctx, w); err != nil {
				return err
			}
		}
	}
	return nil
}

// fanPage is how many changes are written down at once.
const fanPage = 200

func (y *Yard) fanOut(ctx context.Context, w Webhook) (more bool, err error) {
	var cursor int64
	if err := y.view(ctx, func(s session) error {
		return s.row("SELECT cursor FROM webhooks WHERE id = ?", []any{w.ID}, &cursor)
	}); err != nil {
		if errors.Is(err, ErrNotFound) {
			err = nil
		}
		return false, err
	}
	changes, next, newest, err := y.Changes(ctx, Device{}, cursor, fanPage)
	if newest < cursor { // the yard was put back to an earlier time
		next = newest
	}
	if err != nil || next == cursor {
		return false, err
	}
	return len(changes) == fanPage, y.update(ctx, func(s session) error {
		n, err := s.changed("UPDATE webhooks SET cursor = ? WHERE id = ? AND cursor = ?", next, w.ID, cursor)
		if err != nil || n == 0 { // another server was first
			return err
		}
		now := y.time()
		for _, c := range changes {
			kind := kindOf(c)
			if len(w.Kinds) > 0 && !slices.Contains(w.Kinds, kind) {
				continue
			}
			body, err := json.Marshal(Told{kind, now, c})
			if err != nil {
				return err
			}
			if err := s.exec(`INSERT INTO deliveries (id, webhook, turn, body, created, state, attempts, due, claimed, said)
				VALUES (?, ?, ?, ?, ?, 'waiting', 0, ?, '', '')`, "msg_"+strings.ReplaceAll(uuid.NewString(), "-", ""), w.ID, c.Turn,
				string(body), now, now); err != nil {
				return err
			}
		}
		return nil
	})
}

// Sending is a delivery with where it goes.
type Sending struct {
	Delivery
	URL, Secret string
}

// ClaimDeliveries takes deliveries that are due, to be sent by who asks: nobody else is
// given them for a time that sending takes no longer than.
func (y *Yard) ClaimDeliveries(ctx context.Context, most int, hold time.Duration) ([]Sending, error) {
	var all []Sending
	err := y.update(ctx, func(s session) error {
		all = nil
		now := y.time()
		free := y.now().Add(-hold).UTC().Format(timeForm)
		later := y.now().Add(hold).UTC().Format(timeForm) // a clock that was put back
		ids, err := s.texts(`SELECT d.id FROM deliveries d JOIN webhooks w ON w.id = d.webhook AND w.paused = ''
			WHERE d.state = 'waiting' AND d.due <= ? AND (d.claimed < ? OR d.claimed > ?) ORDER BY d.due, d.turn, d.id LIMIT `+
			itoa(most), now, free, later)
		if err != nil {
			return err
		}
		for _, id := range ids {
			n, err := s.changed(`UPDATE deliveries SET claimed = ? WHERE id = ? AND state = 'waiting' AND (claimed < ? OR claimed > ?)`,
				now, id, free, later)
			if err != nil {
				return err
			}
			if n == 0 {
				continue // another server has it
			}
			var out Sending
			err = s.rows("SELECT d.id, d.webhook, d.turn, d.body, d.created, d.state, d.attempts, d.due, d.said, w.url, w.secret "+
				"FROM deliveries d JOIN webhooks w ON w.id = d.webhook WHERE d.id = ?", []any{id}, func(scan func(...any) error) error {
				var err error
				out.Delivery, err = scanDelivery(func(to ...any) error { return scan(append(to, &out.URL, &out.Secret)...) })
				return err
			})
			if err != nil {
				return err
			}
			all = append(all, out)
		}
		return nil
	})
	return all, err
}

// retries are how long a delivery waits after each try in vain; after the last it is
// given up.
var retries = []time.Duration{5 * time.Second, time.Minute, 5 * time.Minute, 30 * time.Minute, 2 * time.Hour, 5 * time.Hour,
	10 * time.Hour, 14 * time.Hour, 20 * time.Hour}

// Delivered notes what came of sending: arrived, or why not. wait is how long the other
// side asked to be left alone. gone: it wants to be told nothing more, and is paused.
func (y *Yard) Delivered(ctx context.Context, d Delivery, arrived, gone bool, said string, wait time.Duration) error {
	return y.update(ctx, func(s session) error {
		if arrived {
			if err := s.exec("UPDATE deliveries SET state = 'arrived', attempts = attempts + 1, said = ?, claimed = '' WHERE id = ?",
				plain(said), d.ID); err != nil {
				return err
			}
			return s.exec(`DELETE FROM deliveries WHERE webhook = ? AND state = 'arrived' AND turn < (SELECT MIN(turn) FROM
				(SELECT turn FROM deliveries WHERE webhook = ? AND state = 'arrived' ORDER BY turn DESC LIMIT `+itoa(arrivedKept)+
				`) AS kept)`, d.Webhook, d.Webhook)
		}
		if gone {
			if err := s.exec("UPDATE webhooks SET paused = ? WHERE id = ? AND paused = ''", y.time(), d.Webhook); err != nil {
				return err
			}
		}
		state, due := DeliveryDead, d.Due
		if d.Attempts < len(retries) {
			state, due = DeliveryWaits, y.now().Add(max(retries[d.Attempts], wait)).UTC().Format(timeForm)
		}
		return s.exec("UPDATE deliveries SET state = ?, attempts = ?, due = ?, said = ?, claimed = '' WHERE id = ?", state,
			d.Attempts+1, due, plain(said), d.ID)
	})
}
