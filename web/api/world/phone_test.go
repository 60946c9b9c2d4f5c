package world

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"time"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns/turnstest"
	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/yard"
)

// phone is a phone or an office with its store, the tabs that share it, and the
// client that sends.
type phone struct {
	w        *world
	n        int
	name     string
	disk     *disk
	skew     time.Duration // how wrong its clock is
	journals map[string]string
	tabs     []*tab
	store    storage.Store
	client   *replication.Client
	house    *house
	heard    *generation // who told it last who the yard is
	line     []event     // what goes wrong with the next requests
	deaf     int         // requests of which no answer comes
	absent   bool        // it asked for a photo that the yard does not have
	edits    int
	entries  []*entry
	undoing  []undone
	photos   map[string]string // kept, by identity: their sites
	backUp   []byte
}

// undone is a site at which a tab was told to take something back.
type undone struct {
	t    *tab
	site string
}

func (w *world) add() {
	p := &phone{w: w, n: len(w.phones), journals: map[string]string{}, photos: map[string]string{}, house: w.houses[0]}
	p.name = "p" + strconv.Itoa(p.n)
	p.disk = &disk{Memory: &storage.Memory{}, fired: w.fire}
	p.startClient()
	w.phones = append(w.phones, p)
	p.pair()
}

func (p *phone) now() time.Time { return p.w.now().Add(p.skew) }

func (p *phone) stamp() string { return storage.WriteTime(p.now()) }

func (p *phone) startClient() {
	p.store = storage.NewStore(p.disk, p.stamp)
	p.client = replication.NewClient(p.store, p, replication.Options{
		Now: p.now, Random: func() float64 { return 0.5 }, PieceBytes: 600,
	})
}

// plain is the phone's store as it is, for the judge: nothing fails in it.
func (p *phone) plain() storage.Store { return storage.NewStore(p.disk.Memory, p.stamp) }

func (p *phone) pair() {
	role := yard.Crew
	if p.n%5 == 4 {
		role = yard.Office
	}
	var code string
	var err error
	p.house.directly(func(y *yard.Yard) { code, _, err = y.NewCode(context.Background(), role) })
	must(err)
	err = p.client.Pair(context.Background(), code, p.name)
	p.w.note("  pairs: %v", err)
}

// tab is one page of the program.
type tab struct {
	p      *phone
	stage  *turnstest.Stage
	device *editing.Device
	site   *editing.Site
	disk   *ownDisk
}

// ownDisk is the phone's disk as one tab has it: a tab that is gone writes no more.
type ownDisk struct {
	*disk
	gone bool
}

func (d *ownDisk) View(ctx context.Context, do func(storage.Tx) error) error {
	if d.gone {
		return storage.ErrClosed
	}
	return d.disk.View(ctx, do)
}

func (d *ownDisk) Update(ctx context.Context, do func(storage.Tx) error) error {
	if d.gone {
		return storage.ErrClosed
	}
	return d.disk.Update(ctx, do)
}

// journal is what the browser keeps beside its store, a text for each run of a page.
type journal struct {
	p     *phone
	own   string
	taken map[string]string
}

func (j *journal) Write(text string) {
	if delete(j.p.journals, j.own); text != "" {
		j.p.journals[j.own] = text
	}
}

func (j *journal) Take() map[string]string {
	for key, text := range j.p.journals {
		if key != j.own {
			j.taken[key] = text
		}
	}
	return maps.Clone(j.taken)
}

func (j *journal) Text(key string) (string, bool) { return j.p.journals[key], true }

func (j *journal) Done() {
	for key, text := range j.taken {
		if j.p.journals[key] == text {
			delete(j.p.journals, key)
		}
	}
	clear(j.taken)
}

func (j *journal) Hold(int)  {}
func (j *journal) Held() int { return 0 }

func (p *phone) openTab() *tab {
	t := &tab{p: p, stage: turnstest.New(p.w), disk: &ownDisk{disk: p.disk}}
	t.device = editing.NewDevice(t.stage.Turns, &language.Speaker{}, func(context.Context) (storage.Store, error) {
		return storage.NewStore(t.disk, p.stamp), nil
	})
	p.w.runs++
	t.device.Journal = &journal{p: p, own: fmt.Sprintf("run %04d", p.w.runs), taken: map[string]string{}}
	t.site = editing.NewSite(t.device)
	t.device.Opened = func() { t.device.Store.Watch(t.site.ChangedElsewhere) }
	p.tabs = append(p.tabs, t)
	t.follow(p.w.sites[0])
	p.step(nil, t.stage.Rest)
	return t
}

func (t *tab) follow(site string) {
	t.stage.GoTo("/site/" + site + "/measure")
	t.site.Follow(t.stage, nil)
}

// at has the tab show a site; false when it cannot be opened.
func (t *tab) at(site string) bool {
	if t.site.Doc == nil || t.site.Doc.ID != site || t.device.Store == nil {
		t.p.step(nil, func() { t.follow(site); t.stage.Rest() })
	}
	return t.site.Doc != nil && t.site.Doc.ID == site
}

// tab is one of the phone's tabs; one is opened where there is none.
func (p *phone) tab(n int) *tab {
	if len(p.tabs) == 0 {
		return p.openTab()
	}
	return p.tabs[n%len(p.tabs)]
}

// close ends a tab without a word.
func (t *tab) close() {
	t.disk.gone = true
	t.p.tabs = slices.DeleteFunc(t.p.tabs, func(o *tab) bool { return o == t })
}

func (p *phone) kill() {
	for len(p.tabs) > 0 {
		p.tabs[0].close()
	}
	p.startClient()
	p.disk.powerCut = false
}

// step has something done on the phone, by a person where doing says what, and then
// looks what came of it in the store.
func (p *phone) step(doing *act, do func()) {
	before := p.states()
	do()
	for _, t := range p.tabs {
		t.stage.Rest()
	}
	p.judgeStep(doing, before, p.states())
	if p.disk.powerCut {
		p.kill()
	}
}

// states are the places of every site of the phone, as they are stored.
func (p *phone) states() map[string]places {
	all := map[string]places{}
	_ = p.disk.Memory.View(context.Background(), func(tx storage.Tx) error {
		records, err := tx.All(storage.TableDocuments, "")
		for _, r := range records {
			if r.Key != storage.ShopID {
				all[r.Key] = p.w.placesOf(r.Value)
			}
		}
		return err
	})
	return all
}

// edit has a person change something in a tab.
func (p *phone) edit(n int) {
	w := p.w
	site := w.site(n)
	t := p.tab(n / 7)
	if !t.at(site) {
		w.note("  %s cannot open %s: %s", p.name, site, t.device.Failure)
		return
	}
	p.edits++
	token := fmt.Sprintf("%se%d", p.name, p.edits)
	quoted := json.RawMessage(strconv.Quote(token))
	shown := placesOfDocument(w, t.site.Doc)
	notes := slices.Sorted(func(yield func(string) bool) {
		for place := range shown {
			if id, ok := noteAt(place); ok && !yield(id) {
				return
			}
		}
	})
	c := storage.Change{Path: "/notes/@" + token, After: json.RawMessage(`{"id":"` + token + `","text":"` + token + `"}`)}
	switch n / 11 % 8 {
	case 2:
		c = storage.Change{Path: "/x-" + p.name, After: quoted}
	case 3:
		c = storage.Change{Path: "/survey/site/name", After: quoted}
	case 4:
		c = storage.Change{Path: "/survey/site/client", After: quoted}
	case 5:
		if len(notes) > 0 {
			c = storage.Change{Path: "/notes/@" + notes[n/3%len(notes)] + "/text", After: quoted}
		}
	case 6:
		if len(notes) > 0 {
			c = storage.Change{Path: "/notes/@" + notes[n/3%len(notes)]}
		}
	}
	e, err := storage.Rebase(t.site.Doc, storage.Edit{Label: token, Changes: []storage.Change{c}})
	must(err)
	place := placeOf(c.Path)
	made := &entry{p: p, t: t, site: site, place: place, token: token, saw: shown[place], seq: w.next()}
	if c.After == nil {
		made.token = ""
	}
	p.entries = append(p.entries, made)
	w.note("  %s %s: %q to %q", site, place, made.saw, made.token)
	p.step(&act{entry: made}, func() { t.site.Commit(t.stage, e, nil); t.stage.Rest() })
}

func (p *phone) undo(n int) {
	t := p.tab(n / 7)
	site := p.w.site(n)
	if !t.at(site) || !t.site.CanUndo || t.device.WaitingOf(site) > 0 {
		return
	}
	p.undoing = append(p.undoing, undone{t, site})
	p.step(nil, func() {
		t.site.Undo()
		t.stage.Rest()
	})
}

func (p *phone) takePhoto(n int) {
	t := p.tab(n / 7)
	site := p.w.site(n)
	if !t.at(site) || t.device.Waiting() > 0 {
		return
	}
	p.edits++
	data := append(bytes.Clone(picture()), bytes.Repeat([]byte(p.name+strconv.Itoa(p.edits)), 20+n%300)...)
	id, err := p.store.PutPhoto(context.Background(), "image/png", data)
	if err != nil {
		return
	}
	e, err := storage.PutPhoto(t.site.Doc, storage.Photo{ID: id})
	must(err)
	made := &entry{p: p, t: t, site: site, place: "/photos/@" + id, token: id, seq: p.w.next()}
	p.entries = append(p.entries, made)
	p.step(&act{entry: made}, func() { t.site.Commit(t.stage, e, nil); t.stage.Rest() })
}

// sync has the client do some of what there is to do.
func (p *phone) sync(steps int) {
	for range steps {
		more, err := p.client.Step(context.Background())
		p.w.note("  steps: %v %v", more, err)
		if p.disk.powerCut {
			break
		}
		if !more {
			break
		}
	}
	p.step(nil, func() {})
}

// settle has a person choose, where there is a conflict.
func (p *phone) settle(n int) bool {
	settled := false
	for _, site := range p.siteIDs() {
		conflicts, err := p.client.Conflicts(context.Background(), site)
		if err != nil || len(conflicts) == 0 {
			continue
		}
		choice := map[string]bool{}
		for i, c := range conflicts {
			choice[c.Path] = (n>>(i%8))&1 == 0
		}
		p.step(&act{settled: conflicts, any: site}, func() {
			err = p.client.Settle(context.Background(), site, choice)
			p.w.note("  settles %s %v: %v", site, choice, err)
		})
		settled = settled || err == nil
	}
	return settled
}

func (p *phone) siteIDs() []string {
	var ids []string
	_ = p.disk.Memory.View(context.Background(), func(tx storage.Tx) error {
		var err error
		ids, err = tx.Keys(storage.TableDocuments, "")
		return err
	})
	return slices.DeleteFunc(ids, func(id string) bool { return id == storage.ShopID })
}

// look has a person read what the screens say of the phone.
func (p *phone) look() {
	s, err := p.client.Status(context.Background())
	if err != nil {
		return
	}
	p.judgeStatus(s)
}

func (p *phone) createSite(n int) {
	w := p.w
	if len(w.sites) >= 4 {
		return
	}
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.ID = fmt.Sprintf("site%d", len(w.sites))
	_, err := p.store.Create(context.Background(), d)
	if err == nil || errors.Is(err, errConnection) {
		w.sites = append(w.sites, d.ID)
	}
}

// evict has the browser throw away all it keeps for the program.
func (p *phone) evict() {
	p.disk.Memory = &storage.Memory{}
	p.journals = map[string]string{}
	for _, e := range p.entries {
		e.excused = true
	}
	p.photos = map[string]string{}
	p.kill()
}

func (p *phone) deleteSite(site string) {
	t := p.tab(0)
	if t.device.Store == nil {
		return
	}
	if p.states()[site] == nil { // deleted before: what waited or lies beside goes with it now
		p.gone(site)
	}
	p.undoing = append(p.undoing, undone{t, site})
	p.step(nil, func() {
		t.device.Depart(site, nil, func() {})
		t.stage.Rest()
	})
}

// gone notes that a person deleted a site, with all that was entered there.
func (p *phone) gone(site string) {
	p.w.fire(deleteSite)
	for _, e := range p.entries {
		e.excused = e.excused || e.site == site
	}
	maps.DeleteFunc(p.photos, func(_, of string) bool { return of == site })
}

func (p *phone) keepBackUp() {
	var b bytes.Buffer
	if p.store.BackUp(context.Background(), &b) == nil {
		p.backUp = b.Bytes()
	}
}

func (p *phone) restoreBackUp() {
	if p.backUp == nil {
		p.keepBackUp() // to be restored the next time
		return
	}
	p.step(&act{restoring: true}, func() {
		if _, err := p.store.RestoreBackUp(context.Background(), bytes.NewReader(p.backUp), storage.KeepHere); err == nil {
			p.w.fire(restPhone)
		}
	})
}
