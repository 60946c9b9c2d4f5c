package yardlink

import (
	"pegpour/engine/sorting"

	"strconv"
	"strings"
	"time"

	"pegpour/app/language"
	"pegpour/storage/replication"
)

// SitesAndPhotos writes two counts as one sentence; which of the four depends on
// how many there are.
func SitesAndPhotos(l *language.Speaker, sites, photos int) string {
	switch {
	case photos == 0:
		return l.SayCount(sites, "One site is not yet in the yard", "{0} sites are not yet in the yard")
	case sites == 0:
		return l.SayCount(photos, "One photo is not yet in the yard", "{0} photos are not yet in the yard")
	case photos == 1:
		return l.SayCount(sites, "One site and one photo are not yet in the yard",
			"{0} sites and one photo are not yet in the yard")
	}
	return l.SayCount(sites, "One site and {1} photos are not yet in the yard",
		"{0} sites and {1} photos are not yet in the yard", strconv.Itoa(photos))
}

// NotInYard counts what has not reached the yard.
func (l *Link) NotInYard() int { return l.Status.Waiting + l.Status.WaitingPhotos }

// TallyWords say in one line how this device stands to the yard; "" before that
// is known.
func (l *Link) TallyWords() string {
	switch {
	case !l.Known:
		return ""
	case !l.Status.Paired:
		return l.Say("No yard: sites stay on this device")
	case l.Line.Shut:
		return l.Say("The yard does not let this device in")
	case l.NotInYard() > 0:
		return SitesAndPhotos(l.Speaker, l.Status.Waiting, l.Status.WaitingPhotos)
	case l.Status.Gone > 0:
		return l.SayCount(l.Status.Gone, "One site was deleted in the yard: a person has to choose",
			"{0} sites were deleted in the yard: a person has to choose")
	case l.Status.Conflicts > 0:
		return l.SayCount(l.Status.Conflicts, "One site has two versions: a person has to choose",
			"{0} sites have two versions: a person has to choose")
	}
	return l.Say("Everything is in the yard")
}

// SiteTally says how one site stands to the yard, in a few words; "" when there
// is nothing to say.
func (l *Link) SiteTally(id string) string {
	s, known := l.Status.Sites[id]
	if !l.Known || !l.Status.Paired || !known || s.State == replication.OnlyHere {
		return ""
	}
	switch {
	case s.State == replication.Refused:
		return l.Say("The yard does not take it")
	case s.State == replication.Gone && s.Away:
		return l.Say("Another crew's: choose")
	case s.State == replication.Gone:
		return l.Say("Deleted in the yard: choose")
	case s.State == replication.Conflicts:
		return l.Say("Two versions: choose")
	case s.State == replication.Waiting:
		return l.Say("Not yet in the yard")
	case s.Photos > 0:
		return l.SayCount(s.Photos, "One photo not yet in the yard", "{0} photos not yet in the yard")
	}
	return ""
}

// SiteWords say the same in a whole sentence, for the screen of the site.
func (l *Link) SiteWords(id string) string {
	s, known := l.Status.Sites[id]
	switch {
	case !l.Known || !known:
		return ""
	case s.State == replication.OnlyHere:
		return l.Say("A demo site: it is never sent to a yard.")
	case !l.Status.Paired:
		return l.Say("This device has no yard. A saved file opens on any other.")
	case s.State == replication.Refused:
		return l.SayWith("The yard does not take this site: {0}", l.RefusalWords(s.Reason))
	case s.State == replication.Gone && s.Away:
		return l.Say("The yard gave this site to another crew. This phone has changes of it that the yard never had: they can become a site of their own, or go.")
	case s.State == replication.Gone:
		return l.SayWith("The yard deleted this site on {0}. This phone has changes of it that the yard never had: they can become a site of their own, or go.",
			l.LocalTime(s.Gone))
	case s.State == replication.Conflicts:
		return l.Say("The yard has another version of this site.")
	case s.State == replication.Waiting && s.Photos > 0:
		return l.SayCount(s.Photos, "Not yet in the yard, nor is one photo.", "Not yet in the yard, nor are {0} photos.")
	case s.State == replication.Waiting:
		return l.Say("Not yet in the yard. It goes there by itself when there is signal.")
	case s.Photos > 0:
		return l.SayCount(s.Photos, "In the yard but for one photo.", "In the yard but for {0} photos.")
	case s.State == replication.Checking:
		return l.Say("In the yard. What the yard changed is being looked at.")
	}
	return l.Say("All of this site is in the yard.")
}

// InWords say how long until a time from now.
func InWords(l *language.Speaker, at, now time.Time) string {
	d := at.Sub(now)
	if d <= time.Second {
		return l.Say("It is being tried now.")
	}
	if d < 90*time.Second {
		return l.SayCount(int(d.Round(time.Second)/time.Second), "Next try in one second.", "Next try in {0} seconds.")
	}
	return l.SayCount(int(d.Round(time.Minute)/time.Minute), "Next try in one minute.", "Next try in {0} minutes.")
}

// SitesIn lists the sites that stand in a certain way to the yard, by name.
func (l *Link) SitesIn(which func(replication.SiteStatus) bool) []string {
	var ids []string
	for id, t := range l.Status.Sites {
		if which(t) {
			ids = append(ids, id)
		}
	}
	sorting.By(ids, func(a, b string) int {
		return strings.Compare(l.Status.Sites[a].Name+"\x00"+a, l.Status.Sites[b].Name+"\x00"+b)
	})
	return ids
}
