package sites

import (
	"context"
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/progress"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// FarStep begins what FarOf gives of a site beyond its answers.
const FarStep = "step "

// FarOf is how far a site is: the number of its step behind FarStep once pegs stand, or
// else the number of its answers in digits.
func FarOf(d *storage.Document) string {
	if step := progress.Of(&d.Survey, d.Ticks); step >= progress.Pegged {
		return FarStep + strconv.Itoa(int(step))
	}
	n := 0
	for _, f := range survey.Fields(&d.Survey) {
		if f.Group != survey.GroupSite && f.Group != survey.GroupQuote && f.Answered(&d.Survey) {
			n++
		}
	}
	return strconv.Itoa(n)
}

// leftAfter is how long a new site of an earlier run, or of another tab, may stay
// untouched.
const leftAfter = time.Hour

// leaving is what the list knows when it is opened: which new sites may go by
// themselves is asked then and only then, as no other reading of the list means that
// a site was left.
type leaving struct {
	made   string          // the site that this run made last
	waits  map[string]bool // sites of which something is not stored yet
	inHand *storage.Document
}

// goesByItself takes a new site away into which nothing was ever put, once it was left:
// the one that this run made, or one of long ago. What was undone, sent, or still waits
// is something.
func (l *List) goesByItself(c context.Context, s *storage.Summary, left *leaving) bool {
	if left == nil || left.waits[s.ID] {
		return false
	}
	old, inHand := storage.WriteTime(time.Now().Add(-leftAfter)), left.inHand
	if s.Name != "" || s.Photos > 0 || s.Condition != storage.Sound ||
		s.ID != left.made && storage.CompareTimes(s.Created, old) > 0 ||
		inHand != nil && inHand.ID == s.ID && !untouched(inHand) {
		return false
	}
	loaded, err := l.Store.Load(c, s.ID)
	if err != nil || loaded.CanUndo || loaded.CanRedo || !untouched(loaded.Document) ||
		l.Store.DeleteUnchanged(c, s.ID, loaded.Revision) != nil {
		return false
	}
	l.Dispatch(func(app.Context) {
		if l.site.Doc != nil && l.site.Doc == inHand && inHand.ID == loaded.Document.ID {
			l.site.Doc, l.site.Asked = nil, ""
		}
	})
	return true
}

// untouched reports whether a site holds nothing but what every new one does.
func untouched(d *storage.Document) bool {
	fresh := *storage.NewDocument(d.Created)
	fresh.ID, fresh.Changed, fresh.ShopRules = d.ID, d.Changed, d.ShopRules
	fresh.Survey.Site.MeasuredOn, fresh.Survey.Site.MeasuredBy = d.Survey.Site.MeasuredOn, d.Survey.Site.MeasuredBy
	return sameSite(&fresh, d)
}
