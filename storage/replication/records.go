package replication

import (
	"bytes"
	"context"
	"encoding/json"
	"slices"
	"strconv"
	"sync"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage"
)

// The records that the client keeps, by the start of their keys.
const (
	keyPairing = "pairing"
	keyCursor  = "cursor"
	keySite    = storage.ExchangedSite     // siteState
	keyBase    = "base/"                   // bytes of the site's Base
	keySend    = "send/"                   // bytes of what is being sent
	keyTheirs  = "theirs/"                 // a version of the yard that conflicts
	keyPhoto   = "photo/"                  // the photo is in the yard, or why it cannot be
	keyPart    = "part/"                   // the bytes of a photo that came so far
	keyYard    = "yard"                    // yardSeen
	keyGone    = storage.ExchangedDeletion // deletion
	keyAway    = storage.PhotoAway         // the photo's bytes were given up here
	keyShop    = "shop"                    // shopState
	keyContact = "contact"                 // when nothing was left to do the last time, RFC 3339
)

// pairing is what lets this device into the yard.
type pairing struct {
	Token  string `json:"token"`
	Device Device `json:"device"`
	Since  string `json:"since,omitempty"` // RFC 3339
}

// Device is this device, as the yard knows it.
type Device struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Role string `json:"role"`
}

// siteState says how a site here stands to the one in the yard.
type siteState struct {
	// Base is the newest revision that both have. Its bytes are kept.
	Base storage.Revision `json:"base,omitempty"`
	// Local is the revision here that holds what Base does. While the site
	// stands there, all of it is in the yard.
	Local storage.Revision `json:"local,omitempty"`
	// With are revisions of the yard that were merged here; they become
	// parents of the next one sent.
	With []storage.Revision `json:"with,omitempty"`
	// Sending is what was begun to be sent. It is repeated as it is until the
	// yard has it, so that a lost answer makes no second version.
	Sending *sending `json:"sending,omitempty"`
	// Look: the yard has something that was not looked at yet.
	Look bool `json:"look,omitempty"`
	// Reads is the newest document version that this program knew when it could not read
	// the yard's, which was newer; 0 when it could. A later program looks again.
	Reads int `json:"reads,omitempty"`
	// Doubt: the yard is another one than had Base, or was restored since. It is
	// asked before anything of this state is relied on.
	Doubt bool `json:"doubt,omitempty"`
	// Gone is when the yard deleted the site, RFC 3339, while this device holds
	// something of it that the yard never had.
	Gone string `json:"gone,omitempty"`
	// Away: the site is not deleted, but is another crew's since Gone.
	Away bool `json:"away,omitempty"`
	// Conflict is the yard's version between which and ours a person has to choose.
	Conflict storage.Revision `json:"conflict,omitempty"`
	// Refused is why the yard does not take what stands here at RefusedAt, in
	// English; Why is the same with its values, which an older version of this
	// program did not keep.
	Refused   string           `json:"refused,omitempty"`
	Why       *refusal.Message `json:"why,omitempty"`
	RefusedAt storage.Revision `json:"refusedAt,omitempty"`
}

type sending struct {
	Name    storage.Revision   `json:"name"`
	Parents []storage.Revision `json:"parents,omitempty"`
	Local   storage.Revision   `json:"local"`
}

// refuse notes why the yard does not take the site.
func (s *siteState) refuse(why refusal.Message) { s.Refused, s.Why = why.String(), &why }

// why is the reason of a refusal.
func (s siteState) why() refusal.Message {
	if s.Why != nil {
		return *s.Why
	}
	return plainly(s.Refused)
}

// photoWhy is why a photo cannot be in the yard, as its record says.
func photoWhy(value []byte) refusal.Message {
	var why refusal.Message
	if json.Unmarshal(value, &why) == nil && why.Format != "" {
		return why
	}
	return plainly(string(value))
}

// unsent reports whether something here is not in the yard.
func (s siteState) unsent(at storage.Revision) bool {
	return s.Sending != nil || s.Local != at || len(s.With) > 0
}

// refusedAt reports whether the yard does not take what stands here.
func (s siteState) refusedAt(at storage.Revision) bool { return s.Refused != "" && s.RefusedAt == at }

// parents are what the next revision sent comes from.
func (s siteState) parents() []storage.Revision {
	var parents []storage.Revision
	if s.Base != "" {
		parents = append(parents, s.Base)
	}
	parents = append(parents, s.With...)
	slices.Sort(parents)
	return slices.Compact(parents)
}

// theirs is a conflicting version with what both came from.
type theirs struct {
	Revision storage.Revision `json:"revision"`
	Text     []byte           `json:"text"`
	// Base is what both came from, nil when there is nothing; at the places
	// Contested that is not certain. See comeFrom.
	Base      []byte   `json:"base,omitempty"`
	Contested []string `json:"contested,omitempty"`
	By        string   `json:"by,omitempty"` // name of the device that sent it
	Received  string   `json:"received,omitempty"`
}

func record(key string, v any) storage.Record {
	text, err := json.Marshal(v)
	if err != nil {
		text = []byte("{}") // cannot happen: these types have nothing that JSON refuses
	}
	return storage.Record{Key: key, Value: text}
}

func removed(key string) storage.Record { return storage.Record{Key: key} }

// ledger is the records as they stand in the store.
type ledger struct {
	in      storage.Inventory
	ofSites map[string][]byte    // the records of sites in it
	states  map[string]keptState // the Client's, and its lock
	mu      *sync.Mutex
	put     map[string][]byte // written since
}

// ledger reads a site's state only when it changed since the last time: a phone with
// 10,000 sites has that many.
func (c *Client) ledger(in storage.Inventory) ledger {
	return ledger{in, in.Records(keySite), c.states, &c.mu, map[string][]byte{}}
}

// keptState is a site's state with the bytes it was read from.
type keptState struct {
	text  []byte
	state siteState
}

func (l ledger) record(key string) []byte {
	if value, written := l.put[key]; written {
		return value
	}
	return l.in.Record(key)
}

// as returns the record as it was read, to be compared when writing.
func (l ledger) as(key string) storage.Record { return storage.Record{Key: key, Value: l.record(key)} }

// site returns a site's state; a damaged one counts as never sent.
func (l ledger) site(id string) siteState {
	text := l.ofSites[keySite+id]
	if len(l.put) > 0 {
		text = l.record(keySite + id)
	}
	if text == nil {
		return siteState{}
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	k, read := l.states[id]
	if !read || !bytes.Equal(k.text, text) {
		k = keptState{text: text}
		if json.Unmarshal(text, &k.state) != nil {
			k.state = siteState{}
		}
		l.states[id] = k
	}
	s := k.state
	s.With = slices.Clone(s.With)
	return s
}

// note notes that a site's record was written.
func (l ledger) note(id string, s siteState) { l.put[keySite+id] = record(keySite+id, s).Value }

func (l ledger) cursor() int64 {
	n, err := strconv.ParseInt(string(l.record(keyCursor)), 10, 64)
	if err != nil || n < 0 {
		return 0
	}
	return n
}

// sites lists the sites of which there is a state.
func (l ledger) sites() []string {
	var ids []string
	for key := range l.in.Records(keySite) {
		ids = append(ids, key[len(keySite):])
	}
	return ids
}

func (c *Client) pairing(ctx context.Context) (pairing, error) {
	var p pairing
	text, err := c.store.Exchanged(ctx, keyPairing)
	if err != nil {
		return p, err
	}
	if json.Unmarshal(text, &p) != nil || p.Token == "" {
		return p, ErrUnpaired
	}
	return p, nil
}

// contactEvery is how often it is written down that the yard was in contact.
const contactEvery = time.Minute

// inContact writes down that nothing is left to do.
func (c *Client) inContact(ctx context.Context) error {
	c.mu.Lock()
	now := c.lastGood
	due := now.Sub(c.noted).Abs() >= contactEvery
	if due {
		c.noted = now
	}
	c.mu.Unlock()
	if !due {
		return nil
	}
	return c.store.KeepExchanged(ctx, nil,
		[]storage.Record{{Key: keyContact, Value: []byte(now.UTC().Format(time.RFC3339))}})
}
