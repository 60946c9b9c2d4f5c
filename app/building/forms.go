package building

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/casting"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
	"pegpour/engine/text"
)

// formsScreen is the last look before the concrete: tops of forms, depths, and what is
// to be buried.
type formsScreen struct {
	app.Compo
	hand
	problem string // why a photo was not taken
}

func newFormsScreen(w *editing.Site) *formsScreen { return &formsScreen{hand: hand{w: w}} }

// OnNav implements app.Navigator.
func (s *formsScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *formsScreen) OnDismount() { s.w.Leave() }

const formsSetUp = "build.casting.setUp"

// Render implements app.Composer.
func (s *formsScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	forms := casting.ReadForms(w.Survey(), w.Plan(), w.Practice)
	dug := casting.ReadDug(w.Survey(), w.Plan(), w.Practice)
	title := element.Text("h2", "", w.Say("Forms and depth"))
	switch { // what is in hand has the screen
	case s.holds(formsSetUp):
		return ui.SiteFrame(w, "more tool", title, s.setUp(&forms), s.question(s.next))
	case s.holds(survey.CastingTops):
		i, _, _ := s.entryOf(survey.CastingTops)
		return ui.SiteFrame(w, "more tool", title, s.tops(&forms, true),
			s.question(s.next, s.choice(string(survey.FormTopPart.At(i)), s.hasPart), s.remove(survey.CastingTops, i)))
	case s.holds(survey.CastingDepths):
		i, _, _ := s.entryOf(survey.CastingDepths)
		return ui.SiteFrame(w, "more tool", title, s.depths(&dug, true),
			s.question(s.next, s.choice(string(survey.DugDepthPart.At(i)), s.hasPart), s.remove(survey.CastingDepths, i)))
	}
	return ui.SiteFrame(w, "more tool", title,
		s.missing(&forms, &dug),
		element.Text("h3", "", w.Say("Fixed point")), s.setUp(&forms),
		element.Text("h3", "", w.Say("Tops of forms")), s.tops(&forms, false),
		do("add-top", w.Say("Read a top of a form"), len(forms.Tops) == 0 || s.soundSoFar(&forms), s.addTop),
		element.Text("h3", "", w.Say("Depths")), s.depths(&dug, false),
		do("add-depth", w.Say("Measure a depth"), false, s.addDepth),
		s.concrete(&dug),
		s.buried(),
		element.Link("wide", "/site/"+w.Doc.ID+"/pour-day", w.Say("The whole pour list")),
		element.Link("wide", "/site/"+w.Doc.ID+"/build/pour", w.Say("The pour")),
		cautions(w, "excavation", "concrete", "bank", "services"),
	)
}

// soundSoFar reports whether no form is off: then the next one is read.
func (s *formsScreen) soundSoFar(forms *casting.Forms) bool {
	for i := range forms.Tops {
		if !forms.Tops[i].Within {
			return false
		}
	}
	return true
}

// hasPart reports whether the plan has a part that can be read.
func (s *formsScreen) hasPart(value string) bool {
	kind := map[string]plan.PartKind{survey.CastRunBack: plan.PartRunBackStrip, survey.CastDrive: plan.PartDriveStrip,
		survey.CastLatch: plan.PartLatchStrip, survey.CastPad: plan.PartPad, survey.CastHole: plan.PartPostHole}[value]
	return s.w.Plan().Has(kind)
}

// firstPart is the part of a new entry: that of the last one, or the first that there is.
func (s *formsScreen) firstPart(last string) string {
	if last != "" {
		return last
	}
	for _, part := range []string{survey.CastRunBack, survey.CastDrive, survey.CastLatch, survey.CastPad} {
		if s.hasPart(part) {
			return part
		}
	}
	return survey.CastRunBack
}

func (s *formsScreen) setUp(forms *casting.Forms) app.UI {
	w := s.w
	return element.Box("div", "told",
		s.line(survey.CastingOpen), s.line(survey.CastingClose),
		s.line(survey.CastingBenchAlong), s.line(survey.CastingBenchLevel),
		sightWords(w, w.Sentence(forms.Sight.Problem), w.Sentence(forms.Sight.Open), forms.Sight.Drive))
}

func (s *formsScreen) tops(forms *casting.Forms, short bool) app.UI {
	w := s.w
	list := w.Doc.Survey.Build.Casting.Tops
	if len(list) == 0 || len(forms.Tops) < len(list) {
		return app.Text("")
	}
	rows := make([]app.UI, len(list))
	for i := range list {
		top := &forms.Tops[i]
		class := "says-stop"
		switch {
		case top.Within:
			class = "says-sound"
		case !top.Judged:
			class = "says-mind"
		}
		rows[i] = app.Elem("tr").DataSet("top", i).Body(
			element.Box("td", "", app.Text(w.SayName(top.Part))),
			element.Box("td", "", s.cell(string(survey.FormTopAlong.At(i)))),
			element.Box("td", "", s.cell(string(survey.FormTopDown.At(i)))),
			element.Text("td", "verdict "+class, w.Sentence(top.Words)))
	}
	return table(w.Say("Tops of forms"), short, []string{w.Say("Part"), w.Say("Along"), w.Say("Down¦reading from the sight"),
		w.Say("Do this")}, rows)
}

func (s *formsScreen) depths(dug *casting.Dug, short bool) app.UI {
	w := s.w
	list := w.Doc.Survey.Build.Casting.Depths
	if len(list) == 0 {
		return app.Text("")
	}
	rows := make([]app.UI, len(list))
	for i := range list {
		part := survey.FieldOf(survey.DugDepthPart.At(i))
		note := app.UI(app.Elem("td"))
		if why, loose := dug.Loose[i]; loose {
			note = element.Text("td", "verdict says-mind", w.Sentence(why))
		}
		rows[i] = app.Elem("tr").DataSet("depth", i).Body(
			element.Text("td", "", w.Say(editing.OptionWords(part, part.Chosen(&w.Doc.Survey)))),
			element.Box("td", "", s.cell(string(survey.DugDepthAlong.At(i)))),
			element.Box("td", "", s.cell(string(survey.DugDepthDepth.At(i)))),
			note)
	}
	return table(w.Say("Depths"), short, []string{w.Say("Part"), w.Say("Along"), w.Say("Deep"), ""}, rows)
}

// concrete is what was dug by part, and the order again.
func (s *formsScreen) concrete(dug *casting.Dug) app.UI {
	w := s.w
	words := func(v float64) string { return w.Write(text.CubicMM(v)) }
	said := w.SayWith("As planned: {0}.", words(dug.Order))
	class := "says-sound"
	switch q := &w.Plan().Quantities; {
	case !dug.Refused.Empty():
		said, class = w.Sentence(dug.Refused), "says-stop"
	case dug.MoreBags > 0 && !q.ReadyMix:
		said, class = w.SayWith("{0} to order, {1} more than planned.", words(dug.Order), words(dug.More))+" "+
			w.SayCount(dug.MoreBags, "One bag more.", "{0} bags more."), "says-mind"
	case dug.More > q.Order/200:
		said, class = w.SayWith("{0} to order, {1} more than planned.", words(dug.Order), words(dug.More)), "says-mind"
	case -dug.More > q.Order/200:
		said = w.SayWith("{0} to order, {1} less than planned.", words(dug.Order), words(-dug.More))
	}
	return element.Box("section", "", element.Text("h3", "", w.Say("Concrete as it was dug")),
		element.Known("p", "order-again", class, "status", said),
		element.Box("ul", "plain", app.Range(dug.Parts).Slice(func(i int) app.UI {
			part := &dug.Parts[i]
			class := "says-sound"
			switch {
			case part.Shallow:
				class = "says-stop"
			case part.Count == 0:
				class = "says-mind"
			}
			return app.Elem("li").DataSet("dug", part.Outline).Body(element.Text("b", "", w.SayName(part.Name)),
				element.Text("p", class, w.Sentence(part.Words)))
		})))
}

// buried is what disappears under the concrete, each with its tick and its photo.
func (s *formsScreen) buried() app.UI {
	w := s.w
	before := tables.PourChecklist(w.Plan(), &w.Practice)[0]
	var items []app.UI
	for i := range before.Items {
		if before.Items[i].Photo {
			items = append(items, ui.CheckItem(w, &before.Items[i], func(words string) { s.problem = words }))
		}
	}
	if len(items) == 0 {
		return app.Text("")
	}
	return element.Box("section", "", element.Text("h3", "", w.Say("Cast in: ticked, with a photo")),
		app.If(s.problem != "", element.Status("p", "error", "alert", s.problem)), element.Box("div", "stage", items...))
}

// missing says what is missing before concrete may come.
func (s *formsScreen) missing(forms *casting.Forms, dug *casting.Dug) app.UI {
	w := s.w
	var all []string
	if !forms.Sound() || !forms.Sight.Closed || !forms.Sight.Holds() {
		all = append(all, w.Say("Tops of forms: read, right, and the set-up closed."))
	}
	if !dug.Sound() {
		all = append(all, w.Say("Depths: each part measured, none too shallow."))
	}
	before := tables.PourChecklist(w.Plan(), &w.Practice)[0]
	for _, words := range before.Missing(w.Doc.Ticks, ui.Pictured(w.Doc)) {
		all = append(all, w.Sentence(words))
	}
	if len(all) == 0 {
		return element.Known("p", "missing", "says-sound", "status", w.Say("Nothing is missing: the concrete may come."))
	}
	return element.Box("details", "missing", element.Box("summary", "",
		saysMissing(w, "span", "status", len(all))),
		element.Box("ul", "", app.Range(all).Slice(func(i int) app.UI { return element.Text("li", "", all[i]) })))
}

// saysMissing says how many things are missing before concrete may come or, once it came,
// how many there are of which nobody will know.
func saysMissing(w *editing.Site, tag, role string, n int) app.UI {
	if pour := &w.Doc.Survey.Build.Casting.Pour; pour.Began != "" || pour.Ended != "" {
		return element.Known(tag, "missing", "says-mind", role, w.SayCount(n, "Poured with one thing left open.",
			"Poured with {0} things left open."))
	}
	return element.Known(tag, "missing", "says-stop", role, w.SayCount(n, "No concrete yet: one thing is missing.",
		"No concrete yet: {0} things are missing."))
}

func (s *formsScreen) addTop(ctx app.Context) {
	list := s.w.Doc.Survey.Build.Casting.Tops
	part := ""
	if n := len(list); n > 0 {
		part = list[n-1].Part
	}
	if len(list) == 0 && !s.w.Doc.Survey.Build.Casting.Forms.Open.Known() {
		s.ask(ctx, survey.CastingOpen) // nothing is told by the others without it
		return
	}
	s.add(ctx, "Top of a form", survey.CastingTops, survey.FormTop{Part: s.firstPart(part)}, len(list), survey.MaxFormTops,
		survey.FormTopAlong)
}

func (s *formsScreen) addDepth(ctx app.Context) {
	list := s.w.Doc.Survey.Build.Casting.Depths
	part := ""
	if n := len(list); n > 0 {
		part = list[n-1].Part
	}
	s.add(ctx, "Depth of the dig", survey.CastingDepths, survey.DugDepth{Part: s.firstPart(part)}, len(list),
		survey.MaxDugDepths, survey.DugDepthAlong)
}

// next goes from where something was read to what was read there.
func (s *formsScreen) next(ctx app.Context) {
	if i, step, ok := s.entryOf(survey.CastingTops); ok && step == "along" {
		s.ask(ctx, string(survey.FormTopDown.At(i)))
		return
	}
	if i, step, ok := s.entryOf(survey.CastingDepths); ok && step == "along" {
		s.ask(ctx, string(survey.DugDepthDepth.At(i)))
		return
	}
	if s.field == survey.CastingOpen && len(s.w.Doc.Survey.Build.Casting.Tops) == 0 {
		s.field = ""
		s.addTop(ctx)
		return
	}
	s.put(ctx)
}
