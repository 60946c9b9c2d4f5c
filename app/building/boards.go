package building

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/pegs"
)

// boardsScreen is the strings and profile boards, which stand clear of the dig.
type boardsScreen struct {
	app.Compo
	w *editing.Site
}

func newBoardsScreen(w *editing.Site) *boardsScreen { return &boardsScreen{w: w} }

// OnNav implements app.Navigator.
func (s *boardsScreen) OnNav(ctx app.Context) { s.w.Follow(ctx, nil) }

// OnDismount implements app.Dismounter.
func (s *boardsScreen) OnDismount() { s.w.Leave() }

// Render implements app.Composer.
func (s *boardsScreen) Render() app.UI {
	w := s.w
	if w.Doc == nil {
		return ui.SiteFrame(w, "more")
	}
	b := pegs.LayBoards(w.Plan(), &w.Practice)
	heading := element.Text("h2", "", w.Say("Strings and profile boards"))
	if len(b.Corners) == 0 {
		return ui.SiteFrame(w, "more tool", heading, element.Text("p", "quiet", w.Say("Nothing to peg.")))
	}
	return ui.SiteFrame(w, "more tool",
		s.drawing(b),
		heading,
		element.Text("p", "help", w.Sentence(b.Words())),
		cautions(w, "services", "excavation"),
		s.corners(b), s.ends(b))
}

func (s *boardsScreen) drawing(b *pegs.Boards) app.UI {
	w := s.w
	view := draw.Phone(window.Width(), 220)
	view.Mirror = w.Plan().Mirrored()
	options := w.SceneOptions(false)
	options.Compact = true
	sheet, err := draw.Layout(drawing.BoardsScene(w.Plan(), &w.Practice, b, options), view)
	if err != nil {
		return element.Text("p", "error", w.ErrorWords(err))
	}
	return element.Box("figure", "drawing",
		app.Elem("div").Class("paper").Body(app.Raw("<div>"+string(draw.SVG(sheet, draw.Options{Screen: true, Prefix: "boards"}))+"</div>")))
}

// corners lists the pegs under the crossings, with how far down each lies.
func (s *boardsScreen) corners(b *pegs.Boards) app.UI {
	w := s.w
	var rows []app.UI
	for i := range b.Corners {
		c := &b.Corners[i]
		rows = append(rows, app.Elem("tr").DataSet("corner", c.Name).Body(element.Text("td", "", c.Name), element.Text("td", "", w.Sentence(b.Over(c))),
			element.Text("td", "voice-worked", w.Length(c.Down, false)), element.Text("td", "voice-worked", w.Length(c.Bottom, false)),
			element.Text("td", "", w.Length(c.Level, false))))
	}
	name := w.Say("Corners under the strings")
	return element.Box("section", "", element.Text("h2", "", name), table(name, false,
		[]string{w.Say("Peg"), w.Say("Strings"), w.Say("Down to the concrete"), w.Say("Down to the bottom"), w.Say("Level")}, rows))
}

// ends lists what holds the strings.
func (s *boardsScreen) ends(b *pegs.Boards) app.UI {
	w := s.w
	var rows []app.UI
	for i := range b.Strings {
		for k := range b.Strings[i].Ends {
			e := &b.Strings[i].Ends[k]
			along, out, away := "–", "–", "–"
			if e.Kind != pegs.Nowhere {
				along, out, away = w.Length(e.At.X, false), w.Length(e.At.Y, false), w.Length(e.Away, false)
			}
			rows = append(rows, app.Elem("tr").DataSet("string", b.Strings[i].Name).DataSet("is", string(e.Kind)).Body(
				element.Text("td", "", b.Strings[i].Name), element.Text("td", "", along), element.Text("td", "", out), element.Text("td", "", away)),
				app.Elem("tr").Class("wrapped").Body(app.Elem("td").Attr("colspan", "4").Text(w.SayName(e.Kind.Words())+" "+w.Sentence(e.Why))))
		}
	}
	name := w.Say("Strings: both ends of each")
	return element.Box("section", "", element.Text("h2", "", name), table(name, false,
		[]string{w.Say("String¦narrow column of letters"), w.Say("Along"), w.Say("Out"), w.Say("From the concrete")}, rows))
}
