package world

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/yard"
)

// The judge knows what people did and what the screens said, and nothing of how it
// is done.

// entry is one thing that a person entered.
type entry struct {
	p       *phone
	t       *tab // where
	site    string
	place   string
	token   string // what it put there, of its own; "" where it removed something
	saw     string // what stood there on the screen
	seq     int
	kept    bool // the screen said that it is kept
	noted   bool // the screen said that it is not kept yet: it is written down elsewhere
	excused bool // it went with what a person deleted, or the browser threw away
}

// act is what a person does in a step.
type act struct {
	entry     *entry
	any       string // a site of which any place may change
	settled   []storage.Conflict
	restoring bool // a back-up is restored
}

// places is what stands at each place of a site.
type places map[string]string

// token finds what an entry put somewhere.
var tokenForm = regexp.MustCompile(`p\d+e\d+|[0-9a-f]{64}`)

// placeOf is the place of a path: that of a note, or the path itself.
func placeOf(path string) string {
	if id, ok := noteAt(path); ok {
		return "/notes/@" + id
	}
	return path
}

func noteAt(path string) (id string, ok bool) {
	rest, ok := strings.CutPrefix(path, "/notes/@")
	id, _, _ = strings.Cut(rest, "/")
	return id, ok
}

// placesOf reads a document without the program's own reader.
func (w *world) placesOf(text []byte) places {
	if p, read := w.readBefore[string(text)]; read {
		return p
	}
	var d struct {
		Notes  []struct{ ID, Text string }
		Photos []struct{ ID string }
		Survey struct{ Site map[string]string }
	}
	var top map[string]json.RawMessage
	p := places{}
	if json.Unmarshal(text, &d) != nil || json.Unmarshal(text, &top) != nil {
		return p
	}
	for _, n := range d.Notes {
		if _, twice := p["/notes/@"+n.ID]; twice {
			w.accuse("note %s is there twice", n.ID)
		}
		p["/notes/@"+n.ID] = n.Text
	}
	for _, f := range d.Photos {
		if _, twice := p["/photos/@"+f.ID]; twice {
			w.accuse("photo %s is there twice", f.ID)
		}
		p["/photos/@"+f.ID] = f.ID
	}
	for _, name := range []string{"name", "client"} {
		if v := d.Survey.Site[name]; v != "" {
			p["/survey/site/"+name] = v
		}
	}
	for name, v := range top {
		if strings.HasPrefix(name, "x-") {
			p["/"+name] = tokenForm.FindString(string(v))
		}
	}
	at := map[string]string{}
	for place, token := range p {
		if token == "" {
			continue
		}
		if other, twice := at[token]; twice {
			w.accuse("%s stands at %s and at %s", token, place, other)
		}
		at[token] = place
	}
	w.readBefore[string(text)] = p
	return p
}

func placesOfDocument(w *world, d *storage.Document) places {
	text, err := storage.Encode(d)
	must(err)
	return w.placesOf(text)
}

// read are the places of a revision that a yard has.
func (w *world) read(h *house, site string, name storage.Revision) places {
	if p, read := w.revisions[name]; read {
		return p
	}
	text, _, err := h.yard.Revision(context.Background(), site, name)
	must(err)
	p := w.placesOf(text)
	w.revisions[name] = p
	return p
}

// replaced notes that one thing took the place of another, or of it nothing is left.
func (w *world) replaced(site, old, by string) {
	if old == "" || old == by {
		return
	}
	if w.replacedBy[site] == nil {
		w.replacedBy[site] = map[string][]string{}
	}
	w.replacedBy[site][old] = append(w.replacedBy[site][old], by)
}

// left reports whether a token, or what took its place, is among those here; or
// somebody removed it.
func (w *world) left(site, token string, here func(string) bool) bool {
	seen := map[string]bool{}
	queue := []string{token}
	for len(queue) > 0 {
		at := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if at == "" || here(at) {
			return true
		}
		if !seen[at] {
			seen[at] = true
			queue = append(queue, w.replacedBy[site][at]...)
		}
	}
	return false
}

// judgeStep judges what a step changed in the phone's store.
func (p *phone) judgeStep(doing *act, before, after map[string]places) {
	w := p.w
	said := map[string]bool{} // replaced, as a screen said
	for _, t := range p.tabs {
		for _, c := range t.site.Overwrote {
			for _, token := range tokenForm.FindAllString(string(c.Before), -1) {
				said[token] = true
				if t.site.Doc != nil && !strings.Contains(string(c.After), token) {
					w.replaced(t.site.Doc.ID, token, tokenForm.FindString(string(c.After)))
				}
			}
		}
		t.site.Overwrote = nil
	}
	for _, site := range slices.Sorted(maps.Keys(before)) {
		was, is := before[site], after[site]
		if is == nil && slices.ContainsFunc(p.undoing, func(u undone) bool { return u.site == site }) {
			p.gone(site)
			continue
		}
		for _, place := range slices.Sorted(maps.Keys(was)) {
			old, now := was[place], is[place]
			if old == now || old == "" {
				continue
			}
			switch {
			case doing != nil && doing.settled != nil: // as it was chosen; see below
			case doing != nil && doing.any == site:
				w.replaced(site, old, now)
			case doing != nil && doing.restoring:
				w.replaced(site, old, now)
			case slices.ContainsFunc(p.undoing, func(u undone) bool { return u.site == site }):
				w.replaced(site, old, now) // also while it syncs, once there is room
			case w.syncing: // others did it
			case p.asked(site, place, old, now, said):
				w.replaced(site, old, now)
			default:
				w.accuse("%s at %s of %s on %s became %q, and nobody was told", old, place, site, p.name, now)
			}
		}
	}
	if doing != nil {
		for _, c := range doing.settled {
			for _, side := range []json.RawMessage{c.Base, c.Ours, c.Theirs} {
				for _, token := range tokenForm.FindAllString(string(side), -1) {
					w.replaced(doing.any, token, after[doing.any][placeOf(c.Path)])
				}
			}
		}
	}
	p.undoing = slices.DeleteFunc(p.undoing, func(u undone) bool {
		return u.t.device.WaitingOf(u.site) == 0 || !slices.Contains(p.tabs, u.t)
	})
	p.judgeEntries(after)
}

// asked reports whether a person asked for now in the place of old, or was told.
func (p *phone) asked(site, place, old, now string, said map[string]bool) bool {
	saw := func(e *entry) bool {
		for at := e; at != nil; {
			if at.saw == old {
				return true
			}
			next := at.saw
			at = nil
			for _, o := range p.entries {
				if o.site == site && o.place == place && o.token == next && next != "" && o.seq < e.seq {
					at = o
				}
			}
		}
		return false
	}
	for _, e := range p.entries {
		if e.site == site && e.place == place && e.token == now && (said[old] || saw(e)) {
			return true
		}
	}
	return false
}

// judgeEntries finds what the screens now say is kept, and whether it is.
func (p *phone) judgeEntries(now map[string]places) {
	var said []*entry
	for _, e := range p.entries {
		if e.kept || e.excused || !slices.Contains(p.tabs, e.t) {
			continue
		}
		if e.t.device.WaitingOf(e.site) > 0 {
			e.noted = e.noted || e.t.device.Unsaved != ""
			continue
		}
		e.kept = true
		said = append(said, e)
		p.w.replaced(e.site, e.saw, e.token)
	}
	for _, e := range said {
		if !p.has(e, now[e.site]) {
			p.w.accuse("the screen of %s said that %q at %s of %s is kept, and it is not", p.name, e.token, e.place, e.site)
		}
		if _, photo := strings.CutPrefix(e.place, "/photos/@"); photo {
			p.photos[e.token] = e.site
		}
	}
}

// has reports whether an entry is on the phone: in its site, as what took its place,
// or beside the site.
func (p *phone) has(e *entry, now places) bool {
	if e.token == "" {
		return now[e.place] != e.saw || e.saw == "" || p.beside(e.saw)
	}
	return p.w.left(e.site, e.token, func(token string) bool { return slices.Contains(slices.Collect(maps.Values(now)), token) }) ||
		p.beside(e.token)
}

// beside reports whether an entry is kept beside its site, for a person to see.
func (p *phone) beside(token string) bool {
	for _, t := range p.tabs {
		for _, a := range t.device.Asides {
			if strings.Contains(a.Words()+a.Edit.Label, token) {
				return true
			}
		}
	}
	return false
}

// judgeStatus judges what the screen says of the yard.
func (p *phone) judgeStatus(s replication.Status) {
	if p.heard == nil {
		return
	}
	now := p.states()
	for _, id := range slices.Sorted(maps.Keys(s.Sites)) {
		if s.Sites[id].State != replication.InYard || !s.Paired {
			continue
		}
		here := p.house.tokens(id)
		for place, token := range now[id] {
			if tokenForm.MatchString(token) && !here[token] && !p.heard.holds(id, token) {
				p.w.accuse("%s said that %s is in the yard, and %s at %s is not", p.name, id, token, place)
			}
		}
	}
}

// judgeEnd judges a world that came to rest: what was said to be kept stands, or what took
// its place does; that it was once in the history is not enough.
func (w *world) judgeEnd() {
	for _, h := range w.houses {
		w.judgeHistory(h)
	}
	for _, p := range w.phones {
		now := p.states()
		all := map[string]map[string]bool{} // what stands on the phone, by site
		stands := func(e *entry) bool {
			if all[e.site] == nil {
				all[e.site] = map[string]bool{}
				for _, token := range now[e.site] {
					all[e.site][token] = true
				}
			}
			return w.left(e.site, e.token, func(token string) bool { return all[e.site][token] }) || p.beside(e.token)
		}
		for _, e := range slices.Backward(p.entries) {
			removed := e.token == "" && now[e.site][e.place] == ""
			if e.noted && !e.kept && (removed || e.token != "" && stands(e)) { // it was stored after all, in the place of what was seen
				w.replaced(e.site, e.saw, e.token)
			}
		}
		for _, e := range p.entries {
			if !e.excused && (e.kept || e.noted) && e.token != "" && !stands(e) {
				w.accuse("%s at %s of %s on %s was said to be %s, and is lost", e.token, e.place, e.site, p.name,
					map[bool]string{true: "kept", false: "kept later"}[e.kept])
			}
		}
		w.judgeAgreement(p, now)
		for _, t := range p.tabs {
			if n := t.device.Waiting(); n > 0 {
				w.accuse("%d calls of the store wait for ever on %s", n, p.name)
			}
			if d := t.site.Doc; d != nil {
				if !maps.Equal(placesOfDocument(w, d), now[d.ID]) {
					w.accuse("the screen of %s shows another state of %s than is stored", p.name, d.ID)
				}
			}
		}
	}
}

// judgeHistory judges a yard: what it said it has led to what is newest there, and
// its list of newest versions is what its history says.
func (w *world) judgeHistory(h *house) {
	sites, err := h.yard.Sites(context.Background(), yard.Query{})
	must(err)
	for _, s := range sites {
		l, seen := replication.Lineage{}, map[storage.Revision]bool{}
		for _, past := range h.history(s.ID) {
			if seen[past.Revision] {
				w.accuse("%s has %s of %s twice", h.name(), past.Revision, s.ID)
			}
			seen[past.Revision] = true
			if !past.Waiting {
				l[past.Revision] = past.Parents
			}
		}
		if heads := l.Heads(); !slices.Equal(heads, s.Heads) {
			w.accuse("%s has as newest of %s %v, and by its history %v", h.name(), s.ID, s.Heads, heads)
		}
		led := map[storage.Revision]bool{}
		for _, head := range s.Heads {
			maps.Copy(led, l.Ancestors(head))
		}
		for _, name := range h.now.took[s.ID] {
			if !led[name] {
				w.accuse("%s said that it has %s of %s, and it led to nothing", h.name(), name, s.ID)
			}
		}
	}
}

// judgeAgreement judges whether a phone holds what its yard does, and says so.
func (w *world) judgeAgreement(p *phone, now map[string]places) {
	ctx := context.Background()
	s, err := p.client.Status(ctx)
	must(err)
	p.judgeStatus(s)
	for _, id := range p.siteIDs() {
		heads := p.house.heads(id)
		if len(heads) != 1 {
			w.accuse("%s has %d newest versions of %s", p.house.name(), len(heads), id)
			continue
		}
		text, _, err := p.house.yard.Revision(ctx, id, heads[0])
		must(err)
		if raw, err := p.plain().Raw(ctx, id); err != nil || !bytes.Equal(raw, text) {
			w.accuse("%s does not hold of %s what the yard does", p.name, id)
		}
		if st := s.Sites[id]; st.State != replication.InYard || st.Photos != 0 {
			w.accuse("%s says of %s after all came to rest: %+v", p.name, id, st)
		}
		for place, token := range now[id] {
			photo, is := strings.CutPrefix(place, "/photos/@")
			if _, _, err := p.plain().Photo(ctx, photo); is && p.photos[photo] == id && (err != nil || p.house.photoBytes(token) == nil) {
				w.accuse("photo %s of %s was kept, and is not everywhere: %v", photo, p.name, err)
			}
		}
	}
	if s.Waiting != 0 || s.Conflicts != 0 {
		w.accuse("%s says after all came to rest that %d wait and %d conflict", p.name, s.Waiting, s.Conflicts)
	}
}

func (h *house) name() string { return fmt.Sprint("yard ", h.n) }
