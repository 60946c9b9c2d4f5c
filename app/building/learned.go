package building

import (
	"context"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine"
	"pegpour/engine/learned"
	"pegpour/engine/practice"
	"pegpour/engine/progress"
	"pegpour/storage"
)

// learnedOut is the tick of a job that a person left out of what the shop learns.
const learnedOut = "learned.out"

// learnedStep is how many jobs are listed at first and with each 'show more'.
const learnedStep = 30

// learnedScreen is what finished jobs teach the shop.
type learnedScreen struct {
	app.Compo
	w *editing.Site

	run        int // counts readings, so that one that is left ends
	todo, read int // sites to look at, and how many were
	unread     int // that cannot be opened
	begun      int // of which something was noted that are not finished
	listed     bool
	ids        []string
	jobs       []learned.Job
	lessons    [learned.Topics]learned.Lesson
	most       int    // jobs shown
	open       string // the job whose figures are shown
	took       *taken
	problem    string
}

// taken is a rule as it stood before it was taken from here.
type taken struct {
	topic learned.Topic
	was   float64
	own   bool
}

// NewLearnedScreen returns the screen.
func NewLearnedScreen(w *editing.Site) app.Composer { return &learnedScreen{w: w} }

// OnNav implements app.Navigator.
func (s *learnedScreen) OnNav(ctx app.Context) {
	s.w.Enter(ctx)
	s.w.WithStore(func(app.Context) { s.start() })
}

// OnDismount implements app.Dismounter.
func (s *learnedScreen) OnDismount() {
	s.run++
	s.w.Leave()
}

// start finds the sites and reads them one by one, each in a turn of its own: hundreds
// of designs hold up nobody.
func (s *learnedScreen) start() {
	s.run++
	run, w := s.run, s.w
	s.listed, s.ids, s.jobs, s.unread, s.begun, s.read, s.most, s.took = false, nil, nil, 0, 0, 0, learnedStep, nil
	w.Background(func(c context.Context) error {
		all, err := w.Store.Sites(c)
		var steps []storage.Step
		if err == nil {
			steps, err = w.Store.History(c, storage.ShopID)
		}
		w.Dispatch(func(app.Context) {
			if err != nil {
				s.problem = w.StoreErrorWords(err)
				return
			}
			var ids []string
			for i := range all {
				switch site := &all[i]; {
				case site.Demo || site.Trashed:
				case site.Condition != storage.Sound:
					s.unread++
				default:
					ids = append(ids, site.ID)
				}
			}
			s.todo = len(ids)
			s.next(run, ids, steps)
		})
		return nil
	})
}

// next reads the first of the sites that are left.
func (s *learnedScreen) next(run int, ids []string, steps []storage.Step) {
	if s.run != run {
		return
	}
	if len(ids) == 0 {
		s.listed = true
		s.learn()
		return
	}
	w, shop := s.w, s.w.Shop
	w.Background(func(c context.Context) error {
		loaded, err := w.Store.Load(c, ids[0])
		var job learned.Job
		finished, begun := false, false
		if err == nil {
			d := loaded.Document
			finished = progress.Of(&d.Survey, d.Ticks) >= progress.AsPoured
			h, pour := &d.Survey.Build.HandOver, &d.Survey.Build.Casting.Pour
			begun = pour.Bags.Known() || pour.Delivered.Known() || h.Loads.Known() || h.Spoil.Known() || h.Hours.Known()
			if finished {
				p, _ := shopThen(c, w.Store, shop, d, steps).Practice(d)
				made, _ := engine.Judge(d.Survey, p) // what is refused counts as not measured
				job = learned.Read(d.Survey, &made, p)
				job.Name, job.LeftOut = ui.SiteName(w.Speaker, job.Name), d.Ticks[learnedOut]
			}
		}
		w.Dispatch(func(app.Context) {
			if s.run != run {
				return
			}
			s.read++
			switch {
			case err != nil:
				s.unread++
			case finished:
				s.ids, s.jobs = append(s.ids, ids[0]), append(s.jobs, job)
			case begun:
				s.begun++
			}
			s.next(run, ids[1:], steps)
		})
		return nil
	})
}

// shopThen is the shop by whose rules a site was built, where this device knew it then;
// else the shop of now. Else a size changed since would tell another plan.
func shopThen(c context.Context, store storage.Store, now *storage.Shop, d *storage.Document, steps []storage.Step) *storage.Shop {
	at := d.Created
	if began, ok := timeOf(d.Survey.Build.Casting.Pour.Began); ok {
		at = storage.WriteTime(began)
	}
	if d.ShopRules != nil || len(steps) == 0 || storage.CompareTimes(steps[0].At, at) > 0 ||
		storage.CompareTimes(steps[len(steps)-1].At, at) <= 0 {
		return now
	}
	if then, known, err := store.PastShop(c, at); err == nil && known {
		return then
	}
	return now
}

// learn finds what the jobs that count teach.
func (s *learnedScreen) learn() {
	p, _ := s.w.Shop.Practice(nil)
	s.lessons = learned.Learn(s.jobs, p)
}

// leaveOut leaves a job out, or counts it again; its site keeps that.
func (s *learnedScreen) leaveOut(ctx app.Context, i int) {
	w, id, out := s.w, s.ids[i], !s.jobs[i].LeftOut
	s.jobs[i].LeftOut = out
	s.learn()
	if w.Doc != nil && w.Doc.ID == id {
		w.Tick(ctx, learnedOut, out)
		return
	}
	w.BackgroundOf(id, func(c context.Context) error {
		loaded, err := w.Store.Load(c, id)
		if err != nil {
			return err
		}
		e, err := storage.SetTick(loaded.Document, learnedOut, out)
		if err == nil {
			_, err = w.Store.Commit(c, id, e, loaded.Revision)
		}
		return err
	})
	w.Refresh(ctx)
}

// take makes what is offered the shop's rule, as the screen of rules does.
func (s *learnedScreen) take(ctx app.Context, l *learned.Lesson) {
	w, rule := s.w, practice.RuleOf(l.Topic.Rule())
	was, own := w.RuleValue(rule, false)
	if s.problem = w.SetRule(ctx, rule, w.RuleText(rule, l.Offer), false); s.problem == "" {
		s.took = &taken{l.Topic, was, own}
		s.learn()
	}
}

// giveBack makes the rule what it was before it was taken.
func (s *learnedScreen) giveBack(ctx app.Context) {
	w, rule := s.w, practice.RuleOf(s.took.topic.Rule())
	if s.took.own {
		w.SetRule(ctx, rule, w.RuleText(rule, s.took.was), false)
	} else {
		w.ClearRule(ctx, rule, false)
	}
	s.took = nil
	s.learn()
}

// Render implements app.Composer.
func (s *learnedScreen) Render() app.UI {
	w := s.w
	if w.Shop == nil {
		return ui.PlainFrame(w.Device, w.Say("What was learned"), "/rules", ui.Opening(w.Device))
	}
	content := []app.UI{
		element.Text("p", "quiet", w.Say("What finished jobs used, against what was drawn for them. Nothing here sets a rule by itself.")),
		app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)),
	}
	switch {
	case !s.listed && s.problem == "":
		content = append(content, element.Known("p", "learned-reading", "", "status",
			w.SayWith("Reading: {0} of {1} sites.", strconv.Itoa(s.read), strconv.Itoa(s.todo))),
			app.Elem("progress").Attr("max", max(1, s.todo)).Attr("value", s.read).Aria("label", w.Say("What was learned")))
	case len(s.jobs) == 0:
		content = append(content, s.empty())
	default:
		content = append(content, s.taught(), s.list())
	}
	content = append(content, s.notCounted())
	return ui.PlainFrame(w.Device, w.Say("What was learned"), "/rules", content...)
}

// empty says what to record, and where.
func (s *learnedScreen) empty() app.UI {
	w := s.w
	return app.Elem("div").ID("learned-empty").Class("told").Body(
		element.Text("p", "", w.Say("No job of this device is measured as poured yet. A job teaches the shop once this is recorded, on the screens of its site:")),
		element.Box("ul", "missing",
			element.Text("li", "", w.Say("The pour: the bags used, or the concrete delivered.")),
			element.Text("li", "", w.Say("As poured: what stands there.")),
			element.Text("li", "", w.Say("Hand-over, what the job used: loads and loose volume of spoil, hours, and hours by task.")),
			element.Text("li", "", w.Say("Forms and depth: depths, for how much deeper was dug than drawn."))))
}

// notCounted says which sites are not among the jobs.
func (s *learnedScreen) notCounted() app.UI {
	w := s.w
	return element.Box("div", "",
		app.If(s.listed && s.begun > 0, element.Text("p", "says-mind", w.SayCount(s.begun,
			"One more site has figures of what it used, and is not measured as poured yet.",
			"{0} more sites have figures of what they used, and are not measured as poured yet."))),
		app.If(s.listed && s.unread > 0, element.Text("p", "says-stop", w.SayCount(s.unread,
			"One site cannot be opened and is not counted.", "{0} sites cannot be opened and are not counted."))))
}

// taught is what the jobs teach, topic by topic.
func (s *learnedScreen) taught() app.UI {
	w := s.w
	var lessons, beside, missing []app.UI
	for t := range s.lessons {
		l := &s.lessons[t]
		topic := learned.Topic(t)
		first := topic == learned.Waste || topic == learned.Bulking
		switch {
		case l.Spread.N > 0 && first:
			lessons = append(lessons, s.lesson(l))
		case l.Spread.N > 0:
			beside = append(beside, s.lesson(l))
		case first:
			missing = append(missing, element.Text("li", "", w.SayName(topic.Name())))
		}
	}
	return element.Box("section", "",
		element.Box("div", "verdicts", lessons...),
		app.If(len(beside) > 0, app.Elem("details").Class("test-section").Body(
			element.Box("summary", "", element.Text("span", "", w.Say("Depths, loads and hours")),
				element.Text("span", "quiet", strconv.Itoa(len(beside)))),
			element.Box("div", "verdicts", beside...))),
		app.If(len(missing) > 0, element.Box("div", "",
			element.Text("p", "says-mind", w.Say("Cannot be judged yet, on no job; each job says what to record:")),
			element.Box("ul", "missing", missing...))))
}

func (s *learnedScreen) lesson(l *learned.Lesson) app.UI {
	w, key := s.w, strconv.Itoa(int(l.Topic))
	return app.Elem("div").Class("told").DataSet("lesson", key).Body(
		element.Text("h2", "", w.SayName(l.Topic.Name())),
		element.Text("p", "value", w.Sentence(l.Says)),
		app.If(!l.Spreads.Empty(), element.Text("p", "quiet", w.Sentence(l.Spreads))),
		app.If(l.Odd >= 0, element.Text("p", "says-mind", w.Sentence(l.OddSays))),
		app.If(!l.Wait.Empty(), element.Status("p", "quiet", "status", w.Sentence(l.Wait))),
		app.If(!l.Take.Empty(), do("take-"+key, w.Sentence(l.Take), true, func(ctx app.Context) { s.take(ctx, &s.lessons[l.Topic]) })),
		s.back(l.Topic))
}

// back takes a rule back that was taken here.
func (s *learnedScreen) back(t learned.Topic) app.UI {
	if s.took == nil || s.took.topic != t {
		return app.Text("")
	}
	return do("give-back", s.w.SayWith("Back to {0}", s.w.WriteInSentence(t.Told(s.took.was))), false, s.giveBack)
}

// list is the jobs, the latest first, one of them opened.
func (s *learnedScreen) list() app.UI {
	w := s.w
	shown := min(s.most, len(s.jobs))
	return element.Box("section", "",
		element.Text("h2", "", w.SayCount(len(s.jobs), "One finished job", "{0} finished jobs")),
		element.Box("ul", "tests", app.Range(s.jobs[:shown]).Slice(s.job)),
		app.If(shown < len(s.jobs), do("more", w.Say("Show more"), false, func(ctx app.Context) {
			s.most += learnedStep
			w.Refresh(ctx)
		})))
}

func (s *learnedScreen) job(i int) app.UI {
	w, id, j := s.w, s.ids[i], &s.jobs[i]
	here, class, chip := s.open == id, "chip chip-mind", ""
	waste := &j.Of[learned.Waste]
	switch {
	case j.LeftOut:
		chip = w.Say("left out")
	case !j.Recorded():
		class, chip = "chip chip-stop", w.Say("too little recorded")
	case waste.Judged():
		class, chip = "chip", w.WriteInSentence(learned.Waste.Told(waste.Value))
	}
	head := app.Button().Type("button").Class("test-head").DataSet("job", i).Aria("expanded", here).Body(
		element.Text("span", "test-name", j.Name), app.If(chip != "", element.Text("span", class, chip))).
		OnClick(func(ctx app.Context, _ app.Event) {
			if s.open = id; here {
				s.open = ""
			}
			w.Refresh(ctx)
		}, id, here)
	if !here {
		return element.Box("li", "test", head)
	}
	out := w.Say("Leave this job out")
	if j.LeftOut {
		out = w.Say("Count this job again")
	}
	return element.Box("li", "test test-here", head, s.used(j),
		do("leave-out-"+strconv.Itoa(i), out, false, func(ctx app.Context) { s.leaveOut(ctx, i) }),
		element.Link("wide", "/site/"+id+"/build/poured", w.Say("As poured")))
}

// used sets planned against used, topic by topic.
func (s *learnedScreen) used(j *learned.Job) app.UI {
	w := s.w
	var rows, missing []app.UI
	for t := range j.Of {
		topic, u := learned.Topic(t), &j.Of[t]
		if u.Absent {
			continue
		}
		name := w.SayName(topic.Name())
		if u.Used.Dimension == "" {
			missing = append(missing, element.Text("li", "", w.SayWith("{0}: {1}", name, w.Sentence(u.Problem))))
			continue
		}
		how, teaches := w.SayWith("Used {0}: {1}", w.Write(u.Used), w.Sentence(u.How)), ""
		if u.Planned.Dimension != "" {
			how = w.SayWith("Planned {0} | used {1}: {2}", w.Write(u.Planned), w.Write(u.Used), w.Sentence(u.How))
		}
		if u.Judged() {
			teaches = w.WriteInSentence(topic.Alone(u.Value))
		}
		rows = append(rows, app.Elem("li").DataSet("use", t).Body(
			element.Box("div", "pair", element.Text("b", "", name), element.Text("b", "", teaches)),
			element.Text("div", "", how),
			app.If(!u.Judged(), element.Text("div", "says-mind", w.Sentence(u.Problem)))))
	}
	return element.Box("div", "",
		app.Elem("ul").Class("used-list").Aria("label", w.Say("Planned and used")).Body(rows...),
		app.If(len(missing) > 0, element.Box("ul", "missing", missing...)))
}

// learnedLink leads to what was learned.
func learnedLink(w *editing.Site) app.UI {
	return element.Link("wide", "/learned", w.Say("What was learned over all jobs"))
}
