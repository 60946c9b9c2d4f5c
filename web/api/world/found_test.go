package world

import (
	"slices"
	"testing"
)

// What drawn worlds found, each as short as it could be made.

// A server whose clock is set back went on shutting out a phone that had failed once.
func TestAServersClockIsSetBack(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"half an answer", 1, 999},
		{"paired elsewhere", 1, 743},
		{"sync", 1, 999},
		{"yard's clock", 1, 2},
	}})
}

// Pages of a network between, with each status they come with: none of them is what
// the yard says of a site, a photo or this phone.
func TestPagesOfTheNetwork(t *testing.T) {
	for n := range 10 {
		for _, before := range [][]event{
			{{edit, 0, 0}}, {{edit, 1, 0}, {sync, 1, 6}, {edit, 0, 0}}, {{photo, 0, 0}},
			{{edit, 1, 0}, {sync, 1, 6}},
		} {
			for requests := range 3 {
				all := slices.Clone(before)
				for range requests {
					all = append(all, event{sync, 0, 0})
				}
				holds(t, plan{Phones: 2, Events: append(all, event{captive, 0, n}, event{sync, 0, 0}, event{look, 0, 0})})
			}
		}
	}
}

// An edit made while taking something back still waited went off the screen, though
// it was stored.
func TestAnEditWhileUndoWaitsStaysOnTheScreen(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"edit", 0, 19},
		{"connection lost", 0, 8},
		{"undo", 0, 702},
		{"edit", 0, 534},
	}})
}

// The yard's refusal of a HEAD has no body, and is the yard's all the same.
func TestAPhoneIsShutOutBetweenTwoPhotos(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"photo", 1, 805},
		{"photo", 1, 624},
		{"sync", 1, 968},
		{"revoked", 1, 2},
	}})
}

// A yard of before it knew who it is was restored by a program that says so: a phone
// that slept meanwhile, while others made the list of changes longer than it was.
func TestAYardFromBeforeIsRestored(t *testing.T) {
	events := []event{{edit, 0, 0}, {sync, 0, 6}, {sync, 0, 6}, {restore, 1, 1}, {newSite, 1, 0}}
	for n := range 8 {
		events = append(events, event{edit, 1, 1 + 2*n}, event{sync, 1, 6})
	}
	holds(t, plan{Phones: 2, Layout: 1, Events: append(events, event{sync, 0, 6}, event{sync, 0, 6}, event{look, 0, 0})})
}

// Of two edits that waited, the first was stored beside what another tab had entered;
// the second then replaced that without a word.
func TestWhatTheSecondOfTwoEditsReplacesIsSaid(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"store full", 1, 0},
		{"undo", 1, 729},
		{"open tab", 1, 851},
		{"edit", 1, 7},
		{"edit", 1, 53},
		{"edit", 1, 756},
	}})
}

// A site was deleted in a call whose answer was lost: the screens that show it hear of
// it when the call is made again and finds nothing.
func TestADeletedSiteGoesOffTheScreens(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"edit", 0, 2},
		{"open tab", 0, 0},
		{"kept and failed", 0, 0},
		{"site deleted", 0, 2},
	}})
}

// Taking back was done though the store said that it failed, and was done once more
// when it was tried again.
func TestUndoIsMadeOnce(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"revoked", 0, 1},
		{"edit", 0, 60},
		{"sync", 0, 0},
		{"edit", 0, 25},
		{"edit", 0, 29},
		{"kept and failed", 0, 245},
		{"undo", 0, 398},
		{"edit", 0, 491},
		{"sync", 0, 14},
	}})
}

// What a person took back while the store was full is taken back once there is room,
// also in the middle of a sync: it is not lost.
func TestAnUndoWaitsForRoomAndIsMadeInASync(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"edit", 1, 3},
		{"store full", 1, 85},
		{"undo", 1, 27},
		{"store full", 1, 96},
		{"sync", 1, 1},
	}})
}

// A tab takes over what waits in another one. While both wait for room the other enters
// something newer, which what was taken over does not replace.
func TestWhatIsTakenOverReplacesNothingNewer(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"store full", 1, 2},
		{"edit", 1, 121},
		{"new site", 0, 13},
		{"open tab", 1, 562},
		{"edit", 1, 311},
		{"edit", 1, 34},
		{"look", 0, 854},
	}})
}

// A site was deleted in a call whose answer was lost, something was entered on the screen
// that still showed it, and it was deleted once more: what was entered goes with it, as
// somebody asked.
func TestASiteIsDeletedTwice(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 1, Events: []event{
		{"kept and failed", 1, 2},
		{"site deleted", 1, 13},
		{"edit", 1, 1},
		{"site deleted", 1, 876},
	}})
}

// A tab took over what waited in another one. The other entered something newer before
// the first was done: that stays where it is kept until somebody has taken it too.
func TestWhatIsEnteredAfterATakeOverStaysKept(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"store full", 0, 1},
		{"edit", 0, 0},
		{"open tab", 0, 1},
		{"edit", 0, 82},
		{"try again", 0, 0},
		{"edit", 0, 48},
		{"store full", 0, 98},
		{"sync", 0, 1},
		{"edit", 0, 38},
		{"reload", 0, 2},
	}})
}

// A yard was restored twice, and between took a site from a phone that asked for no
// changes: that phone cannot know yet that the second restore lost it again.
func TestAYardIsRestoredTwiceUnheard(t *testing.T) {
	holds(t, plan{Phones: 3, Layout: 0, Events: []event{
		{"edit", 1, 623},
		{"server restored", 1, 1},
		{"new site", 1, 25},
		{"sync", 1, 1},
		{"server restored", 1, 234},
		{"look", 1, 183},
	}})
}

// A tab took over what waits in another one, which goes on: it stored that by itself and
// took it back. What was taken over is not stored once more.
func TestWhatIsTakenBackElsewhereStaysTakenBack(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"store full", 0, 182},
		{"edit", 0, 424},
		{"open tab", 0, 34},
		{"time passes", 1, 60},
		{"edit", 0, 76},
	}})
}

// What waits of a site that is not in hand any more is set aside where another tab
// entered something newer: no screen would say that it was replaced.
func TestWhatWaitsOfASiteLeftIsSetAsideForWhatIsNewer(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"edit", 0, 344},
		{"call fails", 0, 978},
		{"edit", 0, 15},
		{"call fails", 0, 1},
		{"try again", 0, 429},
		{"open tab", 0, 56},
		{"new site", 1, 90},
		{"edit", 0, 148},
		{"edit", 0, 29},
	}})
}
