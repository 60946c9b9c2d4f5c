package keeping

import (
	"context"
	"errors"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/sites"
	"pegpour/app/yardlink"
	"pegpour/storage"
)

// Safety is what is known of how safe the things on this device are.
type Safety struct {
	*sites.List
	Link *yardlink.Link

	// Alone counts the sites that changed since the last back-up and are in no yard
	// either.
	Alone int

	room       storage.Estimate
	roomKnown  bool
	photoBytes int64 // of all photos here
	spare      int   // photos that the yard has as well
	spareBytes int64
	lastBackUp backUp
}

// NewSafety returns what is known of a list of sites and the link of its device.
func NewSafety(list *sites.List, link *yardlink.Link) *Safety {
	s := &Safety{List: list, Link: link}
	list.Counted, link.Counted = s.countAlone, s.countAlone
	link.Deleted = func() {
		if list.Listed {
			list.Read()
		}
	}
	return s
}

const (
	// keyBackUp is the record of the store that says what back-up was handed
	// over. A back-up does not hold it.
	keyBackUp = "last-back-up"
	// nudgeAfter is how many sites may be on this device only before the list of
	// sites says so.
	nudgeAfter = 3
	// fullAt is the part of the room from which on it is said to be nearly full.
	fullAt = 0.9
)

// ReadRoom finds out how much room there is and when the last back-up was.
func (s *Safety) ReadRoom() {
	store, client := s.Store, s.Link.Client()
	go func() {
		c := context.Background()
		room, err := store.Estimate(c)
		last, err2 := store.Exchanged(c, keyBackUp)
		var bytes, spareBytes int64
		sizes, _ := store.PhotoSizes(c) // without them nothing is said of photos
		for _, n := range sizes {
			bytes += n
		}
		spare, _ := client.Spare(c)
		for _, id := range spare {
			spareBytes += sizes[id]
		}
		s.Dispatch(func(app.Context) {
			s.room, s.roomKnown = room, err == nil
			s.photoBytes, s.spare, s.spareBytes = bytes, len(spare), spareBytes
			if err2 == nil {
				s.lastBackUp = readBackUp(last)
			}
			s.countAlone()
		})
	}()
}

// countAlone counts the sites that are nowhere but here.
func (s *Safety) countAlone() {
	s.Alone = 0
	for i := range s.Sites {
		site := &s.Sites[i].Summary
		if site.Demo || site.Condition != storage.Sound || site.Revision != "" &&
			s.lastBackUp.holds[site.ID] == site.Revision {
			continue
		}
		if s.Link.Status.Paired && s.Link.SiteTally(site.ID) == "" {
			continue
		}
		s.Alone++
	}
}

// backUp says when a back-up that was handed over was begun, RFC 3339, and what
// it holds at least of each site. A clock that is set back proves nothing, so the
// times of sites and back-up are not compared. The zero one was never made.
type backUp struct {
	at    string
	holds map[string]storage.Revision
}

// record is the time, and a line for each site with its revision.
func (b backUp) record() []byte {
	text := []byte(b.at)
	for id, revision := range b.holds {
		text = append(text, "\n"+id+" "+string(revision)...)
	}
	return text
}

// readBackUp reads a record. What it does not name is taken to be in no back-up.
func readBackUp(record []byte) backUp {
	at, rest, _ := strings.Cut(string(record), "\n")
	b := backUp{at: at, holds: map[string]storage.Revision{}}
	for line := range strings.SplitSeq(rest, "\n") {
		if id, revision, found := strings.Cut(line, " "); found {
			b.holds[id] = storage.Revision(revision)
		}
	}
	return b
}

// Nudge is a quiet bar on the list of sites: some are nowhere but here.
func (s *Safety) Nudge() app.UI {
	if s.Alone < nudgeAfter || !s.Link.Known {
		return app.Text("")
	}
	return app.Elem("div").Class("bar").ID("nudge").Role("status").Body(
		element.Text("span", "", s.SayCount(s.Alone, "One site is on this device only.", "{0} sites are on this device only.")),
		app.A().Href("/safe").Text(s.Say("Back up")))
}

// ListLine is the line of the list of sites that leads to keeping safe.
func (s *Safety) ListLine() app.UI {
	return app.A().Class("tally").Href("/safe").ID("safe-line").Body(
		element.Text("span", "tally-name", s.Say("Keep safe")), element.Text("span", "tally-words", s.backUpWords()))
}

func (s *Safety) backUpWords() string {
	if s.lastBackUp.at == "" {
		return s.Say("no back-up yet")
	}
	return s.SayWith("last back-up {0}", s.LocalTime(s.lastBackUp.at))
}

func (s *Safety) lastBackUpSentence() string {
	if s.lastBackUp.at == "" {
		return s.Say("No back-up was made on this device yet.")
	}
	return s.SayWith("The last one was made at {0}.", s.LocalTime(s.lastBackUp.at))
}

func (s *Safety) nearlyFull() bool {
	return s.room.Quota > 0 && float64(s.room.Used) > fullAt*float64(s.room.Quota)
}

// Show shows a screen of the list or of what is on this device: it reads the list,
// and then how things stand.
func (s *Safety) Show(ctx app.Context) {
	s.Open(ctx, func() {
		s.Link.Watch()
		s.ReadRoom()
	})
}

// readingWords say what went wrong with a file or with the store.
func readingWords(l *language.Speaker, err error) string {
	var no *storage.BackUpError
	switch {
	case errors.As(err, &no):
		return l.RefusalWords(no.Reason)
	case errors.Is(err, storage.ErrFull):
		return l.Say("this device has no room left.")
	}
	return l.ErrorWords(err)
}
