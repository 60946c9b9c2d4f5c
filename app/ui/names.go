package ui

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

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

// DemoMark says that a site is one for show.
func DemoMark(l *language.Speaker, demo bool) app.UI {
	return app.If(demo, app.Span().Class("demo").Text(l.Say("demo")))
}
