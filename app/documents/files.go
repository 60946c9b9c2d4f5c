package documents

import (
	"bytes"
	"encoding/csv"
	"strings"

	"pegpour/app/editing"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/tables"
	"pegpour/storage"
)

const mediaDrawing = "image/svg+xml"

// file is something to hand out.
type file struct{ name, media, content string }

// pictureName is what a drawing is called as a picture.
func (f file) pictureName() string { return strings.TrimSuffix(f.name, ".svg") + ".png" }

// viewFile makes the owner's view. It stands apart so that who saves but one file, where
// one measures, does not carry what draws it.
func viewFile(w *editing.Site) (file, error) {
	svg, err := ownerPicture(w.Plan(), drawing.OwnerOptions{Open: 0.35, Figures: true, Say: w.Say, Write: w.Write}, 1200)
	return file{FileBase(w.Doc.Survey.Site.Name) + "-view.svg", mediaDrawing, string(svg)}, err
}

// makeFile makes any other file of the site: its survey, its drawing, its pegs,
// load cases, quantities, or its place, which is empty where none was given.
func makeFile(w *editing.Site, kind string) (file, error) {
	base := FileBase(w.Doc.Survey.Site.Name)
	switch kind {
	case "survey":
		data, err := storage.Encode(w.Doc)
		return file{base + "-survey.json", "application/json", string(data)}, err
	case "drawing":
		options := w.SceneOptions(false)
		options.Tape = ""
		view := draw.Phone(1200, 0)
		view.Mirror = w.Plan().Mirrored()
		svg, err := draw.Render(drawing.SetOutScene(w.Plan(), options), view, draw.Options{Standalone: true})
		return file{base + "-set-out.svg", mediaDrawing, string(svg)}, err
	case "pegs":
		text, err := Table(tables.Pegs(w.Plan()))
		return file{base + "-pegs.csv", "text/csv", text}, err
	case "place":
		text, err := tables.Place(&w.Doc.Survey.Site)
		return file{base + "-place.geojson", "application/geo+json", text}, err
	case "loads":
		text, err := Table(tables.Loads(w.Plan()))
		return file{base + "-loads.csv", "text/csv", text}, err
	}
	text, err := Table(tables.English(tables.Quantities(w.Plan())))
	return file{base + "-quantities.csv", "text/csv", text}, err
}

// FileBase makes a plain file name of a site's name.
func FileBase(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 40 {
			break
		}
	}
	if s := strings.Trim(b.String(), "-"); s != "" {
		return s
	}
	return "site"
}

// Table writes rows as a table that spreadsheets open.
func Table(rows [][]string) (string, error) {
	var b bytes.Buffer
	err := csv.NewWriter(&b).WriteAll(rows)
	return b.String(), err
}

// ownerPicture is the owner's view as a file of its own.
func ownerPicture(p *plan.Plan, o drawing.OwnerOptions, width float64) ([]byte, error) {
	scene, err := drawing.OwnerViewScene(p, o)
	if err != nil {
		return nil, err
	}
	view := draw.Phone(width, 0)
	view.Mirror = p.Mirrored()
	if wide := scene.Bounds().Width(); wide > 0 {
		view.Scale = (width - 16) / wide
	}
	return draw.Render(scene, view, draw.Options{Standalone: true})
}
