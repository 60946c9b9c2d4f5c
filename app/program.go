package app

import (
	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/keeping"
	"pegpour/app/launch"
	"pegpour/app/sites"
	"pegpour/app/ui"
	"pegpour/app/yardlink"
)

// Program is one run of the app in one page: the nouns that its screens use, made
// once. There is no state beside it.
type Program struct {
	site   *editing.Site
	link   *yardlink.Link
	safety *keeping.Safety
	press  *documents.Press
}

// NewProgram returns a program that stands on g.
func NewProgram(g *launch.Ground) *Program {
	device := g.Device
	p := &Program{site: editing.NewSite(device), link: g.Link, press: g.Press}
	list := sites.New(device, p.site, ui.SmallPlan)
	p.safety = keeping.NewSafety(list, p.link)

	g.Turns.Shown = func() { ui.FillEntry(p.site) }
	g.Speaker.AfterChange(p.site.DesignAgain) // the drawings are drawn anew
	device.Prepare = list.Prepare
	start := device.Opened
	device.Opened = func() {
		device.Store.Watch(p.site.ChangedElsewhere)
		start()
	}
	return p
}
