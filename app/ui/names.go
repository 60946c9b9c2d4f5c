package ui

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/element"
	"pegpour/app/language"
)

// HeadName is a site's name beside the mark of a demo: one that still has the
// name it came with goes without the word that the mark says.
func HeadName(l *language.Speaker, name string, isDemo bool) string {
	name = SiteName(l, name)
	if before, after, found := strings.Cut(name, ": "); found && isDemo &&
		strings.HasPrefix(l.Say("Demo: angled drive"), before+": ") {
		return after
	}
	return name
}

// Head is a site's name with the mark of a demo, which stays beside the last word.
func Head(l *language.Speaker, name string, isDemo bool) []app.UI {
	name = HeadName(l, name, isDemo)
	if !isDemo {
		return []app.UI{app.Text(name)}
	}
	return []app.UI{app.Text(name + language.NoBreak), element.Text("span", "demo", l.Say("demo"))}
}

// HeadClass has the name begin with a capital where HeadName may have taken off
// what it began with.
func HeadClass(isDemo bool) string {
	if isDemo {
		return "named-demo"
	}
	return ""
}

// SiteName is what a site is called, also before it has a name.
func SiteName(l *language.Speaker, name string) string {
	if name == "" {
		return l.Say("New site")
	}
	return name
}
