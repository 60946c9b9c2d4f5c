package world

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"
)

// plan is all that a run is made of: whoever plays it again plays the same.
type plan struct {
	Phones int
	// Layout is that of the database which the first yard begins with, one that was
	// stored by an earlier program; 0: a new one.
	Layout int
	Events []event
}

// event is something that happens to one phone, or to the yard it goes to. N says
// which of the ways it can happen in.
type event struct {
	Do     kind
	Who, N int
}

type kind string

// What people do.
const (
	edit      kind = "edit"
	sync      kind = "sync"
	look      kind = "look"
	fetch     kind = "fetch"
	newSite   kind = "new site"
	photo     kind = "photo"
	undo      kind = "undo"
	settle    kind = "settle"
	openTab   kind = "open tab"
	reload    kind = "reload"
	retry     kind = "try again"
	pass      kind = "time passes"
	arrive    kind = "what was late arrives"
	backUp    kind = "back up"
	backPhone kind = "back up phone"
)

// What goes wrong, each counted when it does.
const (
	cut        kind = "cut"             // a request never arrives
	loseAnswer kind = "answer lost"     // it is carried out, and nobody hears
	answerLate kind = "answer late"     // the same, and the phone waits for long
	delay      kind = "delayed"         // it arrives later, when the phone has gone on
	reorder    kind = "reordered"       // those delayed arrive in another order
	double     kind = "doubled"         // it arrives twice
	oneWay     kind = "one way"         // no answer comes for a while
	captive    kind = "captive page"    // a page of the network answers
	half       kind = "half an answer"  // the answer is cut short
	busy       kind = "server busy"     // a proxy between asks to wait
	full       kind = "store full"      // for a while
	connection kind = "connection lost" // to the browser's store, for a few calls
	evict      kind = "evicted"         // the browser threw everything away
	tear       kind = "torn write"      // the power goes while a record is written
	failAt     kind = "call fails"      // the nth call of the store
	keptAll    kind = "kept and failed" // the store kept what it said it did not
	killTab    kind = "tab killed"
	killPhone  kind = "phone killed"
	clockPhone kind = "phone's clock"
	clockYard  kind = "yard's clock"
	killYard   kind = "server killed"
	dieAt      kind = "server dies at a change"
	restore    kind = "server restored"
	move       kind = "server moved"
	upgrade    kind = "server upgraded"
	revoke     kind = "revoked"
	pairOther  kind = "paired elsewhere"
	pairAgain  kind = "paired again"
	unpair     kind = "left the yard"
	restPhone  kind = "phone restored"
	deleteSite kind = "site deleted"
	storeAway  kind = "photo store refuses"     // for a few calls
	storeLoses kind = "photo store answer lost" // it did what it was asked
	movePhotos kind = "photos moved"            // from the database into the store
)

// work is what people do, the more often the more common it is.
var work = []kind{
	edit, edit, edit, edit, edit, edit, sync, sync, sync, sync, sync, look, look, fetch, newSite, photo, undo, settle,
	settle, openTab, reload, retry, pass, pass, arrive, backUp, backPhone,
}

// faults are all that can go wrong.
var faults = []kind{
	cut, loseAnswer, answerLate, delay, reorder, double, oneWay, captive, half, busy, full, connection, evict, tear, failAt,
	keptAll, killTab, killPhone, clockPhone, clockYard, killYard, dieAt, restore, move, upgrade, revoke, pairOther, pairAgain,
	unpair, restPhone, deleteSite, storeAway, storeLoses, movePhotos,
}

// drawPlan draws a run. Faults come in swarms: each run has a few kinds of them, and
// those often.
func drawPlan(t *rapid.T) plan {
	p := plan{
		Phones: rapid.SampledFrom([]int{2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 5, 5, 6, 8, 12, 20, 50}).Draw(t, "phones"),
		Layout: rapid.SampledFrom([]int{0, 0, 0, 0, 1, 2}).Draw(t, "layout"),
	}
	swarm := append([]kind{}, work...)
	chosen := rapid.SliceOfNDistinct(rapid.SampledFrom(faults), 0, 10, rapid.ID[kind]).Draw(t, "swarm")
	for range (len(work)/2 + len(chosen)) / max(len(chosen), 1) {
		swarm = append(swarm, chosen...)
	}
	some := rapid.Custom(func(t *rapid.T) event {
		return event{
			rapid.SampledFrom(swarm).Draw(t, "do"), rapid.IntRange(0, p.Phones-1).Draw(t, "who"), rapid.IntRange(0, 999).Draw(t, "n"),
		}
	})
	for range 9 { // in parts, for a long run: a list alone is drawn short
		p.Events = append(p.Events, rapid.SliceOfN(some, 0, 14).Draw(t, "events")...)
	}
	return p
}

// String is the run as a test that can be put into found_test.go.
func (p plan) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "func TestFound(t *testing.T) {\n\tholds(t, plan{Phones: %d, Layout: %d, Events: []event{\n", p.Phones, p.Layout)
	for _, e := range p.Events {
		fmt.Fprintf(&b, "\t\t{%q, %d, %d},\n", e.Do, e.Who, e.N)
	}
	b.WriteString("\t}})\n}\n")
	return b.String()
}
