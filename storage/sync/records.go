package sync

import (
	"context"
	"encoding/json"
	"strconv"
	"strings"

	"pegpour/storage"
)

// The records that the client keeps, by the start of their keys.
const (
	keyPairing = "pairing"
	keyCursor  = "cursor"
	keySite    = "site/"   // siteState
	keyBase    = "base/"   // bytes of the site's Base
	keySend    = "send/"   // bytes of what is being sent
	keyTheirs  = "theirs/" // a version of the yard that conflicts
	keyPhoto   = "photo/"  // the photo is in the yard, or why it cannot be
	keyPart    = "part/"   // the bytes of a photo that came so far
)

// pairing is what lets this device into the yard.
type pairing struct {
	Token  string `json:"token"`
	Device Device `json:"device"`
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
	// Conflict is the yard's version between which and ours a person has to choose.
	Conflict storage.Revision `json:"conflict,omitempty"`
	// Refused is why the yard does not take what stands here at RefusedAt.
	Refused   string           `json:"refused,omitempty"`
	RefusedAt storage.Revision `json:"refusedAt,omitempty"`
}

type sending struct {
	Name    storage.Revision   `json:"name"`
	Parents []storage.Revision `json:"parents,omitempty"`
	Local   storage.Revision   `json:"local"`
}

// unsent reports whether something here is not in the yard.
func (s siteState) unsent(at storage.Revision) bool {
	return s.Sending != nil || s.Local != at || len(s.With) > 0
}

// theirs is a conflicting version with what both came from.
type theirs struct {
	Revision storage.Revision `json:"revision"`
	Text     []byte           `json:"text"`
	Common   [][]byte         `json:"common,omitempty"`
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
type ledger map[string][]byte

func ledgerOf(records []storage.Record) ledger {
	l := ledger{}
	for _, r := range records {
		l[r.Key] = r.Value
	}
	return l
}

// as returns the record as it was read, to be compared when writing.
func (l ledger) as(key string) storage.Record { return storage.Record{Key: key, Value: l[key]} }

// site returns a site's state; a damaged one counts as never sent.
func (l ledger) site(id string) siteState {
	var s siteState
	if json.Unmarshal(l[keySite+id], &s) != nil {
		return siteState{}
	}
	return s
}

func (l ledger) cursor() int64 {
	n, err := strconv.ParseInt(string(l[keyCursor]), 10, 64)
	if err != nil || n < 0 {
		return 0
	}
	return n
}

// sites lists the sites of which there is a state.
func (l ledger) sites() []string {
	var ids []string
	for key := range l {
		if id, ok := strings.CutPrefix(key, keySite); ok {
			ids = append(ids, id)
		}
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
