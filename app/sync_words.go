package app

import (
	"strconv"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/storage/replication"
)

// holes puts texts into the holes {0}, {1} … of a sentence.
func holes(sentence string, texts ...string) string {
	pairs := make([]string, 0, 2*len(texts))
	for i, t := range texts {
		pairs = append(pairs, "{"+strconv.Itoa(i)+"}", t)
	}
	return strings.NewReplacer(pairs...).Replace(sentence)
}

// sitesAndPhotos writes two counts as one sentence; which of the four depends on
// how many there are.
func sitesAndPhotos(sites, photos int) string {
	switch {
	case photos == 0:
		return sayCount(sites, "One site is not yet in the yard", "{0} sites are not yet in the yard")
	case sites == 0:
		return sayCount(photos, "One photo is not yet in the yard", "{0} photos are not yet in the yard")
	case photos == 1:
		return sayCount(sites, "One site and one photo are not yet in the yard", "{0} sites and one photo are not yet in the yard")
	}
	return holes(sayCount(sites, "One site and {1} photos are not yet in the yard", "{0} sites and {1} photos are not yet in the yard"), strconv.Itoa(sites), strconv.Itoa(photos))
}

// notInYard counts what has not reached the yard.
func (w *workspace) notInYard() int { return w.status.Waiting + w.status.WaitingPhotos }

// tallyWords say in one line how this device stands to the yard; "" before that
// is known.
func (w *workspace) tallyWords() string {
	switch {
	case !w.statused:
		return ""
	case !w.status.Paired:
		return say("No yard: sites stay on this device")
	case w.line.Shut:
		return say("The yard does not let this device in")
	case w.notInYard() > 0:
		return sitesAndPhotos(w.status.Waiting, w.status.WaitingPhotos)
	case w.status.Conflicts > 0:
		return sayCount(w.status.Conflicts, "One site has two versions: a person has to choose", "{0} sites have two versions: a person has to choose")
	}
	return say("Everything is in the yard")
}

// siteTally says how one site stands to the yard, in a few words; "" when there
// is nothing to say.
func (w *workspace) siteTally(id string) string {
	s, known := w.status.Sites[id]
	if !w.statused || !w.status.Paired || !known || s.State == replication.OnlyHere {
		return ""
	}
	switch {
	case s.State == replication.Refused:
		return say("The yard does not take it")
	case s.State == replication.Conflicts:
		return say("Two versions: choose")
	case s.State == replication.Waiting:
		return say("Not yet in the yard")
	case s.Photos > 0:
		return sayCount(s.Photos, "One photo not yet in the yard", "{0} photos not yet in the yard")
	}
	return ""
}

// siteYardWords say the same in a whole sentence, for the screen of the site.
func (w *workspace) siteYardWords(id string) string {
	s, known := w.status.Sites[id]
	switch {
	case !w.statused || !known:
		return ""
	case s.State == replication.OnlyHere:
		return say("A demo site: it is never sent to a yard.")
	case !w.status.Paired:
		return say("This device has no yard. A saved file opens on any other.")
	case s.State == replication.Refused:
		return holes(say("The yard does not take this site: {0}"), w.refusalWords(s.Reason))
	case s.State == replication.Conflicts:
		return say("The yard has another version of this site.")
	case s.State == replication.Waiting && s.Photos > 0:
		return sayCount(s.Photos, "Not yet in the yard, nor is one photo.", "Not yet in the yard, nor are {0} photos.")
	case s.State == replication.Waiting:
		return say("Not yet in the yard. It goes there by itself when there is signal.")
	case s.Photos > 0:
		return sayCount(s.Photos, "In the yard but for one photo.", "In the yard but for {0} photos.")
	case s.State == replication.Checking:
		return say("In the yard. What the yard changed is being looked at.")
	}
	return say("All of this site is in the yard.")
}

// yardTally is the line of the list of sites that leads to the yard.
func (w *workspace) yardTally() app.UI {
	words := w.tallyWords()
	return app.A().Class("tally").Href("/sync").ID("tally").DataSet("waiting", strconv.Itoa(w.notInYard())).
		Body(app.Span().Class("tally-name").Text(say("Yard")), app.Span().Class("tally-words").Role("status").Text(words))
}

// yardLink stands in the bar of the list of sites, which does not scroll away:
// how many things are not in the yard yet.
func (w *workspace) yardLink() app.UI {
	words, spoken := say("Yard"), say("Yard")
	if n := w.notInYard(); w.statused && w.status.Paired && n > 0 {
		words = sayWith("Yard: {0}", strconv.Itoa(n))
	}
	if tally := w.tallyWords(); tally != "" {
		spoken = sayWith("Yard: {0}", tally)
	}
	return app.A().Class("quiet-link").ID("yard-link").Href("/sync").Aria("label", spoken).Text(words)
}

// sizeWords write a number of bytes for a person.
func sizeWords(bytes int64) string {
	switch {
	case bytes < 1000:
		return holes(say("{0} bytes"), strconv.FormatInt(bytes, 10))
	case bytes < 1000_000:
		return holes(say("{0} kB"), strconv.FormatInt((bytes+500)/1000, 10))
	case bytes < 100_000_000:
		return holes(say("{0} MB"), decimal(float64(bytes)/1e6, 1))
	case bytes < 1000_000_000:
		return holes(say("{0} MB"), strconv.FormatInt((bytes+500_000)/1000_000, 10))
	}
	return holes(say("{0} GB"), decimal(float64(bytes)/1e9, 1))
}

// inWords say how long until a time from now.
func inWords(at, now time.Time) string {
	d := at.Sub(now)
	if d <= time.Second {
		return say("It is being tried now.")
	}
	if d < 90*time.Second {
		return sayCount(int(d.Round(time.Second)/time.Second), "Next try in one second.", "Next try in {0} seconds.")
	}
	return sayCount(int(d.Round(time.Minute)/time.Minute), "Next try in one minute.", "Next try in {0} minutes.")
}
