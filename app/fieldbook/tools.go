package fieldbook

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/engine"
)

// ToolLink leads from a question to the tool that answers it.
func ToolLink(w *editing.Site, f engine.Field) app.UI {
	at, words := Tool(w, f)
	return app.If(at != "", app.A().Class("quiet-link").Href("/site/"+w.Doc.ID+"/"+at).Text(words))
}

// Tool is the screen of the tool that answers a question, and what the link to
// it says; "" where there is none.
func Tool(w *editing.Site, f engine.Field) (at, words string) {
	_, _, inBook := editing.BookCell(f.Path)
	switch {
	case f.Dimension == engine.Grade:
		return "slope?field=" + f.Path, w.Say("Read it with the phone")
	case inBook || f.Path == "ground.levels.close" || f.Path == "ground.levels.taken" &&
		w.Doc.Survey.Ground.Levels.Taken == engine.LevelsByStaff:
		return "level-run", w.Say("Book it on the level run's page")
	case f.Path == "drive.runBackEdge.given" || f.Path == "drive.latchEdge.given":
		return "network", w.Say("Or tape it as a network of pegs")
	}
	return "", ""
}
