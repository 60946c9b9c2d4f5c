package fieldbook

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// ToolLink leads from a question to the tool that answers it.
func ToolLink(w *editing.Site, f survey.Field) app.UI {
	at, words := Tool(w, f)
	return app.If(at != "", element.Link("quiet-link", "/site/"+w.Doc.ID+"/"+at, words))
}

// Tool is the screen of the tool that answers a question, and what the link to
// it says; "" where there is none.
func Tool(w *editing.Site, f survey.Field) (at, words string) {
	_, _, inBook := editing.BookCell(f.Path)
	switch {
	case f.Dimension == text.Grade:
		return "slope?field=" + f.Path, w.Say("Read it with the phone")
	case inBook || f.Path == survey.GroundLevelsClose || f.Path == survey.GroundLevelsTaken &&
		w.Doc.Survey.Ground.Levels.Taken == survey.LevelsByStaff:
		return "level-run", w.Say("Book it on the level run's page")
	case f.Path == survey.DriveRunBackEdgeGiven || f.Path == survey.DriveLatchEdgeGiven:
		return "network", w.Say("Or tape it as a network of pegs")
	}
	return "", ""
}
