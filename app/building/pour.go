package building

import (
	"math"
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/shell"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/casting"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// pourScreen is what is noted of the pour, and when it is hard.
type pourScreen struct {
	app.Compo
	hand
	typed ui.Typed
	set   string // counts reminders that were set, so that the screen shows them
}

func newPourScreen(w *editing.Site) *pourScreen {
	return &pourScreen{hand: hand{w: w}, typed: ui.NewTyped()}
}

// OnNav implements app.Navigator.
func (s *pourScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *pourScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *pourScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	title := element.Text("h2", "", w.Say("The pour"))
	if i, _, ok := s.entryOf(survey.PourHours); ok {
		return ui.SiteFrame(w, "more tool", title, s.hours(true), s.question(s.next, s.remove(survey.PourHours, i)))
	}
	if s.field != "" {
		return ui.SiteFrame(w, "more tool", title, s.question(s.next))
	}
	cure := casting.ReadCure(w.Survey(), w.Practice)
	return ui.SiteFrame(w, "more tool", title,
		s.judged(&cure),
		element.Text("h3", "", w.Say("What went in, and when")),
		s.moment(survey.PourBegan), s.moment(survey.PourEnded),
		element.Box("div", "told", s.line(survey.PourBags), s.words(survey.PourDocket), s.line(survey.PourDelivered), s.line(survey.PourStrength),
			element.Box("label", "setting whole", app.Text(w.Say("How fast the cement hardens")), s.choice(survey.PourCement, nil))),
		element.Text("h3", "", w.Say("Temperature of the concrete")),
		element.Box("div", "told", s.line(survey.PourWarmth), s.line(survey.PourExpected)),
		s.hours(false),
		do("add-hour", w.Say("Read the temperature now"), false, s.addHour),
		s.gained(&cure),
		element.Text("p", "quiet", w.Say("EN 1992-1-1: strength by age 3.1.2(6), age by temperature B.10. A first pass: whoever sells mix and anchors may say more.")),
		element.Link("wide", "/site/"+w.Doc.ID+"/build/poured", w.Say("As poured")),
		cautions(w, "concrete", "excavation"),
	)
}

// moment is a day and a time, by the clock on site.
func (s *pourScreen) moment(path string) app.UI {
	w := s.w
	f := survey.FieldOf(survey.Path(path))
	set := func(ctx app.Context, words string) {
		e, err := storage.SetWords(w.Doc, path, words)
		w.Commit(ctx, e, err)
	}
	return element.Box("div", "row moment",
		element.Box("label", "setting whole", app.Text(w.SayName(f.Name)),
			app.Input().Type("datetime-local").Class("words").DataSet("moment", path).Value(f.Words(&w.Doc.Survey)).
				OnChange(func(ctx app.Context, e app.Event) { set(ctx, e.Get("target").Get("value").String()) }, path)),
		element.Doing("switch", "now-"+path, w.Say("Now"), func(ctx app.Context, _ app.Event) { set(ctx, wallOf(time.Now())) }, path))
}

// words is a text of the survey, typed as it is.
func (s *pourScreen) words(path string) app.UI {
	w := s.w
	f := survey.FieldOf(survey.Path(path))
	return element.Box("label", "setting whole", app.Text(w.SayName(f.Name)),
		s.typed.Field(path, f.Words(&w.Doc.Survey), func(ctx app.Context, words string) { ui.TypeWords(w, ctx, f, words) }).
			DataSet("words", path))
}

// judged is when it may go on.
func (s *pourScreen) judged(cure *casting.Cure) app.UI {
	w := s.w
	if !cure.Problem.Empty() {
		return element.Known("p", "cure", "says-stop", "status", w.Sentence(cure.Problem))
	}
	ended, ok := timeOf(w.Doc.Survey.Build.Casting.Pour.Ended)
	if !ok {
		return app.Text("")
	}
	var any []appointment
	ready := func(id, name string, r *casting.Ready) app.UI {
		if !r.Judged {
			return element.Box("div", "told", element.Text("b", "", name),
				app.Elem("p").ID("ready-"+id).Class("says-stop").Text(w.Sentence(r.Problem)))
		}
		at := after(ended, r.Hours)
		any = append(any, appointment{uid: w.Doc.ID + "-" + id + "@pegpour", summary: name + ": " + s.siteName(),
			details: s.because(r), at: at})
		class := "says-mind"
		if !time.Now().Before(at) {
			class = "says-sound"
		}
		return element.Box("div", "told", element.Text("b", "", name),
			app.Elem("p").ID("ready-"+id).Class("ready").Class(class).Text(s.dayAndTime(at)),
			element.Text("p", "quiet", s.because(r)), s.reminder(id, name, at))
	}
	anchors := ready("anchors", w.Say("Anchors may be drilled and set"), &cure.Anchors)
	hang := ready("hang", w.Say("Track may be laid and the leaf hung"), &cure.Hang)
	return element.Box("div", "", hang, anchors,
		app.If(len(any) > 0, do("calendar", w.Say("Save for the phone's calendar"), false, func(app.Context) {
			window.Save(documents.FileBase(w.Doc.Survey.Site.Name)+"-pour.ics", window.Blob(calendarMedia, calendar(time.Now(), any...)))
		})),
		app.Range(cure.Notes).Slice(func(i int) app.UI { return element.Text("p", "says-mind", w.Sentence(cure.Notes[i])) }))
}

func (s *pourScreen) siteName() string { return ui.SiteName(s.w.Speaker, s.w.Doc.Survey.Site.Name) }

// because says what a time rests on.
func (s *pourScreen) because(r *casting.Ready) string {
	return s.w.SayWith("{0} hours after the pour, at {1} of the strength at 28 days.",
		s.w.Decimal(math.Ceil(r.Hours), 0), s.percent(r.Share))
}

func (s *pourScreen) percent(share float64) string {
	return s.w.Decimal(share*100, 0) + language.NoBreak + "%"
}

// dayAndTime writes a moment with its day of the week.
func (s *pourScreen) dayAndTime(at time.Time) string {
	w := s.w
	wall := wallOf(at)
	day, err := time.Parse(casting.Clock, wall)
	if err != nil {
		return wall
	}
	days := [...]string{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"}
	return w.SayWith("{0}, {1}, {2}", w.Say(days[day.Weekday()]), w.Date(day.Format(time.DateOnly)), day.Format("15:04"))
}

// reminder sets or ends a reminder that needs no signal.
func (s *pourScreen) reminder(id, name string, at time.Time) app.UI {
	w := s.w
	key := w.Doc.ID + "." + id
	set := shell.RemindsAt(key)
	if set == 0 {
		return element.Doing("switch", "remind-"+id, w.Say("Remind me here"), func(ctx app.Context, _ app.Event) {
			s.remind(ctx, key, name, at)
		}, key, at.UnixMilli())
	}
	if set != at.UnixMilli() { // the temperatures say something else now
		shell.Remind(key, at.UnixMilli(), name, w.Say("Seen"), "/site/"+w.Doc.ID+"/build/pour")
	}
	return element.Box("div", "row", element.Text("p", "says-sound", w.Say("Reminds you on this phone while the app is open.")),
		element.Doing("switch", "forget-"+id, w.Say("Do not"), func(ctx app.Context, _ app.Event) {
			shell.Remind(key, 0, "", "", "")
			s.set = key + " not"
			w.Refresh(ctx)
		}, key))
}

func (s *pourScreen) remind(ctx app.Context, key, name string, at time.Time) {
	w := s.w
	shell.Remind(key, at.UnixMilli(), name, w.Say("Seen"), "/site/"+w.Doc.ID+"/build/pour")
	s.set = key
	w.Refresh(ctx)
}

// hours are the temperatures by the hour.
func (s *pourScreen) hours(short bool) app.UI {
	w := s.w
	list := w.Doc.Survey.Build.Casting.Pour.Hours
	if len(list) == 0 {
		return app.Text("")
	}
	rows := make([]app.UI, len(list))
	for i := range list {
		rows[i] = app.Elem("tr").DataSet("hour", i).Body(
			element.Text("td", "", strconv.Itoa(i+1)),
			element.Box("td", "", s.cell(string(survey.CuredAtAfter.At(i)))),
			element.Box("td", "", s.cell(string(survey.CuredAtWarmth.At(i)))))
	}
	return table(w.Say("Temperatures"), short, []string{"", w.Say("Hours after"), "°C"}, rows)
}

// addHour adds a temperature of now: its hour is known where the pour has ended.
func (s *pourScreen) addHour(ctx app.Context) {
	w := s.w
	pour := &w.Doc.Survey.Build.Casting.Pour
	entry, step := survey.CuredAt{}, survey.CuredAtAfter
	if ended, ok := timeOf(pour.Ended); ok {
		if hours := math.Round(time.Since(ended).Hours()*10) / 10; hours >= 0 && hours <= 2000 {
			entry.After, step = survey.Measured(hours, survey.ByEstimate), survey.CuredAtWarmth
		}
	}
	s.add(ctx, "Temperature of the concrete", survey.PourHours, entry, len(pour.Hours), survey.MaxCuredAt, step)
}

// gained is the strength by age at these temperatures.
func (s *pourScreen) gained(cure *casting.Cure) app.UI {
	w := s.w
	if !cure.Problem.Empty() {
		return app.Text("")
	}
	var rows []app.UI
	row := func(name string, hours float64) {
		words := w.Say("cannot be judged")
		if share, judged := cure.ShareAt(hours); judged {
			words = s.percent(share)
		}
		rows = append(rows, ui.PairOf(name, words))
	}
	if ended, ok := timeOf(w.Doc.Survey.Build.Casting.Pour.Ended); ok {
		if hours := time.Since(ended).Hours(); hours > 0 && hours < 60*24 {
			row(w.Say("Now"), hours)
		}
	}
	for _, days := range []int{1, 3, 7, 14, 28} {
		row(w.SayCount(days, "After one day", "After {0} days"), float64(days)*24)
	}
	return element.Box("section", "", element.Text("h3", "", w.Say("Strength by age, of that at 28 days and 20 °C")),
		element.Box("dl", "pairs", rows...))
}

// next goes from the hour of a temperature to its degrees.
func (s *pourScreen) next(ctx app.Context) {
	if i, step, ok := s.entryOf(survey.PourHours); ok && step == "after" {
		s.ask(ctx, string(survey.CuredAtWarmth.At(i)))
		return
	}
	s.put(ctx)
}
