package building

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/advice"
	"pegpour/engine/casting"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
	"pegpour/engine/text"
)

// pouredScreen is what stands there after the pour, the track on it, and the leaf cut
// to it.
type pouredScreen struct {
	app.Compo
	hand

	seal     string // of the design for which the rest was found
	poured   casting.Poured
	outcome  casting.Outcome
	remedies []advice.VerifiedRemedy
	sought   bool // remedies were
}

func newPouredScreen(w *editing.Site) *pouredScreen { return &pouredScreen{hand: hand{w: w}} }

// OnNav implements app.Navigator.
func (s *pouredScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *pouredScreen) OnDismount() { s.w.Leave() }

// places are the sizes of what stands there.
var places = []string{survey.PouredOpening, survey.PouredMeets, survey.PouredGuideAlong, survey.PouredGuideOut,
	survey.PouredMotorAlong, survey.PouredPadDown, survey.PouredRoom, survey.PouredOtherGuideAlong,
	survey.PouredOtherGuideOut, survey.PouredOtherMotorAlong, survey.PouredOtherPadDown, survey.PouredOtherRoom}

// Render implements app.Composer.
func (s *pouredScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	title := element.Text("h2", "", w.Say("As poured"))
	if s.seal != w.Seal {
		s.seal, s.sought, s.remedies = w.Seal, false, nil
		s.poured = casting.ReadPoured(w.Survey(), w.Plan(), w.Practice)
		if s.field == "" {
			s.outcome = s.poured.Design(w.Plan(), w.Practice)
		} else {
			s.seal = "" // while one types the design waits
		}
	}
	if i, _, ok := s.entryOf(survey.PouredLevels); ok {
		return ui.SiteFrame(w, "more tool", title, s.levels(true), s.question(s.next, s.remove(survey.PouredLevels, i)))
	}
	if s.field != "" {
		return ui.SiteFrame(w, "more tool", title, s.question(s.next))
	}
	return ui.SiteFrame(w, "more tool", title,
		s.verdict(),
		element.Text("h3", "", w.Say("Fixed point")),
		element.Box("div", "told", s.line(survey.PouredOpen), s.line(survey.PouredClose), s.line(survey.PouredBenchAlong),
			s.line(survey.PouredBenchLevel),
			sightWords(w, w.Sentence(s.poured.Sight.Problem), w.Sentence(s.poured.Sight.Open), s.poured.Sight.Drive)),
		s.underTrack(),
		element.Text("h3", "", w.Say("Posts, pad and room")),
		element.Box("div", "told", app.Range(s.asked()).Slice(func(i int) app.UI { return s.line(s.asked()[i]) })),
		s.track(),
		s.carriages(),
		s.cutTo(),
		s.fits(),
		learnedLink(w),
		cautions(w, "concrete", "runaway"),
	)
}

// asked are the sizes that this site has.
func (s *pouredScreen) asked() []string {
	sides := s.w.Plan().Sides()
	var all []string
	for _, path := range places {
		side, own := 0, path
		if of, other := strings.CutPrefix(path, "build.poured.other."); other {
			side, own = 1, "build.poured."+of
		}
		if len(sides) < 2 && (side == 1 || path == survey.PouredMeets) {
			continue
		}
		if hasIt(sides[side].Plan, own) {
			all = append(all, path)
		}
	}
	return all
}

// hasIt reports whether a plan has what a size as poured is of.
func hasIt(p *plan.Plan, path string) bool {
	switch path {
	case survey.PouredGuideAlong, survey.PouredGuideOut:
		return p.Has(plan.PartGuidePost)
	case survey.PouredMotorAlong:
		return p.Has(plan.PartMotor)
	case survey.PouredPadDown:
		return p.Has(plan.PartMotor) || p.HangsFree()
	}
	return true
}

func (s *pouredScreen) used() bool { return s.w.Doc.Survey.Build.Poured.Used() }

// verdict is the first thing one wants to know: whether it fits.
func (s *pouredScreen) verdict() app.UI {
	w := s.w
	class, words := "says-sound", w.Say("The leaf travels from shut to open on what was poured.")
	switch {
	case !s.used():
		class, words = "says-mind", w.Say("Nothing measured yet: leaf and rack are cut as planned.")
	case !s.poured.Sight.Holds() && len(w.Doc.Survey.Build.Poured.Levels) > 0:
		class, words = "says-stop", w.Sentence(s.poured.Sight.Problem)
	case !s.outcome.Travels():
		class, words = "says-stop", w.Say("The leaf does not travel on what was poured: see what no longer fits.")
	case slices.ContainsFunc(s.outcome.Pinions(), func(q casting.Pinion) bool { return q.Judged && !q.Fits }):
		class, words = "says-stop", w.Say("The pinion does not meet the rack on the pad as it lies.")
	case len(s.outcome.Misfits) > 0:
		class, words = "says-mind", w.Say("The leaf travels on what was poured; something is worse than planned.")
	}
	return element.Known("p", "poured-says", class, "status", words)
}

func (s *pouredScreen) levels(short bool) app.UI {
	w := s.w
	list := w.Doc.Survey.Build.Poured.Levels
	rows := make([]app.UI, len(list))
	for i := range list {
		spot := s.poured.Spot(i)
		if spot == nil {
			return app.Text("")
		}
		class := "verdict"
		if !spot.Judged {
			class = "verdict says-mind"
		}
		rows[i] = app.Elem("tr").DataSet("level", i).Body(
			element.Text("td", "", strconv.Itoa(i+1)),
			element.Box("td", "", s.cell(string(survey.PouredLevelAlong.At(i)))),
			element.Box("td", "", s.cell(string(survey.PouredLevelDown.At(i)))),
			element.Text("td", class, w.Sentence(spot.Words)))
	}
	if len(rows) == 0 {
		return app.Text("")
	}
	return table(w.Say("Levels as poured"), short, []string{"", w.Say("Along"), w.Say("Down¦reading from the sight"), ""}, rows)
}

// underTrack are the levels of the concrete on which a track is laid.
func (s *pouredScreen) underTrack() app.UI {
	w := s.w
	if w.Plan().HangsFree() {
		return app.Text("")
	}
	return element.Box("section", "", element.Text("h3", "", w.Say("Concrete under the track")),
		s.levels(false), do("add-level", w.Say("Read a level under the track"), true, s.addLevel))
}

// leaves are what was poured under each leaf, with its side in words of the place where
// there are two.
func (s *pouredScreen) leaves(one func(i int, b *casting.Poured, heading string) app.UI, heading string) app.UI {
	var all []app.UI
	each, names := s.poured.Leaves(s.w.Plan())
	for i := range each {
		of := heading
		if names[i] != "" {
			of += ", " + s.w.SayName(names[i])
		}
		all = append(all, one(i, each[i], of))
	}
	return app.Range(all).Slice(func(i int) app.UI { return all[i] })
}

// known is an identity of one leaf's own.
func known(id string, leaf int) string {
	if leaf > 0 {
		return id + "-" + strconv.Itoa(leaf+1)
	}
	return id
}

// carriages is how those of a leaf that hangs free are packed on the block.
func (s *pouredScreen) carriages() app.UI {
	w := s.w
	return s.leaves(func(i int, b *casting.Poured, heading string) app.UI {
		if !w.Plan().HangsFree() || !b.PadRead {
			return app.Text("")
		}
		words := w.SayWith("Pack both carriages {0} more than planned.", w.Size(b.Carriages, text.SmallLength))
		if b.Carriages < 0 {
			words = w.SayWith("The block stands {0} too high: take so much out of the packing of both carriages.",
				w.Size(-b.Carriages, text.SmallLength))
		}
		return element.Box("section", "", element.Text("h3", "", heading),
			element.Known("p", known("carriages-say", i), "quiet", "", words))
	}, w.Say("Carriages on the block"))
}

// track is how the track is packed.
func (s *pouredScreen) track() app.UI {
	w := s.w
	if len(w.Doc.Survey.Build.Poured.Levels) == 0 || w.Plan().HangsFree() {
		return app.Text("")
	}
	return element.Box("section", "",
		s.leaves(s.trackOf, w.Say("Track on what was poured")),
		app.If(!s.poured.Joint.Empty(), element.Known("p", "joint", "quiet", "", w.Sentence(s.poured.Joint))))
}

func (s *pouredScreen) trackOf(leaf int, b *casting.Poured, heading string) app.UI {
	w := s.w
	head := element.Text("h3", "", heading)
	if leaf == 0 {
		head = element.Box("div", "", head,
			element.Box("label", "setting whole", app.Text(w.Say("How the track is laid")), s.choice(survey.PouredLaid, nil)))
	}
	if b.Line == nil {
		return element.Box("section", "", head,
			element.Known("p", known("no-line", leaf), "says-stop", "status", w.Sentence(b.NoLine)),
			element.Text("p", "quiet", w.Say("Let it be ground, take higher packers, or bed the track in grout: how much of each is a rule of the shop.")))
	}
	line := b.Line
	rows := make([]app.UI, len(b.Packing))
	for i := range b.Packing {
		q := &b.Packing[i]
		words := w.Say("nothing")
		switch {
		case q.Told > 0:
			words = w.SayWith("pack {0}", w.Size(q.Told, text.SmallLength))
		case q.Told < 0:
			words = w.SayWith("grind {0}", w.Size(-q.Told, text.SmallLength))
		}
		side := w.Plan().Sides()[leaf]
		at := w.Length(side.At(q.Chainage), false)
		if !q.Read {
			at = "~" + language.NoBreak + at
		}
		rows[i] = app.Elem("tr").DataSet("packer", i).Body(element.Text("td", "", at), element.Text("td", "verdict", words))
	}
	return element.Box("section", "", head,
		element.Known("p", known("track-says", leaf), "quiet", "", w.SayWith("Straight, {0}. At most {1} packed and {2} ground.",
			w.Write(text.Percent(float64(line.Grade))), w.Size(line.Pack, text.SmallLength), w.Size(line.Grind, text.SmallLength))),
		table(w.Say("Packing by place"), false, []string{w.Say("Along"), w.Say("Under the track")}, rows),
		element.Text("p", "quiet", w.Say("~ lies between two readings, under a fixing.")))
}

// cutTo is what the steel shop cuts differently.
func (s *pouredScreen) cutTo() app.UI {
	w := s.w
	if !s.used() {
		return app.Text("")
	}
	if len(s.outcome.Changes) == 0 {
		return element.Box("section", "", element.Text("h3", "", w.Say("Leaf, rack and rail")),
			element.Known("p", "changes", "says-sound", "", w.Say("Cut as planned: nothing differs by more than a tape can tell.")))
	}
	rows := make([]app.UI, len(s.outcome.Changes))
	for i := range s.outcome.Changes {
		c := &s.outcome.Changes[i]
		size := func(v float64, gone bool) string {
			if gone {
				return "–"
			}
			return w.WriteOnDrawing(text.Arg{Value: v, Dimension: c.Dimension})
		}
		sign := ""
		if c.Difference() > 0 {
			sign = "+"
		}
		name := w.SayName(c.Name)
		if c.Detail != "" {
			name += " " + w.SayName(c.Detail)
		}
		rows[i] = app.Elem("tr").DataSet("change", i).Body(element.Text("td", "verdict", name),
			element.Text("td", "", size(c.Planned, c.Added)), element.Text("td", "", size(c.Poured, c.Gone)),
			element.Text("td", "", sign+size(c.Difference(), false)))
	}
	return element.Box("section", "", element.Text("h3", "", w.Say("Leaf, rack and rail")),
		element.Known("p", "changes", "says-mind", "", w.Say("Cut to what was poured, not to the plan:")),
		table(w.Say("What changed"), false, []string{w.Say("What"), w.Say("Planned"), w.Say("As poured"), "±"}, rows),
		do("save-cuts", w.Say("Save the cut list as poured"), false, func(app.Context) {
			if cuts, err := documents.Table(tables.Steel(&s.outcome.Plan, true)); err == nil {
				window.Save(documents.FileBase(w.Doc.Survey.Site.Name)+"-steel-as-poured.csv", window.Blob("text/csv", cuts))
			}
		}),
		element.Link("wide", "/site/"+w.Doc.ID+"/pack", w.Say("The steel shop's sheet says the same")))
}

// fits is what no longer fits, each with what puts it right.
func (s *pouredScreen) fits() app.UI {
	w := s.w
	if !s.used() {
		return app.Text("")
	}
	var items []app.UI
	pinions, sides := s.outcome.Pinions(), w.Plan().Sides()
	for i := range pinions {
		q := &pinions[i]
		if !q.Judged {
			continue
		}
		class := "says-sound"
		if !q.Fits {
			class = "says-stop"
		}
		items = append(items, app.Elem("li").ID(known("pinion", i)).Class("item").Body(
			element.Text("p", class, w.Sentence(sides[i].Said(q.Words))),
			app.If(!q.Water.Empty(), element.Text("p", "says-mind", w.Sentence(q.Water))),
			app.Range(q.Remedies).Slice(func(i int) app.UI { return element.Text("p", "remedy", w.Sentence(q.Remedies[i].Words)) })))
	}
	for _, i := range s.outcome.Misfits {
		c := &s.outcome.Plan.Checks[i]
		class := "says-mind"
		if c.Severity == plan.Stop {
			class = "says-stop"
		}
		items = append(items, app.Elem("li").Class("item").DataSet("misfit", c.Code).Body(
			element.Text("p", class, w.Sentence(c.What)),
			app.If(!c.Consequence.Empty(), element.Text("p", "how", w.Sentence(c.Consequence))),
			app.Range(s.remedies).Slice(func(k int) app.UI {
				return app.If(s.remedies[k].Check == i, element.Text("p", "remedy", w.Sentence(s.remedies[k].Words)))
			})))
	}
	if len(items) == 0 {
		return app.Text("")
	}
	return element.Box("section", "", element.Text("h3", "", w.Say("What no longer fits")),
		element.Box("ul", "list", items...),
		app.If(len(s.outcome.Misfits) > 0 && !s.sought, do("seek", w.Say("Look for what puts it right"), false, s.seek)),
		app.If(s.sought && len(s.remedies) == 0, element.Known("p", "no-remedy", "says-stop", "status",
			w.Say("No single change puts it right: ask whoever designed it before anything is cut."))))
}

// seek looks for remedies: many designs, so that the screen shows first that it does.
func (s *pouredScreen) seek(ctx app.Context) {
	w, seal := s.w, s.w.Seal
	poured, outcome, rules := s.poured, s.outcome, w.Practice
	s.sought = true
	go func() {
		found := poured.Remedies(&outcome, rules)
		w.Run(func() {
			if s.seal == seal {
				s.remedies = found
			}
		})
	}()
}

func (s *pouredScreen) addLevel(ctx app.Context) {
	poured := &s.w.Doc.Survey.Build.Poured
	if len(poured.Levels) == 0 && !poured.SetUp.Open.Known() {
		s.ask(ctx, survey.PouredOpen)
		return
	}
	s.add(ctx, "Level as poured", survey.PouredLevels, survey.PouredLevel{}, len(poured.Levels), survey.MaxPouredLevels,
		survey.PouredLevelAlong)
}

// next goes from where a level was read to what was read.
func (s *pouredScreen) next(ctx app.Context) {
	if i, step, ok := s.entryOf(survey.PouredLevels); ok && step == "along" {
		s.ask(ctx, string(survey.PouredLevelDown.At(i)))
		return
	}
	if s.field == survey.PouredOpen && len(s.w.Doc.Survey.Build.Poured.Levels) == 0 {
		s.field = ""
		s.addLevel(ctx)
		return
	}
	s.put(ctx)
}
