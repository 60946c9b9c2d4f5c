package app

import (
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// Steps of the walk that are not one field.
const (
	stepObstructions = survey.RunBackObstructions
	stepDone         = "done"
)

// tickNothing says that someone looked and nothing is in the way.
const tickNothing = "nothing in the way"

// steps are the questions this site needs, in the order one walks it.
func (w *workspace) steps() []string {
	if w.walk == nil {
		w.walk = w.findSteps()
	}
	return w.walk
}

func (w *workspace) findSteps() []string {
	measured := w.effective()
	var steps, inTheWay []string
	for _, f := range survey.Fields(&measured) {
		switch {
		case f.Group == survey.GroupObstacles:
			inTheWay = append(inTheWay, f.Path)
		case f.Group == survey.GroupNetwork || !f.Needed(&measured):
		case f.Dimension == text.Words && f.Path != survey.SiteName: // in All figures
		default:
			steps = append(steps, f.Path)
		}
	}
	steps = append(append(steps, stepObstructions), inTheWay...)
	steps = slices.DeleteFunc(steps, w.isLeftOut)
	return append(w.withDrops(steps), stepDone)
}

func (w *workspace) known(step string) bool {
	switch step {
	case stepObstructions:
		return len(w.doc.Survey.RunBack.Obstructions) > 0 || w.doc.Ticks[tickNothing]
	case stepDone:
		return false
	case stepDrops:
		return len(w.doc.Survey.Ground.Levels.Drops) >= leastDrops
	}
	f, ok := survey.FieldAt(step)
	if !ok {
		return false
	}
	if _, drafted := w.drafts[step]; drafted {
		return false
	}
	_, taped := w.outlines().Network.Give(step)
	return taped || f.Answered(&w.doc.Survey)
}

func (w *workspace) ask(step string) { w.asked, w.typing, w.walk = step, "", nil }

// firstOpen is the first question without an answer.
func (w *workspace) firstOpen() string {
	for _, s := range w.steps() {
		if !w.known(s) {
			return s
		}
	}
	return stepDone
}

func (w *workspace) groupOf(step string) string {
	switch step {
	case stepObstructions:
		return survey.GroupObstacles
	case stepDone:
		return ""
	case stepDrops:
		return survey.GroupGround
	}
	if f, ok := survey.FieldAt(step); ok {
		return f.Group
	}
	return ""
}

// firstOf is the first open question of a part of the site, or its first one.
func (w *workspace) firstOf(group string) string {
	first := ""
	for _, s := range w.steps() {
		if w.groupOf(s) != group {
			continue
		}
		if first == "" {
			first = s
		}
		if !w.known(s) {
			return s
		}
	}
	return first
}

// groupCount is how many questions of a part of the site have an answer, of how
// many.
type groupCount struct{ known, needed int }

func (w *workspace) groupCounts() map[string]groupCount {
	counts := map[string]groupCount{}
	for _, s := range w.steps() {
		group := w.groupOf(s)
		if group == survey.GroupObstacles {
			if f, ok := survey.FieldAt(s); ok && f.Dimension == text.Words {
				continue // a note is never missing
			}
		}
		n := counts[group]
		n.needed++
		if w.known(s) {
			n.known++
		}
		counts[group] = n
	}
	return counts
}

// place is where in the walk the question stands, from one.
func (w *workspace) place() (at, of int) {
	steps := w.steps()
	return slices.Index(steps, w.asked) + 1, len(steps)
}

func (w *workspace) step(ctx app.Context, by int) {
	w.lookAgain()
	steps := w.steps()
	if at := slices.Index(steps, w.asked); at >= 0 {
		w.asked = steps[min(max(at+by, 0), len(steps)-1)]
	} else {
		w.asked = w.firstOpen() // a figure that the walk leaves out
	}
	w.typing, w.walk = "", nil // what was asked may be left out from now on
	w.refresh(ctx)
	w.focusEntry()
}

func (w *workspace) next(ctx app.Context) { w.step(ctx, 1) }
func (w *workspace) back(ctx app.Context) { w.step(ctx, -1) }

// focusEntry puts the cursor into the entry once it is on the page, so that a
// keyboard or a laser can type on.
func (w *workspace) focusEntry() {
	w.screen.Defer(func(app.Context) {
		if entry := app.Window().GetElementByID("entry"); entry.Truthy() {
			entry.Call("focus", map[string]any{"preventScroll": true})
			entry.Call("select")
		}
	})
}

// choose answers a choice and goes on.
func (w *workspace) choose(ctx app.Context, f survey.Field, value string) {
	w.answer(ctx, f, value)
	w.next(ctx)
}

// answer answers a choice, and makes room for what it asks next.
func (w *workspace) answer(ctx app.Context, f survey.Field, value string) {
	e, err := storage.SetWords(w.doc, f.Path, value)
	w.commit(ctx, e, err)
	if value == survey.EdgePoints {
		edge := f.Path[:len(f.Path)-len(".given")]
		for w.edgePoints(edge) < 2 {
			if !w.addPoint(ctx, edge) {
				break
			}
		}
	}
	if value == survey.LevelsByString {
		w.someDrops(ctx)
	}
}

func (w *workspace) edgePoints(edge string) int {
	if edge == survey.DriveLatchEdge {
		return len(w.doc.Survey.Drive.LatchEdge.Points)
	}
	return len(w.doc.Survey.Drive.RunBackEdge.Points)
}

func (w *workspace) addPoint(ctx app.Context, edge string) bool {
	before := w.edgePoints(edge)
	e, err := storage.AddEdgePoint(w.doc, edge, survey.EdgePoint{})
	w.commit(ctx, e, err)
	return w.edgePoints(edge) > before
}

// pointButtons adds and removes taped points where an edge is given by them.
func (w *workspace) pointButtons(f survey.Field) app.UI {
	for _, edge := range []string{survey.DriveRunBackEdge, survey.DriveLatchEdge} {
		if f.Path != edge+".given" || f.Words(&w.doc.Survey) != survey.EdgePoints {
			continue
		}
		n := w.edgePoints(edge)
		return app.Div().Class("row").Body(
			app.Button().Type("button").Class("row-side").Text(say("Add a point")).OnClick(func(ctx app.Context, _ app.Event) { w.addPoint(ctx, edge) }, edge),
			app.If(n > 2, app.Button().Type("button").Class("row-side").Text(say("Remove the last point")).OnClick(func(ctx app.Context, _ app.Event) {
				e, err := storage.RemoveEdgePoint(w.doc, edge, n-1)
				w.commit(ctx, e, err)
			}, edge, n)),
		)
	}
	return app.Text("")
}

func (w *workspace) addObstruction(ctx app.Context) {
	e, err := storage.AddObstruction(w.doc, survey.Obstruction{})
	w.commit(ctx, e, err)
	if n := len(w.doc.Survey.RunBack.Obstructions); n > 0 {
		w.asked = obstructionPath(n-1, "kind")
	}
	w.refresh(ctx)
}

func (w *workspace) removeObstruction(ctx app.Context, i int) {
	e, err := storage.RemoveObstruction(w.doc, i)
	w.commit(ctx, e, err)
}

func (w *workspace) tick(ctx app.Context, name string, on bool) {
	e, err := storage.SetTick(w.doc, name, on)
	w.commit(ctx, e, err)
}

// sceneOptions are those of every drawing of this site.
func (w *workspace) sceneOptions(detail bool) drawing.SceneOptions {
	return drawing.SceneOptions{Write: w.figure, Say: say, Detail: detail, Tape: w.asked}
}

// showPegs puts the pegs on a drawing, and which of them are set out.
func (w *workspace) showPegs(o *drawing.SceneOptions) {
	o.Pegs, o.Done = true, map[int]bool{}
	for _, p := range w.plan().Pegs {
		if w.doc.Ticks[pegTick(p.Number)] {
			o.Done[p.Number] = true
		}
	}
}

// detailAsked reports whether the question is about the corner by the pad.
func (w *workspace) detailAsked() bool {
	switch w.asked {
	case survey.DriveRunBackEdgeGiven, survey.DriveRunBackEdgeAlong, survey.DriveRunBackEdgeAngle, survey.GroundSoil, survey.GroundDepthToFirm,
		survey.GateCladding, survey.GateMotor, survey.GateOutlet, survey.GateCables, survey.GateGuide, survey.RunBackDepth, survey.OpeningPostRunBack, survey.OpeningPostDepth:
		return true
	}
	return len(w.asked) > 24 && w.asked[:24] == survey.DriveRunBackEdgePoints
}

func (w *workspace) windowAsked() draw.Box {
	if w.detailAsked() {
		return drawing.DetailWindow(w.outlines())
	}
	return draw.Box{}
}
