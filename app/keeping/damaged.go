package keeping

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/documents"
	"pegpour/app/element"
	"pegpour/app/sites"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/storage"
)

// damaged lists records that cannot be opened, each to be saved as it is.
func (s *safeScreen) damaged() app.UI {
	w := s.w
	var bad []sites.Line
	for _, lines := range [][]sites.Line{w.Sites, w.Away} {
		for i := range lines {
			if lines[i].Condition != storage.Sound {
				bad = append(bad, lines[i])
			}
		}
	}
	if len(bad) == 0 {
		return app.Text("")
	}
	return app.Elem("section").Class("safe").ID("damaged").Aria("label", w.Say("Cannot be opened")).Body(
		element.Text("h2", "", w.Say("Cannot be opened")),
		element.Text("p", "",
			w.Say("These are kept as they are and harm nothing else. Saved as a file, what is in them can be looked at and perhaps rescued.")),
		app.Range(bad).Slice(func(i int) app.UI {
			site := bad[i]
			name := site.Name
			if name == "" {
				name = site.ID
			}
			return element.Box("div", "row found",
				element.Box("div", "found-words",
					element.Text("strong", "", name),
					element.Text("span", "quiet",
						ui.ConditionWords(w.Speaker, site.Condition))),
				app.Button().Type("button").Class("row-side").DataSet("rescue", site.ID).
					Aria("label", w.SayWith("Save {0} as it is", name)).Text(w.Say("Save as it is")).
					OnClick(func(app.Context, app.Event) { s.rescue(site.ID) }, site.ID))
		}))
}

// rescue saves the bytes of a damaged site.
func (s *safeScreen) rescue(id string) {
	w := s.w
	w.Background(func(c context.Context) error {
		raw, err := w.Store.Raw(c, id)
		w.Dispatch(func(app.Context) {
			if err != nil {
				s.problem = readingWords(w.Speaker, err)
				return
			}
			out := &window.Writer{}
			_, _ = out.Write(raw)
			window.Save(documents.FileBase(id)+"-as-it-is.json", out.Blob())
		})
		return nil
	})
}
