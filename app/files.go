package app

import (
	"bytes"
	"encoding/csv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/tables"
	"pegpour/storage"
)

// file is something to hand out.
type file struct{ name, media, content string }

// makeFile makes a file of the site: its survey, its drawing or its quantities.
func (w *workspace) makeFile(kind string) (file, error) {
	base := fileBase(w.doc.Survey.Site.Name)
	switch kind {
	case "survey":
		data, err := storage.Encode(w.doc)
		return file{base + "-survey.json", "application/json", string(data)}, err
	case "drawing":
		options := w.sceneOptions(false)
		options.Tape = ""
		view := draw.Phone(1200, 0)
		view.Mirror = w.plan().Mirrored()
		svg, err := draw.Render(drawing.SetOutScene(w.plan(), options), view, draw.Options{Standalone: true})
		return file{base + "-set-out.svg", "image/svg+xml", string(svg)}, err
	}
	var b bytes.Buffer
	table := csv.NewWriter(&b)
	err := table.WriteAll(tables.Quantities(w.plan()))
	return file{base + "-quantities.csv", "text/csv", b.String()}, err
}

// fileBase makes a plain file name of a site's name.
func fileBase(name string) string {
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

// saveButton makes a file when it is tapped and hands it to the browser.
func (w *workspace) saveButton(kind, words, class string) app.UI {
	return app.Button().Type("button").Class(class).DataSet("save", kind).Text(say(words)).OnClick(func(ctx app.Context, _ app.Event) {
		f, err := w.makeFile(kind)
		if err != nil {
			w.unsaved = sayWith("The file could not be made: {0}", w.errorWords(err))
			w.refresh(ctx)
			return
		}
		handOver(f)
	}, kind)
}

// handOver lets the browser save a file.
func handOver(f file) {
	handOverBlob(f.name, app.Window().Get("Blob").New([]any{f.content}, map[string]any{"type": f.media + ";charset=utf-8"}))
}

// handOverBlob lets the browser save bytes that it holds.
func handOverBlob(name string, blob app.Value) {
	window := app.Window()
	address := window.Get("URL").Call("createObjectURL", blob)
	link := window.Get("document").Call("createElement", "a")
	link.Set("href", address)
	link.Set("download", name)
	link.Call("click")
	window.Get("URL").Call("revokeObjectURL", address)
}
