package keeping

import (
	"context"
	"io"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/sites"
	"pegpour/app/window"
	"pegpour/storage"
)

// Restoring is a back-up being looked at, or restored: a file, or what another phone
// handed over.
type Restoring struct {
	*Safety
	Name string           // what it is called on the screen
	Open func() io.Reader // gives the content from its beginning
	// Received joins sites that went on here and there.
	Received bool
	Done     bool // it was restored: Report says what was done
	Report   *storage.RestoreReport

	checking bool              // it is being read
	rules    storage.Restoring // what was chosen where the shop's rules differ; LookOnly: nothing yet
	fault    string            // the file's
}

// restoreOutcomes are the outcomes in the order in which they are listed, each
// with what restoring does.
var restoreOutcomes = []struct {
	outcome   storage.RestoreOutcome
	one, many string
	does      string
}{
	{storage.RestoreNew, "One is not here", "{0} are not here", "It is added."},
	{storage.RestoreNewer, "One is newer than here", "{0} are newer than here",
		"It takes the place of the older state here."},
	{storage.RestoreMerged, "One went on both there and here", "{0} went on both there and here",
		"What each changed is joined; undo takes it back."},
	{storage.RestoreConflict, "One went on in another way here", "{0} went on in another way here",
		"It is added beside, as a copy; the one here stays."},
	{storage.RestoreJoined, "One has settings of its own here", "{0} have settings of their own here",
		"What only the file sets is added; what only this device sets stays."},
	{storage.RestoreOlder, "One is older than here", "{0} are older than here", "The newer state here stays."},
	{storage.RestoreSame, "One is the same as here", "{0} are the same as here", "Nothing is done."},
	{storage.RestoreTooNew, "One was written by a newer version", "{0} were written by a newer version",
		"It is kept aside as it is, and opens once this program is updated."},
	{storage.RestoreDamaged, "One cannot be read", "{0} cannot be read", "It is kept aside, to be saved as it is."},
}

// restore looks at a back-up file first and then, asked again, restores it.
func (s *safeScreen) restore() app.UI {
	return element.Region("section", "safe", s.w.Say("Restore"),
		element.Text("h2", "", s.w.Say("Restore")),
		element.Text("p", "", s.w.Say("Choose a back-up file: first it is only looked at, and you see what it holds against what is here.")),
		element.Box("label", "wide open-file",
			element.Text("span", "", s.w.Say("Look into a back-up file")),
			app.Input().Type("file").Class("unseen").ID("restore-file").DataSet("do", "restore-file").
				OnChange(func(_ app.Context, e app.Event) {
					files := e.Get("target").Get("files")
					if files.Length() == 0 {
						return
					}
					chosen := files.Index(0)
					r := &s.restoring
					r.Name = chosen.Get("name").String()
					r.Open = func() io.Reader { return &window.Reader{File: chosen} }
					r.Look()
				})),
		s.restoring.Listed(),
	)
}

// Look finds what the content holds against what is here.
func (s *Restoring) Look() {
	s.rules = storage.LookOnly
	s.read(storage.LookOnly)
}

// read reads the content, and restores it unless how says to look only.
func (s *Restoring) read(how storage.Restoring) {
	w := s.Safety
	dry := how == storage.LookOnly
	restore, from := w.Store.RestoreBackUp, s.Open
	if s.Received {
		restore = w.Store.ReceiveBackUp
	}
	s.checking, s.Done, s.fault, s.Report = true, false, "", nil
	w.Background(func(context.Context) error {
		go func() {
			report, err := restore(context.Background(), from(), how)
			shop, shopErr := w.Store.Shop(context.Background())
			w.Dispatch(func(app.Context) {
				s.checking, s.Done = false, !dry
				if err != nil {
					s.fault = readingWords(w.Speaker, err)
				}
				if err == nil || len(report.Items) > 0 {
					s.Report = &report
				}
				if !dry {
					if shopErr == nil {
						w.UseShop(shop)
					}
					w.Read()
					w.Link.Watch()
					w.ReadRoom()
				}
			})
		}()
		return nil
	})
}

// changes counts what restoring would write.
func (r *Restoring) changes() int {
	n := r.Report.NewPhotos
	for _, item := range r.Report.Items {
		switch item.Outcome {
		case storage.RestoreNew, storage.RestoreNewer, storage.RestoreMerged, storage.RestoreConflict, storage.RestoreJoined,
			storage.RestoreDamaged, storage.RestoreTooNew:
			n++
		}
	}
	return n
}

// Listed says what the content holds against what is here, or what was done, and offers
// to restore it.
func (s *Restoring) Listed() app.UI {
	w, r := s.Safety, s.Report
	if r == nil {
		return element.Box("div", "",
			app.If(s.checking, element.Status("p", "quiet", "status", w.Say("Reading the file…"))),
			s.faultWords())
	}
	heading := w.Say("Nothing is written yet. This is what the file holds:")
	if s.Done {
		heading = w.Say("Restored. This is what the file held:")
		if s.fault != "" {
			heading = w.Say("Restored as far as the file could be read. This came before the fault:")
		}
	}
	made := ""
	if r.Made != "" {
		made = w.SayWith("{0}, made at {1}.", s.Name, w.LocalTime(r.Made))
		if s.Received {
			made = w.SayWith("{0}, changed {1}.", s.Name, w.LocalTime(r.Made))
		}
	}
	nothing := !s.Done && s.changes() == 0
	return app.Elem("div").Class("restores").ID("restore-report").DataSet("done", s.Done).Body(
		s.faultWords(),
		app.Elem("p").Role("status").Text(heading),
		element.Text("p", "quiet", made),
		element.Box("ul", "", app.Range(restoreOutcomes).Slice(func(i int) app.UI {
			o := restoreOutcomes[i]
			names := s.namesOf(w.Speaker, o.outcome)
			if len(names) == 0 {
				return app.Text("")
			}
			return app.Elem("li").DataSet("outcome", string(o.outcome)).DataSet("count", len(names)).Body(
				element.Text("strong", "", w.SayCount(len(names), o.one, o.many)+"."),
				app.Text(" "+w.Say(o.does)),
				element.Text("p", "quiet", strings.Join(names[:min(len(names), sites.Step)], ", ")+
					moreNames(w.Speaker, len(names)-sites.Step)))
		})),
		s.rulesChoice(),
		element.Text("p", "", photoCount(w.Speaker, r)),
		app.Range(lackWords(w.Speaker, r)).Slice(func(i int) app.UI {
			return element.Text("p", "error", lackWords(w.Speaker, r)[i])
		}),
		app.If(nothing && s.fault == "", app.Elem("p").ID("nothing-new").Role("status").
			Text(w.Say("All of it is here already: there is nothing to restore."))),
		app.If(!s.Done && !nothing, app.Button().Type("button").Class("primary").DataSet("do", "restore").
			Disabled(s.checking || s.undecided()).Text(s.restoreWords()).
			OnClick(func(app.Context, app.Event) { s.read(max(s.rules, storage.KeepHere)) })),
		app.If(s.Done, element.Link("wide", "/", w.Say("To the sites"))),
	)
}

// Settled reports whether there is nothing more to do: it was restored, or all is here.
func (r *Restoring) Settled() bool {
	return r.Done || r.Report != nil && r.fault == "" && r.changes() == 0
}

// differing counts what the shop here and that of the file set in different ways.
func (r *Restoring) differing() int {
	n := 0
	for _, item := range r.Report.Items {
		n += item.Differ
	}
	return n
}

// undecided reports whether somebody has to choose before anything is restored.
func (r *Restoring) undecided() bool { return r.rules == storage.LookOnly && r.differing() > 0 }

// rulesChoice asks which rules are to hold where they differ, and says afterwards
// which do.
func (s *Restoring) rulesChoice() app.UI {
	w, n := s.Safety, s.differing()
	if n == 0 {
		return app.Text("")
	}
	if s.Done {
		words := w.SayCount(n, "One rule or setting differed: the one here stayed.",
			"{0} rules or settings differed: those here stayed.")
		if s.rules == storage.TakeFile {
			words = w.SayCount(n, "One rule or setting differed: the file's was taken.",
				"{0} rules or settings differed: the file's were taken.")
		}
		return element.Known("p", "rules-done", "", "", words)
	}
	option := func(how storage.Restoring, name, words string) app.UI {
		return app.Button().Type("button").Class("wide").DataSet("rules", name).
			Aria("pressed", strconv.FormatBool(s.rules == how)).Text(words).
			OnClick(func(app.Context, app.Event) { s.rules = how }, name)
	}
	return app.Elem("div").ID("rules-choice").Role("group").Body(
		element.Text("p", "", w.SayCount(n, "One rule or setting of the shop is another one here than in the file. Which is to hold?",
			"{0} rules or settings of the shop are others here than in the file. Which are to hold?")),
		option(storage.KeepHere, "here", w.Say("Those of this device")),
		option(storage.TakeFile, "file", w.Say("Those of the file")))
}

func (s *Restoring) restoreWords() string {
	switch {
	case s.fault != "":
		return s.Say("Restore what can be read")
	case s.Received:
		return s.Say("Take it in")
	}
	return s.Say("Restore")
}

func (s *Restoring) faultWords() app.UI {
	return app.If(s.fault != "", element.Status("p", "error", "alert", s.SayWith("{0}: {1}", s.Name, s.fault)))
}

// lackWords say what of the file is left out.
func lackWords(l *language.Speaker, r *storage.RestoreReport) []string {
	var words []string
	if r.Unread > 0 {
		words = append(words, l.SayCount(r.Unread, "One entry of the file cannot be read and is left out.",
			"{0} entries of the file cannot be read and are left out."))
	}
	if r.DamagedPhotos > 0 {
		words = append(words, l.SayCount(r.DamagedPhotos, "One photo of the file is damaged and is left out.",
			"{0} photos of the file are damaged and are left out."))
	}
	if len(r.LostPhotosOf) > 0 {
		words = append(words, l.SayWith("Photos that are neither in the file nor here are missing at: {0}.",
			strings.Join(r.LostPhotosOf[:min(len(r.LostPhotosOf), sites.Step)], ", ")+moreNames(l, len(r.LostPhotosOf)-sites.Step)))
	}
	return words
}

func moreNames(l *language.Speaker, n int) string {
	if n <= 0 {
		return ""
	}
	return ", " + l.SayCount(n, "and one more", "and {0} more")
}

func photoCount(l *language.Speaker, r *storage.RestoreReport) string {
	if r.Photos == 0 {
		return l.Say("The file holds no photos.")
	}
	return l.SayCount(r.Photos, "The file holds one photo; not here: {1}.", "The file holds {0} photos; not here: {1}.",
		strconv.Itoa(r.NewPhotos))
}

// namesOf names what has an outcome.
func (r *Restoring) namesOf(l *language.Speaker, outcome storage.RestoreOutcome) []string {
	var names []string
	for _, item := range r.Report.Items {
		if item.Outcome != outcome {
			continue
		}
		name := item.Name
		switch {
		case item.ID == storage.ShopID:
			name = l.Say("Shop rules")
		case name == "" && (outcome == storage.RestoreDamaged || outcome == storage.RestoreTooNew):
			name = item.ID
		case name == "":
			name = l.Say("New site")
		}
		names = append(names, name)
	}
	return names
}
