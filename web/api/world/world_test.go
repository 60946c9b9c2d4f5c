// Package world plays phones, offices and yards with everything that goes wrong
// between them, and judges what becomes of what people entered. All of a run follows
// from its plan; one that fails is made as short as it can be, and printed as a test.
package world

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	stdsync "sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
)

// world is one run.
type world struct {
	testing.TB // of which only Helper and Fatalf are called

	folder   string
	yardSkew time.Duration
	houses   []*house
	phones   []*phone
	sites    []string
	late     []late
	runs     int // of pages
	seq      int
	syncing  bool // what changes in a store comes from the yard
	quiet    bool // nothing goes wrong any more

	backwards bool // what is late arrives in another order

	counts     map[kind]int
	trace      []string
	replacedBy map[string]map[string][]string // by site
	readBefore map[string]places
	revisions  map[storage.Revision]places
}

// accusation ends a run that broke a promise.
type accusation string

func (w *world) accuse(format string, values ...any) {
	panic(accusation(fmt.Sprintf(format, values...)))
}

func (w *world) Helper() {}

func (w *world) Fatalf(format string, values ...any) { w.accuse(format, values...) }

func must(err error) {
	if err != nil {
		panic(err)
	}
}

func (w *world) now() time.Time { return time.Now().AddDate(26, 5, 0) }

func (w *world) fire(k kind) { w.counts[k]++ }

func (w *world) note(format string, values ...any) {
	w.trace = append(w.trace, fmt.Sprintf(format, values...))
}

func (w *world) next() int {
	w.seq++
	return w.seq
}

// site is one of the sites there are.
func (w *world) site(n int) string { return w.sites[n%len(w.sites)] }

var picture = stdsync.OnceValue(func() []byte {
	var b bytes.Buffer
	must(png.Encode(&b, image.NewGray(image.Rect(0, 0, 10, 10))))
	return b.Bytes()
})

// withoutIdentity is an answer as a yard gives it that does not know who it is.
func withoutIdentity(body []byte) []byte {
	var all map[string]json.RawMessage
	if json.Unmarshal(body, &all) != nil {
		return body
	}
	delete(all, "yard")
	delete(all, "generation")
	out, err := json.Marshal(all)
	must(err)
	return out
}

// play plays a plan in a bubble of time, and returns what it broke.
func play(t *testing.T, p plan, counts map[kind]int) (broken string, trace []string) {
	parent := ""
	if s, err := os.Stat("/dev/shm"); err == nil && s.IsDir() {
		parent = "/dev/shm" // these runs pull no plug
	}
	folder, err := os.MkdirTemp(parent, "pegpour-world-")
	require.NoError(t, err)
	defer os.RemoveAll(folder)
	synctest.Test(t, func(t *testing.T) {
		w := &world{
			folder: folder, sites: []string{"site0"}, counts: counts, replacedBy: map[string]map[string][]string{},
			readBefore: map[string]places{}, revisions: map[storage.Revision]places{},
		}
		defer func() {
			trace = w.trace
			for _, h := range w.houses {
				_ = h.yard.Close()
			}
			if what := recover(); what != nil {
				broken = fmt.Sprint(what)
				if _, is := what.(accusation); !is {
					broken += "\n" + string(debug.Stack())
				}
			}
		}()
		w.begin(p)
		for _, e := range p.Events {
			if e.Who < len(w.phones) {
				w.note("%s %s %d", w.phones[e.Who].name, e.Do, e.N)
				w.happen(w.phones[e.Who], e)
				time.Sleep(time.Second)
			}
		}
		w.rest()
		w.judgeEnd()
	})
	return broken, trace
}

// begin makes a yard, and phones that all have one site of it.
func (w *world) begin(p plan) {
	w.newHouse(p.Layout)
	for range p.Phones {
		w.add()
	}
	ctx := context.Background()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.ID = w.sites[0]
	_, err := w.phones[0].store.Create(ctx, d)
	must(err)
	for range 3 {
		_, err := w.phones[0].client.Step(ctx)
		must(err)
	}
	for _, p := range w.phones[1:] {
		must(p.client.Fetch(ctx, d.ID))
	}
	w.houses[0].backUp()
}

// happen has one thing happen. What goes wrong of itself is counted where it does.
func (w *world) happen(p *phone, e event) {
	n := e.N
	switch e.Do {
	case edit:
		p.edit(n)
	case sync:
		w.synced(func() { p.sync(1 + n%7) })
	case look:
		p.look()
	case fetch:
		w.synced(func() {
			err := p.client.Fetch(context.Background(), w.site(n))
			w.note("  fetches: %v", err)
			p.step(nil, func() {})
		})
	case newSite:
		p.createSite(n)
	case photo:
		p.takePhoto(n)
	case undo:
		p.undo(n)
	case settle:
		p.settle(n)
	case openTab:
		if len(p.tabs) < 3 {
			p.openTab()
		}
	case reload:
		if len(p.tabs) > 0 {
			p.tab(n).close()
			p.openTab()
		}
	case retry:
		t := p.tab(n)
		p.step(nil, func() { t.site.Retry(t.stage); t.stage.Rest() })
	case pass:
		time.Sleep(time.Duration(1+n%200) * time.Second)
		p.step(nil, func() {})
	case arrive:
		w.arrive()
	case backUp:
		p.house.backUp()
	case backPhone:
		p.keepBackUp()
	case reorder:
		w.backwards = true
		for range 2 + n%3 {
			p.line = append(p.line, event{Do: delay, Who: e.Who, N: n})
		}
	case oneWay:
		p.deaf = 1 + n%9
	case cut, loseAnswer, answerLate, delay, double, captive, half, busy:
		for range 1 + n/10%3 {
			p.line = append(p.line, e)
		}
	case full:
		p.disk.full = !p.disk.full
	case connection:
		p.disk.lost = 1 + n%9
	case evict:
		w.fire(evict)
		p.evict()
	case tear:
		p.disk.tear = true
	case failAt:
		p.disk.at, p.disk.keptAll = 1+n%25, false
	case keptAll:
		p.disk.at, p.disk.keptAll = 0, true
	case killTab:
		if len(p.tabs) > 0 {
			w.fire(killTab)
			p.tab(n).close()
		}
	case killPhone:
		w.fire(killPhone)
		p.kill()
	case clockPhone:
		w.fire(clockPhone)
		p.skew = jump(n)
	case clockYard:
		w.fire(clockYard)
		w.yardSkew = jump(n)
	default:
		w.happenToYard(p, e)
	}
}

// jump is how wrong a clock becomes: seconds to years, either way.
func jump(n int) time.Duration {
	return time.Duration(n%21-10) * []time.Duration{time.Second, time.Minute, time.Hour, 24 * time.Hour, 365 * 24 * time.Hour}[n%5]
}

func (w *world) happenToYard(p *phone, e event) {
	ctx, h := context.Background(), p.house
	switch e.Do {
	case killYard:
		w.fire(killYard)
		h.kill()
	case dieAt:
		h.dieAt = []string{"begin", "commit", "committed"}[e.N%3]
	case restore:
		w.fire(restore)
		h.restore(h.backUps[e.N%len(h.backUps)])
	case move:
		w.fire(move)
		h.move()
	case upgrade:
		if h.old {
			w.fire(upgrade)
			h.kill()
			h.old = false
		}
	case revoke:
		if d, err := p.client.Paired(ctx); err == nil {
			h.directly(func(y *yard.Yard) { err = y.Withdraw(ctx, d.ID) })
			if err == nil {
				w.fire(revoke)
			}
		}
	case pairOther:
		if len(w.houses) == 1 {
			w.newHouse(0)
		}
		w.fire(pairOther)
		p.house = w.houses[(h.n+1)%2]
		p.pair()
	case pairAgain:
		w.fire(pairAgain)
		p.pair()
	case unpair:
		w.fire(unpair)
		_ = p.client.Unpair(ctx)
	case restPhone:
		p.restoreBackUp()
	case deleteSite:
		p.deleteSite(w.site(e.N))
	case storeAway, storeLoses:
		h.store, h.storeCalls = e.Do, 1+e.N%5
		p.takePhoto(e.N) // else the store is hardly ever asked
		w.synced(func() { p.sync(7) })
	case movePhotos:
		if moved, err := h.yard.MovePhotos(ctx); moved > 0 {
			w.fire(movePhotos)
			w.note("  %d photos are moved: %v", moved, err)
		}
		if h.died { // on its way
			w.fire(dieAt)
			h.kill()
		}
	default:
		panic("nobody knows what " + string(e.Do) + " is")
	}
}

// synced has the yard's changes come to a phone.
func (w *world) synced(do func()) {
	w.syncing = true
	defer func() { w.syncing = false }()
	do()
}

// arrive has requests arrive that were delayed: the oldest or, where the network puts
// them in another order, all of them, the last first.
func (w *world) arrive() {
	all := w.late[:min(1, len(w.late))]
	if w.backwards && len(w.late) > 1 {
		w.fire(reorder)
		w.backwards = false
		slices.Reverse(w.late)
		all = w.late
	}
	w.late = slices.Clone(w.late[len(all):])
	for _, l := range all {
		_, err := l.to.answer(l.from, l.r)
		w.note("  %s %s of %s arrives: %v", l.r.Method, l.r.Path, l.from.name, err)
	}
}

// rest has nothing go wrong any more, and everybody do what is left to do.
func (w *world) rest() {
	w.note("all is quiet")
	w.quiet = true
	for len(w.late) > 0 {
		w.arrive()
	}
	for _, h := range w.houses {
		h.dieAt, h.storeCalls = "", 0
	}
	for _, p := range w.phones {
		d := p.disk
		d.full, d.lost, d.at, d.keptAll, d.tear = false, 0, 0, false, false
		if len(p.journals) > 0 || len(p.tabs) == 0 && len(w.phones) < 6 {
			p.openTab()
		}
		p.client.Hurry()
	}
	for round := 0; ; round++ {
		if round > 60 {
			w.accuse("the phones never agree that nothing is left to do")
		}
		time.Sleep(2 * time.Minute)
		busy := false
		for _, p := range w.phones {
			w.note("%s", p.name)
			p.step(nil, func() {
				for _, t := range p.tabs {
					t.site.Retry(t.stage)
					t.stage.Rest()
				}
			})
			busy = p.finish() || busy
		}
		if !busy && !w.settleOne() {
			time.Sleep(2 * time.Second) // screens look a moment after the last that was stored
			for _, p := range w.phones {
				p.step(nil, func() {})
			}
			return
		}
	}
}

// finish steps until the phone has nothing to do.
func (p *phone) finish() (busy bool) {
	w := p.w
	w.syncing = true
	defer func() { w.syncing = false }()
	for n := 0; ; n++ {
		if n > 600 {
			w.accuse("%s never comes to rest", p.name)
		}
		p.absent = false
		more, err := p.client.Step(context.Background())
		w.note("  steps: %v %v", more, err)
		switch {
		case err == replication.ErrUnpaired:
			p.pair()
		case err != nil:
			w.accuse("with a good line, %s: %v", p.name, err)
		case !more:
			p.step(nil, func() {})
			return busy
		}
		busy = busy || !p.absent // a photo that went with a phone is asked for again and again
	}
}

// settleOne has one person choose, where anybody has to.
func (w *world) settleOne() bool {
	for _, p := range w.phones {
		w.note("%s", p.name)
		if p.settle(len(w.trace)) {
			return true
		}
	}
	return false
}

// shortened leaves out of a run that fails, which was made simple already, each event
// without which it still fails.
func shortened(t *testing.T, p plan) (shorter plan, broken string, trace []string) {
	end := time.Now().Add(time.Minute)
	for size := max(len(p.Events)/2, 1); size > 0; size /= 2 {
		for at := 0; at+size <= len(p.Events) && time.Now().Before(end); {
			less := p
			less.Events = slices.Concat(p.Events[:at], p.Events[at+size:])
			if b, _ := play(t, less, map[kind]int{}); b != "" {
				p = less
			} else {
				at++
			}
		}
	}
	broken, trace = play(t, p, map[kind]int{})
	return p, broken, trace
}

// holds fails a test when a run breaks a promise.
func holds(t *testing.T, p plan) {
	t.Helper()
	if broken, trace := play(t, p, map[kind]int{}); broken != "" {
		t.Log(strings.Join(trace, "\n"))
		t.Error(broken)
	}
}

// TestWorld plays drawn worlds. PEGPOUR_WORLDS is how many, PEGPOUR_FROM where the
// drawing begins.
func TestWorld(t *testing.T) {
	worlds := apitest.Setting("PEGPOUR_WORLDS", 150)
	for name, value := range map[string]string{
		"rapid.checks": strconv.Itoa(worlds), "rapid.seed": strconv.Itoa(1 + apitest.Setting("PEGPOUR_FROM", 0)),
		"rapid.nofailfile": "true", "rapid.shrinktime": "20s",
	} {
		require.NoError(t, flag.Set(name, value))
	}
	counts := map[kind]int{}
	begun := time.Now()
	var failing *plan
	defer func() {
		if failing != nil {
			p, broken, trace := shortened(t, *failing)
			t.Logf("%s\n%s\n%s", broken, p, strings.Join(trace, "\n"))
		}
	}()
	rapid.Check(t, func(r *rapid.T) {
		p := drawPlan(r)
		broken, _ := play(t, p, counts)
		if broken != "" {
			failing = &p
			r.Fatalf("%s", broken)
		}
	})
	t.Logf("%d worlds in %s", worlds, time.Since(begun).Round(time.Second))
	for _, k := range faults {
		t.Logf("%8d  %s", counts[k], k)
		if counts[k] == 0 && worlds >= 100 {
			t.Errorf("%s never happened", k)
		}
	}
}
