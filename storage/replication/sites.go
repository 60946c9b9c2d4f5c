package replication

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage"
)

// Labels of the steps that sync makes in a site's history.
const (
	labelYard    = "Corrections from the yard"
	labelFetched = "From the yard"
	labelSettled = "Versions brought together"
)

func sitePath(id string) string { return "/api/v1/sites/" + url.PathEscape(id) }

// sendSite sends a site as it stands, or goes on with what was begun.
func (c *Client) sendSite(ctx context.Context, id string, l ledger) error {
	s := l.site(id)
	var text []byte
	var err error
	if s.Sending != nil {
		if text, err = c.store.Exchanged(ctx, keySend+id); err != nil {
			return err
		}
		if storage.NameRevision(text, s.Sending.Parents...) != s.Sending.Name {
			s.Sending = nil // damaged: begin again
		}
	}
	if s.Sending == nil {
		if text, err = c.begin(ctx, id, l, &s); err != nil || s.Sending == nil {
			return err
		}
	}
	path := sitePath(id) + "/revisions/" + string(s.Sending.Name)
	for i, p := range s.Sending.Parents {
		path += map[bool]string{true: "?", false: "&"}[i == 0] + "parent=" + string(p)
	}
	c.progress(Progress{Site: id, Done: 0, Total: int64(len(text))})
	answer, err := c.ask(ctx,
		Request{Method: "PUT", Path: path, Body: text, Header: map[string]string{"Content-Type": "application/json"}}, 200,
		201, 202)
	if errors.Is(err, ErrNotInYard) {
		err = &AnswerError{Status: 422, Said: refusal.Say("the yard cannot keep a site of this identity")}
	}
	var no *AnswerError
	if errors.As(err, &no) && no.Kind == "too-many-waiting" {
		return c.beginAnew(ctx, id, l)
	}
	if errors.As(err, &no) && no.final() {
		s.refuse(no.Refusal())
		s.RefusedAt, s.Sending = s.Sending.Local, nil
		return c.keepSite(ctx, id, l, s, removed(keySend+id))
	}
	if err != nil {
		return err
	}
	var stored struct {
		Revision       storage.Revision
		Missing, Heads []storage.Revision
		Lacks          []string
	}
	if json.Unmarshal(answer.Body, &stored) != nil || stored.Revision != s.Sending.Name {
		return ErrGarbled
	}
	if len(stored.Missing) > 0 { // the yard lost what this came from: send it as a beginning
		return c.keepSite(ctx, id, l, siteState{Look: true}, removed(keySend+id), removed(keyBase+id))
	}
	next := siteState{
		Base: s.Sending.Name, Local: s.Sending.Local, Conflict: s.Conflict,
		// What was merged after it was begun to be sent goes with the next one.
		With: slices.DeleteFunc(s.With, func(r storage.Revision) bool { return slices.Contains(s.Sending.Parents, r) }),
		Look: !slices.Equal(stored.Heads, []storage.Revision{s.Sending.Name}),
	}
	records := []storage.Record{{Key: keyBase + id, Value: text}, removed(keySend + id)}
	for _, p := range stored.Lacks { // it had them once, and nobody showed them
		if string(l.record(keyPhoto+p)) == string(inYard) {
			records = append(records, removed(keyPhoto+p))
		}
	}
	return c.keepSite(ctx, id, l, next, records...)
}

// begin writes down what is to be sent before any of it is.
func (c *Client) begin(ctx context.Context, id string, l ledger, s *siteState) ([]byte, error) {
	loaded, err := c.store.Load(ctx, id)
	if err != nil {
		return nil, err
	}
	text, err := storage.Encode(loaded.Document)
	if err != nil {
		return nil, err
	}
	base, err := c.store.Exchanged(ctx, keyBase+id)
	if err != nil {
		return nil, err
	}
	s.Refused, s.Why, s.RefusedAt = "", nil, ""
	if s.Base != "" && len(s.With) == 0 && bytes.Equal(base, text) {
		s.Local = loaded.Revision // changed and changed back
		return nil, c.keepSite(ctx, id, l, *s)
	}
	parents := s.parents()
	s.Sending = &sending{storage.NameRevision(text, parents...), parents, loaded.Revision}
	err = c.keepSite(ctx, id, l, *s, storage.Record{Key: keySend + id, Value: text})
	if err == nil {
		l.note(id, *s)
	}
	return text, err
}

// keepSite writes a site's state, if it still is as it was read.
func (c *Client) keepSite(ctx context.Context, id string, l ledger, s siteState, more ...storage.Record) error {
	if s.Reads < storage.KnownVersion() {
		s.Reads = 0 // it is looked at by now, or will be when this was sent
	}
	return c.store.KeepExchanged(ctx, l.still(id), append(more, record(keySite+id, s)))
}

// head is a newest revision of the yard.
type head struct {
	Revision storage.Revision   `json:"revision"`
	Common   []storage.Revision `json:"common"`
}

func (c *Client) heads(ctx context.Context, id string, since storage.Revision) ([]head, error) {
	path := sitePath(id) + "/heads"
	if since != "" {
		path += "?since=" + string(since)
	}
	var answer struct{ Heads []head }
	if err := c.askJSON(ctx, path, &answer); err != nil {
		return nil, err
	}
	if len(answer.Heads) == 0 {
		return nil, ErrGarbled
	}
	return answer.Heads, nil
}

// revision fetches a revision's bytes and checks them against its name.
func (c *Client) revision(ctx context.Context, id string, name storage.Revision) ([]byte, error) {
	answer, err := c.ask(ctx, Request{Method: "GET", Path: sitePath(id) + "/revisions/" + url.PathEscape(string(name))},
		200)
	if err != nil {
		return nil, err
	}
	var parents []storage.Revision
	for p := range strings.SplitSeq(answer.Header["pegpour-parents"], ", ") {
		parents = append(parents, storage.Revision(p))
	}
	if storage.NameRevision(answer.Body, parents...) != name {
		return nil, ErrGarbled
	}
	return answer.Body, nil
}

// look finds what the yard has of a site that is not here, and takes it over.
// All that is here was sent before, unless it was edited since.
func (c *Client) look(ctx context.Context, id string, l ledger) error {
	s := l.site(id)
	heads, err := c.heads(ctx, id, s.Base)
	if errors.Is(err, ErrNotInYard) {
		return c.beginAnew(ctx, id, l)
	}
	if err != nil {
		return err
	}
	known := s.Base == ""
	var beside *head
	for i, h := range heads {
		known = known || len(h.Common) > 0
		switch {
		case h.Revision == s.Base:
		case slices.Equal(h.Common, []storage.Revision{s.Base}):
			return c.forward(ctx, id, l, h.Revision, len(heads) > 1)
		case beside == nil:
			beside = &heads[i]
		}
	}
	switch {
	case !known:
		return c.beginAnew(ctx, id, l)
	case beside != nil:
		return c.bringTogether(ctx, id, l, *beside)
	}
	s.Look, s.Conflict = false, ""
	return c.keepSite(ctx, id, l, s, removed(keyTheirs+id))
}

// beginAnew is for a yard that was put back to before it had the site's Base.
func (c *Client) beginAnew(ctx context.Context, id string, l ledger) error {
	return c.keepSite(ctx, id, l, siteState{Look: true}, removed(keyBase+id), removed(keySend+id), removed(keyTheirs+id))
}

// forward takes over a revision that came from Base.
func (c *Client) forward(ctx context.Context, id string, l ledger, to storage.Revision, more bool) error {
	s := l.site(id)
	text, err := c.revision(ctx, id, to)
	if err != nil {
		return err
	}
	other, err := storage.Decode(text)
	if err != nil {
		return c.unreadable(ctx, id, l, err)
	}
	here, err := c.store.Load(ctx, id)
	if err != nil {
		return err
	}
	result := other
	if here.Revision != s.Local {
		base, err := c.store.Exchanged(ctx, keyBase+id)
		if err != nil {
			return err
		}
		common, err := storage.Decode(base)
		if err != nil {
			return c.beginAnew(ctx, id, l)
		}
		merged, conflicts, err := storage.Merge(common, here.Document, other)
		if err != nil {
			return err
		}
		if len(conflicts) > 0 && s.refusedAt(here.Revision) {
			// What is here never goes there as it is, so both stand side by side now.
			s.Look, s.Conflict = more, to
			return c.keepSite(ctx, id, l, s, record(keyTheirs+id, theirs{Revision: to, Text: text, Base: base}))
		}
		if len(conflicts) > 0 {
			return nil // edited since: that is sent first, and then both stand side by side
		}
		result = merged
	}
	resultText, err := storage.Encode(result)
	if err != nil {
		return err
	}
	_, err = c.store.Receive(ctx, result, here.Revision, labelYard, l.still(id),
		func(at storage.Revision) []storage.Record {
			next := siteState{Base: to, Look: more}
			if bytes.Equal(resultText, text) {
				next.Local = at
			}
			return []storage.Record{record(keySite+id, next), {Key: keyBase + id, Value: text}, removed(keyTheirs + id)}
		})
	return err
}

// unreadable leaves a version that this program cannot read in the yard.
func (c *Client) unreadable(ctx context.Context, id string, l ledger, why error) error {
	s := l.site(id)
	s.Look = false
	var newer *storage.NewerError
	if errors.As(why, &newer) {
		s.Reads = newer.Known
	}
	s.refuse(refusal.Say("the yard's version: {0}", refusal.Because(why)))
	return c.keepSite(ctx, id, l, s)
}

// bringTogether merges a version that went its own way, or keeps it beside
// ours for a person.
func (c *Client) bringTogether(ctx context.Context, id string, l ledger, other head) error {
	s := l.site(id)
	t := theirs{Revision: other.Revision}
	var err error
	if t.Text, err = c.revision(ctx, id, other.Revision); err != nil {
		return err
	}
	lineage, sent, err := c.history(ctx, id)
	if err != nil {
		return err
	}
	t.By, t.Received = sent[other.Revision].By, sent[other.Revision].Received
	// What is here has no name in the yard; it comes from what was sent.
	const ofHere = "here"
	lineage[ofHere] = s.parents()
	var trouble error
	base, contested, err := comeFrom(lineage, c.documents(ctx, id, &trouble), ofHere, other.Revision)
	if trouble != nil {
		return trouble
	}
	if err != nil {
		return c.unreadable(ctx, id, l, err)
	}
	t.Contested = contested
	if base != nil {
		if t.Base, err = storage.Encode(base); err != nil {
			return c.unreadable(ctx, id, l, err)
		}
	}
	here, err := c.store.Load(ctx, id)
	if err != nil {
		return err
	}
	merged, conflicts, err := t.join(here.Document)
	if err != nil {
		return c.unreadable(ctx, id, l, err)
	}
	if len(conflicts) > 0 {
		s.Look, s.Conflict = false, other.Revision
		return c.keepSite(ctx, id, l, s, record(keyTheirs+id, t))
	}
	return c.merged(ctx, id, l, merged, here, other.Revision, labelYard)
}

func (t theirs) join(ours *storage.Document) (*storage.Document, []storage.Conflict, error) {
	other, err := storage.Decode(t.Text)
	if err != nil {
		return nil, nil, err
	}
	var base *storage.Document
	if t.Base != nil {
		if base, err = storage.Decode(t.Base); err != nil {
			return nil, nil, err
		}
	}
	return join(base, t.Contested, ours, other)
}

// merged keeps the merger of what is here with a version of the yard; the next
// revision sent comes from both. What here is not in the yard yet is written
// down to be sent before, so that it stands in the yard's history whatever of
// it the merger kept.
func (c *Client) merged(ctx context.Context, id string, l ledger, d *storage.Document, here storage.Loaded,
	with storage.Revision, label string) error {
	s := l.site(id)
	var before []storage.Record
	if s.Sending == nil && s.unsent(here.Revision) && !s.refusedAt(here.Revision) {
		text, err := storage.Encode(here.Document)
		if err != nil {
			return err
		}
		parents := s.parents()
		s.Sending = &sending{storage.NameRevision(text, parents...), parents, here.Revision}
		before = []storage.Record{{Key: keySend + id, Value: text}}
	}
	_, err := c.store.Receive(ctx, d, here.Revision, label, l.still(id),
		func(storage.Revision) []storage.Record {
			s.With = append(slices.Clone(s.With), with)
			s.Conflict, s.Look, s.Local = "", true, ""
			return append(before, record(keySite+id, s), removed(keyTheirs+id))
		})
	return err
}

// poll asks what changed in the yard since the last time.
func (c *Client) poll(ctx context.Context, l ledger) (more bool, err error) {
	after := l.cursor()
	var answer struct {
		Changes []struct {
			Site, Deleted string
			Away          bool // it is another crew's
			Heads         []storage.Revision
			Lacks         []string
			Damaged       []struct {
				Revision storage.Revision
				Parents  []storage.Revision
			}
		}
		Next, Newest int64
		Rules        int64 // revision of the shop's rules; 0 from a yard that has none
		yardSeen
	}
	if err := c.askJSON(ctx, "/api/v1/changes?limit=200&after="+strconv.FormatInt(after, 10), &answer); err != nil {
		return false, err
	}
	if answer.Changes == nil {
		return false, ErrGarbled
	}
	if answer.yardSeen.known() && answer.yardSeen != l.seen() || answer.Newest < after {
		// Another yard, or it was put back to an earlier time; or it says for the first
		// time who it is, and nobody knows what it was before.
		return true, c.forget(ctx, l, answer.yardSeen)
	}
	still := []storage.Record{l.as(keyCursor)}
	var records []storage.Record
	lookAt := func(id string) {
		s := l.site(id)
		s.Look, s.Gone, s.Away = true, "", false
		still = append(still, l.as(keySite+id))
		records = append(records, record(keySite+id, s))
	}
	for _, change := range answer.Changes {
		if change.Deleted != "" {
			records = append(records, record(keyGone+change.Site, deletion{At: change.Deleted}))
			if s := l.site(change.Site); l.record(keySite+change.Site) != nil {
				s.Gone = change.Deleted
				still, records = append(still, l.as(keySite+change.Site)), append(records, record(keySite+change.Site, s))
			}
			continue
		}
		if change.Away {
			if s := l.site(change.Site); l.record(keySite+change.Site) != nil && s.Gone == "" {
				s.Gone, s.Away, s.Sending, s.Look = storage.WriteTime(c.options.Now()), true, nil, false
				still, records = append(still, l.as(keySite+change.Site)), append(records, record(keySite+change.Site, s),
					removed(keySend+change.Site))
			}
			continue
		}
		if l.record(keyGone+change.Site) != nil && !l.deletion(change.Site).Ask { // it was brought back
			records = append(records, removed(keyGone+change.Site))
		}
		if l.site(change.Site).Gone != "" {
			lookAt(change.Site)
			continue
		}
		for _, p := range change.Lacks { // it was damaged in the yard: it is sent again
			if string(l.record(keyPhoto+p)) == string(inYard) {
				records = append(records, removed(keyPhoto+p))
			}
		}
		if l.record(keySite+change.Site) == nil {
			continue
		}
		s := l.site(change.Site)
		look := !slices.Equal(change.Heads, []storage.Revision{s.Base})
		again := false
		for _, d := range change.Damaged {
			if d.Revision == s.Base && s.Sending == nil {
				text, err := c.store.Exchanged(ctx, keyBase+change.Site)
				if err != nil {
					return false, err
				}
				s.Sending, again = &sending{d.Revision, d.Parents, s.Local}, true
				records = append(records, storage.Record{Key: keySend + change.Site, Value: text})
			}
		}
		if look || again {
			s.Look = s.Look || look
			still = append(still, l.as(keySite+change.Site))
			records = append(records, record(keySite+change.Site, s))
		}
	}
	if r, changed := l.shop().newer(answer.Rules); changed {
		still, records = append(still, l.as(keyShop)), append(records, r)
	}
	if answer.Next == after && len(records) == 0 {
		return false, nil
	}
	more = len(records) > 0 || answer.Next < answer.Newest // else it was all of sites that are not here, or as they are
	records = append(records, storage.Record{Key: keyCursor, Value: []byte(strconv.FormatInt(answer.Next, 10))})
	return more, c.store.KeepExchanged(ctx, still, records)
}

// Fetch brings a site of the yard to this device. One that is here already is
// only looked at anew. Errors: ErrNotInYard and those of Step.
func (c *Client) Fetch(ctx context.Context, id string) error {
	c.step.Lock()
	defer c.step.Unlock()
	in, err := c.store.Inventory(ctx, keyPairing, keyYard, keySite)
	if err != nil {
		return err
	}
	l := c.ledger(in)
	for _, site := range in.Sites {
		if site.ID == id {
			s := l.site(id)
			s.Look = s.Base != ""
			return c.keepSite(ctx, id, l, s)
		}
	}
	heads, err := c.heads(ctx, id, "")
	if err != nil {
		return err
	}
	name := heads[0].Revision
	text, err := c.revision(ctx, id, name)
	if err != nil {
		return err
	}
	d, err := storage.Decode(text)
	if err != nil {
		return err
	}
	if d.ID != id {
		return ErrGarbled
	}
	_, err = c.store.Receive(ctx, d, "", labelFetched, l.still(id),
		func(at storage.Revision) []storage.Record {
			s := siteState{Base: name, Local: at, Look: len(heads) > 1}
			if again, err := storage.Encode(d); err != nil || !bytes.Equal(again, text) {
				s.Local = "" // migrated from an older version: send it back
			}
			return []storage.Record{record(keySite+id, s), {Key: keyBase + id, Value: text}, removed(keyGone + id)}
		})
	return err
}
