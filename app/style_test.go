package app

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pegpour/engine/draw"
)

var update = flag.Bool("update", false, "write the generated style of drawings anew")

// The style of drawings is made from the engine's one table of line weights and
// colours, and kept as a file so that the page can load it.
func TestDrawingStyleIsTheEngines(t *testing.T) {
	var b strings.Builder
	b.WriteString("/* Made by go test ./app -update from engine/draw. */\n")
	b.WriteString(draw.Style(draw.Day, "") + draw.MaterialTheme(draw.Day, "", 1))
	recolour := func(c draw.Colours, scope string, weight float64) string {
		return draw.Recolour(c, scope, weight) + draw.MaterialTheme(c, scope, weight)
	}
	b.WriteString("\n" + recolour(draw.Night, `:root[data-theme="night"] `, 1))
	b.WriteString("\n@media (prefers-color-scheme: dark) {\n" +
		recolour(draw.Night, `:root:not([data-theme="day"], [data-theme="sun"]) `, 1) + "}\n")
	b.WriteString("\n" + recolour(draw.Sun, `:root[data-theme="sun"] `, draw.SunWeight))
	b.WriteString("\n@media (prefers-contrast: more) and (prefers-color-scheme: light) {\n" +
		recolour(draw.Sun, `:root:not([data-theme="day"], [data-theme="night"]) `, draw.SunWeight) + "}\n")
	if *update {
		if err := os.WriteFile("drawing.css", []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile("drawing.css")
	if err != nil {
		t.Fatal(err)
	}
	if string(have) != b.String() {
		t.Error("drawing.css is not what the engine says: run go test ./app -update")
	}
}

// A rule with :has makes the browser style the whole page anew at each key that
// changes the drawing, and the drawing waits for it on a slow phone.
func TestNoStyleLooksInside(t *testing.T) {
	sheets, err := filepath.Glob("*.css")
	if err != nil || len(sheets) == 0 {
		t.Fatal("no style sheets", err)
	}
	for _, name := range append(sheets, filepath.Join("..", "web", "assets", "shell.css")) {
		sheet, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(sheet), "\n") {
			if strings.Contains(line, ":has(") {
				t.Errorf("%s:%d: %s: set a class instead", name, i+1, line)
			}
		}
	}
}
