package app

import (
	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/keeping"
	"pegpour/app/language"
	"pegpour/app/office"
	"pegpour/app/shell"
	"pegpour/app/sites"
	"pegpour/app/turns"
	"pegpour/app/ui"
	"pegpour/app/yardlink"
	"pegpour/storage/replication"
)

// Program is one run of the app in one page: the nouns that its screens use, made
// once. There is no state beside it.
type Program struct {
	turns   *turns.Turns
	speaker *language.Speaker
	site    *editing.Site
	link    *yardlink.Link
	safety  *keeping.Safety
	press   *documents.Press
	office  *office.Office
}

// NewProgram returns a program that keeps things in the store of open; transport
// carries requests to the yard.
func NewProgram(open editing.Open, transport replication.Transport) *Program {
	t := &turns.Turns{}
	p := &Program{turns: t, speaker: language.New(shell.Words{Turns: t}), press: documents.NewPress(t)}
	device := editing.NewDevice(t, p.speaker, open)
	p.site = editing.NewSite(device)
	p.link = yardlink.New(device, transport)
	list := sites.New(device, p.site, ui.SmallPlan)
	p.safety = keeping.NewSafety(list, p.link)
	p.office = office.New(device, p.link, p.press)

	t.Shown = func() { ui.FillEntry(p.site) }
	p.speaker.AfterChange(p.site.DesignAgain) // the drawings are drawn anew
	p.link.Repaired = p.office.Forget
	device.Prepare = list.Prepare
	device.Opened = func() {
		device.Store.Watch(p.site.ChangedElsewhere)
		t.Later(p.link.Start)
	}
	return p
}

// SpeakFirst takes up the language of the first screen. It must not be called on
// the goroutine of the screens.
func (p *Program) SpeakFirst() { shell.SpeakFirst(p.speaker) }
