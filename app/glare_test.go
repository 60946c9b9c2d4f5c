package app

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pegpour/engine/draw/glare"
)

// tokensOf are the colours by name of the rule of pegpour.css that begins with a selector,
// in place of those of the rule for day.
func tokensOf(t *testing.T, sheet, selector string) map[string]string {
	t.Helper()
	tokens := map[string]string{}
	for _, from := range []string{":root {", selector + " {"} {
		_, rest, found := strings.Cut(sheet, "\n"+from)
		if !found {
			t.Fatalf("no rule of %s", from)
		}
		body, _, _ := strings.Cut(rest, "}")
		for _, m := range regexp.MustCompile(`--([a-z-]+): ([^;]+);`).FindAllStringSubmatch(body, -1) {
			tokens[m[1]] = m[2]
		}
	}
	for name, value := range tokens {
		if of, ok := strings.CutPrefix(value, "var(--"); ok {
			tokens[name] = tokens[strings.TrimSuffix(of, ")")]
		}
	}
	return tokens
}

// In full sun every colour of the screens' texts and lines is seen on everything that they
// stand on. What the other themes keep there is only stated.
func TestScreensInFullSun(t *testing.T) {
	text, err := os.ReadFile("pegpour.css")
	if err != nil {
		t.Fatal(err)
	}
	for selector, want := range map[string]float64{
		`:root[data-theme="sun"]`:                               glare.Least,
		`  :root:not([data-theme="day"], [data-theme="night"])`: glare.Least, // asked for by more contrast
		`:root[data-theme="night"]`:                             2.2,
	} {
		tokens := tokensOf(t, string(text), selector)
		least, which := 1e9, ""
		for _, ink := range []string{"ink", "measured", "assumed", "stop", "mind", "sound", "line", "hair"} {
			for _, ground := range []string{"paper", "stone", "raised", "press"} {
				if ground == "press" && ink != "ink" || want < glare.Least && (ink == "line" || ink == "hair" || ground == "press") {
					continue // what is pressed has ink; the lines of other themes are paler
				}
				if got := glare.FullSun.Contrast(tokens[ink], tokens[ground]); got < least {
					least, which = got, ink+" on "+ground
				}
			}
		}
		if least < want {
			t.Errorf("%s keeps %.2f in full sun, %s: want %g", selector, least, which, want)
		}
	}
}

// Edges of a width of their own would stay thin in full sun.
func TestNoEdgeStaysThin(t *testing.T) {
	sheets, err := filepath.Glob("*.css")
	if err != nil || len(sheets) == 0 {
		t.Fatal("no style sheets", err)
	}
	thin := regexp.MustCompile(`\b1px (solid|dashed|dotted)|thickness: 1px`)
	for _, name := range sheets {
		sheet, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(sheet), "\n") {
			if thin.MatchString(line) {
				t.Errorf("%s:%d: %s: use var(--thin)", name, i+1, line)
			}
		}
	}
}
