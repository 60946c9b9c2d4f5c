package replication

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"slices"

	"pegpour/storage"
)

// labelRules is the step that the yard's rules make in the shop's history.
const labelRules = "Rules from the yard"

// shopState says how the shop's rules here stand to those in the yard.
type shopState struct {
	// Revision and Rules are the yard's as they were taken over last; 0: not yet.
	Revision int64              `json:"revision,omitempty"`
	Rules    map[string]float64 `json:"rules,omitempty"`
	// Local is the revision of the shop here that holds the same. Known: there is one;
	// a shop that was never changed has none.
	Local storage.Revision `json:"local,omitempty"`
	Known bool             `json:"known,omitempty"`
	// Look: the yard has others by now.
	Look bool `json:"look,omitempty"`
	// Aside are rules as they stood here where the yard had something else first; nil
	// for one that was the default here.
	Aside map[string]*float64 `json:"aside,omitempty"`
}

// shop reads the state; a damaged one counts as none.
func (l ledger) shop() shopState {
	var s shopState
	if json.Unmarshal(l.record(keyShop), &s) != nil {
		return shopState{}
	}
	return s
}

// due reports whether there is something to exchange; at is where the shop here stands,
// "" where that was never noted.
func (s shopState) due(at storage.Revision) bool {
	return s.Look || s.Known && at != "" && s.Local != at
}

// newer is the record that notes that the yard has another revision.
func (s shopState) newer(yard int64) (storage.Record, bool) {
	if yard == 0 || yard == s.Revision || s.Look {
		return storage.Record{}, false
	}
	s.Look = true
	return record(keyShop, s), true
}

// forgotten is the record for a yard that is another one, or was restored: what it has
// is not known, and what stands here is compared anew.
func (s shopState) forgotten() (storage.Record, bool) {
	return record(keyShop, shopState{Aside: s.Aside}), s.Revision > 0
}

// ruleChange is a rule set to To (nil: back to its default) where From stood.
type ruleChange struct {
	Key  string   `json:"key"`
	From *float64 `json:"from"`
	To   *float64 `json:"to"`
}

// ruleChanges lists what turns a into b, in the order of the keys.
func ruleChanges(a, b map[string]float64) []ruleChange {
	at := func(rules map[string]float64, key string) *float64 {
		if v, ok := rules[key]; ok {
			return &v
		}
		return nil
	}
	all := maps.Clone(a)
	if all == nil {
		all = map[string]float64{}
	}
	maps.Copy(all, b)
	var out []ruleChange
	for _, key := range slices.Sorted(maps.Keys(all)) {
		from, to := at(a, key), at(b, key)
		if from == nil || to == nil || *from != *to {
			out = append(out, ruleChange{key, from, to})
		}
	}
	return out
}

// yardRules is what the yard says of the shop's rules.
type yardRules struct {
	Revision int64
	Rules    map[string]float64
	Refused  []string // of what was sent: something else came first, or it cannot be kept
}

const rulesPath = "/api/v1/shop-rules"

// shareRules sends what was changed here of the shop's rules and takes over what the
// yard has. Rules merge one by one: where two changed the same one, the first to reach
// the yard stands, and the other is kept aside here for a person.
func (c *Client) shareRules(ctx context.Context, l ledger) error {
	s := l.shop()
	shop, err := c.store.Shop(ctx)
	if err != nil {
		return err
	}
	here := shop.Shop.Rules
	changes := ruleChanges(s.Rules, here)
	var now yardRules
	if s.Revision == 0 || len(changes) == 0 {
		err = c.askJSON(ctx, rulesPath, &now)
	} else {
		now, err = c.sendRules(ctx, changes)
	}
	if err != nil {
		return err
	}
	if now.Revision == 0 {
		return ErrGarbled
	}
	next := shopState{Revision: now.Revision, Rules: now.Rules, Known: true, Aside: map[string]*float64{}}
	for key, v := range s.Aside {
		if at, ok := now.Rules[key]; v == nil && ok || v != nil && (!ok || at != *v) {
			next.Aside[key] = v
		}
	}
	to := now.Rules
	if s.Revision == 0 && now.Revision == 1 {
		to = here // nobody gave the yard any: it gets those from here
	} else {
		for _, change := range changes {
			if s.Revision == 0 && change.To != nil && !same(now.Rules, change) || slices.Contains(now.Refused, change.Key) {
				next.Aside[change.Key] = change.To
			}
		}
	}
	return c.store.ReceiveShop(ctx, to, now.Revision, shop.Revision, labelRules, append(l.sameYard(), l.as(keyShop)),
		func(at storage.Revision) []storage.Record {
			if next.Local = at; len(ruleChanges(to, now.Rules)) > 0 {
				next.Local = "" // it is sent next
			}
			return []storage.Record{record(keyShop, next)}
		})
}

// keepRulesAsOwn makes the rules of a yard that was left this device's own.
func (c *Client) keepRulesAsOwn(ctx context.Context) error {
	for {
		shop, err := c.store.Shop(ctx)
		if err != nil || shop.Shop.Yard == 0 {
			return err
		}
		err = c.store.ReceiveShop(ctx, shop.Shop.Rules, 0, shop.Revision, labelRules, nil,
			func(storage.Revision) []storage.Record { return []storage.Record{removed(keyShop)} })
		if !errors.Is(err, storage.ErrMoved) {
			return err
		}
	}
}

// same reports whether a rule stands as a change leaves it.
func same(rules map[string]float64, c ruleChange) bool {
	v, ok := rules[c.Key]
	return c.To == nil && !ok || c.To != nil && ok && v == *c.To
}

// sendRules has the yard make changes. One that may not make any hears how the yard's
// rules are, and that all were refused.
func (c *Client) sendRules(ctx context.Context, changes []ruleChange) (now yardRules, err error) {
	body, err := json.Marshal(map[string]any{"changes": changes})
	if err != nil {
		return now, err
	}
	answer, err := c.ask(ctx, Request{Method: "PUT", Path: rulesPath, Body: body,
		Header: map[string]string{"Content-Type": "application/json"}}, 200)
	var no *AnswerError
	if errors.As(err, &no) && (no.Status == 403 || no.final()) {
		err = c.askJSON(ctx, rulesPath, &now)
		for _, change := range changes {
			now.Refused = append(now.Refused, change.Key)
		}
		return now, err
	}
	if err == nil && json.Unmarshal(answer.Body, &now) != nil {
		err = ErrGarbled
	}
	return now, err
}

// RulesAside are rules as they stood here where the yard had something else first,
// until a person has seen them; nil for one that was the default here.
func (c *Client) RulesAside(ctx context.Context) (map[string]*float64, error) {
	var s shopState
	text, err := c.store.Exchanged(ctx, keyShop)
	_ = json.Unmarshal(text, &s) // a damaged one counts as none
	return s.Aside, err
}

// DropRuleAside lets go of one of them.
func (c *Client) DropRuleAside(ctx context.Context, key string) error {
	for {
		text, bad := c.store.Exchanged(ctx, keyShop)
		var s shopState
		if bad != nil || json.Unmarshal(text, &s) != nil {
			return bad
		}
		delete(s.Aside, key)
		err := c.store.KeepExchanged(ctx, []storage.Record{{Key: keyShop, Value: text}}, []storage.Record{record(keyShop, s)})
		if !errors.Is(err, storage.ErrMoved) {
			return err
		}
	}
}
