package app

import (
	"flag"
	"os"
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
	b.WriteString(draw.Style(draw.Day, ""))
	b.WriteString("\n" + draw.Recolour(draw.Night, `:root[data-theme="night"] `, 1))
	b.WriteString("\n@media (prefers-color-scheme: dark) {\n" + draw.Recolour(draw.Night, `:root:not([data-theme="day"], [data-theme="sun"]) `, 1) + "}\n")
	b.WriteString("\n" + draw.Recolour(draw.Sun, `:root[data-theme="sun"] `, draw.SunWeight))
	b.WriteString("\n@media (prefers-contrast: more) and (prefers-color-scheme: light) {\n" + draw.Recolour(draw.Sun, `:root:not([data-theme="day"], [data-theme="night"]) `, draw.SunWeight) + "}\n")
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
